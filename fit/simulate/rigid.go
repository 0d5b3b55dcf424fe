package simulate

import "math"

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
