package lot

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// readPublished decodes a published JSON file.
func readPublished(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(published, name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatal(err)
	}
}

func normalSample(r *rand.Rand, n int, mean, sd float64) []float64 {
	values := make([]float64, n)
	for i := range values {
		values[i] = mean + sd*r.NormFloat64()
	}
	return values
}

// Source: NIST/SEMATECH e-Handbook 6.3.2.2, which rounds d2 to 1.128; undoing that must give the
// printed limits.
func TestIndividualsChartPublished(t *testing.T) {
	var ref struct {
		Data      []float64
		Published struct {
			Mean   string
			MRBar  string `json:"mr_bar"`
			UCL    string
			LCL    string
			Factor string `json:"d2"`
		}
	}
	readPublished(t, "ehandbook_individuals_chart.json", &ref)
	c, err := IndividualsChart(ref.Data, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	p := ref.Published
	checkPrinted(t, "mean", c.Centre, p.Mean)
	checkPrinted(t, "mean range", c.MeanRange, p.MRBar)
	checkPrinted(t, "d2", c.MeanRange/c.Sigma, p.Factor)
	rounding := c.MeanRange / c.Sigma / number(t, p.Factor)
	checkPrinted(t, "upper limit", c.Centre+3*c.Sigma*rounding, p.UCL)
	checkPrinted(t, "lower limit", c.Centre-3*c.Sigma*rounding, p.LCL)
	if len(c.Signals) > 0 { // the handbook's own verdict on these values
		t.Errorf("signals %v", c.Signals)
	}
}

func TestChartMovesAndScales(t *testing.T) {
	values := normalSample(rand.New(rand.NewPCG(3, 3)), 40, 0, 1)
	values[30] += 9
	moved := make([]float64, len(values))
	for i, v := range values {
		moved[i] = 100 - 0.1*v
	}
	a, errA := IndividualsChart(values, 0.05)
	b, errB := IndividualsChart(moved, 0.05)
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	// 1e-12: a few roundings at the size of 100.
	if math.Abs(b.Upper-(100-0.1*a.Lower)) > 1e-12 || math.Abs(b.RangeTop-0.1*a.RangeTop) > 1e-12 {
		t.Errorf("limits do not move with the values: %v, %v", a, b)
	}
	if diff := cmp.Diff(a.Signals, b.Signals); diff != "" || len(a.Signals) == 0 {
		t.Errorf("signals %v: %s", a.Signals, diff)
	}
}

func TestChartEdges(t *testing.T) {
	for _, bad := range [][]float64{nil, {1}, {1, math.NaN()}, {1, math.Inf(1)}} {
		if _, err := IndividualsChart(bad, 0.05); err == nil {
			t.Errorf("no error for %v", bad)
		}
	}
	for n, want := range map[int]int{SettledChart - 1: 1, SettledChart: 0} { // 20: common practice, no source
		c, err := IndividualsChart(normalSample(rand.New(rand.NewPCG(2, 2)), n, 0, 1), 0.01)
		if err != nil || len(c.Warnings) != want || want == 1 && c.Warnings[0] != (Warning{Kind: FewForLimits, N: 19}) {
			t.Errorf("%d values: %v, %v", n, c.Warnings, err)
		}
	}
	for _, rate := range []float64{0, 1, math.NaN()} {
		if _, err := IndividualsChart([]float64{1, 2, 3}, rate); err == nil {
			t.Errorf("no error for a rate of %v", rate)
		}
	}
	c, err := IndividualsChart([]float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1}, 0.05)
	if err != nil || len(c.Signals) > 0 || c.Upper != 0.1 || c.Lower != 0.1 || len(c.Warnings) != 2 {
		t.Errorf("equal values: %+v, %v", c, err)
	}
}

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
			"d2": f.RangeMean, "d3": f.RangeSD, "c4": sdMean(float64(n - 1)), "D4": f.D4,
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
	mean, sd := rangeMoments(2, rangePoints)
	// Quadrature of a smooth function with 96 points: only rounding is left.
	if math.Abs(mean-2/math.Sqrt(math.Pi)) > 1e-12 || math.Abs(sd-math.Sqrt(2-4/math.Pi)) > 1e-12 {
		t.Errorf("d2 %v, d3 %v", mean, sd)
	}
}

func TestRangeMomentsHaveEnoughPoints(t *testing.T) {
	for _, n := range []int{2, 5, MaxSubgroup} {
		m1, s1 := rangeMoments(n, rangePoints)
		m2, s2 := rangeMoments(n, 2*rangePoints)
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
