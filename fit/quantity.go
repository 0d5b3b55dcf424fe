package fit

import "math"

// quantity is a number that depends on the unknowns. Its zero value is the constant 0.
type quantity struct {
	v  float64
	at *node // on the tape; nil for a constant
}

const none = -1

// by says how a formula's value changes with one of the quantities in it.
type by struct {
	q quantity
	d float64 // partial derivative
}

func constant(v float64) quantity { return quantity{v: v} }

// join records a formula: its value and what it changes by with each quantity in it. A quantity
// may come twice; one without influence leaves no trace.
func join(v float64, parts ...by) quantity {
	for i := range parts {
		if at := parts[i].q.at; at != nil {
			return at.tape.record(v, parts[i:])
		}
	}
	return constant(v)
}

func (q quantity) plus(r quantity) quantity  { return join(q.v+r.v, by{q, 1}, by{r, 1}) }
func (q quantity) minus(r quantity) quantity { return join(q.v-r.v, by{q, 1}, by{r, -1}) }
func (q quantity) times(r quantity) quantity { return join(q.v*r.v, by{q, r.v}, by{r, q.v}) }
func (q quantity) scaled(k float64) quantity { return join(q.v*k, by{q, k}) }
func (q quantity) negated() quantity         { return q.scaled(-1) }
func (q quantity) over(r quantity) quantity {
	return join(q.v/r.v, by{q, 1 / r.v}, by{r, -q.v / (r.v * r.v)})
}

// atan2 is the angle in radians whose tangent is q over r; neither a gradient nor an angle exists
// where both are zero.
func (q quantity) atan2(r quantity) quantity {
	h := q.v*q.v + r.v*r.v
	return join(math.Atan2(q.v, r.v), by{q, r.v / h}, by{r, -q.v / h})
}

// hypot is the length of the vector (q, r). At zero its gradient does not exist; it is taken as
// zero there, which only exact data meet.
func (q quantity) hypot(r quantity) quantity {
	h := math.Sqrt(q.v*q.v + r.v*r.v)
	if h == 0 {
		return constant(0)
	}
	return join(h, by{q, q.v / h}, by{r, r.v / h})
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
	var room [usualParts]by
	parts, sum, share := room[:0], 0.0, 1/float64(len(qs))
	for _, q := range qs {
		sum += q.v
		parts = append(parts, by{q, share})
	}
	return join(sum*share, parts...)
}

// usualParts is for how many parts of a formula there is room without asking for memory.
const usualParts = 8
