package csvtext

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// Limits on what a number can be. No instrument comes near them; what does is a slip.
const (
	maxLength  = 10000 // mm, both ways
	maxAngle   = 360   // degrees, both ways
	maxDigits  = 40    // characters of a number
	maxDivisor = 1024  // of an inch: finer fractions are not read from any rule
)

// Unit is the unit that a row states.
type Unit uint8

// The units. The zero Unit is none.
const (
	NoUnit Unit = iota
	Millimetres
	Inches
	Degrees
)

var unitNames = []string{"", "mm", "in", "deg"}

// String writes the unit as the tables do.
func (u Unit) String() string { return unitNames[u] }

// ParseUnit reads a unit cell; blank is millimetres.
func ParseUnit(text string) (Unit, bool) {
	if text == "mm" {
		return Millimetres, true
	}
	switch strings.ToLower(text) {
	case "", "mm":
		return Millimetres, true
	case "in", "inch", `"`:
		return Inches, true
	case "deg":
		return Degrees, true
	}
	return 0, false
}

// Decimals is how one file writes its decimals. In a file cut by commas the sign is the point; in
// others it is whichever comes first, and mixing the two is refused: 1.234 could then be a thousand.
type Decimals struct {
	CommaAllowed bool
	sign         byte // 0 until a decimal sign was seen
	line         int  // where
}

// Parse reads one cell in the unit and gives millimetres or degrees. Plain decimals, nearly all that a
// table holds, are read at once; whatever else a person may have written is looked at one way after the
// other.
func (d *Decimals) Parse(text string, u Unit, line int) (float64, *Fault) {
	if x, sign, ok := plainDecimal(text); ok && d.agrees(sign, line) {
		return u.length(x)
	}
	expected := expectedNumber(u)
	if len(text) > maxDigits {
		return 0, &Fault{"is too long for a number", expected}
	}
	body, mark := strings.CutSuffix(text, `"`)
	if !mark {
		body, mark = strings.CutSuffix(text, "″") // the typographer's
	}
	if mark {
		body = strings.TrimSpace(body)
	}
	if mark && u != Inches {
		return 0, &Fault{"has an inch mark in a row whose unit is " + u.String(), expected + `, or "in" in column unit`}
	}
	x, f := d.other(body, u, line)
	if f != nil && dateLike().MatchString(body) {
		return 0, &Fault{"looks like a date", expected + "; a spreadsheet leaves the number alone in a column whose format is text"}
	}
	return x, f
}

// other reads a fraction, or a decimal that is not plain.
func (d *Decimals) other(text string, u Unit, line int) (float64, *Fault) {
	if strings.Contains(text, "/") && text[0] != '#' && strings.ContainsAny(text, "0123456789") {
		return parseFraction(text, u)
	}
	decimal, f := d.decimal(text, u, line)
	if f != nil {
		return 0, f
	}
	x, _ := strconv.ParseFloat(decimal, 64) // it errs only by being infinite, which is out of range
	return u.length(x)
}

// powersOfTen are exact as floats.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// plainDecimal reads digits with at most one sign before them and one decimal sign among them, which
// it gives, or 0. With at most fifteen digits the digits and the power of ten are whole numbers that
// a float holds exactly, so that their one division is correctly rounded and the result the same as
// strconv's (Clinger, How to read floating point numbers accurately, PLDI 1990).
func plainDecimal(text string) (x float64, sign byte, ok bool) {
	unsigned := text
	if text != "" && (text[0] == '-' || text[0] == '+') {
		unsigned = text[1:]
	}
	digits, i, after := int64(0), 0, 0
	for ; i < len(unsigned) && unsigned[i]-'0' <= 9; i++ {
		digits = digits*10 + int64(unsigned[i]-'0')
	}
	count := i
	if i < len(unsigned) && (unsigned[i] == '.' || unsigned[i] == ',') {
		sign, after = unsigned[i], len(unsigned)-i-1
		count += after
		for i++; i < len(unsigned) && unsigned[i]-'0' <= 9; i++ {
			digits = digits*10 + int64(unsigned[i]-'0')
		}
	}
	if i < len(unsigned) || count == 0 || count >= len(powersOfTen) {
		return x, sign, false
	}
	x = float64(digits) / powersOfTen[after]
	if text[0] == '-' {
		x = -x
	}
	return x, sign, true
}

// agrees notes the file's first decimal sign, and is false for one that does not go with it.
func (d *Decimals) agrees(sign byte, line int) bool {
	switch {
	case sign == 0 || sign == '.' && !d.CommaAllowed:
		return true
	case !d.CommaAllowed:
		return false
	case d.sign == 0:
		d.sign, d.line = sign, line
	}
	return d.sign == sign
}

// length makes millimetres of a number in the unit, or leaves its degrees. The inch is 25.4 mm by
// definition; it is worked out as parseFraction does, so that 2.1875 and 2 3/16 are the same float.
func (u Unit) length(x float64) (float64, *Fault) {
	if u == Inches {
		x = x * 127 / 5
	}
	if u == Degrees && math.Abs(x) > maxAngle {
		return 0, &Fault{"is out of range", fmt.Sprintf("an angle of at most %d degrees", maxAngle)}
	}
	if u != Degrees && !(math.Abs(x) < maxLength) {
		return 0, &Fault{"is out of range", fmt.Sprintf("a length under %d mm", maxLength)}
	}
	return x + 0, nil // -0 becomes 0
}

