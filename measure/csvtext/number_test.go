package csvtext

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"
)

// The inch is 25.4 mm exactly (international agreement of 1959; ISO 80000-3), so the right-hand
// sides are exact decimals, worked by hand.
func TestLengths(t *testing.T) {
	for _, c := range []struct {
		text  string
		unit  unit
		comma bool
		want  float64
	}{
		{"55.6", millimetres, false, 55.6},
		{"55,6", millimetres, true, 55.6},
		{"55.6", millimetres, true, 55.6},
		{"1,234", millimetres, true, 1.234},
		{"1.234", millimetres, true, 1.234},
		{"-.5", millimetres, false, -0.5},
		{"5.", millimetres, false, 5},
		{"+1e-3", millimetres, false, 0.001},
		{"1,5E2", millimetres, true, 150},
		{"9999.99", millimetres, false, 9999.99},
		{"1", inches, false, 25.4},
		{"2 3/16", inches, false, 55.5625},
		{"2-3/16", inches, false, 55.5625},
		{"2 3/16\"", inches, false, 55.5625},
		{"2.1875\"", inches, false, 55.5625},
		{"-2 3/16", inches, false, -55.5625},
		{"-2-3/16", inches, false, -55.5625},
		{"1/32", inches, false, 0.79375},
		{"3/64 ″", inches, false, 1.190625},
		{"5/4", inches, false, 31.75},
		{"25 1/2", inches, false, 647.7},
		{"0.5", degrees, false, 0.5},
		{"-360", degrees, false, -360},
	} {
		d := decimals{commaAllowed: c.comma}
		got, f := d.parseNumber(c.text, c.unit, 1)
		if f != nil || got != c.want {
			t.Errorf("%q %s: got %v, %v, want %v", c.text, unitNames[c.unit], got, f, c.want)
		}
	}
}

func TestNoLengths(t *testing.T) {
	for _, u := range []unit{millimetres, inches, degrees} {
		for _, text := range []string{
			"", "-", ".", "e5", "1e", "1e+", "1e1000", "nan", "NaN", "inf", "-Inf", "0x1p4", "1_000", "1 000", "1'000", "1,000.5",
			"10000", "-10000", "1e9", "1/0", "1/", "/2", "1//2", "1 1/2 1/2", "1 / 2", "--1/2", "1/-2", "½", "１", "1\u00a0234", "5in", "\"",
			strings.Repeat("0", 41),
		} {
			if x, f := (&decimals{}).parseNumber(text, u, 1); f == nil {
				t.Errorf("%q %s was read as %v", text, unitNames[u], x)
			}
		}
	}
}

// Zero has one sign, lest -0 be printed.
func TestZero(t *testing.T) {
	for _, text := range []string{"-0", "-0.0", "-1e-999", "-0/4"} {
		x, f := (&decimals{}).parseNumber(text, inches, 1)
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
				got, f := (&decimals{}).parseNumber(text, inches, 1)
				want, _ := big.NewRat(int64(whole*below+above)*254, int64(below)*10).Float64()
				if f != nil || got != want {
					t.Fatalf("%s: %v, %v, want %v", text, got, f, want)
				}
				decimal := exact(float64(whole) + float64(above)/float64(below))
				if again, _ := (&decimals{}).parseNumber(decimal, inches, 1); again != want {
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
		got, f := (&decimals{}).parseNumber(exact(x), millimetres, 1)
		if f != nil || got != x {
			t.Fatalf("%v was written as %s and read as %v, %v", x, exact(x), got, f)
		}
	}
}

func FuzzLength(f *testing.F) {
	for _, text := range []string{"1", "-2 3/16\"", "1,5", "1.234,5", "1e-3", "NaN", "1/0", "½", "1 234", "-0"} {
		f.Add(text, uint8(0), true)
		f.Add(text, uint8(1), false)
	}
	f.Fuzz(func(t *testing.T, text string, u uint8, comma bool) {
		d := decimals{commaAllowed: comma}
		x, bad := d.parseNumber(text, unit(u%3), 1)
		if bad != nil {
			if bad.what == "" || bad.expected == "" {
				t.Errorf("%q is refused without a reason", text)
			}
			return
		}
		if math.IsNaN(x) || math.Abs(x) > maxLength || x == 0 && math.Signbit(x) {
			t.Errorf("%q became %v", text, x)
		}
		again, bad := (&decimals{}).parseNumber(exact(x), millimetres, 1)
		if bad != nil || again != x {
			t.Errorf("%q became %v, written %s, read again as %v", text, x, exact(x), again)
		}
	})
}

// Whatever looks like a date may be one, and the commonest numbers may not.
func TestMayBeDate(t *testing.T) {
	for _, text := range []string{"12.03.2026", "2026-03-12", "3/16/2026", "3/16/26", "1.2.99", "16-Mar", "Mar 16", "16. März", "16.Mär", "Μάρ 16", "16-Mar-26", "1999/1/2"} {
		if !dateLike().MatchString(text) || !mayBeDate(text) {
			t.Errorf("%s is like a date: %v, %v", text, dateLike().MatchString(text), mayBeDate(text))
		}
	}
	random := rand.New(rand.NewPCG(15, 16))
	dates := 0
	for range 200_000 {
		const letters = "0123456789./- Mä"
		text := make([]rune, 1+random.IntN(10))
		for i := range text {
			text[i] = []rune(letters)[random.IntN(len([]rune(letters)))]
		}
		if dateLike().MatchString(string(text)) {
			dates++
			if !mayBeDate(string(text)) {
				t.Fatalf("%q is like a date", string(text))
			}
		}
	}
	if dates < 100 {
		t.Errorf("only %d dates", dates)
	}
	for _, text := range []string{"1.5", "-1.5", "3/16", "2 3/16", "+55", ".5", ""} {
		if mayBeDate(text) {
			t.Errorf("%q is no date", text)
		}
	}
}
