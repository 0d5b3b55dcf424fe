package words

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/pair"
	"neckfit/measure"
)

// check calls a function of one number on many.
func check[T any](t *testing.T, f func(T) string, cases []struct {
	x    T
	want string
}) {
	t.Helper()
	for _, c := range cases {
		if got := f(c.x); got != c.want {
			t.Errorf("%v became %q, want %q", c.x, got, c.want)
		}
	}
}

type numbers = []struct {
	x    float64
	want string
}

// The expanded uncertainty keeps two digits and the value is rounded to the same place, at every size;
// both halves go away from nought, and a digit more that rounding makes costs a decimal.
func TestRounded(t *testing.T) {
	for _, c := range []struct {
		value, expanded float64
		v, u            string
	}{
		{1.23456, 0.0987, "1.235", "0.099"},
		{1.23456, 0.0996, "1.23", "0.10"}, // 0.0996 is 0.10
		{1.23456, 0.00099, "1.2346", "0.0010"},
		{1.23456, 0.00012, "1.2346", "0.0001"}, // no more than four decimals
		{1.23456, 0.00009, "1.2346", "<0.0001"},
		{1.23456, 0.0001, "1.2346", "0.0001"},
		{1.23456, 0.987, "1.23", "0.99"},
		{1.25, 1.04, "1.2", "1.0"}, // 1.25 is a float exactly: to the even digit
		{1.23456, 9.94, "1.2", "9.9"},
		{1.23456, 9.96, "1", "10"},
		{-1.5, 12, "-2", "12"},
		{1234.5, 99.4, "1234", "99"},
		{1234.5, 123, "1230", "120"},
		{-1234.5, 123, "-1230", "120"},
		{1250, 1230, "1300", "1200"},
		{-0.001, 0.5, "0.00", "0.50"}, // never -0
		{55.6, 0, "55.6000", "<0.0001"},
		{9.99e6, 12, "9990000", "12"},
		{1e7, 12, "1.00e+07", "1.2e+01"},
		{-1e7, 12, "-1.00e+07", "1.2e+01"},
		{1, 1e7, "1.00e+00", "1.0e+07"},
	} {
		// The standard uncertainty is the expanded one over 1.96, the normal distribution's quantile of 97.5 %.
		if v, u := Rounded(c.value, c.expanded/1.959963984540054); v != c.v || u != c.u {
			t.Errorf("%v ± %v became %s ± %s, want %s ± %s", c.value, c.expanded, v, u, c.v, c.u)
		}
	}
	rng := rand.New(rand.NewPCG(6, 6))
	for range 1000 {
		value, expanded := rng.NormFloat64()*100, max(1e-3, math.Exp(rng.NormFloat64()*3)) // below 0.0001 it is not shown to two digits
		v, u := Rounded(value, expanded/Coverage)
		gotV, errV := strconv.ParseFloat(v, 64)
		gotU, errU := strconv.ParseFloat(u, 64)
		if errV != nil || errU != nil {
			t.Fatalf("%q ± %q", v, u)
		}
		// Two digits leave at most half of the second digit, a twentieth of the least first digit.
		if math.Abs(gotU-expanded) > 0.051*expanded || math.Abs(gotV-value) > 0.051*expanded {
			t.Errorf("%v ± %v became %s ± %s", value, expanded, v, u)
		}
	}
}

func TestFixed(t *testing.T) {
	for _, c := range []struct {
		x      float64
		places int
		want   string
	}{
		{1.2345, 3, "1.234"}, {1.23451, 3, "1.235"}, {-1.2345, 0, "-1"}, {149, -2, "100"}, {151, -2, "200"}, {-151, -2, "-200"},
		{4.9, -1, "0"}, {-4.9, -1, "0"}, {-5, -1, "-10"}, {-0.04, 1, "0.0"}, {-0.06, 1, "-0.1"}, {0, 2, "0.00"},
	} {
		if got := Fixed(c.x, c.places); got != c.want {
			t.Errorf("%v to %d places became %s, want %s", c.x, c.places, got, c.want)
		}
	}
}

func TestLimit(t *testing.T) {
	check(t, Limit, numbers{
		{0.585, "0.585"}, {-1, "-1"}, {0.12344, "0.1234"}, {0.12346, "0.1235"}, {-0.00004, "0"}, {-0.00006, "-0.0001"}, {763, "763"},
		{9999999, "9999999"}, {1e7, "1.00e+07"}, {-1e7, "-1.00e+07"},
	})
}

