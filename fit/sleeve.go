package fit

import (
	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// sleeve is a heel, a pocket or a fingerboard by itself: its two sides and their bisector.
type sleeve struct {
	there          bool            // both sides have been read
	mid            autodiff.Line   // their bisector, in the datum's frame
	own            autodiff.Motion // from there to the bisector's frame
	autodiff.Taper                 // how they lie along it

	long bool                 // it was read at two places apart
	ends [2]autodiff.Variable // the outermost of them, along the bisector
}

// pair is a part's two sides; they are there when both have been read.
func (s *solved) pair(frame measure.Datum, across measure.Feature) *sleeve {
	key := survey.SideAt(frame, across)
	sl := s.sleeves.Get(key)
	if sl != nil {
		return sl
	}
	sl = s.sleeves.Put(key)
	sides := survey.Partners(across)
	bass, treble := s.Sides.Get(survey.SideAt(frame, sides[0])), s.Sides.Get(survey.SideAt(frame, sides[1]))
	if sl.there = bass != nil && treble != nil; sl.there {
		sl.mid, sl.Taper = autodiff.Halve(s.leaning(bass), s.leaning(treble))
		sl.own = autodiff.FrameOf(sl.mid)
	}
	return sl
}

// leastApart is how far apart two places must be to be a mouth and an end: a taper over less than
// that tells nothing about a pocket.
const leastApart = 5.0 // mm

// sleeve is a part's two sides with its ends: false where it was not read at two places apart.
func (s *solved) sleeve(frame measure.Datum, across measure.Feature) (*sleeve, bool) {
	sl := s.pair(frame, across)
	if !sl.there || sl.long {
		return sl, sl.long
	}
	low, high := s.reachOf(sl, frame, across)
	if sl.long = high-low > leastApart; sl.long {
		sl.ends = [2]autodiff.Variable{sl.own.Place(sl.mid.MarkAt(low)).X, sl.own.Place(sl.mid.MarkAt(high)).X}
	}
	return sl, sl.long
}

// reachOf are the outermost places, along the bisector, at which the part was read.
func (s *solved) reachOf(sl *sleeve, frame measure.Datum, across measure.Feature) (low, high float64) {
	low, high = inf, -inf
	see := func(x, y float64) {
		along := sl.own.Cos.Value*x - sl.own.Sin.Value*y
		low, high = min(low, along), max(high, along)
	}
	for _, side := range survey.Partners(across) {
		if on := s.Sides.Get(survey.SideAt(frame, side)); on.N > 0 {
			see(on.LowX, on.LowY)
			see(on.HighX, on.HighY)
		}
	}
	if w := s.Widths.Get(survey.SideAt(frame, across)); w != nil {
		see(w.LowX, sl.mid.AtX(w.LowX).Y.Value)
		see(w.HighX, sl.mid.AtX(w.HighX).Y.Value)
	}
	return low, high
}
