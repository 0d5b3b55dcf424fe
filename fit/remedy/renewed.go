package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// renewed is what becomes of a row that is made anew: value, standard uncertainty and the
// probability that it lies inside. Of holes, the value is the distance that all of them keep to in
// half of the cases, and the uncertainty half of what lies between a sixth and five sixths. Of a
// floor, it is half of the worst that is left.
func (k *kit) renewed(r *row, d *draft) (value, std, p float64) {
	if r.sort == floorFlat {
		left := k.costs[measure.LevelFloor].Worst
		value, std = left/2, left/2/worst
		return value, std, fit.Conformance(value, std, r.lower, r.upper)
	}
	n, each := k.bored(r.sort)
	const sixth = 0.1587 // normal probability below one standard deviation under the mean
	value = drilledQuantile(n, each, 0.5)
	std = (drilledQuantile(n, each, 1-sixth) - drilledQuantile(n, each, sixth)) / 2
	return value, std, drilled(n, each, d.upper(r))
}

// drilled is how likely n holes, each off by a normal error of the same standard deviation along
// and across, all lie within a distance: a length of two such errors has the Rayleigh distribution.
func drilled(n int, std, within float64) float64 {
	if std == 0 {
		return 1
	}
	one := 1 - math.Exp(-within*within/(2*std*std))
	return math.Pow(one, float64(n))
}

// drilledQuantile is the distance that all n holes keep to with a probability.
func drilledQuantile(n int, std, p float64) float64 {
	return std * math.Sqrt(-2*math.Log1p(-math.Pow(p, 1/float64(n))))
}

// bored is how many new holes a sort has and how exactly they are drilled.
func (k *kit) bored(s sort) (n int, std float64) {
	switch s {
	case neckHoles:
		return max(1, len(k.neck.pairs), k.count(measure.HeelScrew)), k.std(measure.PlugNeck)
	case bridgeHoles:
		return max(1, len(k.bridge.pairs)), k.std(measure.PlugBridge)
	case stringRow:
		return max(1, k.count(measure.StringHole)), k.std(measure.PlugStrings)
	case linear, corners, floorFlat:
	}
	panic("remedy: nothing is drilled there")
}
