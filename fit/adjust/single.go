package adjust

import "math"

const (
	// leastSquare and mostSquare bound sums of squares that neither underflow nor overflow in parts
	// that matter.
	leastSquare = 1e-200
	mostSquare  = 1e200
)

// alone is the free direction of a part of one unknown.
var alone = [][]float64{{1}}

// single solves a linear part of one unknown, which most parts of a survey are: a coordinate of a
// hole, a diameter. It gives up where anything is out of the ordinary.
func (w *work) single(pt *part) bool {
	if len(pt.rows) == 0 {
		pt.basis = basis{t: grid{rows: 1}, scale: w.unscaled(pt), null: alone, scaled: alone, condition: 1}
		return true
	}
	column, sum := w.mem.grid(1, len(pt.rows)), 0.0
	for at, i := range pt.rows {
		r := &w.p.Rows[i]
		c := 0.0
		for _, t := range r.Terms {
			c += t.Coef
		}
		c /= r.Sigma
		column.v[at] = c
		sum += c * c
	}
	if !(sum > leastSquare && sum < mostSquare) || pt.reach != nil && sum*pt.reach[0]*pt.reach[0] < 1 {
		return false
	}
	inverse, along := 1/math.Sqrt(sum), 0.0
	for at, i := range pt.rows {
		column.v[at] *= inverse
		along += column.v[at] * w.misfit(i) / w.p.Rows[i].Sigma
	}
	if !finite(along) {
		return false
	}
	t := w.mem.grid(1, 1)
	t.v[0] = inverse
	pt.basis = basis{units: column, t: t, scale: w.unscaled(pt), condition: 1}
	if pt.reach == nil {
		pt.scale[0] = powerOfTwo(sum)
	}
	w.x[pt.unknowns[0]] += inverse * along
	return true
}

// unscaled is the scale of a part's columns: the reach, or ones.
func (w *work) unscaled(pt *part) []float64 {
	if pt.reach != nil {
		return pt.reach
	}
	scale := w.mem.floats.take(len(pt.unknowns))
	for j := range scale {
		scale[j] = 1
	}
	return scale
}

// powerOfTwo brings a column, the sum of whose squares is s, to a length between 0.7 and 1.4: the
// power of two next to 1/sqrt(s). A column of zeros it leaves.
func powerOfTwo(s float64) float64 {
	if s == 0 {
		return 1
	}
	_, e := math.Frexp(s) // s = m 2^e, m from 1/2 to 1
	half := e >> 1        // rounds down
	return math.Float64frombits(uint64(1023-half) << 52)
}
