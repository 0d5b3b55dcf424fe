package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// enoughDOF are the degrees of freedom from which on Student's distribution is worked out in closed form: its factor is
// right to 0.0010 there and to 0.0001 from 6 on, its tails to a thousandth of themselves.
const enoughDOF = 4.0

// studentFactor is Student's two-sided factor of Confidence: from enoughDOF on the expansion about the normal one
// in powers of 1/dof (Abramowitz and Stegun, 26.7.5, from memory).
func studentFactor(dof float64) float64 {
	if dof < enoughDOF {
		return distuv.StudentsT{Sigma: 1, Nu: dof}.Quantile((1 + Confidence) / 2)
	}
	return normalFactor + (expansion[0]+(expansion[1]+(expansion[2]+expansion[3]/dof)/dof)/dof)/dof
}

var (
	normalFactor = distuv.UnitNormal.Quantile((1 + Confidence) / 2)
	expansion    = func(z float64) [4]float64 {
		s := z * z
		return [4]float64{
			z * (s + 1) / 4, z * ((5*s+16)*s + 3) / 96, z * (((3*s+19)*s+17)*s - 15) / 384,
			z * ((((79*s+776)*s+1482)*s-1920)*s - 945) / 92160,
		}
	}(normalFactor)
)

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
