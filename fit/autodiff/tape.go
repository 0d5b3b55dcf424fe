// Package autodiff is reverse-mode differentiation: a tape of formulas in a number of unknowns, the gradient of any of
// them by going back over it, and vectors, lines and rigid motions of the plane whose coordinates stand on it.
package autodiff

import "slices"

// Tape records how quantities come from the adjusted unknowns, so that the gradient of any of
// them can be had in one walk back over it (reverse accumulation). Its first steps stand for the
// unknowns themselves.
type Tape struct {
	unknowns int
	ends     []int32 // of the operands of each step, which begin where the former's end
	nodes    []node  // of the steps
	operands []operand
	adjoint  []float64 // of each step while going back over the tape, zero between but for the latest gradient
}

// node is where on a tape a quantity stands.
type node struct {
	tape *Tape
	step int32
}

// operand is a step that a formula uses, with the formula's partial derivative by it.
type operand struct {
	slope float64
	at    int32
}

// Reset forgets what was recorded and begins with so many unknowns.
func (t *Tape) Reset(unknowns int) {
	clear(t.adjoint[:min(t.unknowns, len(t.adjoint))])
	t.unknowns, t.operands = unknowns, t.operands[:0]
	t.ends = slices.Grow(t.ends[:0], unknowns)[:unknowns]
	clear(t.ends)
}

// node is that of a step. When there are too few, quantities keep the former ones, which say the same.
func (t *Tape) node(step int) *node {
	if step >= len(t.nodes) {
		t.nodes = make([]node, max(2*len(t.nodes), cap(t.ends)))
		for i := range t.nodes {
			t.nodes[i] = node{t, int32(i)}
		}
	}
	return &t.nodes[step]
}

// Mark is how far a tape was recorded.
type Mark struct{ steps, operands int }

// Mark is where the tape stands.
func (t *Tape) Mark() Mark { return Mark{len(t.ends), len(t.operands)} }

// Rewind forgets what was recorded since the mark; its quantities must not be used any more.
func (t *Tape) Rewind(m Mark) { t.ends, t.operands = t.ends[:m.steps], t.operands[:m.operands] }

// Unknowns is how many there are.
func (t *Tape) Unknowns() int { return t.unknowns }

// Unknown is the i-th unknown, at its adjusted value x.
func (t *Tape) Unknown(i int, x float64) Variable { return Variable{x, t.node(i)} }

// record adds a step for a formula whose operands have been noted.
func (t *Tape) record(v float64) Variable {
	t.ends = append(t.ends, int32(len(t.operands)))
	return Variable{v, t.node(len(t.ends) - 1)}
}

// Gradient is the quantity's, one entry an unknown. It is good until the next one.
func (t *Tape) Gradient(q Variable) []float64 {
	if len(t.adjoint) < len(t.ends) {
		t.adjoint = make([]float64, cap(t.ends))
	}
	first, gradient := t.unknowns, t.adjoint[:t.unknowns]
	clear(gradient)
	if q.at == nil {
		return gradient
	}
	last := int(q.at.step)
	adjoint, ends := t.adjoint[:last+1], t.ends[:last+1]
	adjoint[last] = 1
	// Operands lie before their step, so that whatever stands at a step when it is come to is complete.
	for i := last; i >= first; i-- {
		by := adjoint[i]
		if by == 0 {
			continue
		}
		adjoint[i] = 0
		for _, o := range t.operands[ends[i-1]:ends[i]] {
			adjoint[o.at] += by * o.slope
		}
	}
	return gradient
}
