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
	m := len(pt.rows)
	if m == 0 {
		pt.t.rows, pt.null, pt.scaled, pt.condition = 1, alone, alone, 1
		pt.scale = pt.reach
		if pt.reach == nil {
			pt.scale = alone[0]
		}
		return true
	}
	room := w.mem.floats.take(m + 2)
	column, x := room[:m], w.x[pt.unknowns[0]]
	sum, along := 0.0, 0.0
	for at, i := range pt.rows {
		r := &w.p.Rows[i]
		c := 0.0
		for _, t := range r.Terms {
			c += t.Coef
		}
		weight := 1 / r.Sigma
		b := (r.Value - c*x) * weight
		c *= weight
		column[at] = c
		sum += c * c
		along += c * b
	}
	if !(sum > leastSquare && sum < mostSquare && finite(along)) || pt.reach != nil && sum*pt.reach[0]*pt.reach[0] < 1 {
		return false
	}
	inverse := 1 / math.Sqrt(sum)
	scaleBy(column, inverse)
	room[m], room[m+1] = inverse, powerOfTwo(sum)
	pt.units, pt.t, pt.condition = grid{1, m, column}, grid{1, 1, room[m : m+1]}, 1
	pt.scale = pt.reach
	if pt.reach == nil {
		pt.scale = room[m+1:]
	}
	w.x[pt.unknowns[0]] += along / sum
	return true
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
