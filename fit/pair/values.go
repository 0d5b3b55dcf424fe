package pair

import (
	"cmp"
	"math"

	"neckfit/fit"
	"neckfit/fit/adjust"
	"neckfit/measure"
)

// Quantity is a characteristic that depends on both parts of a pair.
type Quantity uint8

// The quantities, named as the characteristics of package fit; see names.
const (
	CentreLineError Quantity = iota
	BridgeSkew
	MarginBass
	MarginTreble
	MarginBalance
	SaddleReserveFront
	SaddleReserveBack
	PocketGapMouth
	PocketGapEnd
	EndGap
	CornerReserve
	NeckScrewMismatch
	FretPlaneHeight
	SaddleHeightReserveLow
	SaddleHeightReserveHigh
	Pitch
	Roll

	quantities // how many there are
)

// ids are the characteristics that they are.
var ids = [quantities]fit.ID{
	fit.CentreLineError, fit.BridgeSkew, fit.MarginBass, fit.MarginTreble, fit.MarginBalance,
	fit.SaddleReserveFront, fit.SaddleReserveBack, fit.PocketGapMouth, fit.PocketGapEnd, fit.EndGap,
	fit.CornerReserve, fit.NeckScrewMismatch, fit.FretPlaneHeight, fit.SaddleHeightReserveLow,
	fit.SaddleHeightReserveHigh, fit.Pitch, fit.Roll,
}

// String is the characteristic's name.
func (q Quantity) String() string { return ids[q].String() }

// Values are a pair's quantities in mm or degrees; NaN for what was not measured.
type Values [quantities]float64

// seating is one neck in one body, put together: the neck's frame is the body's, moved by shift.
type seating struct {
	n *fit.LooseNeck
	b *fit.LooseBody
	wants
	shift float64 // of the neck tailward, mm: by the seat rule the first corner touches the end
	slack float64 // between the other corner and the pocket's end
}

// wants are what kits.csv says of a pair, in mm.
type wants struct {
	screw         float64 // diameter of the neck's screws; 0 unknown
	action, atNut float64 // how high the strings are wanted over the fret plane, at fret 12 and at the nut
}

// wantsOf takes them as fit.Unite does.
func wantsOf(n, b *measure.Kit) wants {
	info := measure.Info{
		NeckScrew: cmp.Or(n.Info.NeckScrew, b.Info.NeckScrew),
		Action:    cmp.Or(n.Info.Action, b.Info.Action), NutHeight: cmp.Or(n.Info.NutHeight, b.Info.NutHeight),
	}
	w := wants{screw: info.NeckScrew}
	w.action, w.atNut = fit.StringHeights(info)
	return w
}

// seat puts a neck into a body; both must be seatable (Missing empty).
func seat(n *fit.LooseNeck, b *fit.LooseBody, w wants) *seating {
	s := &seating{n: n, b: b, wants: w, shift: math.Inf(1)}
	most := math.Inf(-1)
	for _, c := range n.Corners {
		travel := (b.Stop.D-b.Stop.NY*c.Y)/b.Stop.NX - c.X
		s.shift, most = min(s.shift, travel), max(most, travel)
	}
	s.slack = most - s.shift
	return s
}

// values works out all quantities; formulas as in DESIGN section 6 and package fit.
func (s *seating) values() Values {
	var v Values
	for i := range v {
		v[i] = math.NaN()
	}
	v[EndGap] = s.slack
	s.gaps(&v)
	s.corners(&v)
	s.screws(&v)
	if s.n.Centred && s.b.Bridged {
		s.alignment(&v)
		if s.n.Scaled && s.b.Mounted {
			s.margins(&v)
			s.reserves(&v)
		}
	}
	s.heights(&v)
	return v
}

// moved is a line of the neck in the body's frame.
func (s *seating) moved(l fit.Line) fit.Line {
	l.D += l.NX * s.shift
	return l
}

func (s *seating) movedSpot(p fit.Spot) fit.Spot { return fit.Spot{X: p.X + s.shift, Y: p.Y} }

func beside(l fit.Line, p fit.Spot) float64 { return l.NX*p.X + l.NY*p.Y - l.D }

// along is how far p lies along a centre line from the frame's zero.
func along(l fit.Line, p fit.Spot) float64 { return l.NY*p.X - l.NX*p.Y }

// width between two sides at x, square to the frame's x axis.
func width(sides [2]fit.Line, x float64) float64 {
	y := func(l fit.Line) float64 { return (l.D - l.NX*x) / l.NY }
	return y(sides[1]) - y(sides[0])
}

func (s *seating) gaps(v *Values) {
	if !s.b.Sleeved {
		return
	}
	gap := func(x float64) float64 { return width(s.b.Pocket, x) - width(s.n.Heel, x-s.shift) }
	v[PocketGapMouth], v[PocketGapEnd] = gap(s.b.Mouth), gap(s.b.End)
}

func (s *seating) corners(v *Values) {
	for _, name := range [2]string{"bass", "treble"} {
		heel, ok := s.n.Radii[name]
		pocket, also := s.b.Radii[name]
		if ok && also && !(v[CornerReserve] < heel-pocket) {
			v[CornerReserve] = heel - pocket
		}
	}
}

// leastMatch is how many matched holes make a pattern.
const leastMatch = 2

func (s *seating) screws(v *Values) {
	worst, matched := 0.0, 0
	for _, hole := range s.b.Screws {
		if p, ok := s.n.Screws[hole.Mark]; ok {
			p = s.movedSpot(p)
			worst = max(worst, math.Hypot(hole.X-p.X, hole.Y-p.Y))
			matched++
		}
	}
	if matched >= leastMatch {
		v[NeckScrewMismatch] = worst
	}
}

