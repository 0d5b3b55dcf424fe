package simulate

import (
	"math"
)

// frame is a rigid motion: where a part lies in the frame of another. A flipped frame counts its
// offsets the other way, as the straightedge on the treble edge does.
type frame struct {
	origin Point
	turn   float64 // radians
	flip   bool
}

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }
func degrees(radians float64) float64 { return radians * 180 / math.Pi }

func (p Pose) frame() frame { return frame{origin: p.Zero, turn: radians(p.Turn)} }

// out carries a point of the frame to the frame it lies in.
func (f frame) out(p Point) Point {
	if f.flip {
		p.Offset = -p.Offset
	}
	sin, cos := math.Sincos(f.turn)
	return Point{
		f.origin.Station + cos*p.Station - sin*p.Offset,
		f.origin.Offset + sin*p.Station + cos*p.Offset,
	}
}

// in is the way back.
func (f frame) in(p Point) Point {
	sin, cos := math.Sincos(f.turn)
	s, o := p.Station-f.origin.Station, p.Offset-f.origin.Offset
	q := Point{cos*s + sin*o, -sin*s + cos*o}
	if f.flip {
		q.Offset = -q.Offset
	}
	return q
}

// undone is the frame that the outer one makes in a frame that is not flipped.
func (f frame) undone() frame {
	return frame{origin: f.in(Point{}), turn: -f.turn}
}

// within is where f, which lies in outer, lies in the frame that outer lies in; neither is flipped.
func (f frame) within(outer frame) frame {
	return frame{origin: outer.out(f.origin), turn: outer.turn + f.turn}
}

// view is how a datum sees the points of a part's own frame.
type view func(Point) Point

// through is the view of a frame that lies in the one that v sees.
func (v view) through(f frame) view {
	return func(p Point) Point { return v(f.out(p)) }
}

// curve is a line of a part, by station for a side and by offset for an end.
type curve func(float64) Point

// Every line here is within a few degrees of the axis it is drawn along and bows by less than a
// thousandth, so that the secant's error falls by at least a hundredfold a step: from 1000 mm to
// below the rounding of float64 in under ten.
const secantSteps = 12

// solve finds t with f(t) = want for a nearly linear f, starting near guess.
func solve(f func(float64) float64, want, guess float64) float64 {
	t0, t1 := guess, guess+1
	e0, e1 := f(t0)-want, f(t1)-want
	for range secantSteps {
		if e1 == e0 {
			break
		}
		t0, t1 = t1, t1-e1*(t1-t0)/(e1-e0)
		e0, e1 = e1, f(t1)-want
	}
	return t1
}

// atStation is where the datum meets the curve at its station s.
func (v view) atStation(c curve, s float64) Point {
	return v(c(solve(func(t float64) float64 { return v(c(t)).Station }, s, 0)))
}

// atOffset is where the datum meets the curve at its offset o.
func (v view) atOffset(c curve, o float64) Point {
	return v(c(solve(func(t float64) float64 { return v(c(t)).Offset }, o, 0)))
}

// fretStation is where fret n stands on the neck's centre line; n = 0 is the nut. Equal
// temperament: every fret leaves 2^(-1/12) of the string that the one before it left.
func (in Instrument) fretStation(n int) float64 {
	left := in.Scale
	for range n {
		left /= math.Pow(2, 1.0/12)
	}
	return in.Scale - left + in.FretErrors[n]
}

// fanned is a scale that only a fanned board tells of.
func (in Instrument) fanned(scale float64) float64 {
	if in.Fan == 0 {
		return 0
	}
	return scale
}

// wire is the line of fret n, 0 for the nut: straight through the places at which the two outer strings, each
// by its own scale, have it. Where the strings are not fanned it is square to the centre line.
func (in Instrument) wire(n int) curve {
	on := func(w side) Point {
		string := in
		string.FretErrors = nil
		string.Scale -= float64(w) * in.Fan / 2
		// Its nut stands where its straight fret does, less the way from one to the other.
		nut := in.fretStation(in.StraightFret) - in.FretErrors[in.StraightFret] - string.fretStation(in.StraightFret)
		along := string.fretStation(n)
		return Point{nut + along + in.FretErrors[n], float64(w) / 2 * (in.NutSpread + (in.BridgeSpread-in.NutSpread)*along/string.Scale)}
	}
	b, t := on(bass), on(treble)
	return func(o float64) Point {
		return Point{b.Station + (t.Station-b.Station)*(o-b.Offset)/(t.Offset-b.Offset), o}
	}
}

// lastFret is the last fret's station, free of its own error.
func (in Instrument) lastFret() float64 {
	in.FretErrors = nil
	return in.fretStation(in.Frets)
}

// fingerboardWidth is the distance of the edges, square to the centre line.
func (in Instrument) fingerboardWidth(station float64) float64 {
	return in.NutWidth + (in.LastFretWidth-in.NutWidth)*station/in.lastFret()
}

