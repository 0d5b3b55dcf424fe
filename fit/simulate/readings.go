package simulate

import (
	"math"
	"math/rand/v2"
	"slices"

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
	heel := s.see.through(in.heel())
	in.sides(s, heel, measure.HeelBass, measure.HeelTreble, in.heelSide)
	in.readHeelWidths(s, heel)
	s.end(heel, measure.HeelEnd, measure.Mark{}, across(0, in.HeelEndAngle), -in.HeelEnd/3, in.HeelEnd/3)
	s.size(measure.HeelCorner, atBass, measure.Radius, in.HeelRadius)
	s.size(measure.HeelCorner, atTreble, measure.Radius, in.HeelRadius)
	for k := range in.NeckScrews {
		s.bored(s.see, measure.HeelScrew, mark(k+1), in.heelScrew(k+1), in.HeelScrewSize)
	}

	in.readFretTops(s, s.see, in.fretTop)

	s.from(measure.DatumBody, in.BodyPose.frame(), s.Long)
	// The body's own frame is the pocket's.
	in.sides(s, s.see, measure.PocketBass, measure.PocketTreble, in.pocketSide)
	in.readPocketWidths(s)
	s.end(s.see, measure.PocketEnd, measure.Mark{}, across(0, in.PocketEndAngle), -in.PocketEnd/3, in.PocketEnd/3)
	s.size(measure.PocketCorner, atBass, measure.Radius, in.PocketRadius)
	s.size(measure.PocketCorner, atTreble, measure.Radius, in.PocketRadius)
	in.readFloor(s)
	for k, p := range in.NeckScrews {
		s.bored(s.see, measure.NeckScrew, mark(k+1), p, in.NeckScrewSize)
	}
	in.readBody(s, s.see.through(in.bridge()))

	s.from(measure.DatumBridge, in.BridgePose.frame(), s.Offset) // the calliper spans a bridge both ways
	for k, p := range in.BridgeScrews {
		s.point(s.see, measure.PlateScrew, mark(k+1), p)
	}
	for i := 1; i <= in.Strings; i++ {
		s.point(s.see, measure.PlateHole, mark(i), in.plateHole(i))
	}
	in.readSaddles(s, s.see)
	in.readStems(s, s.see)
	return s.readings
}

