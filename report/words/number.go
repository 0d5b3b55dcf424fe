package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"neckfit/fit"
)

// Coverage is the factor k from the standard to the expanded uncertainty for a coverage of 95 % of
// a normal distribution (JCGM 100:2008, table G.1).
const Coverage = fit.Coverage

// finest is the number of decimals that people are shown at most: no gauge of this trade shows a
// tenth of a micrometre.
const finest = 4

// Longest is where fixed-point numbers would grow too wide for a table.
const Longest = 1e7

// Rounded gives the expanded uncertainty to two significant digits and the value to match.
func Rounded(value, standard float64) (v, u string) {
	expanded := Coverage * standard
	if math.Abs(value) >= Longest || expanded >= Longest {
		return strconv.FormatFloat(value, 'e', 2, 64), strconv.FormatFloat(expanded, 'e', 1, 64)
	}
	places := decimals(expanded)
	if expanded < math.Pow10(-finest) {
		u = "<" + strconv.FormatFloat(math.Pow10(-finest), 'f', finest, 64)
	} else {
		u = Fixed(expanded, places)
	}
	return Fixed(value, places), u
}

// decimals is the number of decimals that leaves x two significant digits, negative for hundreds
// and more.
func decimals(x float64) int {
	if x <= 0 {
		return finest
	}
	text := strconv.FormatFloat(x, 'e', 1, 64) // rounds 0.0996 to 1.0e-01
	exponent, err := strconv.Atoi(text[strings.IndexByte(text, 'e')+1:])
	if err != nil {
		panic("report: exponent of " + text)
	}
	return min(1-exponent, finest)
}

// Fixed rounds to a number of decimals, negative for tens and more; nothing is ever -0.
func Fixed(x float64, places int) string {
	if places < 0 {
		step := math.Pow10(-places)
		x, places = math.Round(x/step)*step, 0
	}
	text := strconv.FormatFloat(x, 'f', places, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// Value is a value with its expanded uncertainty and unit.
func Value(c *fit.Characteristic) string {
	v, u := Rounded(c.Value, c.StdUncertainty)
	return v + " ± " + u + " " + Unit(c)
}

// Limit writes one limit for people: as it was set, to a tenth of a micrometre.
func Limit(x float64) string {
	if math.Abs(x) >= Longest {
		return strconv.FormatFloat(x, 'e', 2, 64)
	}
	scale := math.Pow10(finest)
	text := strconv.FormatFloat(math.Round(x*scale)/scale, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

// Limits writes what lies inside.
func Limits(c *fit.Characteristic) string {
	low, high := !math.IsInf(c.Lower, -1), !math.IsInf(c.Upper, 1)
	switch {
	case low && high:
		return Limit(c.Lower) + " to " + Limit(c.Upper)
	case low:
		return "at least " + Limit(c.Lower)
	case high:
		return "at most " + Limit(c.Upper)
	}
	return "none"
}

// leastOdds is what one decimal of a percentage can still show.
const leastOdds = 0.001

// Percent writes a probability, which is never quite nought or one.
func Percent(p float64) string {
	switch {
	case p < leastOdds:
		return "<0.1 %"
	case p > 1-leastOdds:
		return ">99.9 %"
	}
	return strconv.FormatFloat(100*p, 'f', 1, 64) + " %"
}

// Length writes a length to 0.01 mm, what a calliper shows.
func Length(mm float64) string {
	if mm <= -Longest || mm >= Longest {
		return Limit(mm)
	}
	return Fixed(mm, 2)
}

// Sideways writes a length across the neck to 0.1 mm with its direction: "1.2 mm toward treble".
func Sideways(mm float64) string {
	text := Limit(math.Abs(mm))
	if math.Abs(mm) < Longest {
		text = Fixed(math.Abs(mm), 1)
	}
	switch {
	case text == "0.0":
		return "0.0 mm"
	case mm < 0:
		return text + " mm toward bass"
	}
	return text + " mm toward treble"
}

// Spread writes a spread to three significant digits, at most to a tenth of a micrometre.
func Spread(x float64) string {
	places := 3
	if x > 0 {
		places = min(finest, max(0, 2-int(math.Floor(math.Log10(x)))))
	}
	return Fixed(x, places) + " mm"
}

// WholePercent writes a share as a whole percentage.
func WholePercent(x float64) string { return Fixed(100*x, 0) + " %" }

// Small writes a length or an angle to a thousandth, large ones to a hundredth.
func Small(x float64) string {
	if math.Abs(x) >= 100 {
		return Fixed(x, 2)
	}
	return Fixed(x, 3)
}

// short writes a percentage without its sign to two significant digits or so.
func short(x float64) string { return strconv.FormatFloat(x, 'g', 2, 64) }

// ShortPercent writes a share as a percentage of two significant digits.
func ShortPercent(x float64) string { return short(100*x) + " %" }

// yieldPercent shows nought and all only where they are exact.
func yieldPercent(x float64) string {
	text := WholePercent(x)
	if text == "0 %" && x > 0 || text == "100 %" && x < 1 {
		return Percent(x)
	}
	return text
}

// Known writes a number that may be missing.
func Known(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "-"
	}
	return Fixed(x, 2)
}

// Size writes a diameter; nought is none.
func Size(x float64) string {
	if x == 0 {
		return "-"
	}
	return Fixed(x, 2)
}

// Amount is a number with its noun.
func Amount(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Duration writes minutes for people.
func Duration(minutes float64) string {
	m := int(math.Round(minutes))
	if m < 60 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}

// Hundredths writes a residual with its sign in Hundredths of a millimetre.
func Hundredths(mm float64) string {
	const perMM, longest = 100, 1e7
	if math.Abs(mm) > longest {
		return Limit(mm * perMM)
	}
	text := strconv.FormatFloat(math.Round(mm*perMM), 'f', 0, 64)
	switch {
	case text == "-0" || text == "0":
		return "0"
	case mm > 0:
		return "+" + text
	}
	return "−" + text[1:]
}
