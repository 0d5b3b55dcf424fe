package remedy

import (
	"fmt"
	"os"
	"testing"
	"time"

	"neckfit/fit"
	"neckfit/measure"
)

func TestTry(t *testing.T) {
	b, err := measure.Open("../../testdata/demo", measure.Options{Characteristics: fit.Characteristics()})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	var took time.Duration
	err = b.Each(func(kit *measure.Kit) error {
		r := fit.Check(kit, fit.Options{Model: true, Limits: b.Limits, Compensation: b.Compensation()})
		s := time.Now()
		a := For(r, Options{})
		took += time.Since(s)
		fmt.Fprintf(os.Stderr, "\n%s %s\n", kit.Name, r.Verdict)
		for _, c := range r.Characteristics {
			if c.Verdict == fit.Fail || c.Verdict == fit.Unsure {
				fmt.Fprintf(os.Stderr, "     %s %s %.2f (%.2f) %.3f..%.3f P %.3f\n", c.Name, c.Verdict, c.Value, c.StdUncertainty, c.Lower, c.Upper, c.P)
			}
		}
		for _, p := range a.Plans[:min(4, len(a.Plans))] {
			fmt.Fprintf(os.Stderr, "  P %.3f cur %.3f %s %.0f min: %s", p.P, p.Curable, p.Level, p.Minutes, p.Brief())
			if p.Swing != nil {
				fmt.Fprintf(os.Stderr, " swing %.2f %.2f", p.Swing.Low, p.Swing.High)
			}
			fmt.Fprintln(os.Stderr)
		}
		fmt.Fprintln(os.Stderr, "  why:", a.Why, a.Cannot, a.Untried)
		return nil
	})
	fmt.Fprintln(os.Stderr, took, err)
}
