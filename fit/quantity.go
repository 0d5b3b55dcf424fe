package fit

import (
	"math"
	"math/bits"
	"sync"
)

// tape records how quantities come from the adjusted unknowns, so that the gradient of any of
// them can be had in one walk back over it (reverse accumulation). Its first entries are the
// unknowns themselves.
type tape struct {
	unknowns int
	steps    []step
	adjoint  []float64 // of each step during a walk back, zero between walks
	pending  []uint64  // a bit a step whose adjoint is not zero, likewise
}

// step is one operation with the partial derivatives by its one or two operands. An operand
// below zero is none.
type step struct {
	a, b   int32
	da, db float64
}

const none = -1

// quantity is a number that depends on the unknowns. Its zero value is the constant 0.
type quantity struct {
	v  float64
	t  *tape // nil for a constant
	at int32
}

// newTape takes the room of a tape that is done with, if there is one.
func newTape(unknowns int) *tape {
	t, ok := tapes.Get().(*tape)
	if !ok {
		t = new(tape)
	}
	const usual = 4096 // steps; a kit of loose parts with heights takes some 2,500
	if cap(t.steps) < unknowns {
		t.steps = make([]step, 0, unknowns+usual)
	}
	t.unknowns, t.steps = unknowns, t.steps[:unknowns] // an unknown's own step is never looked at
	return t
}

// tapes are done with and wait to be used again.
var tapes sync.Pool

// release gives the tape's room to the next one; no quantity of it may be used afterwards.
func (t *tape) release() { tapes.Put(t) }

// unknown is the i-th unknown, at its adjusted value x.
func (t *tape) unknown(i int, x float64) quantity { return quantity{v: x, t: t, at: int32(i)} }

// gradient is the quantity's, one entry an unknown.
func (t *tape) gradient(q quantity) []float64 {
	return t.gradientInto(q, make([]float64, t.unknowns))
}

// gradientInto writes it over grad.
func (t *tape) gradientInto(q quantity, grad []float64) []float64 {
	clear(grad)
	if q.t == nil {
		return grad
	}
	if len(t.adjoint) < len(t.steps) {
		t.adjoint = make([]float64, cap(t.steps))
		t.pending = make([]uint64, cap(t.steps)/64+1)
	}
	t.reach(q.at, 1)
	// Operands lie before their step, so the highest step that is pending is complete. Only those
	// that the quantity depends on are visited, which are few of a long tape.
	for w := int(q.at) / 64; w >= 0; w-- {
		for t.pending[w] != 0 {
			i := w*64 + 63 - bits.LeadingZeros64(t.pending[w])
			t.pending[w] &^= 1 << (i % 64)
			t.spend(i, grad)
		}
	}
	return grad
}

// reach adds to a step's adjoint.
func (t *tape) reach(at int32, by float64) {
	t.adjoint[at] += by
	t.pending[at/64] |= 1 << (at % 64)
}

// spend hands a step's adjoint on to its operands, or to the gradient where it is an unknown.
func (t *tape) spend(i int, grad []float64) {
	by := t.adjoint[i]
	t.adjoint[i] = 0
	if i < t.unknowns {
		grad[i] = by
		return
	}
	s := &t.steps[i]
	if s.a != none {
		t.reach(s.a, by*s.da)
	}
	if s.b != none {
		t.reach(s.b, by*s.db)
	}
}

func constant(v float64) quantity { return quantity{v: v} }

// put records an operation with value v.
func put(v float64, a quantity, da float64, b quantity, db float64) quantity {
	t := a.t
	if t == nil {
		t = b.t
	}
	if t == nil {
		return constant(v)
	}
	s := step{a: none, b: none, da: da, db: db}
	if a.t != nil {
		s.a = a.at
	}
	if b.t != nil {
		s.b = b.at
	}
	t.steps = append(t.steps, s)
	return quantity{v: v, t: t, at: int32(len(t.steps) - 1)}
}

func (q quantity) plus(r quantity) quantity  { return put(q.v+r.v, q, 1, r, 1) }
func (q quantity) minus(r quantity) quantity { return put(q.v-r.v, q, 1, r, -1) }
func (q quantity) times(r quantity) quantity { return put(q.v*r.v, q, r.v, r, q.v) }
func (q quantity) over(r quantity) quantity  { return put(q.v/r.v, q, 1/r.v, r, -q.v/(r.v*r.v)) }
func (q quantity) scaled(k float64) quantity { return put(q.v*k, q, k, quantity{}, 0) }
func (q quantity) negated() quantity         { return q.scaled(-1) }

// atan2 is the angle in radians whose tangent is q over r; neither a gradient nor an angle exists
// where both are zero.
func (q quantity) atan2(r quantity) quantity {
	h := q.v*q.v + r.v*r.v
	return put(math.Atan2(q.v, r.v), q, r.v/h, r, -q.v/h)
}

// hypot is the length of the vector (q, r). At zero its gradient does not exist; it is taken as
// zero there, which only exact data meet.
func (q quantity) hypot(r quantity) quantity {
	h := math.Hypot(q.v, r.v)
	if h == 0 {
		return put(0, q, 0, r, 0)
	}
	return put(h, q, q.v/h, r, r.v/h)
}

// degrees turns radians into degrees.
func (q quantity) degrees() quantity { return q.scaled(180 / math.Pi) }

// radians turns degrees into radians.
func (q quantity) radians() quantity { return q.scaled(math.Pi / 180) }

// least and greatest pick one of several; its gradient is the picked one's, so they are first
// order only while the next is further off than the uncertainties.
func least(qs ...quantity) quantity    { return pick(qs, func(a, b float64) bool { return a < b }) }
func greatest(qs ...quantity) quantity { return pick(qs, func(a, b float64) bool { return a > b }) }

func pick(qs []quantity, better func(a, b float64) bool) quantity {
	best := qs[0]
	for _, q := range qs[1:] {
		if better(q.v, best.v) {
			best = q
		}
	}
	return best
}

// mean is the arithmetic mean.
func mean(qs ...quantity) quantity {
	sum := qs[0]
	for _, q := range qs[1:] {
		sum = sum.plus(q)
	}
	return sum.scaled(1 / float64(len(qs)))
}
