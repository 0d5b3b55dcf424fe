package lot

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// published is where the reference figures lie; its README.md names their sources.
const published = "../../testdata/published-lot"

// readTable returns the rows of a published CSV by column name.
func readTable(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(published, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = line[i]
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		t.Fatalf("%s is empty", name)
	}
	return rows
}

// checkPrinted asserts that got rounds to the printed figure.
func checkPrinted(t *testing.T, what string, got float64, printed string) {
	t.Helper()
	decimals := 0
	if _, after, ok := strings.Cut(printed, "."); ok {
		decimals = len(after)
	}
	want := number(t, printed)
	// Half a unit of the last printed place, and a hair for a value that lies on the half.
	if limit := 0.5*math.Pow(10, -float64(decimals)) + 1e-12; !(math.Abs(got-want) <= limit) {
		t.Errorf("%s = %v, published %s", what, got, printed)
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Source: factor table in the style of ASTM MNL 7, n 2 to 25; the six-decimal column was computed
// by quadrature with other software.
func TestFactorsPublished(t *testing.T) {
	rows := readTable(t, "control_chart_constants.csv")
	if len(rows) != MaxSubgroup-1 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		n := int(number(t, row["n"]))
		f := FactorsFor(n)
		for name, got := range map[string]float64{
			"d2": f.RangeMean, "d3": f.RangeSD, "c4": f.SDMean, "A2": f.A2, "A3": f.A3,
			"B3": f.B3, "B4": f.B4, "D3": f.D3, "D4": f.D4,
		} {
			what := name + " of " + row["n"]
			if p := row[name+"_published"]; p != "" {
				checkPrinted(t, what, got, p)
			}
			checkPrinted(t, what, got, row[name+"_recomputed"])
		}
	}
}

// For two values the range is |x1-x2|, half-normal: d2 = 2/sqrt(pi), d3 = sqrt(2-4/pi), exactly.
func TestRangeOfTwoIsHalfNormal(t *testing.T) {
	mean, sd := rangeMoments(2)
	// Quadrature of a smooth function with 96 points: only rounding is left.
	if math.Abs(mean-2/math.Sqrt(math.Pi)) > 1e-12 || math.Abs(sd-math.Sqrt(2-4/math.Pi)) > 1e-12 {
		t.Errorf("d2 %v, d3 %v", mean, sd)
	}
}

func TestRangeMomentsHaveEnoughPoints(t *testing.T) {
	for _, n := range []int{2, 5, MaxSubgroup} {
		m1, s1 := rangeMomentsWith(n, rangePoints)
		m2, s2 := rangeMomentsWith(n, 2*rangePoints)
		if math.Abs(m1-m2) > 1e-9 || math.Abs(s1-s2) > 1e-9 { // what the comment at rangePoints claims
			t.Errorf("n %d: d2 %v and %v, d3 %v and %v", n, m1, m2, s1, s2)
		}
	}
}

func TestFactorsRefuseOtherSizes(t *testing.T) {
	for _, n := range []int{1, MaxSubgroup + 1} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("FactorsFor(%d) did not panic", n)
				}
			}()
			FactorsFor(n)
		}()
	}
}
