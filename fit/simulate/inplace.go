package simulate

import (
	"math/rand/v2"

	"neckfit/measure"
)

// DryFit surveys the assembled instrument from the body's straightedge, the neck lying as the
// instrument says and the saddles at their front stops. A side gap below zero cannot be felt, so
// it is not read: such a neck does not go in.
func DryFit(in Instrument, rng *rand.Rand, setup Setup) []measure.Reading {
	s := &survey{hand: newHand(setup, rng)}
	s.from(measure.DatumBody, in.BodyPose.frame(), s.Long)
	neck := s.see.through(in.neck())
	in.readFingerboard(s, neck)
	in.readHeelWidths(s, neck.through(in.heel()))
	in.readPocketWidths(s)
	in.readGaps(s)
	in.readBody(s, s.see.through(in.bridge()))
	in.readSaddles(s, s.see.through(in.bridge()))
	in.readFretTops(s, neck, func(p Point) float64 { return in.fretPlane(in.neck(), in.neck().out(p)) })
	in.readStems(s, s.see.through(in.bridge()))
	return s.readings
}

// readGaps feels beside both walls at mouth and end, and before the pocket's end at both corners
// of the heel.
func (in Instrument) readGaps(s *survey) {
	neck, t := in.neck(), in.Truth()
	for _, wall := range []struct {
		feature    measure.Feature
		side       side
		mouth, end float64
	}{
		{measure.PocketBass, bass, t.GapBassMouth, t.GapBassEnd},
		{measure.PocketTreble, treble, t.GapTrebleMouth, t.GapTrebleEnd},
	} {
		if min(wall.mouth, wall.end) < 0 {
			continue
		}
		s.feel(wall.feature, -in.MouthInset, func(at float64) float64 { return in.gapAt(neck, wall.side, -at) })
		s.feel(wall.feature, -in.EndInset, func(at float64) float64 { return in.gapAt(neck, wall.side, -at) })
	}
	s.feelEnd(-in.HeelEnd/2, t.EndGapBass)
	s.feelEnd(in.HeelEnd/2, t.EndGapTreble)
}

// feel reads a gap beside a wall at a mark on the pocket's bisector.
func (s *survey) feel(f measure.Feature, station float64, gap func(float64) float64) {
	at, on := s.onAxis(s.see, station)
	s.add(measure.Reading{
		Feature: f, Kind: measure.Gap, Gauge: s.Gap, StationGauge: s.Station,
		Station: at, HasStation: true, Size: max(0, s.shown(s.Gap, gap(on))),
	})
}

// feelEnd reads the end's gap at a corner of the heel.
func (s *survey) feelEnd(offset, gap float64) {
	s.add(measure.Reading{
		Feature: measure.PocketEnd, Kind: measure.Gap, Gauge: s.Gap,
		Offset: s.meant(s.see(Point{0, offset}).Offset), HasOffset: true, Size: max(0, s.shown(s.Gap, gap)),
	})
}

// EdgeCheck is the trade's quick check: a straightedge along each edge of the fingerboard in
// turn, running out over the bridge, and the calliper across heel and pocket. The neck lies as
// the instrument says and the saddles stand at their front stops.
func EdgeCheck(in Instrument, rng *rand.Rand, setup Setup) []measure.Reading {
	s := &survey{hand: newHand(setup, rng)}
	in.readEdge(s, measure.DatumEdgeBass, bass)
	in.readEdge(s, measure.DatumEdgeTreble, treble)
	s.from(measure.DatumNeck, in.NeckPose.frame(), s.Long)
	in.readHeelWidths(s, s.see.through(in.heel()))
	s.from(measure.DatumBody, in.BodyPose.frame(), s.Long)
	in.readPocketWidths(s)
	return s.readings
}

// readEdge reads nut, slots, two frets and the outer saddles from one edge. The nut and the frets
// are read where they meet the straightedge: there the offset is 0.
func (in Instrument) readEdge(s *survey, d measure.Datum, w side) {
	s.from(d, in.edgeDatum(w), s.Long)
	s.atEdge(measure.Nut, measure.Mark{}, 0)
	for _, n := range []int{12, in.Frets} {
		s.atEdge(measure.Fret, mark(n), in.fretStation(n))
	}
	s.point(s.see, measure.NutSlot, mark(1), in.slot(1))
	s.point(s.see, measure.NutSlot, mark(in.Strings), in.slot(in.Strings))
	body := s.see.through(in.neck().undone())
	v := body.through(in.bridge())
	for _, i := range []int{1, in.Strings} {
		s.point(v, measure.Saddle, mark(i), in.contact(i, 0))
		s.stop(v, measure.SaddleFront, mark(i), in.contact(i, 0))
		s.stop(v, measure.SaddleBack, mark(i), in.contact(i, in.SaddleTravel))
	}
}

// atEdge reads the station at which a line square to the centre line meets the straightedge.
func (s *survey) atEdge(f measure.Feature, m measure.Mark, station float64) {
	st := s.see.atOffset(across(station, 0), 0).Station
	s.add(measure.Reading{
		Feature: f, Mark: m, Kind: measure.Station,
		Station: s.shown(s.along, st), HasStation: true, Offset: 0, HasOffset: true,
	})
}
