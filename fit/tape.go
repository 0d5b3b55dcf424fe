package fit

import (
	"slices"

	"neckfit/fit/adjust"
)

// tape records how quantities come from the adjusted unknowns, so that the gradient of any of
// them can be had in one walk back over it (reverse accumulation). Its first steps stand for the
// unknowns themselves.
type tape struct {
	unknowns int
	steps    []step
	nodes    []node // of the steps
	operands []operand
	adjoint  []float64       // of each step during a walk back, zero between walks
	adjoints []adjust.Slopes // likewise of several walks at once
}

// node is where on a tape a quantity stands.
type node struct {
	tape *tape
	step int32
}

// step is one formula: its operands are those from ... to-1.
type step struct{ from, to int32 }

// operand is a step that a formula uses, with the formula's partial derivative by it.
type operand struct {
	d  float64
	at int32
}

// reset forgets what was recorded and begins with so many unknowns.
func (t *tape) reset(unknowns int) {
	clear(t.adjoints[:min(t.unknowns, len(t.adjoints))])
	t.unknowns, t.operands = unknowns, t.operands[:0]
	if cap(t.steps) < unknowns {
		t.steps = make([]step, 0, 4*unknowns)
	}
	t.steps = t.steps[:unknowns] // an unknown's own step is never looked at
}

// node is that of a step.
func (t *tape) node(step int) *node {
	if step >= len(t.nodes) {
		t.more()
	}
	return &t.nodes[step]
}

// more makes nodes for twice as many steps. Quantities keep the former ones, which say the same.
func (t *tape) more() {
	t.nodes = make([]node, max(2*len(t.nodes), cap(t.steps)))
	for i := range t.nodes {
		t.nodes[i] = node{t, int32(i)}
	}
}

// unknown is the i-th unknown, at its adjusted value x.
func (t *tape) unknown(i int, x float64) quantity { return quantity{x, t.node(i)} }

// isUnknown tells which of the unknowns a quantity is, if it is one.
func (t *tape) isUnknown(q quantity) (int, bool) {
	if q.at == nil || int(q.at.step) >= t.unknowns {
		return 0, false
	}
	return int(q.at.step), true
}

// record adds a step for a formula.
func (t *tape) record(v float64, parts []by) quantity {
	from := len(t.operands)
	if cap(t.operands)-from < len(parts) {
		t.operands = slices.Grow(t.operands, len(parts))
	}
	room := t.operands[from : from+len(parts)]
	n := 0
	for i := range parts {
		if p := &parts[i]; p.q.at != nil && p.d != 0 {
			room[n] = operand{p.d, p.q.at.step}
			n++
		}
	}
	if n == 0 {
		return constant(v)
	}
	t.operands = t.operands[:from+n]
	t.steps = append(t.steps, step{int32(from), int32(from + n)})
	return quantity{v, t.node(len(t.steps) - 1)}
}

// gradient is the quantity's, one entry an unknown.
func (t *tape) gradient(q quantity) []float64 {
	return t.gradientInto(q, make([]float64, t.unknowns))
}

// gradientInto writes it over grad.
func (t *tape) gradientInto(q quantity, grad []float64) []float64 {
	if q.at == nil {
		clear(grad)
		return grad
	}
	if len(t.adjoint) < len(t.steps) {
		t.adjoint = make([]float64, cap(t.steps))
	}
	t.adjoint[q.at.step] = 1
	// Operands lie before their step, so that whatever stands at a step when it is come to is complete.
	for i := int(q.at.step); i >= t.unknowns; i-- {
		if by := t.adjoint[i]; by != 0 {
			t.adjoint[i] = 0
			t.spend(t.steps[i], by)
		}
	}
	copy(grad, t.adjoint[:t.unknowns])
	clear(t.adjoint[:t.unknowns])
	return grad
}

// spend hands a step's adjoint on to its operands.
func (t *tape) spend(s step, by float64) {
	for _, o := range t.operands[s.from:s.to] {
		t.adjoint[o.at] += by * o.d
	}
}

// lanes is how many gradients are taken in one walk: they share most of their steps.
const lanes = len(adjust.Slopes{})

// gradients are those of up to as many quantities as there are lanes, side by side, one row an
// unknown. They are good until the next ones.
func (t *tape) gradients(qs []quantity) []adjust.Slopes {
	if len(t.adjoints) < len(t.steps) {
		t.adjoints = make([]adjust.Slopes, cap(t.steps))
	}
	clear(t.adjoints[:t.unknowns])
	last := -1
	for k, q := range qs {
		if q.at != nil {
			last = max(last, int(q.at.step))
			t.adjoints[q.at.step][k] = 1
		}
	}
	for i := last; i >= t.unknowns; i-- {
		if by := &t.adjoints[i]; !by.Zero() {
			t.spendAll(t.steps[i], by)
			*by = adjust.Slopes{}
		}
	}
	return t.adjoints[:t.unknowns]
}

// spendAll is spend for all lanes.
func (t *tape) spendAll(s step, by *adjust.Slopes) {
	a, b, c, d := by[0], by[1], by[2], by[3]
	for _, o := range t.operands[s.from:s.to] {
		to := &t.adjoints[o.at]
		to[0] += a * o.d
		to[1] += b * o.d
		to[2] += c * o.d
		to[3] += d * o.d
	}
}
