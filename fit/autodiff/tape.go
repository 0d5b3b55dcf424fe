// Package autodiff is reverse-mode differentiation: a tape of formulas in a number of unknowns, the gradient of any of
// them by going back over it, and vectors, lines and rigid motions of the plane whose coordinates stand on it.
package autodiff

// Tape records how quantities come from the adjusted unknowns, so that the gradient of any of
// them can be had in one walk back over it (reverse accumulation). Its first steps stand for the
// unknowns themselves.
type Tape struct {
	unknowns int
	steps    int       // how many have been recorded
	nodes    []node    // of the steps, and room for more
	operands []operand // of all steps
	adjoint  []float64 // of each step while going back over the tape, zero between but for the latest gradient
}

// node is where on a tape a quantity stands, and what its formula uses.
type node struct {
	tape     *Tape
	step     int
	operands []operand
}

// operand is a step that a formula uses, with the formula's partial derivative by it.
type operand struct {
	slope float64
	at    int
}

// Reset forgets what was recorded and begins with so many unknowns.
func (t *Tape) Reset(unknowns int) {
	clear(t.adjoint[:min(t.unknowns, len(t.adjoint))])
	t.unknowns, t.steps, t.operands = unknowns, unknowns, t.operands[:0]
	t.node(unknowns) // so that there are as many nodes as steps
}

// node is that of a step. When there are too few, quantities keep the former ones, which stand at the same steps.
func (t *Tape) node(step int) *node {
	if step >= len(t.nodes) {
		nodes := make([]node, 2*step+1)
		for i := copy(nodes, t.nodes); i < len(nodes); i++ {
			nodes[i] = node{tape: t, step: i}
		}
		t.nodes = nodes
	}
	return &t.nodes[step]
}

// Mark is how far a tape was recorded.
type Mark struct{ steps, operands int }

// Mark is where the tape stands.
func (t *Tape) Mark() Mark { return Mark{t.steps, len(t.operands)} }

// Rewind forgets what was recorded since the mark; its quantities must not be used any more.
func (t *Tape) Rewind(m Mark) { t.steps, t.operands = m.steps, t.operands[:m.operands] }

// Unknowns is how many there are.
func (t *Tape) Unknowns() int { return t.unknowns }

// Unknown is the i-th unknown, at its adjusted value x.
func (t *Tape) Unknown(i int, x float64) Variable { return Variable{x, t.node(i)} }

// Gradient is the quantity's, one entry an unknown. It is good until the next one.
func (t *Tape) Gradient(q Variable) []float64 {
	if len(t.adjoint) < t.steps {
		t.adjoint = make([]float64, len(t.nodes))
	}
	gradient := t.adjoint[:t.unknowns]
	clear(gradient)
	if q.at == nil {
		return gradient
	}
	adjoint := t.adjoint[:q.at.step+1]
	adjoint[q.at.step] = 1
	formulas := adjoint[min(t.unknowns, len(adjoint)):]
	nodes := t.nodes[t.unknowns:][:len(formulas)]
	// Operands lie before their step, so that whatever stands at a step when it is come to is complete.
	for i := len(formulas) - 1; i >= 0; i-- {
		by := formulas[i]
		if by == 0 {
			continue
		}
		formulas[i] = 0
		for _, o := range nodes[i].operands {
			adjoint[o.at] += by * o.slope
		}
	}
	return gradient
}