func (s *seating) alignment(v *Values) {
	c := s.moved(s.n.Centre)
	v[CentreLineError] = beside(c, s.b.Middle)
	// From the centre line's direction (NY, -NX) to the bridge's heading, which is the row turned
	// a quarter tailward: (row.Y, -row.X).
	cross := c.NY*-s.b.Row.X + c.NX*s.b.Row.Y
	dot := c.NY*s.b.Row.Y + c.NX*s.b.Row.X
	v[BridgeSkew] = math.Atan2(cross, dot) * 180 / math.Pi
}

func (s *seating) reserves(v *Values) {
	c := s.moved(s.n.Centre)
	need := s.nut(c) + s.n.Scale
	for i := range s.b.Saddles {
		saddle := &s.b.Saddles[i]
		at := need + s.b.Compensation(saddle.Mark, s.n.Scale, s.action)
		if saddle.Front != nil {
			lower(v, SaddleReserveFront, at-along(c, *saddle.Front))
		}
		if saddle.Back != nil {
			lower(v, SaddleReserveBack, along(c, *saddle.Back)-at)
		}
	}
}

// nut is where the nut stands along the centre line, seen from the body's frame.
func (s *seating) nut(c fit.Line) float64 { return s.n.Nut + c.NY*s.shift }

// lower sets a quantity to x if it is not lower already.
func lower(v *Values, q Quantity, x float64) {
	if !(v[q] <= x) {
		v[q] = x
	}
}

func (s *seating) margins(v *Values) {
	last, strings := s.n.Last, s.strings()
	if last == 0 || strings < 2 {
		return
	}
	c := s.moved(s.n.Centre)
	at := s.nut(c) + s.n.Scale*adjust.FretShare(last)
	bass, ok := s.stringAt(c, strings, at)
	treble, also := s.stringAt(c, 1, at)
	if !ok || !also {
		return
	}
	v[MarginBass] = bass - crossing(c, s.moved(s.n.Edges[0]), at)
	v[MarginTreble] = crossing(c, s.moved(s.n.Edges[1]), at) - treble
	v[MarginBalance] = v[MarginBass] - v[MarginTreble]
}

func (s *seating) strings() int { return max(s.n.Strings, s.b.Strings) }

// crossing is how far toward treble of the centre line another side crosses the square to it that
// stands a distance t along it.
func crossing(c, side fit.Line, t float64) float64 {
	x, y := c.NY*t+c.NX*c.D, -c.NX*t+c.NY*c.D
	return (side.D - side.NX*x - side.NY*y) / (side.NX*c.NX + side.NY*c.NY)
}

// stringAt is how far toward treble of the centre line a string runs at a distance along it.
func (s *seating) stringAt(c fit.Line, mark int, at float64) (float64, bool) {
	slot, ok := s.n.Slots[mark]
	if !ok && s.n.Spread != nil {
		slot, ok = s.n.Spread[0], true
		if mark == 1 {
			slot = s.n.Spread[1]
		}
	}
	saddle := s.contact(mark)
	if !ok || saddle == nil {
		return 0, false
	}
	slot = s.movedSpot(slot)
	start := along(c, slot)
	share := (at - start) / (along(c, *saddle) - start)
	return beside(c, fit.Spot{X: slot.X + share*(saddle.X-slot.X), Y: slot.Y + share*(saddle.Y-slot.Y)}), true
}

// contact is where a string lies on its saddle; nil where that is not known.
func (s *seating) contact(mark int) *fit.Spot {
	if mark > len(s.b.Saddles) {
		return nil
	}
	return s.b.Saddles[mark-1].Contact
}

// heights stack the fret tops on the pocket's floor.
func (s *seating) heights(v *Values) {
	if s.n.Frets == nil || s.b.Floor == nil {
		return
	}
	f, g := s.n.Frets, s.b.Floor
	byX, byY := f.ByX+g.ByX, f.ByY+g.ByY
	plane := func(p fit.Spot) float64 { return f.At - f.ByX*s.shift + g.At + byX*p.X + byY*p.Y }
	if s.n.Centred {
		c := s.n.Centre
		v[Pitch] = math.Atan(byX*c.NY-byY*c.NX) * 180 / math.Pi
		v[Roll] = math.Atan(byX*c.NX+byY*c.NY) * 180 / math.Pi
	}
	if !s.n.Centred || !s.b.Bridged {
		return
	}
	v[FretPlaneHeight] = plane(s.b.Middle)
	over := 2*s.action - s.atNut // of a straight string over the fret plane at the saddle
	for i := range s.b.Saddles {
		saddle := &s.b.Saddles[i]
		if saddle.Contact == nil {
			continue
		}
		needed := plane(*saddle.Contact) + over
		if saddle.Low != nil {
			lower(v, SaddleHeightReserveLow, needed-*saddle.Low)
		}
		if saddle.High != nil {
			lower(v, SaddleHeightReserveHigh, *saddle.High-needed)
		}
	}
}

// swing is the range of the centre-line error over what the clearance lets the heel take, by the
// seat rule about the middle; ok is false where it is not known or the heel does not go in.
func (s *seating) swing(v *Values) (low, high float64, ok bool) {
	e, mouth, end := v[CentreLineError], v[PocketGapMouth], v[PocketGapEnd]
	if !(mouth >= 0) || !(end >= 0) || math.IsNaN(e) {
		return 0, 0, false
	}
	c := s.moved(s.n.Centre)
	l := s.b.End - s.b.Mouth
	d := along(c, s.b.Middle) - along(c, fit.Spot{X: s.b.Mouth})
	half := math.Abs(1-d/l)*mouth/2 + math.Abs(d/l)*end/2
	return e - half, e + half, true
}
