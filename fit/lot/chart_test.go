package lot

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
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
	c, err := IndividualsChart(ref.Data)
	if err != nil {
		t.Fatal(err)
	}
	p := ref.Published
	checkPrinted(t, "mean", c.Centre, p.Mean)
	checkPrinted(t, "mean range", c.MeanRange, p.MRBar)
	checkPrinted(t, "d2", c.MeanRange/c.Sigma, p.Factor)
	rounding := c.MeanRange / c.Sigma / number(t, p.Factor)
	checkPrinted(t, "upper limit", c.Centre+(c.Upper-c.Centre)*rounding, p.UCL)
	checkPrinted(t, "lower limit", c.Centre+(c.Lower-c.Centre)*rounding, p.LCL)
	if !c.InControl() { // the handbook's own verdict on these values
		t.Errorf("signals %v", c.Signals)
	}
}

// The rules' words in the e-Handbook 6.3.2, turned into the shortest patterns that break them and
// the longest that do not.
func TestRunRules(t *testing.T) {
	for _, c := range []struct {
		name   string
		values []float64
		want   []Signal
	}{
		{"at three", []float64{3, -3}, nil},
		{"beyond three", []float64{0, 3.1}, []Signal{{BeyondThree, []int{1}}}},
		{"two of three", []float64{2.1, 0, 2.2}, []Signal{{TwoOfThree, []int{0, 2}}}},
		{"two of four", []float64{2.1, 0, 0, 2.2}, nil},
		{"two on two sides", []float64{2.1, 0, -2.2}, nil},
		{"four of five", []float64{1.1, 1.2, 0, 1.3, 1.4}, []Signal{{FourOfFive, []int{0, 1, 3, 4}}}},
		{"four of six", []float64{1.1, 1.2, 0, 0, 1.3, 1.4}, nil},
		{"eight", []float64{.1, .2, .1, .2, .1, .2, .1, .2}, []Signal{{EightOnOneSide, []int{0, 1, 2, 3, 4, 5, 6, 7}}}},
		{"seven", []float64{.1, .2, .1, .2, .1, .2, .1, -.2}, nil},
		{"on the centre", []float64{.1, .2, .1, 0, .1, .2, .1, .2}, nil},
	} {
		for _, side := range []float64{1, -1} {
			values := make([]float64, len(c.values))
			for i, v := range c.values {
				values[i] = 10 + side*2*v // centre and sigma move and scale with the values
			}
			if diff := cmp.Diff(c.want, RunRules(values, 10, 2)); diff != "" {
				t.Errorf("%s, side %v: %s", c.name, side, diff)
			}
		}
	}
}

func TestRangeSignal(t *testing.T) {
	values := []float64{0, 1, 0, 1, 0, 1, 0, 1, 9, 10, 9, 10, 9, 10, 9, 10}
	c, err := IndividualsChart(values)
	if err != nil {
		t.Fatal(err)
	}
	var steps [][]int
	for _, s := range c.Signals {
		if s.Rule == RangeBeyondTop {
			steps = append(steps, s.Points)
		}
	}
	if diff := cmp.Diff([][]int{{7, 8}}, steps); diff != "" {
		t.Error(diff)
	}
}

// With known centre and sigma a point lies beyond 3 sigma with probability 0.0027 (normal
// distribution, both sides).
func TestFalseAlarmRate(t *testing.T) {
	const n = 400000
	alarms := 0
	for _, s := range RunRules(normalSample(rand.New(rand.NewPCG(1, 8)), n, 5, 0.2), 5, 0.2) {
		if s.Rule == BeyondThree {
			alarms++
		}
	}
	want := 2 * normalCDF(-3) * n
	if math.Abs(float64(alarms)-want) > 4*math.Sqrt(want) { // four standard deviations of a count
		t.Errorf("%d alarms, want about %v", alarms, want)
	}
}

func TestChartMovesAndScales(t *testing.T) {
	values := normalSample(rand.New(rand.NewPCG(3, 3)), 40, 0, 1)
	values[30] += 6
	moved := make([]float64, len(values))
	for i, v := range values {
		moved[i] = 100 - 0.1*v
	}
	a, errA := IndividualsChart(values)
	b, errB := IndividualsChart(moved)
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
		if _, err := IndividualsChart(bad); err == nil {
			t.Errorf("no error for %v", bad)
		}
	}
	c, err := IndividualsChart([]float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1})
	if err != nil || !c.InControl() || c.Upper != 0.1 || c.Lower != 0.1 || len(c.Warnings) != 2 {
		t.Errorf("equal values: %+v, %v", c, err)
	}
}
