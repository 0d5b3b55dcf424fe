package pair

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// Size is a size of a part that decides whether another goes with it.
type Size uint8

// The sizes, in mm. Lengths are along the neck's centre line.
const (
	PocketAtMouth Size = iota
	PocketAtEnd
	SaddlesFromEnd // from the pocket's end to the middle of the outer saddles at their front stops, if they travel as those do that are there
	HeelAtMouth    // where the pocket's mouth is
	HeelAtEnd
	NutFromEnd // from the nut to the heel's end
)

// String is the size's name for programs.
func (s Size) String() string {
	return [...]string{"pocket-at-mouth", "pocket-at-end", "saddles-from-pocket-end", "heel-at-mouth", "heel-at-end", "nut-from-heel-end"}[s]
}

// Wanted is the range in which a size of a partner would have to lie.
type Wanted struct {
	Size         Size
	Lower, Upper float64 // an open end is an infinity
}

// Partner is what would suit a part that is left over.
type Partner struct {
	Strings    int // 0 where not known
	LeftHanded bool
	Told       bool    // kits.csv says of which hand it is
	Scale      float64 // mm that lengths are for, of the necks that are there; 0 where not known
	Sizes      []Wanted
}

// partners works out what would suit each of the parts of a kind that are left over: seated with the first
// part of the other kind that it can be seated with, by how far the values then are from their limits. A gap
// grows by as much as the pocket does and shrinks by as much as the heel; a bridge farther back, or a neck with
// its nut farther away, lets the saddles go less to the front and more to the back.
func (l *pricing) partners(lone, others []part, lones []Lone, necks bool) {
	var s fit.Seater
	known := map[int]*lengths{}
	for k, p := range lone {
		to := &lones[k].Partner
		*to = Partner{p.Strings, p.Kit.Info.LeftHanded, p.Kit.Info.Place != measure.Place{}, 0, nil}
		for at, other := range others {
			n, b := p, other
			if !necks {
				n, b = other, p
			}
			if mismatch(&n, &b) != (Obstacle{}) {
				continue
			}
			if known[at] == nil { // what is the other part's is worked out once
				known[at] = lengthsOf(n, b, l.check)
			}
			s.Seat(n.LoosePart, b.LoosePart, l.check)
			v, _ := s.Values()
			to.Scale, to.Sizes = known[at].scale, l.sizes(&v, known[at], necks)
			break
		}
	}
}

// lengths are sizes of two parts that are seated, NaN for what is not known. A heel's widths hang a little on where
// the pocket has its mouth: by its taper, some hundredths a millimetre.
type lengths struct {
	pocket, heel [2]float64 // at mouth and end
	saddles, nut float64    // from the pocket's end to the middle of the outer saddles' front stops; from the nut to the heel's end
	scale        float64    // 0 where not known
}

// lengthsOf takes them from the whole check of a pair.
func lengthsOf(n, b part, o fit.Options) *lengths {
	o.Model, o.Brief = true, true
	r := fit.Check(fit.Unite("", n.Kit, b.Kit), o)
	value := func(id fit.ID) float64 {
		if c := r.Find(id); c.Measured() {
			return c.Value
		}
		return math.NaN()
	}
	out := &lengths{
		[2]float64{value(fit.PocketWidthMouth), value(fit.PocketWidthEnd)}, [2]float64{value(fit.HeelWidthMouth), value(fit.HeelWidthEnd)}, math.NaN(), math.NaN(), 0,
	}
	if r.Model == nil || r.Model.Geometry == nil || r.Model.Geometry.Centre == nil || r.Model.Geometry.PocketEnd == nil {
		return out
	}
	g := r.Model.Geometry
	c, e := g.Centre, g.PocketEnd
	end := (e.D - c.D*(c.NX*e.NX+c.NY*e.NY)) / (c.NY*e.NX - c.NX*e.NY) // where the pocket's end crosses the centre line, along it
	if g.Scale > 0 {
		out.nut, out.scale = end-g.Nut, g.Scale
	}
	var fronts []float64
	for _, p := range g.Places {
		if p.Feature == measure.SaddleFront && (p.Mark.Number == 1 || p.Mark.Number == g.Strings) {
			fronts = append(fronts, c.NY*p.X-c.NX*p.Y-end)
		}
	}
	if len(fronts) == 2 {
		out.saddles = (fronts[0] + fronts[1]) / 2
	}
	return out
}

// sizes are the ranges that bring the values of the pair inside their limits; what cannot be told is left out.
func (l *pricing) sizes(v *fit.Values, fixed *lengths, neck bool) (list []Wanted) {
	add := func(size Size, now, less, more float64) {
		if lower, upper := now-less, now+more; lower <= upper && !math.IsInf(upper-lower, 0) {
			list = append(list, Wanted{size, lower, upper})
		}
	}
	for i, id := range []fit.ID{fit.PocketGapMouth, fit.PocketGapEnd} {
		if neck {
			add(PocketAtMouth+Size(i), fixed.pocket[i], v[id]-l.lower[id], l.upper[id]-v[id])
		} else {
			add(HeelAtMouth+Size(i), fixed.heel[i], l.upper[id]-v[id], v[id]-l.lower[id])
		}
	}
	size, now := SaddlesFromEnd, fixed.saddles
	if !neck {
		size, now = NutFromEnd, fixed.nut
	}
	add(size, now, v[fit.SaddleReserveBack]-l.lower[fit.SaddleReserveBack], v[fit.SaddleReserveFront]-l.lower[fit.SaddleReserveFront])
	return list
}
