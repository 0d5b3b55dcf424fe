package report

import (
	"errors"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// unfit is the answer to a kit whose readings cannot be fitted: it has no model.
func unfit() *fit.Result {
	r := fit.Check(&measure.Kit{Name: "U"}, fit.Options{})
	r.Warnings = []fit.Warning{{Kind: fit.NoFit, Err: errors.New("does not converge")}}
	for i := range r.Characteristics {
		r.Characteristics[i].Missing = fit.Missing{Want: fit.WantSettled}
	}
	return r
}

// A kit that cannot be fitted is an answer like any other in every format, and the kits after it get theirs.
func TestUnfitKitsAreAnswered(t *testing.T) {
	for _, v := range []fit.Verdict{fit.NotMeasured, fit.Fail} {
		r := unfit()
		r.Verdict = v
		for _, format := range Formats() {
			var out strings.Builder
			w, err := NewRemedy(format, &out, 3, Options{})
			if err != nil {
				t.Fatal(err)
			}
			for range 2 {
				if err := w.Kit(r, remedy.For(r, remedy.Options{})); err != nil {
					t.Fatalf("%s: %v", format, err)
				}
			}
			if err := w.Close(); err != nil || format != "csv" && strings.Count(out.String(), "U") < 2 { // a row of csv is a work
				t.Errorf("%s: %v\n%s", format, err, out.String())
			}
		}
		line, err := JSONLWithRemedies(remedy.Options{}, nil).Append(nil, r)
		if err != nil || !strings.Contains(string(line), `"kit":"U"`) {
			t.Errorf("%v: %s", err, line)
		}
		for _, format := range Formats() {
			if text, err := written(format, Options{}, r, r); err != nil || !strings.Contains(text, "U") {
				t.Errorf("%s: %v\n%s", format, err, text)
			}
		}
	}
}
