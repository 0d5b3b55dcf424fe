package simulate

import (
	"math/rand/v2"

	"neckfit/measure"
)

// The corners' marks.
var (
	atBass   = measure.Mark{Name: "bass"}
	atTreble = measure.Mark{Name: "treble"}
)

// LooseParts surveys neck, body and bridge each by itself, from the three straightedges that the
// instrument's poses lay beside them. The saddles stand at their front stops.
func LooseParts(in Instrument, rng *rand.Rand, setup Setup) []measure.Reading {
	s := &survey{hand: newHand(setup, rng)}
	s.from(measure.DatumNeck, in.NeckPose.frame(), s.Long)
	in.readFingerboard(s, s.see)
	in.readHeel(s, s.see.through(in.heel()))
	for k := range in.NeckScrews {
		s.bored(s.see, measure.HeelScrew, mark(k+1), in.heelScrew(k+1), in.HeelScrewSize)
	}

	in.readFretTops(s, s.see, in.fretTop)

	s.from(measure.DatumBody, in.BodyPose.frame(), s.Long)
	in.readPocket(s)
	in.readFloor(s)
	for k, p := range in.NeckScrews {
		s.bored(s.see, measure.NeckScrew, mark(k+1), p, in.NeckScrewSize)
	}
	in.readBody(s, s.see.through(in.bridge()))

	s.from(measure.DatumBridge, in.BridgePose.frame(), s.Offset) // the calliper spans a bridge both ways
	in.readPlate(s)
	in.readSaddles(s, s.see)
	in.readStems(s, s.see)
	return s.readings
}

// thirds are 0, 1/3, 2/3 and 1 of a length.
func thirds(length float64) []float64 {
	return []float64{0, length / 3, 2 * length / 3, length}
}

// fretsRead are the ones that a survey reads, as far as there are so many, and the last.
func (in Instrument) fretsRead() []int {
	var read []int
	for _, n := range []int{1, 3, 5, 7, 9, 12, 15, 17} {
		if n < in.Frets {
			read = append(read, n)
		}
	}
	return append(read, in.Frets)
}

func (in Instrument) readFingerboard(s *survey, v view) {
	stations := thirds(in.lastFret())
	s.side(v, measure.EdgeBass, in.edge(bass), stations...)
	s.side(v, measure.EdgeTreble, in.edge(treble), stations...)
	s.width(v, measure.Fingerboard, in.fingerboardWidth, stations[0], stations[3])
	s.end(v, measure.Nut, measure.Mark{}, across(0, 0), -in.NutWidth/3, in.NutWidth/3)
	for _, n := range in.fretsRead() {
		s.middle(v, measure.Fret, mark(n), in.fretStation(n))
	}
	in.readSlots(s, v)
}

func (in Instrument) readSlots(s *survey, v view) {
	for i := 1; i <= in.Strings; i++ {
		s.point(v, measure.NutSlot, mark(i), in.slot(i))
	}
}

// insets are n stations, in the frame of the heel or the pocket, at which sides are read.
func (in Instrument) insets(n int) []float64 {
	stations := make([]float64, n)
	for i := range stations {
		share := float64(i) / float64(n-1)
		stations[i] = -in.MouthInset*(1-share) - in.EndInset*share
	}
	return stations
}

// sides reads a bass and a treble side, trial after trial.
func (in Instrument) sides(s *survey, v view, bassSide, trebleSide measure.Feature, of func(side) curve) {
	s.again(func() {
		s.side(v, bassSide, of(bass), in.insets(s.SideStations)...)
		s.side(v, trebleSide, of(treble), in.insets(s.SideStations)...)
	})
}

// readHeel sees the heel's own frame.
func (in Instrument) readHeel(s *survey, v view) {
	in.sides(s, v, measure.HeelBass, measure.HeelTreble, in.heelSide)
	in.readHeelWidths(s, v)
	s.end(v, measure.HeelEnd, measure.Mark{}, across(0, in.HeelEndAngle), -in.HeelEnd/3, in.HeelEnd/3)
	s.size(measure.HeelCorner, atBass, measure.Radius, in.HeelRadius)
	s.size(measure.HeelCorner, atTreble, measure.Radius, in.HeelRadius)
}

func (in Instrument) readHeelWidths(s *survey, v view) {
	wide := func(t float64) float64 { return 2 * in.heelSide(treble)(t).Offset }
	s.width(v, measure.Heel, wide, -in.MouthInset, -in.EndInset)
}

// readPocket sees the body's own frame, which is the pocket's.
func (in Instrument) readPocket(s *survey) {
	in.sides(s, s.see, measure.PocketBass, measure.PocketTreble, in.pocketSide)
	in.readPocketWidths(s)
	s.end(s.see, measure.PocketEnd, measure.Mark{}, across(0, in.PocketEndAngle), -in.PocketEnd/3, in.PocketEnd/3)
	s.size(measure.PocketCorner, atBass, measure.Radius, in.PocketRadius)
	s.size(measure.PocketCorner, atTreble, measure.Radius, in.PocketRadius)
}

func (in Instrument) readPocketWidths(s *survey) {
	wide := func(t float64) float64 { return 2 * in.pocketSide(treble)(t).Offset }
	s.width(s.see, measure.Pocket, wide, -in.MouthInset, -in.EndInset)
}

// readBody reads the body's holes for the bridge; it sees the bridge's frame.
func (in Instrument) readBody(s *survey, v view) {
	for k := range in.BridgeScrews {
		s.hole(v, measure.BridgeScrew, mark(k+1), in.bridgeHole(k+1), in.BridgeScrewSize)
	}
	for i := 1; i <= in.Strings; i++ {
		s.hole(v, measure.StringHole, mark(i), in.stringHole(i), in.StringHoleSize)
	}
}

// readPlate reads the bridge's own holes.
func (in Instrument) readPlate(s *survey) {
	for k, p := range in.BridgeScrews {
		s.point(s.see, measure.PlateScrew, mark(k+1), p)
	}
	for i := 1; i <= in.Strings; i++ {
		s.point(s.see, measure.PlateHole, mark(i), in.plateHole(i))
	}
}

// readSaddles reads contacts at the front stops, and both stops; it sees the bridge's frame. A
// stop's station is read beside its string, so with an offset.
func (in Instrument) readSaddles(s *survey, v view) {
	for i := 1; i <= in.Strings; i++ {
		s.point(v, measure.Saddle, mark(i), in.contact(i, 0))
	}
	for i := 1; i <= in.Strings; i++ {
		s.stop(v, measure.SaddleFront, mark(i), in.contact(i, 0))
		s.stop(v, measure.SaddleBack, mark(i), in.contact(i, in.SaddleTravel))
	}
}

// stop reads the station of a place, with its offset for the record.
func (s *survey) stop(v view, f measure.Feature, m measure.Mark, p Point) {
	q := v(p)
	s.add(measure.Reading{
		Feature: f, Mark: m, Kind: measure.Station,
		Station: s.shown(s.along, q.Station), HasStation: true,
		Offset: s.shown(s.Offset, q.Offset), HasOffset: true,
	})
}
