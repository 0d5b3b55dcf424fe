package remedy

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The objective against strips: at each height the two circles' chords are intervals, and what they
// share is summed up (midpoint rule).
func TestOverlapAgainstStrips(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	for range 200 {
		d, r, s := 6*rng.Float64(), 0.5+3*rng.Float64(), 0.5+3*rng.Float64()
		const strips = 20000
		area, height := 0.0, 2*r/strips
		for i := range strips {
			y := -r + (float64(i)+0.5)*height
			half := math.Sqrt(r*r - y*y)
			if s*s <= y*y {
				continue
			}
			other := math.Sqrt(s*s - y*y)
			area += height * max(0, min(half, d+other)-max(-half, d-other))
		}
		// the midpoint rule on chords that end upright: below height^1.5 times the chord
		if got := overlap(d, r, s); math.Abs(got-area) > 2e-4 {
			t.Errorf("d %.3f, r %.3f, s %.3f: %.6f, by strips %.6f", d, r, s, got, area)
		}
	}
	if overlap(2, 1, 1) != 0 || math.Abs(overlap(0.2, 1, 0.5)-math.Pi/4) > 1e-15 { // touching; one within the other
		t.Error("touching or nested circles")
	}
}

// Straddling is said of a bit exactly if the plug's edge passes through it: tried at many places of
// the bit's rim.
func TestStraddling(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 2))
	seen := [2]int{}
	for range 500 {
		d, bit, plug := 5*rng.Float64(), 0.5+rng.Float64(), 1+4*rng.Float64()
		in, out := false, false
		for i := range 3600 {
			a := float64(i) * math.Pi / 1800
			if math.Hypot(d+bit*math.Cos(a), bit*math.Sin(a)) < plug {
				in = true
			} else {
				out = true
			}
		}
		if want := in && out; straddles(d, bit, plug) != want {
			t.Errorf("d %.3f, bit %.3f, plug %.3f: want %v", d, bit, plug, want)
		}
		if in && out {
			seen[0]++
		} else {
			seen[1]++
		}
	}
	if seen[0] < 50 || seen[1] < 50 {
		t.Errorf("too few of a kind: %v", seen)
	}
}

// Distances to a rectangle's sides, by hand.
func TestNearest(t *testing.T) {
	box := []Point{{0, 0}, {10, 0}, {10, 6}, {0, 6}}
	for p, want := range map[Point]float64{{5, 3}: -3, {12, 3}: 2, {13, 10}: 5, {9.5, 3}: -0.5} {
		if got := nearest(p, box); math.Abs(got-want) > 1e-12 { // rounding
			t.Errorf("%v: %g, by hand %g", p, got, want)
		}
	}
	if got := nearest(Point{3, 4}, []Point{{0, 0}}); got != 5 {
		t.Errorf("a single corner: %g", got)
	}
}
