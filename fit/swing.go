package fit

// swing is the range of the centre-line error over every place that the pocket's clearance lets
// the heel take. With shifts u at the mouth and v at the end, both toward treble and each between
// minus the bass gap and the treble gap there, l from mouth to end and D from mouth to saddle line
// along the centre line, e(u,v) = e0 - u (1 - D/l) - v D/l. It is nil where a gap is negative: the
// heel does not go in.
func (a *assembly) swing() *Swing {
	e := a.centreLineError()
	p, lack := a.findPlay()
	if e.missing != "" || lack != "" || !p.placed || a.way == EdgeCheck {
		return nil
	}
	e0 := e.value.v
	if p.gap(0).v < 0 || p.gap(1).v < 0 {
		return nil
	}
	l := p.end.v - p.mouth.v
	mouth := a.centre.along().dot(a.mouthPlace(p)).v
	d := a.centre.along().dot(a.bridge.middle).v - mouth
	low, high := e0, e0
	for i, k := range []float64{-(1 - d/l), -d / l} {
		toBass, toTreble := -k*p.bass[i].v, k*p.treble[i].v
		low += min(toBass, toTreble)
		high += max(toBass, toTreble)
	}
	return &Swing{Low: low, High: high}
}

// mouthPlace is where the pocket's mouth crosses the middle, near enough: it only scales the
// lever from mouth to saddles, which is some hundreds of millimetres long.
func (a *assembly) mouthPlace(p *play) vector {
	if a.seat != nil {
		return vector{x: p.mouth}
	}
	return a.centre.atStation(p.mouth.v)
}
