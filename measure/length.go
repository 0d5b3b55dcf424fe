package measure

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

// unit is the unit that a row states.
type unit uint8

const (
	millimetres unit = iota
	inches
	degrees
)

var unitNames = []string{"mm", "in", "deg"}

// parseUnit reads a unit cell; blank is millimetres.
func parseUnit(text string) (unit, bool) {
	switch strings.ToLower(text) {
	case "", "mm":
		return millimetres, true
	case "in", "inch", `"`:
		return inches, true
	case "deg":
		return degrees, true
	}
	return 0, false
}

// decimals is how one file writes its decimals. In a file cut by commas the sign is the point; in
// others it is whichever comes first, and mixing the two is refused: 1.234 could then be a thousand.
type decimals struct {
	commaAllowed bool
	sign         byte // 0 until a decimal sign was seen
	line         int  // where
}

// parseNumber reads one cell in the unit and gives millimetres or degrees. The fault's column is
// left to the caller; its What is to follow the quoted cell.
func (d *decimals) parseNumber(text string, u unit, line int) (float64, *fault) {
	expected := expectedNumber(u)
	if len(text) > maxDigits {
		return 0, &fault{what: "is too long for a number", expected: expected}
	}
	body, mark := cutInchMark(text)
	if mark && u != inches {
		return 0, &fault{what: "has an inch mark in a row whose unit is " + unitNames[u], expected: expected + `, or "in" in column unit`}
	}
	if mayBeDate(body) && dateLike().MatchString(body) {
		return 0, &fault{what: "looks like a date", expected: expected + "; a spreadsheet leaves the number alone in a column whose format is text"}
	}
	if strings.Contains(body, "/") && body[0] != '#' && strings.ContainsAny(body, "0123456789") {
		return parseFraction(body, u)
	}
	plain, f := d.plain(body, u, line)
	if f != nil {
		return 0, f
	}
	x, err := strconv.ParseFloat(plain, 64)
	if err != nil && !math.IsInf(x, 0) {
		return 0, notNumber(text, expected)
	}
	if u == inches {
		x = x * 127 / 5 // 25.4 by definition; done as parseFraction does, so that 2.1875 and 2 3/16 are the same float
	}
	return bounded(x, u)
}

// notNumber says why a text is no number, though it may look like one.
func notNumber(text, expected string) *fault {
	switch {
	case strings.HasPrefix(text, "#"):
		return &fault{what: "is what a spreadsheet writes for an error or a narrow column", expected: expected}
	case strings.ContainsAny(text, "−–"):
		return &fault{what: "has a printer's minus or dash", expected: expected + ", with a plain - for minus"}
	case strings.ContainsAny(text, "½¼¾⅛⅜⅝⅞"):
		return &fault{what: "has a fraction in one character", expected: expected + "; write 1/2 and so on"}
	}
	return &fault{what: "is not a number", expected: expected}
}

func expectedNumber(u unit) string {
	switch u {
	case inches:
		return "a length in inches such as 2.1875 or 2 3/16"
	case degrees:
		return "an angle in degrees such as 0.25"
	}
	return "a length in millimetres such as 55.6"
}

// cutInchMark takes a trailing inch mark off; of the two signs the second is the typographer's.
func cutInchMark(text string) (string, bool) {
	for _, mark := range []string{`"`, "″"} {
		if body, ok := strings.CutSuffix(text, mark); ok {
			return strings.TrimSpace(body), true
		}
	}
	return text, false
}

func bounded(x float64, u unit) (float64, *fault) {
	if u == degrees && math.Abs(x) > maxAngle {
		return 0, &fault{what: "is out of range", expected: fmt.Sprintf("an angle of at most %d degrees", maxAngle)}
	}
	if u != degrees && !(math.Abs(x) < maxLength) {
		return 0, &fault{what: "is out of range", expected: fmt.Sprintf("a length under %d mm", maxLength)}
	}
	return x + 0, nil // -0 becomes 0
}

// plain checks that text is a decimal number as people and spreadsheets write them and gives it
// with a decimal point. It lets through less than strconv does: no hex, underscore, NaN or Inf.
func (d *decimals) plain(text string, u unit, line int) (string, *fault) {
	expected := expectedNumber(u)
	mantissa, exponent := cutExponent(text)
	if !d.mayBeDecimal(mantissa) && thousands().MatchString(mantissa) {
		return "", &fault{what: "has a thousands separator", expected: expected + ", without one"}
	}
	if !isDecimal(mantissa) || !validExponent(exponent) {
		return "", notNumber(text, expected)
	}
	if strings.Contains(mantissa, ",") && !d.commaAllowed {
		return "", &fault{what: "has a decimal comma in a file whose cells are parted by commas", expected: "a decimal point"}
	}
	if f := d.mixed(mantissa, line); f != nil {
		return "", f
	}
	return strings.Replace(text, ",", ".", 1), nil
}

