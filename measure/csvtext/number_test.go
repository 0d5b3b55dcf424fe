package csvtext

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// The inch is 25.4 mm exactly (international agreement of 1959; ISO 80000-3), so the right-hand
// sides are exact decimals, worked by hand.
func TestLengths(t *testing.T) {
	for _, c := range []struct {
		text  string
		unit  Unit
		comma bool
		want  float64
	}{
		{"55.6", Millimetres, false, 55.6},
		{"55,6", Millimetres, true, 55.6},
		{"55.6", Millimetres, true, 55.6},
		{"1,234", Millimetres, true, 1.234},
		{"1.234", Millimetres, true, 1.234},
		{"-.5", Millimetres, false, -0.5},
		{"5.", Millimetres, false, 5},
		{"+1e-3", Millimetres, false, 0.001},
		{"1,5E2", Millimetres, true, 150},
		{"9999.99", Millimetres, false, 9999.99},
		{"1", Inches, false, 25.4},
		{"2 3/16", Inches, false, 55.5625},
		{"2-3/16", Inches, false, 55.5625},
		{"2 3/16\"", Inches, false, 55.5625},
		{"2.1875\"", Inches, false, 55.5625},
		{"-2 3/16", Inches, false, -55.5625},
		{"-2-3/16", Inches, false, -55.5625},
		{"1/32", Inches, false, 0.79375},
		{"3/64 ″", Inches, false, 1.190625},
		{"5/4", Inches, false, 31.75},
		{"25 1/2", Inches, false, 647.7},
		{".5e1", Millimetres, false, 5},
		{",5e1", Millimetres, true, 5},
		{"1.234e2", Millimetres, false, 123.4}, // no parted thousands
		{"1,234e2", Millimetres, true, 123.4},
		{"2  3/16", Inches, false, 55.5625},
		{"5/1", Inches, false, 127},
		{"0.5", Degrees, false, 0.5},
		{"-360", Degrees, false, -360},
	} {
		d := Decimals{CommaAllowed: c.comma}
		got, f := d.Parse(c.text, c.unit, 1)
		if f != nil || got != c.want {
			t.Errorf("%q %s: got %v, %v, want %v", c.text, c.unit, got, f, c.want)
		}
	}
}

func TestNoLengths(t *testing.T) {
	for _, u := range []Unit{Millimetres, Inches, Degrees} {
		for _, text := range []string{
			"", "-", ".", "e5", "1e", "1e+", "1e1000", "nan", "NaN", "inf", "-Inf", "0x1p4", "1_000", "1 000", "1'000", "1,000.5",
			"10000", "-10000", "1e9", "1e+-5", "1e-+5", "1e--5", "1e0005", "- 3/16", "2 -3/16", "100000/1024", "1:5", "1e5e1", "#1/2", "1234567890123456", "360.5/1", "1/0", "1/", "/2", "1//2", "1 1/2 1/2", "1 / 2", "--1/2", "1/-2", "½", "１", "1\u00a0234", "5in", "\"",
			strings.Repeat("0", 41),
		} {
			if x, f := (&Decimals{}).Parse(text, u, 1); f == nil || x != 0 {
				t.Errorf("%q %s was read as %v, %v", text, u, x, f)
			}
		}
	}
}

// Zero has one sign, lest -0 be printed.
func TestZero(t *testing.T) {
	for _, text := range []string{"-0", "-0.0", "-1e-999", "-0/4"} {
		x, f := (&Decimals{}).Parse(text, Inches, 1)
		if f != nil || x != 0 || math.Signbit(x) {
			t.Errorf("%q: %v, %v", text, x, f)
		}
	}
}

// Every fraction down to 1/64 is the float nearest to the true length, which big.Rat knows.
func TestFractionsAreExact(t *testing.T) {
	for whole := range 41 {
		for _, below := range []int{2, 4, 8, 16, 32, 64} {
			for above := 1; above < below; above++ {
				text := fmt.Sprintf("%d %d/%d", whole, above, below)
				got, f := (&Decimals{}).Parse(text, Inches, 1)
				want, _ := big.NewRat(int64(whole*below+above)*254, int64(below)*10).Float64()
				if f != nil || got != want {
					t.Fatalf("%s: %v, %v, want %v", text, got, f, want)
				}
				decimal := new(Numbers).Exact(float64(whole) + float64(above)/float64(below))
				if again, _ := (&Decimals{}).Parse(decimal, Inches, 1); again != want {
					t.Fatalf("%s in: %v, but %s in: %v", text, got, decimal, again)
				}
			}
		}
	}
}

