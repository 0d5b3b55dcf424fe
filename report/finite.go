package report

import (
	"fmt"
	"math"

	"neckfit/fit"
	"neckfit/report/words"
)

// Check refuses a result with a number that no report can show. Such a result is a programmer's
// mistake, but a batch of other kits should not die of it in a panic.
func Check(r *fit.Result) error {
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if math.IsNaN(c.Lower) || math.IsNaN(c.Upper) {
			return fmt.Errorf("kit %q: a limit of %s is not a number", r.Kit, c.ID)
		}
		if words.Measured(c) && !finite(c.Value, c.StdUncertainty, c.P) {
			return fmt.Errorf("kit %q: value, uncertainty or probability of %s is not finite", r.Kit, c.ID)
		}
	}
	for i := range r.Suspects {
		if s := &r.Suspects[i]; !finite(s.W, s.Critical, s.Read, s.Expected) {
			return fmt.Errorf("kit %q: a number of the suspect on line %d is not finite", r.Kit, s.Place.Line)
		}
	}
	if r.Swing != nil && !finite(r.Swing.Low, r.Swing.High) {
		return fmt.Errorf("kit %q: the swing is not finite", r.Kit)
	}
	if !finite(r.ChiSquare, r.Scale) {
		return fmt.Errorf("kit %q: chi-square or scale is not finite", r.Kit)
	}
	return nil
}

func finite(numbers ...float64) bool {
	sum := 0.0
	for _, x := range numbers {
		sum += x - x // not a number for what is not one, and for an infinity
	}
	return sum == 0
}
