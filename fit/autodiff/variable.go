package autodiff

import "math"

// Variable is a number that depends on the unknowns. Its zero value is the constant 0.
type Variable struct {
	Value float64
	at    *node // on the tape; nil for a constant
}

// Partial says how a formula's value changes with one of the quantities in it.
type Partial struct {
	Of    Variable
	Slope float64 // partial derivative
}

// Constant is a number that depends on nothing.
func Constant(v float64) Variable { return Variable{Value: v} }

// IsConstant tells whether nothing that q depends on is unknown.
func (q Variable) IsConstant() bool { return q.at == nil }

// Formula records a formula: its value and what it changes by with each quantity in it. A quantity
// may come twice; one without influence leaves no trace.
func Formula(v float64, parts ...Partial) Variable {
	var tape *Tape
	var operands []operand
	for i := range parts {
		p := &parts[i]
		if p.Of.at == nil || p.Slope == 0 {
			continue
		}
		if tape == nil {
			tape = p.Of.at.tape
			operands = tape.operands
		}
		operands = append(operands, operand{p.Slope, p.Of.at.step})
	}
	if tape == nil {
		return Constant(v)
	}
	n := tape.node(tape.steps)
	n.operands = operands[len(tape.operands):]
	tape.steps, tape.operands = tape.steps+1, operands
	return Variable{v, n}
}

// Plus is q + r, which is q itself where r is the constant 0.
func (q Variable) Plus(r Variable) Variable {
	if r == (Variable{}) {
		return q
	}
	return Formula(q.Value+r.Value, Partial{q, 1}, Partial{r, 1})
}

// Minus is q - r, likewise.
func (q Variable) Minus(r Variable) Variable {
	if r == (Variable{}) {
		return q
	}
	return Formula(q.Value-r.Value, Partial{q, 1}, Partial{r, -1})
}

// Times is q r.
func (q Variable) Times(r Variable) Variable {
	return Formula(q.Value*r.Value, Partial{q, r.Value}, Partial{r, q.Value})
}

// Scaled is k q.
func (q Variable) Scaled(k float64) Variable { return Formula(q.Value*k, Partial{q, k}) }

// Negated is -q.
func (q Variable) Negated() Variable { return q.Scaled(-1) }

// Over is q / r, with r other than zero.
func (q Variable) Over(r Variable) Variable {
	return Formula(q.Value/r.Value, Partial{q, 1 / r.Value}, Partial{r, -q.Value / (r.Value * r.Value)})
}

// Atan2 is the angle in radians whose tangent is q over r; neither a gradient nor an angle exists
// where both are zero.
func (q Variable) Atan2(r Variable) Variable {
	h := q.Value*q.Value + r.Value*r.Value
	return Formula(math.Atan2(q.Value, r.Value), Partial{q, r.Value / h}, Partial{r, -q.Value / h})
}

// Hypot is the length of the vector (q, r). At zero its gradient does not exist; it is taken as
// zero there, which only exact data meet.
func (q Variable) Hypot(r Variable) Variable {
	h := math.Sqrt(q.Value*q.Value + r.Value*r.Value)
	if h == 0 {
		return Constant(0)
	}
	return Formula(h, Partial{q, q.Value / h}, Partial{r, r.Value / h})
}

// degree is how many of them a radian has.
const degree = 180 / math.Pi

// Degrees turns radians into degrees.
func (q Variable) Degrees() Variable { return q.Scaled(degree) }

// Radians turns degrees into radians.
func (q Variable) Radians() Variable { return q.Scaled(1 / degree) }

// Least is the smallest of one or more quantities, the first of equal ones. Its gradient is the picked one's, so
// it is right to first order only while the next is further off than the uncertainties.
func Least(qs ...Variable) Variable { return pick(qs, func(a, b float64) bool { return a < b }) }

// Greatest is the largest of one or more, picked as by Least.
func Greatest(qs ...Variable) Variable { return pick(qs, func(a, b float64) bool { return a > b }) }

func pick(qs []Variable, better func(a, b float64) bool) Variable {
	best := qs[0]
	for _, q := range qs[1:] {
		if better(q.Value, best.Value) {
			best = q
		}
	}
	return best
}

// Mean is the arithmetic mean.
func Mean(qs ...Variable) Variable {
	var room [usualParts]Partial
	parts, sum, share := room[:0], 0.0, 1/float64(len(qs))
	for _, q := range qs {
		sum += q.Value
		parts = append(parts, Partial{q, share})
	}
	return Formula(sum*share, parts...)
}

// usualParts is for how many parts of a formula there is room without asking for memory.
const usualParts = 8