// exact is read back as the same float.
func TestExact(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 10000 {
		x := (random.Float64() - 0.5) * math.Pow(10, random.Float64()*24-20)
		got, f := (&Decimals{}).Parse(new(Numbers).Exact(x), Millimetres, 1)
		if f != nil || got != x {
			t.Fatalf("%v was written as %s and read as %v, %v", x, new(Numbers).Exact(x), got, f)
		}
	}
}

func FuzzLength(f *testing.F) {
	for _, text := range []string{"1", "-2 3/16\"", "1,5", "1.234,5", "1e-3", "NaN", "1/0", "½", "1 234", "-0"} {
		f.Add(text, uint8(0), true)
		f.Add(text, uint8(1), false)
	}
	f.Fuzz(func(t *testing.T, text string, u uint8, comma bool) {
		d := Decimals{CommaAllowed: comma}
		x, bad := d.Parse(text, Unit(1+u%3), 1)
		if bad != nil {
			if bad.What == "" || bad.Expected == "" {
				t.Errorf("%q is refused without a reason", text)
			}
			return
		}
		if math.IsNaN(x) || math.Abs(x) > maxLength || x == 0 && math.Signbit(x) {
			t.Errorf("%q became %v", text, x)
		}
		again, bad := (&Decimals{}).Parse(new(Numbers).Exact(x), Millimetres, 1)
		if bad != nil || again != x {
			t.Errorf("%q became %v, written %s, read again as %v", text, x, new(Numbers).Exact(x), again)
		}
	})
}

// What a spreadsheet makes a date of is called one, and the commonest numbers are not.
func TestDates(t *testing.T) {
	for _, text := range []string{"12.03.2026", "2026-03-12", "3/16/2026", "3/16/26", "1.2.99", "16-Mar", "Mar 16", "16. März", "16.Mär", "Μάρ 16", "16-Mar-26", "1999/1/2"} {
		for _, u := range []Unit{Millimetres, Inches, Degrees} {
			if x, f := new(Decimals).Parse(text, u, 1); x != 0 || f == nil || f.What != "looks like a date" {
				t.Errorf("%s in %v: %v", text, u, f)
			}
		}
	}
	for _, text := range []string{"1.5", "-1.5", "3/16", "2 3/16", "2-3/16", "+55", ".5"} {
		if _, f := new(Decimals).Parse(text, Inches, 1); f != nil {
			t.Errorf("%s: %v", text, f)
		}
	}
}

// Every plain decimal is the very float that strconv makes of it.
func TestPlainDecimalIsExact(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 12))
	plain := 0
	for range 200000 {
		digits := fmt.Sprint(random.Uint64() >> random.IntN(64))
		if at := random.IntN(len(digits) + 1); random.IntN(8) > 0 {
			digits = digits[:at] + "." + digits[at:]
		}
		text := []string{"", "-", "+", "0", "-00"}[random.IntN(5)] + digits
		x, _, ok := plainDecimal(text)
		if !ok {
			continue
		}
		plain++
		want, err := strconv.ParseFloat(text, 64)
		if err != nil || math.Float64bits(x) != math.Float64bits(want) {
			t.Fatalf("%q: got %v, want %v, %v", text, x, want, err)
		}
	}
	if plain < 100000 {
		t.Errorf("only %d were plain", plain)
	}
	for _, text := range []string{"", "+", "-", ".", ",", "-.", "1.2.3", "1,2.3", "1e3", "--1", "1 ", " 1", "0x1", "1_0", "1234567890123456", "0.1234567890123456", "½", "1-", "1:2", "1/2", "9:"} {
		if x, _, ok := plainDecimal(text); ok {
			t.Errorf("%q was taken for %v", text, x)
		}
	}
	if x, sign, ok := plainDecimal("123456789012345"); x != 123456789012345 || sign != 0 || !ok {
		t.Errorf("fifteen digits: %v %q %v", x, sign, ok)
	}
}

// The limits of what a number can be lie where they are said to.
func TestBounds(t *testing.T) {
	for _, c := range []struct {
		text string
		u    Unit
		good bool
	}{
		{"9999.9", Millimetres, true}, {"-9999.9", Millimetres, true}, {"10000", Millimetres, false},
		{"393.7", Inches, true}, {"393.8", Inches, false}, // 10 000 mm are 393.7008 in
		{"360", Degrees, true}, {"360.1", Degrees, false}, {"-360.1", Degrees, false},
		{"1/1024", Inches, true}, {"1/1025", Inches, false}, {"1 1/1", Inches, false}, {"3/3", Inches, true},
		{strings.Repeat("0", 39) + "1", Millimetres, true}, {strings.Repeat("0", 40) + "1", Millimetres, false},
		{"1e999", Millimetres, false}, {"0e999", Millimetres, true}, {"0e1000", Millimetres, false}, {"1e-999", Millimetres, true},
		{"12345/1", Inches, false}, {"100000/1", Inches, false}, {"99999/1024", Inches, true},
	} {
		if x, f := new(Decimals).Parse(c.text, c.u, 1); (f == nil) != c.good || !c.good && x != 0 {
			t.Errorf("%s %v: %v, %v", c.text, c.u, x, f)
		}
	}
}