// notNumber says why a text is no number, though it may look like one.
func notNumber(text, expected string) *Fault {
	switch {
	case strings.HasPrefix(text, "#"):
		return &Fault{"is what a spreadsheet writes for an error or a narrow column", expected}
	case strings.ContainsAny(text, "−–"):
		return &Fault{"has a printer's minus or dash", expected + ", with a plain - for minus"}
	case strings.ContainsAny(text, "½¼¾⅛⅜⅝⅞"):
		return &Fault{"has a fraction in one character", expected + "; write 1/2 and so on"}
	}
	return &Fault{"is not a number", expected}
}

func expectedNumber(u Unit) string {
	switch u {
	case Inches:
		return "a length in inches such as 2.1875 or 2 3/16"
	case Degrees:
		return "an angle in degrees such as 0.25"
	}
	return "a length in millimetres such as 55.6"
}

// decimal checks that text is a decimal number as people and spreadsheets write them and gives it
// with a decimal point. It lets through less than strconv does: no hex, underscore, NaN or Inf.
func (d *Decimals) decimal(text string, u Unit, line int) (string, *Fault) {
	expected := expectedNumber(u)
	mantissa, exponent := text, ""
	if i := strings.IndexAny(text, "eE"); i > 0 {
		mantissa, exponent = text[:i], text[i:]
	}
	// A number with three decimals looks like parted thousands: one point, or one comma in a file that has
	// decimal commas.
	mayBe := isDecimal(mantissa) && (!strings.Contains(mantissa, ",") || d.CommaAllowed && d.sign != '.')
	if !mayBe && thousands().MatchString(mantissa) {
		return "", &Fault{"has a thousands separator", expected + ", without one"}
	}
	if !isDecimal(mantissa) || !validExponent(exponent) {
		return "", notNumber(text, expected)
	}
	if strings.Contains(mantissa, ",") && !d.CommaAllowed {
		return "", &Fault{"has a decimal comma in a file whose cells are parted by commas", "a decimal point"}
	}
	if i := strings.IndexAny(mantissa, ".,"); i >= 0 && !d.agrees(mantissa[i], line) {
		return "", &Fault{
			What:     fmt.Sprintf("has the decimal sign %q where line %d has %q", mantissa[i:i+1], d.line, string(d.sign)),
			Expected: "one decimal sign in all the file",
		}
	}
	return strings.ReplaceAll(text, ",", "."), nil
}

// thousands is a number whose digits are parted in threes, by a comma, a point, an apostrophe or
// some space, and perhaps has decimals. It and the next take a millisecond to compile and are wanted
// only where something is wrong.
var thousands = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^[+-]?[1-9][0-9]{0,2}([.,'’\pZ][0-9]{3})+([.,][0-9]+)?$`)
})

// dateLike is what spreadsheets make of fractions and of numbers with a point: 12.03.2026,
// 2026-03-12, 3/16/2026, 16-Mar, Mar 16. Nothing that is a length is like that.
var dateLike = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(\d{1,2}(\.\d{1,2}\.|/\d{1,2}/|-\d{1,2}-)(\d{2}|\d{4})|\d{4}(\.\d{1,2}\.|/\d{1,2}/|-\d{1,2}-)\d{1,2}` +
		`|\d{1,2}[. -]{1,2}\p{L}{3,9}\.?([ -](\d{2}|\d{4}))?|\p{L}{3,9}[. -]{1,2}(\d{1,2}|\d{4}))$`)
})

// isDecimal tells whether text is digits with at most one sign before them and at most one decimal
// sign, of either sort, among them.
func isDecimal(text string) bool {
	if text != "" && (text[0] == '+' || text[0] == '-') {
		text = text[1:]
	}
	before, after := text, ""
	if i := strings.IndexAny(text, ".,"); i >= 0 {
		before, after = text[:i], text[i+1:]
	}
	return allDigits(before + after)
}

// validExponent wants e, perhaps a sign, and at most three digits.
func validExponent(text string) bool {
	if text == "" {
		return true
	}
	digits := strings.TrimPrefix(strings.TrimPrefix(text[1:], "-"), "+")
	return allDigits(digits) && len(digits) <= 3 && len(text)-1-len(digits) <= 1
}

func allDigits(text string) bool {
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return text != ""
}

// parseFraction reads 3/16, 2 3/16, 2-3/16 and their negatives; -2 3/16 is -(2 + 3/16).
// Everything before the one division is a whole number, so the result is correctly rounded.
func parseFraction(text string, u Unit) (float64, *Fault) {
	if u != Inches {
		return 0, &Fault{"is a fraction in a row whose unit is " + u.String(), expectedNumber(u) + `, or "in" in column unit`}
	}
	notOne := &Fault{"is not a fraction", expectedNumber(u)}
	body := strings.TrimLeft(text, "+-")
	if len(text)-len(body) > 1 {
		return 0, notOne
	}
	left, below, _ := strings.Cut(body, "/")
	whole, above := "0", left
	if i := strings.IndexAny(left, " -"); i > 0 {
		whole, above = left[:i], strings.TrimLeft(left[i+1:], " ")
	}
	w, okW := small(whole)
	n, okN := small(above)
	d, okD := small(below)
	if !okW || !okN || !okD {
		return 0, notOne
	}
	if d < 1 || d > maxDivisor || whole != "0" && n >= d {
		return 0, &Fault{"is not a proper fraction", fmt.Sprintf("one with a divisor from 1 to %d", maxDivisor) + ", as in 2 3/16"}
	}
	x := float64((w*d+n)*127) / float64(5*d)
	if strings.HasPrefix(text, "-") {
		x = -x
	}
	return Millimetres.length(x)
}

// small reads a whole number of at most five digits.
func small(text string) (n int, ok bool) {
	if ok = allDigits(text) && len(text) <= 5; ok {
		n, _ = strconv.Atoi(text) // digits only, and few
	}
	return n, ok
}
