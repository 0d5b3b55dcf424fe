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
	// stepTurn is how far the columns may have turned from those that were factored, for the old
	// factor to give one more step. With A t = q when factored and A' now, A' t - q = (A' - A) t =
	// E, and the step t t^T A'^T b (not t q^T b, which would come to rest where the old columns
	// are square to b) leaves a share of about 2 |E| of what there was to go: one step is worth
	// four digits, more than a new factor gives a fit that has just come near.
	stepTurn = 1e-4
	// lastTurn is the same for the factor that is kept: variances differ by the share 2 |E|.
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
	turn        []float64 // scratch, too
	turned      float64   // how far a has turned from factored, counted up to stepTurn
	bent        float64   // how far it had before factored was made anew
	rank        int       // of the last factor
	last        float64   // length of the step before, 0 if it was cut short
}

// iterate takes Gauss-Newton steps. Without a reach, rank that is lost on the way is an unknown that
// has run to where no row feels it; with one, a weak direction may come and go.
func (w *work) iterate(pt *part, most int) (int, error) {
	unknowns, rows := len(pt.unknowns), len(pt.rows)
	n := round{
		a: w.mem.raw(rows, unknowns), factored: w.mem.raw(rows, unknowns), b: w.mem.floats.raw(rows),
		before: w.mem.floats.raw(unknowns), turn: w.mem.floats.raw(unknowns),
	}
	n.noise = w.evaluate(pt, n.a, n.b, true)
	for step := 1; step <= most; step++ {
		size := norm(n.b)
		if !finite(n.noise) || !finite(size) || step == 1 && !finite(norm(n.a.v)) {
			return pt.fail("leave the numbers")
		}
		n.turned = w.turned(pt, &n)
		if n.bent = n.turned; n.turned > stepTurn && !w.refactor(pt, &n) {
			return pt.fail("lose hold of their unknowns")
		}
		noise, deviation := n.noise, w.deviation(size)
		small := stepTolerance*(deviation+size) + noise
		c := w.steepest(pt, &n)
		if n.done(norm(c), small) && n.turned > lastTurn {
			if !w.refactor(pt, &n) {
				return pt.fail("lose hold of their unknowns")
			}
			c = w.steepest(pt, &n)
		}
		length := norm(c)
		if n.done(length, small) {
			w.settle(pt, &n, c)
			return step, nil
		}
		n.last = length
		chi2 := size * size
		now := w.descend(pt, &n, pt.back(&w.mem, c), (size+noise)*(size+noise))
		if chi2-now <= standstill*(deviation*deviation+chi2) && length <= immaterial*deviation {
			if n.turned > lastTurn && !w.refactor(pt, &n) {
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
	if n.last == 0 || n.bent > stepTurn {
		return false
	}
	rate := length / n.last
	return rate*n.bent <= lastTurn && max(rate, n.bent)*length <= lastLeft*small
}

// turned is how far the equations have turned from those factored; beyond stepTurn it need not be
// exact.
func (w *work) turned(pt *part, n *round) float64 {
	if n.rank < len(pt.unknowns) || w.plain { // free directions are found anew
		return math.MaxFloat64
	}
	sum := 0.0
	for i, row := range pt.rows {
		if w.p.Rows[row].Model == nil {
			continue
		}
		clear(n.turn)
		before := n.factored.row(i)
		for j, v := range n.a.row(i) {
			if v != before[j] {
				addTo(n.turn, v-before[j], pt.t.row(j))
			}
		}
		if sum += dot(n.turn, n.turn); sum > stepTurn*stepTurn {
			break
		}
	}
	return math.Sqrt(sum)
}

// steepest is the step along the orthonormal columns: t^T A^T b, which is q^T b when A is what was
// factored.
func (w *work) steepest(pt *part, n *round) []float64 {
	if n.turned == 0 {
		return pt.along(&w.mem, n.b)
	}
	downhill, c := w.mem.floats.take(n.a.cols), w.mem.floats.take(pt.t.cols)
	n.a.timesT(n.b, downhill)
	pt.t.timesT(downhill, c)
	return c
}

// refactor factors the equations at x. It reports whether their rank held.
func (w *work) refactor(pt *part, n *round) bool {
	copy(n.factored.v, n.a.v)
	w.factor(pt, n.a)
	held := pt.reach != nil || pt.units.rows >= n.rank
	n.turned, n.rank = 0, pt.units.rows
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
