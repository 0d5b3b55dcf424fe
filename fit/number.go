package fit

import (
	"cmp"
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
		a, b := side.meanY(), side.slope()
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
		return sign * w.meanY() / 2, sign * w.slope() / 2
	}
	at := partner.meanY() + partner.slope()*(w.meanX()-partner.meanX())
	return at + sign*w.meanY(), partner.slope() + sign*w.slope()
}

// edgeStart is where the treble edge lies from the bass edge's straightedge at first sight: a
// fingerboard is about 50 mm wide and widens by about 0.025 mm a mm. Places seen from both edges
// correct it; where there are none, nothing that is reported depends on it.
func edgeStart() (a, b float64) {
	const wide, widening = 50, 0.025
	return wide, widening
}

// numberBoard starts the frets from the two outermost that were read.
func (s *survey) numberBoard(frame measure.Datum, b *board) {
	bass := s.sides.get(sideAt(frame, measure.EdgeBass))
	treble := s.sides.get(sideAt(frame, measure.EdgeTreble))
	w := s.widths.get(sideAt(frame, measure.Fingerboard))
	b.edged = s.edges && frame == measure.DatumEdgeBass || bass.n+treble.n > 0 || w != nil
	b.First, b.Second = bass.Side, treble.Side
	scale := s.kit.Info.Scale
	share := adjust.FretShare(b.high.number) - adjust.FretShare(b.low.number)
	if share > 0 {
		scale = (b.high.station - b.low.station) / share
	}
	b.S0 = s.unknown(b.low.station-scale*adjust.FretShare(b.low.number), lengthReach)
	b.L = s.unknown(scale, lengthReach)
}

func (s *survey) numberPoint(p *point) {
	p.station = s.unknown(p.firstStation, lengthReach)
	p.offset = s.unknown(p.firstOffset, lengthReach)
	p.diameter = none
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
		s.warn("the points on a corner do not lie on a circle; read its radius with a gauge")
	}
	c.radius = s.unknown(start, lengthReach)
}

func (s *survey) warn(text string) {
	if !slices.Contains(s.warned, text) {
		s.warned = append(s.warned, text)
	}
}
