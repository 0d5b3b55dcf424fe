package fit

import (
	"math"

	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// shifts are where a heel lies in its pocket: by how much it is shifted toward treble at the mouth and at
// the end, mm.
type shifts struct{ mouth, end float64 }

// swing is the range of the centre-line error over every place that the pocket's clearance and the neck
// screws' holes let the heel take. It is nil where a gap is negative: the heel does not go in. The caller sees
// to it that error and gaps are measured.
func (a *assembly) swing() *Swing {
	p, lack := a.findPlay()
	if !lack.None() || !p.placed {
		return nil
	}
	if p.gap(mouth).Value < 0 || p.gap(end).Value < 0 {
		return nil
	}
	bass, treble := [2]float64{p.bass[mouth].Value, p.bass[end].Value}, [2]float64{p.treble[mouth].Value, p.treble[end].Value}
	return a.swingIn(p, bass, treble, func() *screws { return a.screws(p) })
}

// swingIn is the swing in so much free space beside the walls, at mouth and end. With shifts u at the mouth and
// v at the end, both toward treble and each between minus the bass gap and the treble gap there, l from mouth to end
// and D from mouth to saddle line along the centre line, e(u,v) = e0 - u (1 - D/l) - v D/l. A range below leastSwing
// interests nobody, and the screws are not asked.
func (a *assembly) swingIn(p *play, bass, treble [2]float64, screwsOf func() *screws) *Swing {
	e0, l, d := a.centreLineError().value.Value, p.length().Value, a.lever(p).Value
	at := func(s shifts) float64 { return e0 - s.mouth*(1-d/l) - s.end*d/l }
	toBass, toTreble := shifts{-bass[0], -bass[1]}, shifts{treble[0], treble[1]}
	corners := [4]shifts{toBass, {toTreble.mouth, toBass.end}, toTreble, {toBass.mouth, toTreble.end}}
	low, high := corners[0], corners[0]
	for _, c := range corners[1:] {
		if at(c) < at(low) {
			low = c
		}
		if at(c) > at(high) {
			high = c
		}
	}
	s := &Swing{Low: at(low), High: at(high)}
	if s.High-s.Low < a.leastSwing {
		return s
	}
	screws := screwsOf()
	if screws.allow(low) && screws.allow(high) {
		return s
	}
	from, ok := screws.somewhere(toBass, toTreble)
	if !ok { // they go in nowhere, and their holes are to be opened
		return s
	}
	least := screws.farthest(from, toBass, toTreble, func(s shifts) float64 { return -at(s) })
	most := screws.farthest(from, toBass, toTreble, at)
	return &Swing{Low: -least, High: most, ByScrews: true}
}

// After is a pocket and its neck screws once work was done on them: free space beside the walls at mouth and
// end, how much more room each screw has in its hole in the body, and whether the heel's holes were drilled anew
// through the body's.
type After struct {
	Bass, Treble [2]float64
	Room         float64
	Through      bool
	Trimmed      float64 // off the heel's end
}

// Swing is the swing once the parts are moved and the pocket worked on; nil where it is not known.
func (m *Model) Swing(moves *[Moves]float64, after After) *Swing {
	if m.nudges == nil || !m.nudges.knowsMouth {
		return nil
	}
	defer m.solved.tape.Rewind(m.end)
	a := new(assembly).put(m.solved, wayOf(&m.solved.Survey), m.options, m.nudges.at(moves))
	p, lack := a.findPlay()
	if !lack.None() || !p.placed || after.Bass[0]+after.Treble[0] < 0 || after.Bass[1]+after.Treble[1] < 0 {
		return nil
	}
	return a.swingIn(p, after.Bass, after.Treble, func() *screws {
		s := a.screws(p)
		turn := (moves[HeelEnd] - moves[HeelMouth]) / s.length
		for i := range s.slack { // the heel lies turned, and was slid home or came out a little
			s.slack[i] += turn*s.corner[i] + after.Trimmed - moves[HeelAlong]
		}
		for i := range s.list {
			k := &s.list[i]
			k.clearance += after.Room
			if after.Through {
				k.missAlong, k.missAcross = 0, 0
			}
		}
		return s
	})
}

// screws are the neck's in the seated heel, as far as their holes in the body and their diameter are known.
type screws struct {
	list   []screw
	length float64    // from the pocket's mouth to its end
	corner [2]float64 // of the heel's end, beside the axis
	slack  [2]float64 // between it and the pocket's end
}

// screw is one: how far beside the pocket's axis it stands, what share of a shift at the pocket's end it takes,
// by how much the middle of its hole in the body misses it, and its clearance, half of what the hole is wider.
type screw struct{ beside, share, missAlong, missAcross, clearance float64 }

func (a *assembly) screws(p *play) *screws {
	s := &screws{length: p.length().Value}
	if a.seat == nil || a.Kit.Info.NeckScrew == 0 {
		return s
	}
	half := a.seat.heel.Half.Value
	s.corner, s.slack = [2]float64{-half, half}, a.seat.corners
	for _, m := range a.body.marks(measure.DatumBody, measure.NeckScrew) {
		heel, ok := a.neck.seen(measure.HeelScrew, m)
		hole, known := a.body.diameter(measure.DatumBody, measure.NeckScrew, m)
		if !ok || !known {
			continue
		}
		body, _ := a.body.seen(measure.NeckScrew, m)
		s.list = append(s.list, screw{
			heel.Y.Value, (heel.X.Value - p.mouth.X.Value) / s.length, body.X.Value - heel.X.Value, body.Y.Value - heel.Y.Value,
			max(0, hole-a.Kit.Info.NeckScrew) / 2,
		})
	}
	return s
}

// allow tells whether every screw finds its hole: off its middle by its clearance at the most. A heel that is
// turned moves screws beside its axis along it, and may slide back from the pocket's end to make up for that,
// but not beyond where its corners touch.
func (s *screws) allow(at shifts) bool {
	turn := (at.end - at.mouth) / s.length
	least, most := math.Inf(-1), math.Inf(1) // of the slide, tailward
	for _, k := range s.list {
		across := k.missAcross - at.mouth*(1-k.share) - at.end*k.share
		if math.Abs(across) > k.clearance {
			return false
		}
		along := math.Sqrt(k.clearance*k.clearance - across*across)
		middle := k.missAlong + turn*k.beside
		least, most = max(least, middle-along), min(most, middle+along)
	}
	for i, beside := range s.corner {
		most = min(most, s.slack[i]+turn*beside)
	}
	return least <= most
}

// somewhere is a place between two corners of what the pocket allows that the screws allow too: the mean of many, which lies
// inside the figure of them all, for from a corner of it hardly any direction leads in.
func (s *screws) somewhere(low, high shifts) (shifts, bool) {
	const tries = 8
	var mean shifts
	n := 0.0
	for i := range tries + 1 {
		for j := range tries + 1 {
			at := shifts{
				low.mouth + float64(i)/tries*(high.mouth-low.mouth), low.end + float64(j)/tries*(high.end-low.end),
			}
			if s.allow(at) {
				n++
				mean.mouth, mean.end = mean.mouth+(at.mouth-mean.mouth)/n, mean.end+(at.end-mean.end)/n
			}
		}
	}
	return mean, n > 0
}

// farthest is the greatest value of a linear function over the places that pocket and screws allow, which are
// a convex figure about from: its edge is looked at in every direction, and closer and closer about the best.
func (s *screws) farthest(from, low, high shifts, value func(shifts) float64) float64 {
	const directions, halvings, closer = 12, 12, 9 // to a thousandth of the play
	edge := func(direction float64) float64 {
		sin, cos := math.Sincos(direction)
		cos, sin = cos*(high.mouth-low.mouth), sin*(high.end-low.end)
		far := math.Inf(1) // how far the pocket lets it go
		reach := func(step, down, up float64) {
			switch {
			case step > 0:
				far = min(far, up/step)
			case step < 0:
				far = min(far, down/step)
			}
		}
		reach(cos, low.mouth-from.mouth, high.mouth-from.mouth)
		reach(sin, low.end-from.end, high.end-from.end)
		place := func(r float64) shifts { return shifts{from.mouth + r*cos, from.end + r*sin} }
		if math.IsInf(far, 1) {
			return value(from)
		}
		near := 0.0
		if s.allow(place(far)) {
			near = far
		}
		for range halvings {
			if half := (near + far) / 2; s.allow(place(half)) {
				near = half
			} else {
				far = half
			}
		}
		return value(place(near))
	}
	best, at, step := math.Inf(-1), 0.0, 2*math.Pi/directions
	for i := range directions {
		if v := edge(float64(i) * step); v > best {
			best, at = v, float64(i)*step
		}
	}
	for range closer {
		step /= 2
		for _, next := range [2]float64{at - step, at + step} {
			if v := edge(next); v > best {
				best, at = v, next
			}
		}
	}
	return best
}

// lever is from the pocket's mouth to the bridge's middle, along the centre line.
func (a *assembly) lever(p *play) autodiff.Variable {
	return a.along.Dot(a.bridge.middle.Minus(p.mouth))
}
