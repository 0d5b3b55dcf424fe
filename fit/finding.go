package fit

import "neckfit/fit/autodiff"

// finding is what the assembly says of one characteristic: a quantity, or a number whose
// uncertainty does not come through a gradient, or the readings that are missing.
type finding struct {
	value   autodiff.Variable
	direct  *direct
	missing string
	basis   string
	bound   *bound // limits that the kit itself sets, such as a screw's clearance
}

// direct is a number of the residuals, with its standard uncertainty.
type direct struct{ value, std float64 }

// bound is a pair of limits with where they come from.
type bound struct {
	lower, upper float64
	source       string
}

func missing(what string) finding                       { return finding{missing: what} }
func found(q autodiff.Variable) finding                 { return finding{value: q} }
func foundOn(q autodiff.Variable, basis string) finding { return finding{value: q, basis: basis} }
