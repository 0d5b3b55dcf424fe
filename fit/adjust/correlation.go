package adjust

import (
	"math"
	"slices"
)

// block is rows of a component that share an error. Each row's own deviation taken out, their covariance is
// I + v v^T. What makes it I is (I + v v^T)^(-1/2) = I - (1 - 1/h)/|v|^2 v v^T with h = sqrt(1 + |v|^2), and what
// undoes that is I + (h - 1)/|v|^2 v v^T.
type block struct {
	rows            []int // their places in the component, rising
	v               []float64
	whiten, restore float64 // the factors of v v^T
	place           bool    // they share a place, else a step
	sd              float64 // of what they share
}

// apply multiplies the columns of x, a matrix of so many, by I + factor v v^T.
func (b *block) apply(x []float64, columns int, factor float64) {
	for j := range columns {
		sum := 0.0
		for k, at := range b.rows {
			sum += b.v[k] * x[at*columns+j]
		}
		sum *= factor
		for k, at := range b.rows {
			x[at*columns+j] += sum * b.v[k]
		}
	}
}

// scatter is the square of the whitened misfits square to v: of a place's rows about their mean.
func (b *block) scatter(misfits []float64) (chi2 float64, dof int) {
	sum, along := 0.0, b.along(misfits)
	for _, at := range b.rows {
		sum += misfits[at] * misfits[at]
	}
	return max(0, sum-along*along/dot(b.v, b.v)), len(b.rows) - 1
}

// along is v^T x.
func (b *block) along(x []float64) (sum float64) {
	for k, at := range b.rows {
		sum += b.v[k] * x[at]
	}
	return sum
}

// correlate gives every row its standard deviation, and every component the blocks of rows that share an
// error: those of steps before those of places, which whiten what the steps have left. An error that a row shares
// with no other is its own.
func (v *Solver) correlate(p *Problem) {
	steps, places := v.mem.ints.take(len(p.Steps)+1), v.mem.ints.take(len(p.Places)+1) // how many rows have each
	for i := range p.Rows {
		steps[p.Rows[i].Step]++
		places[p.Rows[i].Place]++
	}
	square := func(k int, sd []float64, count []int) float64 {
		if k == 0 || count[k] > 1 {
			return 0
		}
		return sd[k-1] * sd[k-1]
	}
	for i := range p.Rows {
		r := &p.Rows[i]
		own := r.Sigma*r.Sigma + square(r.Step, p.Steps, steps)
		v.own[i], v.sigma[i] = math.Sqrt(own), math.Sqrt(own+square(r.Place, p.Places, places))
	}
	several := func(rows int) bool { return rows > 1 }
	sharedStep, sharedPlace := slices.ContainsFunc(steps[1:], several), slices.ContainsFunc(places[1:], several)
	for k := range v.components {
		c := &v.components[k]
		c.blocks = c.blocks[:0]
		if sharedStep {
			v.addBlocks(c, false, p.Steps, steps)
		}
		if sharedPlace {
			v.addBlocks(c, true, p.Places, places)
		}
	}
}

// addBlocks adds those of places or of steps; count is how many rows have each.
func (v *Solver) addBlocks(c *component, place bool, sd []float64, count []int) {
	group := func(i int) int {
		if place {
			return v.p.Rows[i].Place
		}
		return v.p.Rows[i].Step
	}
	former := c.blocks
	for at, i := range c.rows {
		g := group(i)
		if g == 0 || count[g] < 2 || sd[g-1] == 0 {
			continue
		}
		b := block{place: place, sd: sd[g-1], rows: v.mem.ints.raw(count[g])[:0], v: v.mem.floats.raw(count[g])[:0]}
		vector := v.mem.floats.take(len(c.rows))
		for k, j := range c.rows[at:] {
			if group(j) == g {
				b.rows = append(b.rows, at+k)
				vector[at+k] = b.sd / v.sigma[j]
			}
		}
		for k := range former {
			former[k].apply(vector, 1, former[k].whiten)
		}
		length := 0.0
		for _, k := range b.rows {
			b.v = append(b.v, vector[k])
			length += vector[k] * vector[k]
		}
		h := math.Sqrt(1 + length)
		b.whiten, b.restore = (1/h-1)/length, (h-1)/length
		c.blocks = append(c.blocks, b)
		count[g] = 0 // done
	}
}

// whiten takes columns of numbers, a row of the component each and already over the rows' standard deviations, to
// where they are independent; unwhiten undoes it.
func (c *component) whiten(x []float64, columns int) {
	for k := range c.blocks {
		c.blocks[k].apply(x, columns, c.blocks[k].whiten)
	}
}

func (c *component) unwhiten(x []float64) {
	for k := len(c.blocks) - 1; k >= 0; k-- {
		c.blocks[k].apply(x, 1, c.blocks[k].restore)
	}
}

// whitenT is the transpose of whiten, and unwhitenT that of unwhiten.
func (c *component) whitenT(x []float64) {
	for k := len(c.blocks) - 1; k >= 0; k-- {
		c.blocks[k].apply(x, 1, c.blocks[k].whiten)
	}
}

func (c *component) unwhitenT(x []float64) {
	for k := range c.blocks {
		c.blocks[k].apply(x, 1, c.blocks[k].restore)
	}
}