// One file has one decimal sign, the one that comes first; the message names its line.
func TestDecimalSigns(t *testing.T) {
	d := Decimals{CommaAllowed: true}
	for _, c := range []struct{ text, what string }{
		{"5", ""}, {"1,5", ""}, {"2.5", `has the decimal sign "." where line 2 has ","`}, {"2,25e1", ""},
		{"2.5e1", `has the decimal sign "." where line 2 has ","`}, {"1.234", `has the decimal sign "." where line 2 has ","`}, {"1,234", ""},
	} {
		line := 1
		if c.text != "5" {
			line = 2
		}
		_, f := d.Parse(c.text, Millimetres, line)
		if what := ""; f != nil {
			if what = f.What; what != c.what {
				t.Errorf("%s: %q, want %q", c.text, what, c.what)
			}
		} else if c.what != "" {
			t.Errorf("%s was taken", c.text)
		}
	}
	d = Decimals{CommaAllowed: true}
	d.Parse(",5", Millimetres, 7)
	if _, f := d.Parse(".5e1", Millimetres, 9); f == nil || f.What != `has the decimal sign "." where line 7 has ","` {
		t.Errorf("a point before all digits: %v", f)
	}
	d = Decimals{CommaAllowed: true}
	d.Parse("0.5", Millimetres, 1)
	if _, f := d.Parse("1,234", Millimetres, 3); f == nil || f.What != "has a thousands separator" {
		t.Errorf("after a point a comma before three digits is %v", f)
	}
}

// What is no number is told apart by what made it one.
func TestWhyItIsNoNumber(t *testing.T) {
	const mm = "a length in millimetres such as 55.6"
	for _, c := range []struct {
		text           string
		u              Unit
		what, expected string
	}{
		{"#DIV/0!", Millimetres, "is what a spreadsheet writes for an error or a narrow column", mm},
		{"#DIV/0!", Inches, "is what a spreadsheet writes for an error or a narrow column", "a length in inches such as 2.1875 or 2 3/16"},
		{"####", Degrees, "is what a spreadsheet writes for an error or a narrow column", "an angle in degrees such as 0.25"},
		{"−5", Millimetres, "has a printer's minus or dash", mm + ", with a plain - for minus"},
		{"–5", Millimetres, "has a printer's minus or dash", mm + ", with a plain - for minus"},
		{"2½", Inches, "has a fraction in one character", "a length in inches such as 2.1875 or 2 3/16; write 1/2 and so on"},
		{"x/y", Millimetres, "is not a number", mm},
		{"1/2", Millimetres, "is a fraction in a row whose unit is mm", mm + `, or "in" in column unit`},
		{"1/2", Degrees, "is a fraction in a row whose unit is deg", `an angle in degrees such as 0.25, or "in" in column unit`},
		{`5"`, Degrees, "has an inch mark in a row whose unit is deg", `an angle in degrees such as 0.25, or "in" in column unit`},
		{"1 234,5", Millimetres, "has a thousands separator", mm + ", without one"},
		{"1,5", Millimetres, "has a decimal comma in a file whose cells are parted by commas", "a decimal point"},
		{"--1/2", Inches, "is not a fraction", "a length in inches such as 2.1875 or 2 3/16"},
		{"0/0", Inches, "is not a proper fraction", "one with a divisor from 1 to 1024, as in 2 3/16"},
		{strings.Repeat("1", 41), Millimetres, "is too long for a number", mm},
		{"10001", Millimetres, "is out of range", "a length under 10000 mm"},
		{"361", Degrees, "is out of range", "an angle of at most 360 degrees"},
	} {
		x, f := new(Decimals).Parse(c.text, c.u, 1)
		if x != 0 || f == nil || *f != (Fault{c.what, c.expected}) {
			t.Errorf("%s in %v: %v, %v", c.text, c.u, x, f)
		}
	}
}

// Units in the words of the tables, and how they are read.
func TestUnits(t *testing.T) {
	for text, want := range map[string]Unit{"": Millimetres, "mm": Millimetres, "Mm": Millimetres, "in": Inches, "IN": Inches, "inch": Inches, `"`: Inches, "deg": Degrees, "cm": NoUnit, "inches": NoUnit} {
		if got, ok := ParseUnit(text); got != want || ok != (want != NoUnit) {
			t.Errorf("%q: %v, %v", text, got, ok)
		}
	}
	for i, want := range []string{"", "mm", "in", "deg"} {
		if got := Unit(i).String(); got != want {
			t.Errorf("unit %d is %q", i, got)
		}
	}
}
