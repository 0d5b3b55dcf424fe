package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// set puts the heel so far toward treble of the middle of the play that remains, and slides it home.
func (k *kit) set(d *candidate, u, v float64) {
	var to [2]float64
	for i, s := range [2]float64{u, v} {
		bass, treble := k.play.Bass[i]-d.walls.Bass[i], k.play.Treble[i]-d.walls.Treble[i]
		to[i] = (treble-bass)/2 + s
	}
	d.moves[fit.HeelMouth], d.moves[fit.HeelEnd] = to[0], to[1]
	if d.seated {
		d.moves[fit.HeelAlong] = k.home(to[0], to[1]) + d.trimmed
	}
}

// reseat is a treatment with the heel set at a place of its own.
func (k *kit) reseat(g group, s seating) *candidate {
	base := &candidate{}
	if g != (group{}) {
		base = k.treat(g, s.mouth, s.end)
	}
	a := Action{Work: measure.Reseat, Mouth: s.u, End: s.v}
	d := base.with(a)
	gap := k.left(d)
	for i, x := range [2]float64{s.u, s.v} {
		d.actions[len(d.actions)-1].Against[i] = against(x, gap[i])
	}
	k.place(d, s.u, s.v)
	return d
}

// settle sets the heel of a candidate anew where its gaps have changed.
func (k *kit) settle(d *candidate) *candidate {
	var at [2]float64
	gap := k.left(d)
	for n := range d.actions {
		a := &d.actions[n]
		if a.Work != measure.Reseat {
			continue
		}
		for i, x := range []*float64{&a.Mouth, &a.End} {
			switch a.Against[i] {
			case Bass:
				*x = -gap[i] / 2
			case Treble:
				*x = gap[i] / 2
			case NoWall:
				half := max(0, gap[i]/2)
				*x = max(-half, min(half, *x))
			}
		}
		at = [2]float64{a.Mouth, a.End}
	}
	k.place(d, at[0], at[1])
	return d
}

// against is the wall that a heel stands at that is set so far toward treble of the middle of a gap.
func against(x, gap float64) Wall {
	const touching = 1e-6 // mm; far above rounding
	switch {
	case gap <= 0:
		return NoWall
	case x >= gap/2-touching:
		return Treble
	case x <= -gap/2+touching:
		return Bass
	}
	return NoWall
}

// treat makes the candidate of a treatment: the two walls' actions, and the heel back in the middle of
// the play that remains. A pocket that nothing is done to leaves the heel where it was.
func (k *kit) treat(g group, mouth, end ends) *candidate {
	d := &candidate{}
	if g == (group{}) {
		return d
	}
	*d = k.bare(mouth, end)
	k.wall(d, Bass, g.bass, mouth.bass, end.bass)
	k.wall(d, Treble, g.treble, mouth.treble, end.treble)
	k.place(d, 0, 0)
	return d
}

// bare is what a treatment does to the walls, without its actions and the hand's errors.
func (k *kit) bare(mouth, end ends) candidate {
	var d candidate
	d.walls = After{Bass: [2]float64{mouth.bass, end.bass}, Treble: [2]float64{mouth.treble, end.treble}}
	for i, e := range [2]ends{mouth, end} {
		d.wider[i] = -e.bass - e.treble
	}
	return d
}

// wall adds what is done to one wall. An error of a shim's thickness is common to both its ends
// unless it is tapered; one of a relief's depth is not. Either moves the middle by its half.
func (k *kit) wall(d *candidate, w Wall, t treatment, mouth, end float64) {
	if t == untreated {
		return
	}
	a := Action{Work: measure.SideShim, Wall: w, Mouth: mouth, End: end}
	if t == relieved {
		a = Action{Work: measure.RelieveWall, Wall: w, Mouth: -mouth, End: -end}
	} else {
		for _, p := range k.pieces[measure.SideStock] {
			if p.Size == max(mouth, end) { // the very number came from the table
				a.Name = p.Name
			}
		}
	}
	d.actions = append(d.actions, a)
	toTreble := 0.5
	if w == Treble {
		toTreble = -0.5
	}
	std := k.std(a.Work)
	one := func(mouth, end float64) {
		var n noise
		n.wider = [2]float64{-mouth * std, -end * std}
		n.moves[fit.HeelMouth], n.moves[fit.HeelEnd] = toTreble*mouth*std, toTreble*end*std
		d.noise = append(d.noise, n)
	}
	if t == shimmed && mouth == end {
		one(1, 1)
		return
	}
	if mouth != 0 {
		one(1, 0)
	}
	if end != 0 {
		one(0, 1)
	}
}

// left are the gaps that a candidate leaves, mouth and end, both walls together.
func (k *kit) left(d *candidate) [2]float64 {
	return [2]float64{k.gaps[0] + d.wider[0], k.gaps[1] + d.wider[1]}
}

// place puts the heel so far toward treble of the middle of the play that remains, at mouth and at
// end, and adds what the hand is off there: next to nothing against a wall, which however is itself known
// no better than half a gap. Where the gaps were felt beside each wall, the middle
// is as uncertain as half a gap; where pocket and heel were surveyed apart, the middle is the
// bisectors' and in the readings' covariance already.
func (k *kit) place(d *candidate, mouth, end float64) {
	gap := k.left(d)
	d.seated = true
	k.set(d, mouth, end)
	if d.lies == 0 {
		d.noise = append(d.noise, noise{}, noise{})
		d.lies = len(d.noise) - 1
	}
	for i, x := range [2]float64{mouth, end} {
		std := min(k.std(measure.Reseat), max(gap[i], 0)/Worst) // the walls hold the heel
		hard := against(x, gap[i]) != NoWall
		if hard {
			std = min(std, pressed)
		}
		if hard || k.result.Way != fit.LooseParts {
			std = math.Hypot(std, k.play.Std[i]/2)
		}
		std = math.Hypot(std, k.play.Adrift[i])
		var n noise
		n.moves[fit.HeelMouth+fit.Move(i)] = std
		d.noise[d.lies-1+i] = n
	}
}

// pressed is how exactly, as a standard deviation, a heel lies that is pressed against a wall: finish and
// dust. Common practice, no source.
const pressed = 0.01 // mm

// swing is the range of the centre-line error over what the pocket's play and the neck screws leave: the worst
// case if the heel slips. Nil where play or error are not known, or the heel does not go in.
func (k *kit) swing(d *candidate) *fit.Swing {
	if k.play == nil || k.criterion(fit.CentreLineError) == nil {
		return nil
	}
	after := k.after(d)
	return k.model.Swing(&d.moves, fit.After{Bass: after.Bass, Treble: after.Treble, Room: d.room.neck, Through: d.newNeck, Trimmed: d.trimmed})
}

// after is the play beside each wall with the heel where the candidate puts it. A heel that is turned takes more room,
// and stands at a wall rather than in it.
func (k *kit) after(d *candidate) After {
	var a After
	taken := d.slim/2 + k.turned(d)/2
	for i, m := range []fit.Move{fit.HeelMouth, fit.HeelEnd} {
		bass := k.play.Bass[i] - d.walls.Bass[i] - taken + d.moves[m]
		treble := k.play.Treble[i] - d.walls.Treble[i] - taken - d.moves[m]
		if play := bass + treble; play >= 0 {
			bass = max(0, min(play, bass))
			treble = play - bass
		}
		a.Bass[i], a.Treble[i] = bass, treble
	}
	return a
}
