package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// numberSides starts each side from its readings, or from its partner's and the width between
// them. Two sides of which only widths are known start symmetric about the datum, where widths do
// not depend on their common direction.
func (s *survey) numberSides() {
	if s.edges {
		s.sides.put(sideAt(measure.DatumEdgeBass, measure.EdgeBass))
		s.sides.put(sideAt(measure.DatumEdgeBass, measure.EdgeTreble))
	}
	for _, frame := range s.boards.keys {
		s.sides.put(sideAt(frame, measure.EdgeBass))
		s.sides.put(sideAt(frame, measure.EdgeTreble))
	}
	s.sides.sort(cmp.Compare)
	for i, key := range s.sides.keys {
		side := s.sides.values[i]
		a, b := side.meanY(), side.start()
		if side.n == 0 {
			a, b = s.fromPartner(key)
		}
		side.C = s.centre(key)
		side.A, side.B = s.unknown(a, lengthReach), s.unknown(b, slopeReach)
	}
}

// centre is the mean place of the readings that fix the side, so that a and b are nearly
// uncorrelated.
func (s *survey) centre(key sideKey) float64 {
	if side := s.sides.get(key); side.n > 0 {
		return side.meanX()
	}
	if w := s.across(key); w != nil {
		return w.meanX()
	}
	return 0
}

// widthOf is the feature whose width ties a side to its partner, and whether the side is the bass
// one; ok is false for an end, which has no partner.
func widthOf(f measure.Feature) (across measure.Feature, bass, ok bool) {
	switch f {
	case measure.EdgeBass, measure.EdgeTreble:
		return measure.Fingerboard, f == measure.EdgeBass, true
	case measure.HeelBass, measure.HeelTreble:
		return measure.Heel, f == measure.HeelBass, true
	case measure.PocketBass, measure.PocketTreble:
		return measure.Pocket, f == measure.PocketBass, true
	}
	return measure.NoFeature, false, false
}

// across is the width readings that tie the side to its partner; nil when there are none.
func (s *survey) across(key sideKey) *side {
	feature, _, ok := widthOf(key.feature())
	if key.gap() || !ok {
		return nil
	}
	return s.widths.get(sideAt(key.frame(), feature))
}

// fromPartner starts a side that was not read itself.
func (s *survey) fromPartner(key sideKey) (a, b float64) {
	w := s.across(key)
	if w == nil {
		if key.frame() == measure.DatumEdgeBass && key.feature() == measure.EdgeTreble {
			return edgeStart()
		}
		return 0, 0
	}
	feature, bass, _ := widthOf(key.feature())
	sign, other := 1.0, partners(feature)[0]
	if bass {
		sign, other = -1, partners(feature)[1]
	}
	partner := s.sides.get(sideAt(key.frame(), other))
	if partner.n == 0 {
		return sign * w.meanY() / 2, sign * w.start() / 2
	}
	at := partner.meanY() + partner.start()*(w.meanX()-partner.meanX())
	return at + sign*w.meanY(), partner.start() + sign*w.start()
}

// edgeStart is where the treble edge lies from the bass edge's straightedge at first sight: a
// fingerboard is about 50 mm wide and widens by about 0.025 mm a mm. Places seen from both edges
// correct it; where there are none, nothing that is reported depends on it.
func edgeStart() (a, b float64) {
	const wide, widening = 50, 0.025
	return wide, widening
}

// numberBoard starts the frets from those that were read.
func (s *survey) numberBoard(frame measure.Datum, b *board) {
	bass := s.sides.get(sideAt(frame, measure.EdgeBass))
	treble := s.sides.get(sideAt(frame, measure.EdgeTreble))
	w := s.widths.get(sideAt(frame, measure.Fingerboard))
	b.edged = s.edges && frame == measure.DatumEdgeBass || bass.n+treble.n > 0 || w != nil
	b.First, b.Second = bass.Side, treble.Side
	s0, scale := s.outerFrets(b)
	if b.edged {
		seen := s.seenFrets(frame, b)
		if steep, ok := seen.slope(); ok {
			scale = steep
		}
		s0 = seen.meanY() - scale*seen.meanX()
	}
	b.S0, b.L = s.unknown(s0, lengthReach), s.unknown(scale, lengthReach)
}

// outerFrets starts from the two outermost frets, which is enough where the equations are linear.
func (s *survey) outerFrets(b *board) (s0, scale float64) {
	low, high := adjust.FretShare(b.low.number), adjust.FretShare(b.high.number)
	scale = s.kit.Info.Scale
	if high > low {
		scale = (b.high.station - b.low.station) / (high - low)
	}
	return b.low.station - scale*low, scale
}

// seenFrets are places along the neck by shares of the scale, the neck taken to lie as its edges
// start: x cos + y sin of a fret read at an offset y. One that was read on the bisector, y = e + x
// tan, lies at x/cos + e sin; and one read along the treble edge nearly where it shows.
func (s *survey) seenFrets(frame measure.Datum, b *board) (seen trend) {
	start := s.problem.Start
	bass, treble := start[b.First.B], start[b.Second.B]
	h, k := math.Sqrt(1+bass*bass), math.Sqrt(1+treble*treble)
	along, across := h+k, bass*k+treble*h // of unit vectors along the edges, times h k
	unit := 1 / math.Sqrt(along*along+across*across)
	cos, sin := along*unit, across*unit
	e := ((start[b.First.A]-bass*b.First.C)*k + (start[b.Second.A]-treble*b.Second.C)*h) / along
	for i := range s.kit.Readings {
		r := &s.kit.Readings[i]
		if r.Feature != measure.Nut && r.Feature != measure.Fret || frameOf(r.Datum) != frame {
			continue
		}
		place := r.Station/cos + e*sin
		switch {
		case r.Datum == measure.DatumEdgeTreble:
			place = r.Station
		case r.HasOffset || r.Datum == measure.DatumEdgeBass:
			place = r.Station*cos + r.Offset*sin
		}
		seen.see(adjust.FretShare(r.Mark.Number), place)
	}
	return seen
}

func (s *survey) numberPoint(p *point) {
	p.station = s.unknown(p.firstStation, lengthReach)
	p.offset = s.unknown(p.firstOffset, lengthReach)
	p.diameter = -1
	if p.hasDiameter || p.byEdge {
		p.diameter = s.unknown(p.firstDia, lengthReach)
	}
}

func compareCorners(a, b cornerKey) int {
	return cmp.Or(cmp.Compare(a.frame, b.frame), cmp.Compare(a.feature, b.feature), cmp.Compare(a.name, b.name))
}

// leastArc is how many points fix a circle.
const leastArc = 3

func (s *survey) numberCorner(c *corner) {
	start := c.sum / float64(max(c.n, 1))
	if len(c.points) >= leastArc {
		if fitted, err := adjust.Circle(c.points, nil, adjust.Options{}); err == nil {
			c.x, c.y = s.unknown(fitted.X[0], lengthReach), s.unknown(fitted.X[1], lengthReach)
			c.radius, c.round = s.unknown(fitted.X[2], lengthReach), true
			return
		}
		s.warn(Warning{Kind: NoCircle})
	}
	c.radius = s.unknown(start, lengthReach)
}

func (s *survey) warn(w Warning) {
	if !slices.Contains(s.warned, w) {
		s.warned = append(s.warned, w)
	}
}
