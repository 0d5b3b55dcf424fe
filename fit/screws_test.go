package fit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A heel shifted and turned in its pocket: each screw's axis must meet its hole in the body, off its middle by the clearance at most; what a
// turn does to it along the axis the heel makes up for by sliding, as far as its end's corners let it. By hand.
func TestWhereScrewsLetAHeelLie(t *testing.T) {
	inf := math.Inf(1)
	open := [2]float64{inf, inf}
	two := func(k screw) []screw { other := k; other.beside = -k.beside; return []screw{k, other} }
	for _, c := range []struct {
		what  string
		s     screws
		at    shifts
		allow bool
	}{
		{"no screws", screws{length: 70, slack: open}, shifts{3, -3}, true},
		{"in the middle", screws{length: 70, slack: open, list: []screw{{share: 0.5, clearance: 0.3}}}, shifts{}, true},
		{"shifted by less", screws{length: 70, slack: open, list: []screw{{share: 0.5, clearance: 0.3}}}, shifts{0.29, 0.29}, true},
		{"by more", screws{length: 70, slack: open, list: []screw{{share: 0.5, clearance: 0.3}}}, shifts{0.31, 0.31}, false}, {"the other way", screws{length: 70, slack: open, list: []screw{{share: 0.5, clearance: 0.3}}}, shifts{-0.31, -0.31}, false},
		{"at the end alone", screws{length: 70, slack: open, list: []screw{{share: 0.75, clearance: 0.3}}}, shifts{0, 0.39}, true}, {"farther there", screws{length: 70, slack: open, list: []screw{{share: 0.75, clearance: 0.3}}}, shifts{0, 0.41}, false},
		{"at the mouth alone", screws{length: 70, slack: open, list: []screw{{share: 0.75, clearance: 0.3}}}, shifts{1.19, 0}, true}, {"farther there", screws{length: 70, slack: open, list: []screw{{share: 0.75, clearance: 0.3}}}, shifts{1.21, 0}, false},
		{"a hole that misses is reached", screws{length: 70, slack: open, list: []screw{{share: 0.5, missAcross: 0.5, clearance: 0.1}}}, shifts{0.45, 0.45}, true},
		{"and not", screws{length: 70, slack: open, list: []screw{{share: 0.5, missAcross: 0.5, clearance: 0.1}}}, shifts{0.39, 0.39}, false},
		// One hole 0.1 tailward and another 0.1 headward of where their screws are: 0.1 is the least clearance that lets both in.
		{"holes apart along", screws{length: 70, slack: open, list: []screw{{missAlong: 0.1, clearance: 0.11}, {missAlong: -0.1, clearance: 0.11}}}, shifts{}, true},
		{"farther than they allow", screws{length: 70, slack: open, list: []screw{{missAlong: 0.1, clearance: 0.09}, {missAlong: -0.1, clearance: 0.09}}}, shifts{}, false},
		// Off across by 0.3 of 0.5 leaves 0.4 along.
		{"off both ways", screws{length: 70, slack: [2]float64{-0.39, inf}, list: []screw{{share: 0.5, missAcross: 0.3, clearance: 0.5}}}, shifts{}, true},
		{"and too far", screws{length: 70, slack: [2]float64{-0.41, inf}, list: []screw{{share: 0.5, missAcross: 0.3, clearance: 0.5}}}, shifts{}, false},
		// Turned by 0.7/70 two screws 20 mm off the axis go 0.2 headward and 0.2 tailward.
		{"turned", screws{length: 70, slack: open, list: two(screw{beside: 20, share: 0.5, clearance: 0.21})}, shifts{-0.35, 0.35}, true}, {"turned more", screws{length: 70, slack: open, list: two(screw{beside: 20, share: 0.5, clearance: 0.19})}, shifts{-0.35, 0.35}, false},
		{"the other way", screws{length: 70, slack: open, list: two(screw{beside: 20, share: 0.5, clearance: 0.19})}, shifts{0.35, -0.35}, false},
		// The corners, 30 beside the axis, then let the heel no farther tailward than their slack less 0.3.
		{"corners in the way", screws{length: 70, corner: [2]float64{-30, 30}, slack: [2]float64{0.05, 0.05}, list: []screw{{share: 0.5, missAlong: 0.1, clearance: 0.34}}}, shifts{-0.35, 0.35}, false},
		{"and not", screws{length: 70, corner: [2]float64{-30, 30}, slack: [2]float64{0.05, 0.05}, list: []screw{{share: 0.5, missAlong: 0.1, clearance: 0.36}}}, shifts{-0.35, 0.35}, true},
		{"turned back", screws{length: 70, corner: [2]float64{-30, 30}, slack: [2]float64{0.05, 0.05}, list: []screw{{share: 0.5, missAlong: 0.1, clearance: 0.34}}}, shifts{0.35, -0.35}, false},
	} {
		if got := c.s.allow(c.at); got != c.allow {
			t.Errorf("%s: %v", c.what, got)
		}
	}
}

