package adjust

import "math"

// Uncertainty is the standard uncertainty of a derived quantity, in parts.
type Uncertainty struct {
	Std         float64   // all together
	Independent float64   // from what is each row's alone, scaled
	Common      []float64 // signed, from each cause: gradient . J . shift coefficients . cause's sd
}

// Uncertainty propagates the rows' and the causes' variances to the quantity with gradient g,
// first order: Scale^2 g (A^T W A)^+ g for what is each row's alone, and sd . g . J . c for each
// common cause, where J is the least-squares left inverse and c the cause's shifts. Causes are
// not scaled: what is common to all rows shows in no residual. Ask Estimable first: of a
// quantity that the rows do not determine this is the uncertainty of the part they do.
func (s *Solution) Uncertainty(g []float64) Uncertainty {
	var u Uncertainty
	s.UncertaintyInto(g, &u)
	return u
}

// UncertaintyInto is Uncertainty written to u, in the room that u.Common has.
func (s *Solution) UncertaintyInto(g []float64, u *Uncertainty) {
	var room [roomy]float64
	u.begin(len(s.causes))
	sum := 0.0
	for c, v := range s.inward(g, room[:]) {
		sum += s.addColumn(c, v, u)
	}
	u.Independent = s.Scale * math.Sqrt(sum)
	u.total()
}

// begin makes room for the causes' parts.
func (u *Uncertainty) begin(causes int) {
	if cap(u.Common) < causes {
		u.Common = make([]float64, causes)
	}
	u.Common = u.Common[:causes]
	clear(u.Common)
}

// addColumn adds what a slope of v along orthonormal column c has of the causes and returns its square.
func (s *Solution) addColumn(c int, v float64, u *Uncertainty) float64 {
	if v != 0 {
		addTo(u.Common, v, s.common.row(c))
	}
	return v * v
}

// FromCommon is what the common causes bring, all together.
func (u *Uncertainty) FromCommon() float64 { return math.Sqrt(dot(u.Common, u.Common)) }

func (u *Uncertainty) total() {
	u.Std = math.Sqrt(u.Independent*u.Independent + dot(u.Common, u.Common))
}

// inward takes a gradient to the orthonormal columns, in the room given if they fit.
func (s *Solution) inward(g, room []float64) []float64 {
	s.mustFit(g)
	y := scratch(room, s.common.rows)
	for u, v := range g {
		if v != 0 {
			s.addInward(u, v, y)
		}
	}
	return y
}

// addInward adds slope v by unknown u.
func (s *Solution) addInward(u int, v float64, y []float64) {
	pt := &s.parts[s.unknownPart[u]]
	t := pt.t.row(s.unknownPlace[u])
	addTo(y[pt.first:pt.first+len(t)], v, t)
}