func TestLimits(t *testing.T) {
	open := math.Inf(1)
	for _, c := range []struct {
		low, high float64
		want      string
	}{{-1, 1, "-1 to 1"}, {2.5, open, "at least 2.5"}, {-open, 0.25, "at most 0.25"}, {-open, open, "none"}} {
		if got := Limits(&fit.Characteristic{Lower: c.low, Upper: c.high}); got != c.want {
			t.Errorf("%v to %v became %q, want %q", c.low, c.high, got, c.want)
		}
	}
}

// A probability is never said to be nought or one, and is rounded to a tenth of a percent.
func TestPercent(t *testing.T) {
	check(t, Percent, numbers{
		{0, "<0.1 %"}, {0.000999, "<0.1 %"}, {0.001, "0.1 %"}, {0.00149, "0.1 %"}, {0.0016, "0.2 %"}, {0.5, "50.0 %"},
		{0.9499, "95.0 %"}, {0.94949, "94.9 %"}, {0.9989, "99.9 %"}, {0.99901, ">99.9 %"}, {1, ">99.9 %"},
	})
	check(t, WholePercent, numbers{{0, "0 %"}, {0.004, "0 %"}, {0.006, "1 %"}, {0.994, "99 %"}, {0.996, "100 %"}})
	check(t, ShortPercent, numbers{{0.0065, "0.65 %"}, {0.123, "12 %"}, {0.00456, "0.46 %"}})
	check(t, yieldPercent, numbers{{0, "0 %"}, {0.0005, "<0.1 %"}, {0.004, "0.4 %"}, {0.5, "50 %"}, {0.996, "99.6 %"}, {0.9999, ">99.9 %"}, {1, "100 %"}})
}

func TestLengths(t *testing.T) {
	check(t, Length, numbers{{63.456, "63.46"}, {-63.454, "-63.45"}, {9999999, "9999999.00"}, {1e7, "1.00e+07"}, {-1e7, "-1.00e+07"}})
	check(t, Sideways, numbers{
		{1.25, "1.2 mm toward treble"}, {1.26, "1.3 mm toward treble"}, {-0.26, "0.3 mm toward bass"}, {0, "0.0 mm"}, {-0.04, "0.0 mm"},
		{1e7, "1.00e+07 mm toward treble"}, {-1e7, "1.00e+07 mm toward bass"},
	})
	check(t, Small, numbers{{99.9994, "99.999"}, {100, "100.00"}, {-99.99, "-99.990"}, {-100, "-100.00"}, {0.0126, "0.013"}})
	check(t, Spread, numbers{
		{0, "0.000 mm"}, {0.0123456, "0.0123 mm"}, {0.00123456, "0.0012 mm"}, {0.123456, "0.123 mm"}, {1.23456, "1.23 mm"}, {12.3456, "12.3 mm"},
		{123.456, "123 mm"}, {1234.56, "1235 mm"}, {0.1, "0.100 mm"}, {0.0999, "0.0999 mm"},
	})
	check(t, Known, numbers{{1.256, "1.26"}, {math.NaN(), "-"}, {math.Inf(1), "-"}, {math.Inf(-1), "-"}, {0, "0.00"}})
	check(t, Size, numbers{{0, "-"}, {3.175, "3.17"}, {-1, "-1.00"}})
}

func TestAmounts(t *testing.T) {
	for n, want := range map[int]string{0: "0 kits", 1: "1 kit", 2: "2 kits"} {
		if got := Amount(n, "kit", "kits"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for x, want := range map[float64]string{0.94: "0.9 pairs", 0.96: "1.0 pair", 1.04: "1.0 pair", 1.06: "1.1 pairs"} {
		if got := PairSaving(&pair.Match{Pairs: make([]pair.Pair, 1), Random: pair.Random{Impossible: x}}); !strings.Contains(got, " leave "+want+" that") {
			t.Errorf("%q, want %q", got, want)
		}
	}
	check(t, Duration, numbers{{0.4, "0 min"}, {59.4, "59 min"}, {59.6, "1 h 00 min"}, {61, "1 h 01 min"}, {125, "2 h 05 min"}})
}

func TestUnits(t *testing.T) {
	c := fit.Characteristic{Value: 0.5, StdUncertainty: 0.05 / 1.96}
	if got := Value(&c); got != "0.500 ± 0.050 mm" {
		t.Error(got)
	}
	c.Dimension = measure.Angle
	if got := Value(&c); got != "0.500 ± 0.050 deg" {
		t.Error(got)
	}
}
