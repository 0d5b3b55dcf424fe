package simulate

import (
	"math"

	"neckfit/measure"
)

// slopes is the rise of a plane with that pitch and roll, in degrees, from the origin to p.
func slopes(pitch, roll float64, p Point) float64 {
	return math.Tan(radians(pitch))*p.Station + math.Tan(radians(roll))*p.Offset
}

// floorPlane is the height of the pocket's floor without its hump, in the body's frame: negative.
func (in Instrument) floorPlane(p Point) float64 {
	return slopes(in.FloorPitch, in.FloorRoll, p) - in.PocketDepth
}

// floor has the hump too: all of it in the pocket's middle, none at the places near its corners.
func (in Instrument) floor(p Point) float64 {
	reach := (in.MouthInset - in.EndInset) / 2
	x, y := (p.Station+in.EndInset+reach)/reach, p.Offset/floorReach
	return in.floorPlane(p) + in.FloorHump*(1-x*x)*(1-y*y)
}

// floorReach and fretReach are how far from the middle the floor and the frets are read, in mm.
const (
	floorReach = 20
	fretReach  = 15
)

// fretTop is the height of the fret plane over the heel's underside, in the neck's frame.
func (in Instrument) fretTop(p Point) float64 {
	p.Station -= in.HeelStation
	return in.FretHeight + slopes(in.FretPitch, in.FretRoll, p)
}

// fretPlane is the height of the fret plane over the body's top at p in the body's frame, for a
// neck lying there. The heel's underside lies on the floor's plane, its hump shaved off, and heights
// are added plumb: for planes inclined by up to 1 degree against the floor and the floor by as
// much, that is off by less than the angle squared, 0.0003 of any height, so 0.01 mm of 30 mm.
func (in Instrument) fretPlane(neck frame, p Point) float64 {
	return in.floorPlane(p) + in.fretTop(neck.in(p))
}

// heights probes the fret plane at the bridge's origin and 1 mm tailward and trebleward of the nut.
func (in Instrument) heights(t *Truth, neck, bridge frame) {
	t.FretPlaneHeight = in.fretPlane(neck, bridge.origin)
	at := func(s, o float64) float64 { return in.fretPlane(neck, neck.out(Point{s, o})) }
	t.Pitch = degrees(math.Atan(at(1, 0) - at(0, 0)))
	t.Roll = degrees(math.Atan(at(0, 1) - at(0, 0)))
	t.PocketDepth = -in.floorPlane(Point{Station: -(in.MouthInset + in.EndInset) / 2})
}

// SaddleHeightReserve is how far the least and the greatest height of the saddles lie beyond what
// the strings need, the neck lying as the instrument says: action is the string's height over
// fret 12 and nut its height at the nut, both over the fret plane, in mm. Each string is straight,
// so at twice fret 12's distance it stands as far above its height at fret 12 as that stands above
// the nut's; the saddles are at their front stops.
func (in Instrument) SaddleHeightReserve(action, nut float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(1)
	neck, bridge := in.neck(), in.bridge()
	for i := 1; i <= in.Strings; i++ {
		needed := in.fretPlane(neck, bridge.out(in.contact(i, 0))) + action + (action - nut)
		low, high = min(low, needed-in.SaddleLow), min(high, in.SaddleHigh-needed)
	}
	return low, high
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