// mixed notes the file's first decimal sign and refuses the other one after it.
func (d *decimals) mixed(mantissa string, line int) *fault {
	i := strings.IndexAny(mantissa, ".,")
	if i < 0 || !d.commaAllowed {
		return nil
	}
	if d.sign == 0 {
		d.sign, d.line = mantissa[i], line
	}
	if d.sign == mantissa[i] {
		return nil
	}
	return &fault{
		what:     fmt.Sprintf("has the decimal sign %q where line %d has %q", mantissa[i:i+1], d.line, string(d.sign)),
		expected: "one decimal sign in all the file",
	}
}

// thousands is a number whose digits are parted in threes, by a comma, a point, an apostrophe or
// some space, and perhaps has decimals. It and the next take a millisecond to compile and are wanted
// only where something is wrong.
var thousands = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^[+-]?[1-9][0-9]{0,2}([.,'’\pZ][0-9]{3})+([.,][0-9]+)?$`)
})

// dateLike is what spreadsheets make of fractions and of numbers with a point: 12.03.2026,
// 2026-03-12, 3/16/2026, 16-Mar, Mar 16. A number with two points or two strokes is no length anyhow.
var dateLike = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(\d{1,2}(\.\d{1,2}\.|/\d{1,2}/|-\d{1,2}-)(\d{2}|\d{4})|\d{4}(\.\d{1,2}\.|/\d{1,2}/|-\d{1,2}-)\d{1,2}` +
		`|\d{1,2}[. -]{1,2}\p{L}{3,9}\.?([ -](\d{2}|\d{4}))?|\p{L}{3,9}[. -]{1,2}(\d{1,2}|\d{4}))$`)
})

// mayBeDate is true for all dates and little else: no number, and no fraction but 2-3/16.
func mayBeDate(text string) bool {
	strokes := 0
	for i := range len(text) {
		switch b := text[i]; {
		case b == '.' || b == '/' || b == '-':
			strokes++
		case b >= 'A':
			return true
		}
	}
	return strokes > 1 && !isDecimal(text)
}

// mayBeDecimal tells whether what may look like parted thousands is rather a number with three
// decimals: one point, or one comma in a file that has decimal commas.
func (d *decimals) mayBeDecimal(mantissa string) bool {
	return isDecimal(mantissa) && (!strings.Contains(mantissa, ",") || d.commaAllowed && d.sign != '.')
}

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

func cutExponent(text string) (mantissa, exponent string) {
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		return text[:i], text[i:]
	}
	return text, ""
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
func parseFraction(text string, u unit) (float64, *fault) {
	if u != inches {
		return 0, &fault{what: "is a fraction in a row whose unit is " + unitNames[u], expected: expectedNumber(u) + `, or "in" in column unit`}
	}
	notOne := &fault{what: "is not a fraction", expected: expectedNumber(u)}
	body := strings.TrimLeft(text, "+-")
	if len(text)-len(body) > 1 {
		return 0, notOne
	}
	left, below, _ := strings.Cut(body, "/")
	whole, above := "0", left
	if i := strings.IndexAny(left, " -"); i >= 0 {
		whole, above = left[:i], strings.TrimLeft(left[i+1:], " ")
	}
	w, okW := small(whole)
	n, okN := small(above)
	d, okD := small(below)
	if !okW || !okN || !okD {
		return 0, notOne
	}
	if d < 1 || d > maxDivisor || whole != "0" && n >= d {
		return 0, &fault{what: "is not a proper fraction", expected: fmt.Sprintf("one with a divisor from 1 to %d", maxDivisor) + ", as in 2 3/16"}
	}
	x := float64((w*d+n)*127) / float64(5*d)
	if strings.HasPrefix(text, "-") {
		x = -x
	}
	return bounded(x, u)
}

// small reads a whole number of at most five digits.
func small(text string) (int, bool) {
	if !allDigits(text) || len(text) > 5 {
		return 0, false
	}
	n, _ := strconv.Atoi(text) // digits only, and few
	return n, true
}
