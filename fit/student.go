package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// studentQuantile is Student's quantile of the probability that the normal distribution has below z, 1 or more: where
// there are z^2 degrees of freedom or more by the expansion in powers of 1/dof (Abramowitz and Stegun, 26.7.5, from memory), which
// is right to a thousandth there and soon to far more.
func studentQuantile(z, dof float64) float64 {
	s := z * z
	if dof < s {
		return distuv.StudentsT{Sigma: 1, Nu: dof}.Quantile(1 - tail(z))
	}
	first, second := (s+1)/4, ((5*s+16)*s+3)/96
	third, fourth := (((3*s+19)*s+17)*s-15)/384, ((((79*s+776)*s+1482)*s-1920)*s-945)/92160
	r := 1 / dof
	return z * (1 + r*(first+r*(second+r*(third+r*fourth))))
}

// normalFactor is the normal distribution's two-sided factor of Confidence.
var normalFactor = distuv.UnitNormal.Quantile((1 + Confidence) / 2)

// enoughDOF are the degrees of freedom from which on Student's tails in closed form are right to a thousandth of themselves.
const enoughDOF = 4.0

// studentTail is the probability of Student's distribution beyond t: from enoughDOF on the normal one beyond what Hill
// makes of t (Algorithm 395, Communications of the ACM 13, 1970, from memory).
func studentTail(t, dof float64) float64 {
	if dof < enoughDOF {
		return distuv.StudentsT{Sigma: 1, Nu: dof}.CDF(-t)
	}
	a := dof - 0.5
	b := 48 * a * a
	y := a * math.Log1p(t*t/dof)
	z := (((((-0.4*y-3.3)*y-24)*y-85.5)/(0.8*y*y+100+b)+y+3)/b + 1) * math.Sqrt(y)
	return tail(math.Copysign(z, t))
}