// The farthest place that pocket and screws allow, against every place of a fine grid: no place of it is farther, and it is not farther
// than the grid's best by more than a few of its steps.
func TestFarthestAgainstAGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 82))
	met, limited := 0, 0
	for range 120 {
		low, high := shifts{-rng.Float64(), -rng.Float64()}, shifts{rng.Float64(), rng.Float64()}
		s := screws{length: 70, corner: [2]float64{-30, 30}, slack: [2]float64{rng.Float64(), rng.Float64()}}
		for i := range 4 {
			s.list = append(s.list, screw{beside: []float64{-19, 19}[i%2], share: 0.2 + 0.6*float64(i/2), missAlong: 0.1 * rng.NormFloat64(), missAcross: 0.1 * rng.NormFloat64(), clearance: 0.5 * rng.Float64()})
		}
		mouth, end := rng.NormFloat64(), rng.NormFloat64()
		value := func(at shifts) float64 { return mouth*at.mouth + end*at.end }
		const steps = 100
		best, place := math.Inf(-1), shifts{}
		for i := range steps + 1 {
			for j := range steps + 1 {
				at := shifts{low.mouth + float64(i)/steps*(high.mouth-low.mouth), low.end + float64(j)/steps*(high.end-low.end)}
				if v := value(at); v > best && s.allow(at) {
					best, place = v, at
				}
			}
		}
		from, ok := s.somewhere(low, high)
		if !ok {
			continue
		}
		if !s.allow(from) || from.mouth < low.mouth || from.mouth > high.mouth || from.end < low.end || from.end > high.end {
			t.Errorf("somewhere is %+v", from)
		}
		met++
		if place.mouth > low.mouth && place.mouth < high.mouth || place.end > low.end && place.end < high.end {
			limited++
		}
		step := (math.Abs(mouth)*(high.mouth-low.mouth) + math.Abs(end)*(high.end-low.end)) / steps
		if got := s.farthest(from, low, high, value); got < best-0.1*step || got > best+3*step {
			t.Errorf("farthest %.4f, on the grid %.4f at %+v", got, best, place)
		}
	}
	if met < 10 || limited < 5 {
		t.Errorf("%d figures, %d of them by screws", met, limited)
	}
	tight := screws{length: 70, slack: [2]float64{1, 1}, list: []screw{{share: 0.5, missAcross: 9, clearance: 0.1}}}
	if at, ok := tight.somewhere(shifts{-1, -1}, shifts{1, 1}); ok {
		t.Errorf("a screw that meets no hole is let in at %+v", at)
	}
	still := shifts{0.1, 0.2}
	if got := new(screws).farthest(still, still, still, func(s shifts) float64 { return s.mouth + s.end }); math.Abs(got-0.3) > 1e-12 {
		t.Errorf("a heel without play goes to %v", got)
	}
}
