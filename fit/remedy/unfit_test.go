package remedy

import (
	"errors"
	"testing"

	"neckfit/fit"
)

// A kit whose readings cannot be fitted has no model, and is answered all the same: leave it.
func TestAKitWithoutAModelIsLeft(t *testing.T) {
	r := &fit.Result{Kit: "K", Verdict: fit.NotMeasured, Warnings: []fit.Warning{{Kind: fit.NoFit, Err: errors.New("does not converge")}}}
	for _, v := range []fit.Verdict{fit.NotMeasured, fit.Implausible, fit.Unsure, fit.Fail} {
		r.Verdict = v
		a := For(r, Options{})
		if len(a.Plans) != 1 || len(a.Plans[0].Actions) != 0 || a.Plans[0].Next != -1 {
			t.Errorf("%s: %+v", v, a)
		}
		if s, why := Drill(r, &a.Plans[0], Options{}); s != nil || why != DrillsNothing {
			t.Errorf("%s: schedule %v, %v", v, s, why)
		}
	}
}
