// Package autodiff is reverse-mode differentiation: a tape of formulas in a number of unknowns, the gradient of any of
// them by going back over it, and vectors, lines and rigid motions of the plane whose coordinates stand on it.
package autodiff

import "slices"

// Tape records how quantities come from the adjusted unknowns, so that the gradient of any of
// them can be had in one walk back over it (reverse accumulation). Its first steps stand for the
// unknowns themselves.
type Tape struct {
	unknowns int
	steps    []step
	nodes    []node // of the steps
	operands []operand
	adjoint  []float64 // of each step while going back over the tape, zero between
}

// node is where on a tape a quantity stands.
type node struct {
	tape *Tape
	step int32
}

// step is one formula: its operands are those from ... to-1.
type step struct{ from, to int32 }

// operand is a step that a formula uses, with the formula's partial derivative by it.
type operand struct {
	slope float64
	at    int32
}

// Reset forgets what was recorded and begins with so many unknowns.
func (t *Tape) Reset(unknowns int) {
	t.unknowns, t.operands = unknowns, t.operands[:0]
	if cap(t.steps) < unknowns {
		t.steps = make([]step, 0, 4*unknowns)
	}
	t.steps = t.steps[:unknowns] // an unknown's own step is never looked at
}

// node is that of a step. When there are too few, quantities keep the former ones, which say the same.
func (t *Tape) node(step int) *node {
	if step >= len(t.nodes) {
		t.nodes = make([]node, max(2*len(t.nodes), cap(t.steps)))
		for i := range t.nodes {
			t.nodes[i] = node{t, int32(i)}
		}
	}
	return &t.nodes[step]
}

// Mark is how far a tape was recorded.
type Mark struct{ steps, operands int }

// Mark is where the tape stands.
func (t *Tape) Mark() Mark { return Mark{len(t.steps), len(t.operands)} }

// Rewind forgets what was recorded since the mark; its quantities must not be used any more.
func (t *Tape) Rewind(m Mark) { t.steps, t.operands = t.steps[:m.steps], t.operands[:m.operands] }

// Unknowns is how many there are.
func (t *Tape) Unknowns() int { return t.unknowns }

// Unknown is the i-th unknown, at its adjusted value x.
func (t *Tape) Unknown(i int, x float64) Variable { return Variable{x, t.node(i)} }

// record adds a step for a formula.
func (t *Tape) record(v float64, parts []Partial) Variable {
	from := len(t.operands)
	if cap(t.operands)-from < len(parts) {
		t.operands = slices.Grow(t.operands, len(parts))
	}
	room := t.operands[from : from+len(parts)]
	n := 0
	for i := range parts {
		if p := &parts[i]; p.Of.at != nil && p.Slope != 0 {
			room[n] = operand{p.Slope, p.Of.at.step}
			n++
		}
	}
	if n == 0 {
		return Constant(v)
	}
	t.operands = t.operands[:from+n]
	t.steps = append(t.steps, step{int32(from), int32(from + n)})
	return Variable{v, t.node(len(t.steps) - 1)}
}

// Gradient is the quantity's, one entry an unknown.
func (t *Tape) Gradient(q Variable) []float64 {
	return t.GradientInto(q, make([]float64, t.unknowns))
}

// GradientInto writes it over grad.
func (t *Tape) GradientInto(q Variable, grad []float64) []float64 {
	if q.at == nil {
		clear(grad)
		return grad
	}
	if len(t.adjoint) < len(t.steps) {
		t.adjoint = make([]float64, cap(t.steps))
	}
	adjoint, steps, operands := t.adjoint[:len(t.steps)], t.steps, t.operands
	adjoint[q.at.step] = 1
	// Operands lie before their step, so that whatever stands at a step when it is come to is complete.
	for i := int(q.at.step); i >= t.unknowns; i-- {
		if by := adjoint[i]; by != 0 {
			adjoint[i] = 0
			for _, o := range operands[steps[i].from:steps[i].to] {
				adjoint[o.at] += by * o.slope
			}
		}
	}
	copy(grad, adjoint[:t.unknowns])
	clear(adjoint[:t.unknowns])
	return grad
}
