package fit

import "neckfit/fit/autodiff"

// swing is the range of the centre-line error over every place that the pocket's clearance lets
// the heel take. With shifts u at the mouth and v at the end, both toward treble and each between
// minus the bass gap and the treble gap there, l from mouth to end and D from mouth to saddle line
// along the centre line, e(u,v) = e0 - u (1 - D/l) - v D/l. It is nil where a gap is negative: the
// heel does not go in. The caller sees to it that error and gaps are measured.
func (a *assembly) swing() *Swing {
	p, lack := a.findPlay()
	if !lack.None() || !p.placed {
		return nil
	}
	e0 := a.centreLineError().value.Value
	if p.gap(0).Value < 0 || p.gap(1).Value < 0 {
		return nil
	}
	l := p.length().Value
	d := a.lever(p).Value
	low, high := e0, e0
	for i, k := range []float64{-(1 - d/l), -d / l} {
		toBass, toTreble := -k*p.bass[i].Value, k*p.treble[i].Value
		low += min(toBass, toTreble)
		high += max(toBass, toTreble)
	}
	return &Swing{Low: low, High: high}
}

// lever is from the pocket's mouth to the bridge's middle, along the centre line.
func (a *assembly) lever(p *play) autodiff.Variable {
	return a.along.Dot(a.bridge.middle.Minus(p.mouth))
}
