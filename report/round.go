package report

import (
	"math"
	"strconv"
	"strings"

	"neckfit/fit"
)

// coverage is the factor k from the standard to the expanded uncertainty for a coverage of 95 % of
// a normal distribution (JCGM 100:2008, table G.1).
const coverage = fit.Coverage

// finest is the number of decimals that people are shown at most: no gauge of this trade shows a
// tenth of a micrometre.
const finest = 4

// longest is where fixed-point numbers would grow too wide for a table.
const longest = 1e7

// rounded gives the expanded uncertainty to two significant digits and the value to match.
func rounded(value, standard float64) (v, u string) {
	expanded := coverage * standard
	if math.Abs(value) >= longest || expanded >= longest {
		return strconv.FormatFloat(value, 'e', 2, 64), strconv.FormatFloat(expanded, 'e', 1, 64)
	}
	places := decimals(expanded)
	if expanded < math.Pow10(-finest) {
		u = "<" + strconv.FormatFloat(math.Pow10(-finest), 'f', finest, 64)
	} else {
		u = fixed(expanded, places)
	}
	return fixed(value, places), u
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

// fixed rounds to a number of decimals, negative for tens and more; nothing is ever -0.
func fixed(x float64, places int) string {
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

// valueWords is a value with its expanded uncertainty and unit.
func valueWords(c *fit.Characteristic) string {
	v, u := rounded(c.Value, c.StdUncertainty)
	return v + " ± " + u + " " + unitWord(c)
}

// limit writes one limit for people: as it was set, to a tenth of a micrometre.
func limit(x float64) string {
	if math.Abs(x) >= longest {
		return strconv.FormatFloat(x, 'e', 2, 64)
	}
	scale := math.Pow10(finest)
	text := strconv.FormatFloat(math.Round(x*scale)/scale, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

// limits writes what lies inside.
func limits(c *fit.Characteristic) string {
	low, high := !math.IsInf(c.Lower, -1), !math.IsInf(c.Upper, 1)
	switch {
	case low && high:
		return limit(c.Lower) + " to " + limit(c.Upper)
	case low:
		return "at least " + limit(c.Lower)
	case high:
		return "at most " + limit(c.Upper)
	}
	return "none"
}

// percent writes a probability, which is never quite nought or one.
func percent(p float64) string {
	const least = 0.001 // what one decimal of a percentage can still show
	switch {
	case p < least:
		return "<0.1 %"
	case p > 1-least:
		return ">99.9 %"
	}
	return strconv.FormatFloat(100*p, 'f', 1, 64) + " %"
}
