package adjust

import "math"

// smallest is how many columns are factored here rather than by LAPACK, whose calls cost more than
// the work in so few: most parts of a survey are a coordinate of a hole or a straight line.
const smallest = 2

// factorSmall is factorQR for one or two columns in closed form: Gram and Schmidt, twice, which is
// as good as Householder for two columns (Kahan). It gives up where the rank is in doubt.
func factorSmall(a grid, reach []float64) (basis, bool) {
	q, scale := scaleColumns(a)
	b := basis{q: q, t: newGrid(a.cols, a.cols), scale: scale, condition: 1}
	if reach != nil {
		b.scale = reach
	}
	first := q.columnNorm(0)
	if first == 0 {
		return basis{}, false
	}
	q.scaleColumn(0, 1/first)
	b.t.v[0] = scale[0] / first
	if a.cols == 2 && !b.second(scale, first) {
		return basis{}, false
	}
	return b, b.fixedWithin(reach)
}

// second makes the other column square to the first. With R = [r11 r12; 0 r22] its inverse is
// [1/r11, -r12/(r11 r22); 0, 1/r22].
func (b *basis) second(scale []float64, r11 float64) bool {
	before := b.q.columnNorm(1)
	r12 := 0.0
	for range 2 {
		along := 0.0
		for i := range b.q.rows {
			along += b.q.v[2*i] * b.q.v[2*i+1]
		}
		for i := range b.q.rows {
			b.q.v[2*i+1] -= along * b.q.v[2*i]
		}
		r12 += along
	}
	r22 := b.q.columnNorm(1)
	if before == 0 || r22 == 0 || (r11+before)/r22 > surelyFull {
		return false
	}
	b.q.scaleColumn(1, 1/r22)
	b.t.v[1] = -scale[0] * r12 / (r11 * r22)
	b.t.v[3] = scale[1] / r22
	b.condition = (r11 + before) * (r11 + math.Abs(r12) + r22) / (r11 * r22)
	return true
}

func (g grid) columnNorm(j int) float64 {
	sum := 0.0
	for i := range g.rows {
		sum += g.row(i)[j] * g.row(i)[j]
	}
	return math.Sqrt(sum)
}

func (g grid) scaleColumn(j int, by float64) {
	for i := range g.rows {
		g.row(i)[j] *= by
	}
}
