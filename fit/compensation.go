package fit

import (
	"math"

	"neckfit/measure"
)

// builtInCompensation is the preset rule of set-up sheets, each saddle behind the one before it
// by the string's own gauge (common practice, no source; .045 to .105 in for a bass, .010 to .046
// in for a guitar, where the fourth string stands level with the second). By number of strings, mm.
var builtInCompensation = map[int]measure.Strings{
	4: {1: 0, 2: 1.65, 3: 3.68, 4: 6.35},
	5: {1: 0, 2: 1.65, 3: 3.68, 4: 6.35, 5: 9.7},
	6: {1: 0, 2: 0.33, 3: 0.76, 4: 0.33, 5: 1.24, 6: 2.4},
}

// compensation is what is added to the scale length for a string, in mm: as strings.csv gives it,
// or worked out from the string that it describes, or the built-in rule.
func (a *assembly) compensation(mark int, scale float64) float64 {
	action, _ := a.action()
	return a.options.compensation(a.Strings, mark, scale, action)
}

func (o Options) compensation(strings, mark int, scale, action float64) float64 {
	if c, ok := o.Compensation[mark]; ok {
		return c
	}
	if s, ok := o.Specs[mark]; ok && scale > 0 {
		return Compensation(s, scale, action)
	}
	return builtInCompensation[strings][mark]
}

// compensated tells whether anything says what each string's compensation is.
func (a *assembly) compensated() bool {
	for m := 1; m <= a.Strings; m++ {
		_, given := a.options.Compensation[m]
		_, described := a.options.Specs[m]
		if !given && !described && builtInCompensation[a.Strings] == nil {
			return false
		}
	}
	return true
}

// steelModulus is Young's modulus of a string's steel core, N/mm^2: about 200 to 210 thousand in
// tables of materials (from memory).
const steelModulus = 200e3

// Tension is that of a string of unit weight mu over a length, N: T = mu (2 L f)^2 (the string
// equation; OpenStax, University Physics 1, section 16.3).
func Tension(s measure.StringSpec, scale float64) float64 {
	const grams, millimetres = 1e-3, 1e-3
	v := 2 * scale * millimetres * s.Pitch
	return s.UnitWeight * grams * v * v
}

// Compensation is how much longer than the scale a string must be to sound its octave at fret 12,
// in mm. Scale and action (string over fret 12) in mm. Pressing the string down stretches it by
// 2 action^2/L; the tension rises by e = E A 2 action^2/(T L^2) of itself; and sqrt(1+e) (L+c) =
// L + 2c wants c = L (r-1)/(2-r) with r = sqrt(1+e), E A action^2/(T L) to first order. The core
// alone carries (A = pi d^2/4), nothing yields, and the string's stiffness is left out: it adds some
// tenths of a millimetre on the thickest strings.
func Compensation(s measure.StringSpec, scale, action float64) float64 {
	area := math.Pi / 4 * s.Core * s.Core
	e := steelModulus * area * 2 * action * action / (Tension(s, scale) * scale * scale)
	// r - 1 without cancellation.
	rise := e / (math.Sqrt(1+e) + 1)
	return scale * rise / (1 - rise)
}
