package delivery

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"neckfit/fit"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
)

// Five of forty kits by hand: those that the seed draws have the values of MIL-STD-414's example B-1, which is
// accepted below 209 and, by the same sums, not below 208: (208 - 195)/8.803 = 1.477, less than k = 1.53. A drawn
// kit without a value leaves it undecided, whatever the others are.
func TestByVariables(t *testing.T) {
	drawn, err := sampling.Draw(40, 5, 7)
	if err != nil {
		t.Fatal(err)
	}
	example := []float64{197, 188, 184, 205, 201}
	judge := func(upper float64, blank bool) *Variables {
		d := &Delivery{}
		for i := range 40 {
			k := kit(fmt.Sprintf("K%02d", i), "L", fit.Pass, 190)
			at := slices.Index(drawn, i)
			if at >= 0 {
				k.Found[0].Value = example[at]
			}
			k.Found[0].Lower, k.Found[0].Upper = math.Inf(-1), upper
			if blank && at == 2 {
				k.Verdict, k.Found = fit.Incomplete, nil
			}
			if err := d.Add(k); err != nil {
				t.Fatal(err)
			}
		}
		o := critical(1.0)
		o.Seed, o.Variables = 7, "centre-line-error"
		return judge1(t, d, o).Variables
	}
	v := judge(209, false)
	if v.Outcome != sampling.Accepted || v.Mean != 195 || math.Abs(v.SD-8.803) > 0.0005 || v.Below != 0 || math.Abs(v.Above-0.0219) > 0.0001 || len(v.Drawn) != 5 || v.Drawn[0] != fmt.Sprintf("K%02d", drawn[0]) {
		t.Errorf("%+v", v)
	}
	if v := judge(208, false); v.Outcome != sampling.Rejected {
		t.Errorf("%+v", v)
	}
	if v := judge(209, true); v.Outcome != sampling.Undecided || !slices.Equal(v.Blank, []string{fmt.Sprintf("K%02d", drawn[2])}) {
		t.Errorf("%+v", v)
	}
}

func TestByVariablesEdges(t *testing.T) {
	d := lotOf(t, 4, 0, 0)
	o := critical(1.0)
	o.Variables = "pitch"
	if v := judge1(t, d, o).Variables; v.Process != nil || v.Outcome != sampling.Undecided {
		t.Errorf("not measured: %+v", v)
	}
	o.Variables = "centre-line-error"
	if v := judge1(t, d, o).Variables; v.Outcome != sampling.Accepted || v.Plan.Sample != 4 || len(v.Drawn) != 4 { // all at 0, within limits
		t.Errorf("all equal: %+v", v)
	}
	o.AQL = [measure.Minor + 1]float64{measure.Major: 1}
	if _, err := d.Judge(o); err == nil {
		t.Error("a class without AQL")
	}
	o = critical(1.0)
	o.Variables, o.Level = "centre-line-error", sampling.LevelS1
	if _, err := d.Judge(o); err == nil {
		t.Error("a level that the tables do not have")
	}
	k := kit("open", "M", fit.Pass, 0)
	k.Found[0].Lower, k.Found[0].Upper = math.Inf(-1), math.Inf(1)
	d = &Delivery{}
	if err := d.Add(k); err != nil {
		t.Fatal(err)
	}
	o.Level = sampling.LevelII
	if _, err := d.Judge(o); err == nil {
		t.Error("no limits")
	}
}
