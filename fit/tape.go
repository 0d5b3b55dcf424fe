package fit

import "math/bits"

// tape records how quantities come from the adjusted unknowns, so that the gradient of any of
// them can be had in one walk back over it (reverse accumulation). Its first steps stand for the
// unknowns themselves.
type tape struct {
	unknowns int
	steps    []step
	operands []operand
	adjoint  []float64 // of each step during a walk back, zero between walks
	pending  []uint64  // a bit a step whose adjoint is not zero, likewise
}

// step is one formula: its operands are those from ... to-1.
type step struct{ from, to int32 }

// operand is a step that a formula uses, with the formula's partial derivative by it.
type operand struct {
	at int32
	d  float64
}

// reset forgets what was recorded and begins with so many unknowns.
func (t *tape) reset(unknowns int) {
	t.unknowns, t.operands = unknowns, t.operands[:0]
	if cap(t.steps) < unknowns {
		t.steps = make([]step, 0, 4*unknowns)
	}
	t.steps = t.steps[:unknowns] // an unknown's own step is never looked at
}

func newTape(unknowns int) *tape {
	t := new(tape)
	t.reset(unknowns)
	return t
}

// unknown is the i-th unknown, at its adjusted value x.
func (t *tape) unknown(i int, x float64) quantity { return quantity{v: x, t: t, at: int32(i)} }

// record adds a step for a formula.
func (t *tape) record(v float64, parts []by) quantity {
	from := int32(len(t.operands))
	for i := range parts {
		if p := &parts[i]; p.q.t != nil && p.d != 0 {
			t.operands = append(t.operands, operand{p.q.at, p.d})
		}
	}
	if int(from) == len(t.operands) {
		return constant(v)
	}
	t.steps = append(t.steps, step{from, int32(len(t.operands))})
	return quantity{v: v, t: t, at: int32(len(t.steps) - 1)}
}

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
	s := t.steps[i]
	for _, o := range t.operands[s.from:s.to] {
		t.reach(o.at, by*o.d)
	}
}

// settled is the same quantity by a single step from the unknowns: walks back that come through it
// are then short. grad is room for a gradient.
func (t *tape) settled(q quantity, grad []float64) quantity {
	if q.t == nil || int(q.at) < t.unknowns {
		return q
	}
	t.gradientInto(q, grad)
	from := int32(len(t.operands))
	for i, d := range grad {
		if d != 0 {
			t.operands = append(t.operands, operand{int32(i), d})
		}
	}
	t.steps = append(t.steps, step{from, int32(len(t.operands))})
	return quantity{v: q.v, t: t, at: int32(len(t.steps) - 1)}
}
