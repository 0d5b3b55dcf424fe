package fit

import "neckfit/fit/autodiff"

// finding is what the assembly says of one characteristic: a autodiff.Variable, or a number whose
// uncertainty does not come through a gradient, or the readings that are missing.
type finding struct {
	value   autodiff.Variable
	direct  *direct
	missing Missing
	basis   Basis
	bound   *bound // limits that the kit itself sets, such as a screw's clearance
}

// direct is a number of the residuals, with its standard uncertainty.
type direct struct{ value, std float64 }

// bound is a pair of limits with where they come from.
type bound struct {
	lower, upper float64
	source       LimitSource
}

func missing(m Missing) finding                        { return finding{missing: m} }
func found(q autodiff.Variable) finding                { return finding{value: q} }
func foundOn(q autodiff.Variable, basis Basis) finding { return finding{value: q, basis: basis} }