// bow is how far the centre line leaves the straight one: the second Legendre polynomial over
// nut to last fret, so that its least-squares line there is zero, scaled to sagitta SideBow.
func (in Instrument) bow(station float64) float64 {
	x := 2*station/in.lastFret() - 1
	return -in.SideBow / 1.5 * (1.5*x*x - 0.5) // from -0.5 in the middle to 1 at the ends: sagitta 1.5
}

// side is +1 for treble and -1 for bass.
type side float64

const (
	bass   side = -1
	treble side = 1
)

// edge is a fingerboard edge in the neck's frame.
func (in Instrument) edge(w side) curve {
	return func(s float64) Point { return Point{s, float64(w)*in.fingerboardWidth(s)/2 + in.bow(s)} }
}

// across is a line square to the frame's axis at a station, turned by an angle in degrees.
func across(station, angle float64) curve {
	slope := -math.Tan(radians(angle))
	return func(o float64) Point { return Point{station + slope*o, o} }
}

func axis(s float64) Point { return Point{s, 0} }

// heel lies in the neck's frame: origin in the middle of its end, station along its bisector.
func (in Instrument) heel() frame {
	return frame{origin: Point{in.HeelStation, in.HeelSideways}, turn: radians(in.HeelHeading)}
}

// wedge is a side of the heel or the pocket, in its own frame.
func wedge(w side, mouth, end, length float64) curve {
	return func(s float64) Point {
		return Point{s, float64(w) * (end + (mouth-end)*-s/length) / 2}
	}
}

func (in Instrument) heelSide(w side) curve {
	return wedge(w, in.HeelMouth, in.HeelEnd, in.HeelLength)
}

func (in Instrument) pocketSide(w side) curve {
	return wedge(w, in.PocketMouth, in.PocketEnd, in.PocketLength)
}

// spread is the offset of string i, from 1 at treble, in a row of even pitch.
func (in Instrument) spread(i int, outer float64) float64 {
	return outer/2 - outer*float64(i-1)/float64(in.Strings-1)
}

// slot is a string's slot, in the neck's frame.
func (in Instrument) slot(i int) Point { return in.wire(0)(in.spread(i, in.NutSpread)) }

// contact is a string's contact at its saddle, that far back from the front stop, in the
// bridge's frame.
func (in Instrument) contact(i int, back float64) Point {
	share := float64(i-1)/float64(in.Strings-1) - 0.5 // of the slant: half of it forward at treble, half back at bass
	return Point{back + in.SaddleSlant*share, in.spread(i, in.BridgeSpread)}
}

// plateHole is the plate's hole for a string, stringHole the body's, both in the bridge's frame.
func (in Instrument) plateHole(i int) Point {
	return Point{in.StringHoleStation, in.spread(i, in.BridgeSpread)}
}

func (in Instrument) stringHole(i int) Point {
	p := in.plateHole(i)
	p.Station += in.StringHoleShift.Station
	p.Offset += in.StringHoleShift.Offset + in.PitchMisfit()[i-1]
	return p
}

// bridgeHole is the body's hole for the plate's screw k, from 1, in the bridge's frame.
func (in Instrument) bridgeHole(k int) Point {
	p, e := in.BridgeScrews[k-1], in.Misfit()[k-1]
	return Point{p.Station + e.Station, p.Offset + e.Offset}
}

// heelScrew is the heel's hole k, from 1, in the neck's frame.
func (in Instrument) heelScrew(k int) Point {
	p, e := in.NeckScrews[k-1], in.HeelScrewErrors[k]
	return in.Seated().neck().in(Point{p.Station + e.Station, p.Offset + e.Offset})
}

// neck is where the neck lies in the body's frame: the heel's bisector through the two shifts,
// then slid tailward until the first corner of the heel's end meets the pocket's end.
func (in Instrument) neck() frame {
	start := Point{-in.MouthInset, in.MouthShift}
	dir := math.Atan2(in.EndShift-in.MouthShift, in.MouthInset-in.EndInset)
	heel := frame{origin: start, turn: dir}
	slide := math.Inf(1)
	for _, w := range []side{bass, treble} {
		slide = min(slide, in.room(heel, w))
	}
	heel.origin = heel.out(Point{slide - in.EndGap, 0})
	return in.heel().undone().within(heel)
}

// room is how far the heel can slide along its bisector before the corner on that side meets the
// line of the pocket's end.
func (in Instrument) room(heel frame, w side) float64 {
	corner := across(0, in.HeelEndAngle)(float64(w) * in.HeelEnd / 2)
	end := across(0, in.PocketEndAngle)
	short := func(slide float64) float64 {
		p := heel.out(Point{corner.Station + slide, corner.Offset})
		return p.Station - end(p.Offset).Station
	}
	return solve(short, 0, 0)
}

// bridge is where the bridge lies in the body's frame. It is placed from the seated neck and
// stays where it is when the neck moves in the pocket.
func (in Instrument) bridge() frame {
	neck := in.Seated().neck()
	return frame{
		origin: neck.out(Point{in.BridgeStation, in.CentreLineError}),
		turn:   neck.turn + radians(in.BridgeSkew),
	}
}