func (in Instrument) readFingerboard(s *survey, v view) {
	last := in.lastFret()
	stations := []float64{0, last / 3, 2 * last / 3, last}
	s.side(v, measure.EdgeBass, in.edge(bass), stations...)
	s.side(v, measure.EdgeTreble, in.edge(treble), stations...)
	s.width(v, measure.Fingerboard, in.fingerboardWidth, stations[0], stations[3])
	s.end(v, measure.Nut, measure.Mark{}, in.wire(0), -in.NutWidth/3, in.NutWidth/3)
	frets := slices.DeleteFunc([]int{1, 3, 5, 7, 9, 12, 15, 17}, func(n int) bool { return n >= in.Frets })
	for _, n := range append(frets, in.Frets) {
		if in.Fan != 0 {
			s.end(v, measure.Fret, mark(n), in.wire(n), -fretReach, fretReach)
			continue
		}
		st := v(Point{Station: in.fretStation(n)}).Station // where it crosses the centre line, offset left blank
		s.add(measure.Reading{Feature: measure.Fret, Mark: mark(n), Kind: measure.Station, Station: s.shown(s.along, st), HasStation: true})
	}
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

// sides reads a bass and a treble side, trial after trial, the marks made anew each time.
func (in Instrument) sides(s *survey, v view, bassSide, trebleSide measure.Feature, of func(side) curve) {
	for i := range s.Trials {
		if s.Trials > 1 {
			s.trial = i + 1
		}
		s.side(v, bassSide, of(bass), in.insets(s.SideStations)...)
		s.side(v, trebleSide, of(treble), in.insets(s.SideStations)...)
	}
	s.trial = 0
}

func (in Instrument) readHeelWidths(s *survey, v view) {
	wide := func(t float64) float64 { return 2 * in.heelSide(treble)(t).Offset }
	s.width(v, measure.Heel, wide, -in.MouthInset, -in.EndInset)
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
		if e, ok := in.FerruleErrors[i]; ok {
			p := in.stringHole(i)
			s.point(v, measure.Ferrule, mark(i), Point{p.Station + e.Station, p.Offset + e.Offset})
		}
	}
	if in.Joint != nil {
		s.side(s.see, measure.BodyCentre, func(t float64) Point { return in.Joint.frame().out(Point{Station: t}) }, 40, 150, 260)
	}
	if in.Pickup != nil {
		for _, end := range []struct {
			mark measure.Mark
			side side
		}{{atBass, bass}, {atTreble, treble}} {
			s.point(s.see, measure.Pickup, end.mark, Point{in.Pickup.Station, in.Pickup.Offset + float64(end.side)*in.PickupSpread/2})
		}
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
	in.readFretTops(s, neck, func(p Point) float64 {
		return in.fretPlane(in.neck(), in.neck().out(p)) - in.sag(p.Offset) - in.hollow(p.Station)
	})
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

// leaf is what is read of a gap: the thickest leaf of the feeler gauge that enters, or what a reading
// without errors would stand for.
func (s *survey) leaf(gap float64) float64 {
	step := s.Gap.Resolution
	if s.Exact {
		return gap - step/2
	}
	felt := gap + s.shifts[s.Gap] + s.Gap.Repeatability*s.rng.NormFloat64()
	if s.Uniform {
		return max(0, felt-step/2+s.uniform(step/2))
	}
	const grain = 1e6                                                      // so that three leaves of 0.05 are written as 0.15
	return max(0, math.Round(step*math.Floor(felt/step+1e-9)*grain)/grain) // a leaf of just that thickness enters
}

// feel reads a gap beside a wall at a mark on the pocket's bisector.
func (s *survey) feel(f measure.Feature, station float64, gap func(float64) float64) {
	at, on := s.onAxis(s.see, station)
	s.add(measure.Reading{
		Feature: f, Kind: measure.Gap, Gauge: s.Gap, StationGauge: s.Station,
		Station: at, HasStation: true, Size: s.leaf(gap(on)),
	})
}

// feelEnd reads the end's gap at a corner of the heel.
func (s *survey) feelEnd(offset, gap float64) {
	s.add(measure.Reading{
		Feature: measure.PocketEnd, Kind: measure.Gap, Gauge: s.Gap,
		Offset: s.meant(s.see(Point{0, offset}).Offset), HasOffset: true, Size: s.leaf(gap),
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

// QuickCheck is the shortest check that says where things are along the neck: from the straightedge along the
// bass edge the nut, the last fret, the widths of heel and pocket at mouth and end and both outer bridge screws, from
// the treble edge nut, last fret and the two screws. The neck lies as the instrument says.
func QuickCheck(in Instrument, rng *rand.Rand, setup Setup) []measure.Reading {
	s := &survey{hand: newHand(setup, rng)}
	outer := [2]int{} // the screws farthest toward bass and treble
	for k, p := range in.BridgeScrews {
		for i, w := range []side{bass, treble} {
			if outer[i] == 0 || float64(w)*p.Offset > float64(w)*in.BridgeScrews[outer[i]-1].Offset {
				outer[i] = k + 1
			}
		}
	}
	for i, d := range []measure.Datum{measure.DatumEdgeBass, measure.DatumEdgeTreble} {
		w := []side{bass, treble}[i]
		s.from(d, in.seated(s, w), s.Long)
		s.atEdge(measure.Nut, measure.Mark{}, in.wire(0))
		s.atEdge(measure.Fret, mark(in.Frets), in.wire(in.Frets))
		body := s.see.through(in.neck().undone())
		if w == bass {
			in.readHeelWidths(s, s.see.through(in.heel()))
			wide := func(t float64) float64 { return 2 * in.pocketSide(treble)(t).Offset }
			s.width(body, measure.Pocket, wide, -in.MouthInset, -in.EndInset)
		}
		for _, k := range outer { // both from either edge: so the edges' own spread is known
			s.point(body.through(in.bridge()), measure.BridgeScrew, mark(k), in.bridgeHole(k))
		}
	}
	return s.readings
}

// readEdge reads nut, slots, two frets and the outer saddles from one edge, and the
// stops of the others. The nut and the frets
// are read where they meet the straightedge: there the offset is 0.
func (in Instrument) readEdge(s *survey, d measure.Datum, w side) {
	s.from(d, in.seated(s, w), s.Long)
	s.atEdge(measure.Nut, measure.Mark{}, in.wire(0))
	for _, n := range []int{12, in.Frets} {
		s.atEdge(measure.Fret, mark(n), in.wire(n))
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
	for i := 2; i < in.Strings; i++ {
		s.point(v, measure.SaddleFront, mark(i), in.contact(i, 0))
		s.point(v, measure.SaddleBack, mark(i), in.contact(i, in.SaddleTravel))
	}
}

// seated is the datum of a straightedge that touches its edge near the nut and near the last fret, and stands off
// it at each: in the neck's frame, station tailward from EdgeZero, offset inward.
func (in Instrument) seated(s *survey, w side) frame {
	straight := in
	straight.SideBow = 0
	edge := straight.edge(w)
	a, b := edge(in.EdgeZero), edge(in.EdgeZero+in.Scale)
	f := frame{origin: a, turn: math.Atan2(b.Offset-a.Offset, b.Station-a.Station), flip: w == treble}
	nut, last := s.seats[w][0], s.seats[w][1]
	turn := (last - nut) / in.lastFret()
	f.turn += turn
	f.origin.Offset += nut + turn*in.EdgeZero
	return f
}

// atEdge reads the station at which a fret or the nut meets the straightedge.
func (s *survey) atEdge(f measure.Feature, m measure.Mark, wire curve) {
	st := s.see.atOffset(wire, 0).Station
	s.add(measure.Reading{
		Feature: f, Mark: m, Kind: measure.Station,
		Station: s.shown(s.along, st), HasStation: true, Offset: 0, HasOffset: true,
	})
}

// height reads a height at marks for station and offset.
func (s *survey) height(v view, f measure.Feature, m measure.Mark, p Point, height func(Point) float64) {
	if !s.Heights {
		return
	}
	q := v(p)
	at := Point{s.meant(q.Station), s.meant(q.Offset)}
	// The part's own place of the mark: a mark moved by dq is a place moved by nearly as much, as
	// the datum is turned by a few degrees only. Of a plane that rises by 0.02 that leaves 0.05 x
	// 0.02 of the mark's half millimetre, below a micrometre.
	on := Point{
		p.Station + s.marked(s.Station, at.Station) - q.Station,
		p.Offset + s.marked(s.Station, at.Offset) - q.Offset,
	}
	s.add(measure.Reading{
		Feature: f, Mark: m, Kind: measure.Height, Gauge: s.Depth, StationGauge: s.Station,
		Station: at.Station, HasStation: true, Offset: at.Offset, HasOffset: true,
		Size: s.shown(s.Depth, height(on)),
	})
}

// readFretTops reads three frets on both sides; it sees the neck's frame.
func (in Instrument) readFretTops(s *survey, v view, height func(Point) float64) {
	for _, n := range []int{1, min(12, in.Frets-1), in.Frets} {
		for _, w := range []side{bass, treble} {
			p := Point{in.fretStation(n), float64(w) * fretReach}
			s.height(v, measure.FretTop, mark(n), p, height)
		}
	}
}

// readFloor reads the pocket's floor near its corners and in its middle, and the top beside it.
func (in Instrument) readFloor(s *survey) {
	mouth, end := -in.MouthInset, -in.EndInset
	for _, p := range []Point{
		{mouth, -floorReach}, {mouth, floorReach}, {(mouth + end) / 2, 0}, {end, -floorReach}, {end, floorReach},
	} {
		s.height(s.see, measure.PocketFloor, measure.Mark{}, p, in.floor)
	}
	flat := func(Point) float64 { return 0 }
	beside := in.PocketMouth/2 + 10
	for _, p := range []Point{{mouth, -beside}, {mouth, beside}, {20, -beside}, {20, beside}} {
		s.height(s.see, measure.Top, measure.Mark{}, p, flat)
	}
}

// readStems reads the strings' heights at both ends of the saddles' range; it sees the bridge's frame.
func (in Instrument) readStems(s *survey, v view) {
	low := func(Point) float64 { return in.SaddleLow }
	high := func(Point) float64 { return in.SaddleHigh }
	for i := 1; i <= in.Strings; i++ {
		s.height(v, measure.SaddleLow, mark(i), in.contact(i, 0), low)
		s.height(v, measure.SaddleHigh, mark(i), in.contact(i, 0), high)
	}
}
