package fit

import (
	"math"

	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// Cents by which a string may be out at its octave (common practice, no source), and cents by which a
// string is out that is as much longer as it is long: an octave has 1200, so that a small part p of the length
// makes p times 1200/ln 2.
const (
	mostCents      = 5.0
	centsOfALength = 1200 / math.Ln2
)

// need is where a string must lie on its saddle, along the centre line: a scale length and what it adds to
// it from the nut.
func (a *assembly) need(mark int, nut, scale autodiff.Variable) autodiff.Variable {
	scale = a.scaleOf(mark, scale)
	return a.nutOf(mark, nut).Plus(scale).Plus(autodiff.Constant(a.compensation(mark, scale.Value)))
}

// wanted is how far behind its saddle's front stop, or its contact where no stop was read, a string must lie.
func (a *assembly) wanted(mark int, nut, scale autodiff.Variable) (autodiff.Variable, bool) {
	at, ok := a.bridge.carry.stop(measure.SaddleFront, mark)
	if !ok {
		at, ok = a.bridge.carry.contact(measure.Saddle, mark)
	}
	if !ok {
		return autodiff.Variable{}, false
	}
	return a.need(mark, nut, scale).Minus(a.along.Dot(at)), true
}

// compromise is by how much a string's saddle stands farther back than the string wants it, so that the
// one it is set together with is no more out in cents: half the difference of what the two want.
func (a *assembly) compromise(mark int, nut, scale autodiff.Variable) (autodiff.Variable, bool) {
	other := mark + 1
	if mark%2 == 0 {
		other = mark - 1
	}
	if a.Kit.Info.Saddles != measure.SaddlePairs || other > a.Strings { // each has its own
		return autodiff.Variable{}, false
	}
	own, ok := a.wanted(mark, nut, scale)
	its, okToo := a.wanted(other, nut, scale)
	if !ok || !okToo {
		return autodiff.Variable{}, false
	}
	return its.Minus(own).Scaled(0.5), true
}

// intonationError is by how much the string with most of it is too long or too short when saddles that
// are set in pairs stand at their best, or saddles that cannot be set where they are.
func (a *assembly) intonationError() finding {
	saddles := a.Kit.Info.Saddles
	if saddles == measure.SaddleEach {
		return missing(Missing{Want: WantSharedSaddles})
	}
	if lack := a.lack(); !lack.None() {
		return missing(lack)
	}
	nut, scale, lack := a.nut()
	if !lack.None() {
		return missing(lack)
	}
	worst, at, rivals := autodiff.Variable{}, 0, []autodiff.Variable(nil)
	for m := 1; m <= a.Strings; m++ {
		out, ok := a.compromise(m, nut, scale)
		if saddles == measure.SaddleFixed {
			var place autodiff.Vector
			place, ok = a.bridge.carry.contact(measure.Saddle, m)
			out = a.along.Dot(place).Minus(a.need(m, nut, scale))
		}
		if !ok {
			continue
		}
		if out.Value < 0 {
			out = out.Negated()
		}
		if saddles == measure.SaddleFixed || m%2 == 1 { // two of a pair are out by the same
			rivals = append(rivals, out)
		}
		if at == 0 || out.Value > worst.Value {
			worst, at = out, m
		}
	}
	if at == 0 {
		return missing(Missing{Want: WantSaddles})
	}
	f := foundOn(worst, Basis{Kind: AtString, Mark: at})
	f.rivals = rivals
	f.bound = &bound{-inf, mostCents * scale.Value / centsOfALength, LimitSource{Origin: ByCents, Slack: mostCents}}
	return f
}
