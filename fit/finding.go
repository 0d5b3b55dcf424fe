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

	elements []autodiff.Variable // what the value is taken from, for a model: nil for the value itself
	marks    []int               // of each element: its string or hole
	taken    Taken               // how
}

// from notes what a value is taken from, where a model is to be made.
func (f finding) from(a *assembly, taken Taken, elements []autodiff.Variable, marks []int) finding {
	if a.nudges != nil {
		f.taken, f.elements, f.marks = taken, append([]autodiff.Variable(nil), elements...), append([]int(nil), marks...)
	}
	return f
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
