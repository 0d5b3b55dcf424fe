package words

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

// The expanded uncertainty keeps two digits, and the value agrees with it to half its last digit.
func TestRounded(t *testing.T) {
	for _, c := range []struct {
		value, expanded float64
		v, u            string
	}{
		{1.23456, 0.0987, "1.235", "0.099"},
		{1.23456, 0.0996, "1.23", "0.10"},
		{1.23456, 9.96, "1", "10"},
		{1234.5, 123, "1230", "120"},
		{-0.001, 0.5, "0.00", "0.50"},
		{55.6, 0, "55.6000", "<0.0001"},
	} {
		if v, u := Rounded(c.value, c.expanded/Coverage); v != c.v || u != c.u {
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
