package adjust

import (
	"fmt"
	"math"
)

const (
	// halvings of a step before it is given up: 2^-30 of a step moves nothing that matters.
	halvings = 30
	// stepTolerance ends the iteration when a step changes the fitted values, all together, by
	// less than this many standard deviations (of a fit that agrees with its Sigmas).
	stepTolerance = 1e-9
	// standstill ends it, too, when the sum of squares falls by no more than the rounding of some
	// hundred terms: along weakly fixed directions it is flat.
	standstill = 1e-14
	// immaterial is the step, in standard deviations, that a standstill may leave undone. A
	// direction set free by Reach turns from step to step and keeps some thousandths alive.
	immaterial = 0.1
	// mostTurn is how far the columns may have turned from those that were factored for their factor
	// to be turned after them, see nudge, rather than made anew; and mostDrift the sum of the squares
	// of such turns: variances differ by about that share.
	mostTurn  = 1e-5
	mostDrift = 2 * mostTurn * mostTurn
	// lastTurn is how far they may turn after the last step: variances differ by the share 2 |E|.
	lastTurn = 1e-10
	// lastLeft tells of a step after which another is not worth taking: when the next, shorter by the
	// same rate as this one or more, would be this share of stepTolerance, for Gauss-Newton's rate
	// does not rise on the way to the solution. Columns turn by as much as a step is long: this one
	// must turn them by less than lastTurn.
	lastLeft = 0.01
)

// round is the state of Gauss-Newton steps: equations at x, and those that the part's basis was
// factored of.
type round struct {
	a, factored grid
	b           []float64
	noise       float64   // what rounding may add to b
	before      []float64 // scratch, an unknown each
	turns       grid      // how rows have turned, see turned
	triangle    grid      // scratch of nudge
	turned      float64   // how far a had turned from factored after the last step, counted up to mostTurn
	drift       float64   // squares of what nudges made good
	rank        int       // of the last factor
	last        float64   // length of the step before, 0 if it was cut short
}

// iterate takes Gauss-Newton steps. Without a reach, rank that is lost on the way is an unknown that
// has run to where no row feels it; with one, a weak direction may come and go.
func (w *work) iterate(pt *part, most int) (int, error) {
	unknowns, rows := len(pt.unknowns), len(pt.rows)
	n := round{
		a: w.mem.raw(rows, unknowns), factored: w.mem.raw(rows, unknowns), b: w.mem.floats.raw(rows),
		before: w.mem.floats.raw(unknowns),
		turns:  w.mem.raw(rows, unknowns), triangle: w.mem.raw(unknowns, unknowns),
	}
	n.noise = w.evaluate(pt, n.a, n.b, true)
	for step := 1; step <= most; step++ {
		size := norm(n.b)
		if !finite(n.noise) || !finite(size) || step == 1 && !finite(norm(n.a.v)) {
			return pt.fail("leave the numbers")
		}
		if !w.follow(pt, &n) {
			return pt.fail("lose hold of their unknowns")
		}
		noise, deviation := n.noise, w.deviation(size)
		small := stepTolerance*(deviation+size) + noise
		c := pt.along(&w.mem, n.b)
		length := norm(c)
		if n.done(length, small) {
			w.settle(pt, &n, c)
			return step, nil
		}
		n.last = length
		chi2 := size * size
		now := w.descend(pt, &n, pt.back(&w.mem, c), (size+noise)*(size+noise))
		if chi2-now <= standstill*(deviation*deviation+chi2) && length <= immaterial*deviation {
			if !w.follow(pt, &n) {
				return pt.fail("lose hold of their unknowns")
			}
			pt.misfits = n.b
			return step, nil
		}
	}
	return pt.fail(fmt.Sprintf("do not settle in %d steps", most))
}

// done reports whether a step of this length is the last.
func (n *round) done(length, small float64) bool {
	if length <= small {
		return true
	}
	if n.last == 0 || n.turned > mostTurn {
		return false
	}
	rate := length / n.last
	return rate*n.turned <= lastTurn && max(rate, n.turned)*length <= lastLeft*small
}

// follow brings the factor to the equations at x. It reports whether their rank held.
func (w *work) follow(pt *part, n *round) bool {
	n.turned = w.turned(pt, n)
	switch drift := n.drift + n.turned*n.turned; {
	case n.turned == 0:
		return true
	case n.turned <= mostTurn && drift <= mostDrift:
		n.drift = drift
		w.nudge(pt, n)
		return true
	}
	copy(n.factored.v, n.a.v)
	w.factor(pt, n.a)
	held := pt.reach != nil || pt.units.rows >= n.rank
	n.drift, n.rank = 0, pt.units.rows
	return held
}

// settle takes the last step.
func (w *work) settle(pt *part, n *round, c []float64) {
	dx := pt.leastSquares(&w.mem, n.a, n.b, c)
	w.move(pt, dx, 1)
	if !w.plain {
		pt.keep(n.a, n.b, dx) // so short a step bends nothing
	}
}

// deviation is what counts as one standard deviation of whitened misfits that are size long: 1, or
// about their own length where the Sigmas are only relative.
func (w *work) deviation(size float64) float64 {
	if w.relative {
		return size
	}
	return 1
}

// descend moves by dx, or by the half, quarter ... of it that first brings the sum of squares to
// most or less, and returns that sum. It stays, and returns most, where none does. It leaves the
// equations at the new place.
func (w *work) descend(pt *part, n *round, dx []float64, most float64) float64 {
	for j, u := range pt.unknowns {
		n.before[j] = w.x[u]
	}
	share := pt.firstShare(dx)
	if share < 1 || w.plain {
		n.last = 0
	}
	for range halvings {
		w.move(pt, dx, share)
		n.noise = w.evaluate(pt, n.a, n.b, false)
		if sum := dot(n.b, n.b); sum <= most {
			return sum
		}
		for j, u := range pt.unknowns {
			w.x[u] = n.before[j]
		}
		share /= 2
		n.last = 0
	}
	n.noise = w.evaluate(pt, n.a, n.b, false)
	return most
}

// firstShare is the share of a step that stays within the reach.
func (pt *part) firstShare(dx []float64) float64 {
	furthest := 1.0
	for j, r := range pt.reach {
		furthest = max(furthest, math.Abs(dx[j])/r)
	}
	return 1 / furthest
}
