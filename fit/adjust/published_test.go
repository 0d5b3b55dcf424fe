package adjust

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// published reads a file of testdata/published, whose README names the sources.
func published(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// sameDigits compares got with a printed value to half a unit of its last printed place, or to
// the given number of significant digits where that is less.
func sameDigits(t *testing.T, what string, got float64, printed string, most int) {
	t.Helper()
	want := number(t, printed)
	limit := max(halfLastPlace(t, printed), 0.5*math.Abs(want)*math.Pow(10, float64(1-most)))
	if math.Abs(got-want) > limit {
		t.Errorf("%s = %.16g, published %s (off by %.2g, allowed %.2g)", what, got, printed, got-want, limit)
	}
}

func halfLastPlace(t *testing.T, printed string) float64 {
	mantissa, exponent := printed, 0.0
	if at := strings.IndexAny(printed, "eE"); at >= 0 {
		mantissa, exponent = printed[:at], number(t, printed[at+1:])
	}
	places := 0
	if at := strings.IndexByte(mantissa, '.'); at >= 0 {
		places = len(mantissa) - at - 1
	}
	return 0.5 * math.Pow(10, exponent-float64(places)) * (1 + 1e-6) // the limit itself is a rounded number
}

func unit(n, j int) []float64 {
	g := make([]float64, n)
	g[j] = 1
	return g
}

// sd is the standard uncertainty of unknown j.
func sd(s *Solution, j int) float64 { return s.Uncertainty(unit(len(s.X), j)).Std }
