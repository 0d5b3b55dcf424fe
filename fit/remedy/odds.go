package remedy

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"

	"neckfit/fit"
)

// Monte Carlo: so many draws, so that the standard error of a probability is at most
// sqrt(0.25/draws) = 1 %.
const draws = 2500

// sure is a probability so near 1 that a characteristic is left out of the draws: even thirty of them
// change the result by less than a tenth of the draws' own error.
const sure = 1 - 2e-5

// outcome is in which draws everything that some work could change passes, and the probability of what
// the draws leave out: of what no work changes, and of what is drilled or scraped anew.
type outcome struct {
	passed       [(draws + 63) / 64]uint64
	fixed, fresh float64
}

// odds draws what the readings do not know of a kit, for all its candidates alike, so that these are
// compared on equal terms.
type odds struct {
	*kit
	errors [][]float64 // of the readings, by element, draw by draw; nil for an element that is in no doubt
}

// newOdds draws for the characteristics that are in doubt under any of the candidates.
func (k *kit) newOdds(candidates []*candidate) *odds {
	o := &odds{kit: k, errors: make([][]float64, len(k.model.Elements))}
	var drawn []int
	for _, d := range candidates {
		for _, c := range k.doubtful(d) {
			for e := c.first; e < c.last; e++ {
				if o.errors[e] == nil {
					o.errors[e] = make([]float64, draws)
					drawn = append(drawn, e)
				}
			}
		}
	}
	n := len(drawn)
	if n == 0 {
		return o
	}
	s := mat.NewSymDense(n, nil)
	for i, e := range drawn {
		for j := range i + 1 {
			s.SetSym(i, j, k.model.Covariance[e][drawn[j]])
		}
	}
	lower := cholesky(s)
	for i, e := range drawn {
		var causes []cause
		for j, l := range lower[i*n : i*n+i+1] {
			causes = append(causes, cause{l, normals(ofReadings + j)})
		}
		for at := 0; at < draws; at += block {
			var sum [block]float64
			add(&sum, causes, at)
			copy(o.errors[e][at:], sum[:])
		}
	}
	return o
}

// doubtful are the judged characteristics that must be drawn under a candidate, the least likely first.
func (k *kit) doubtful(d *candidate) []*criterion {
	var list []*criterion
	likely := map[*criterion]float64{}
	for i := range k.criteria {
		c := &k.criteria[i]
		if !c.judged || !c.movable || d.leaves(c) || d.renews(c) && !d.stays(c, k.model.Elements[k.worstElement(c, d)].Mark) {
			continue
		}
		// several strings or holes near a limit are together less sure than the worst of them
		p := fit.Conformance(k.value(c, d), math.Sqrt(k.variance(c, d)), c.lower, d.limit(c))
		if d.renews(c) || p < 1-(1-sure)/float64(c.last-c.first) {
			list, likely[c] = append(list, c), p
		}
	}
	slices.SortStableFunc(list, func(a, b *criterion) int { return cmp.Compare(likely[a], likely[b]) })
	return list
}

// block is how many draws are looked at together: as many as a word has bits.
const block = 64

// cause is an independent error, draw by draw, and what it does to an element.
type cause struct {
	by float64
	of []float64
}

// add adds what causes do in a block of draws.
func add(sum *[block]float64, causes []cause, at int) {
	n := min(block, draws-at)
	for _, c := range causes {
		of, out := c.of[at:at+n], sum[:n]
		for i, x := range of {
			out[i] += c.by * x
		}
	}
}

// of draws a candidate's outcome: the readings' errors, and the hand's with each candidate's own numbers.
func (o *odds) of(d *candidate, number int) *outcome {
	k := o.kit
	out := &outcome{fixed: 1, fresh: 1}
	for i := range k.criteria {
		switch c := &k.criteria[i]; {
		case !c.judged:
		case !c.movable:
			out.fixed *= c.p
		case d.renews(c):
			_, _, p := k.renewed(c, d)
			out.fresh *= p
		case d.leaves(c):
			out.fresh *= c.p
		}
	}
	for t := range draws {
		out.passed[t/block] |= 1 << (t % block)
	}
	hand := make([][]float64, len(d.noise))
	for i := range hand {
		from := 617 * (number + 1) % draws // each candidate its own
		hand[i] = normals(ofHands + i)[from : from+draws]
	}
	var slide []float64
	for _, c := range k.doubtful(d) {
		if out.passed == (outcome{}).passed {
			break
		}
		if slide == nil && d.seated && k.answers(c, fit.HeelAlong) {
			slide = o.slides(d, hand)
		}
		o.keep(out, c, d, o.drawn(c, d, hand, slide))
	}
	return out
}

// slides is how much farther than planned a heel that is set anew slides home, draw by draw.
func (o *odds) slides(d *candidate, hand [][]float64) []float64 {
	var shifts [2][draws]float64
	for i := range shifts {
		move := fit.HeelMouth + fit.Move(i)
		for j := range shifts[i] {
			shifts[i][j] = d.moves[move]
		}
		for n := range d.noise {
			if by := d.noise[n].moves[move]; by != 0 {
				for j, z := range hand[n][:draws] {
					shifts[i][j] += by * z
				}
			}
		}
	}
	list := make([]float64, draws)
	for j := range list {
		list[j] = o.home(shifts[0][j], shifts[1][j]) + d.trimmed - d.moves[fit.HeelAlong]
	}
	return list
}

// drawnElement is an element of a characteristic: where it is planned to be, and what moves it.
type drawnElement struct {
	planned float64
	causes  []cause
}

// drawn are a characteristic's elements; of holes drilled anew only those that stay.
func (o *odds) drawn(c *criterion, d *candidate, hand [][]float64, slide []float64) []drawnElement {
	var list []drawnElement
	for e := c.first; e < c.last; e++ {
		if d.renews(c) && !d.stays(c, o.model.Elements[e].Mark) {
			continue
		}
		one := drawnElement{planned: o.element(c, d, e), causes: []cause{{1, o.errors[e]}}}
		response := &o.model.Response[e]
		beside := c.gap != [2]float64{}
		if beside {
			one.planned = o.value(c, d)
		}
		for i := range d.noise {
			n := &d.noise[i]
			by := c.gap[0]*n.wider[0] + c.gap[1]*n.wider[1]
			if !beside {
				by = dot(response, &n.moves)
			}
			if c.id == fit.CornerReserve {
				by += n.corner
			}
			if by != 0 {
				one.causes = append(one.causes, cause{by, hand[i]})
			}
		}
		if by := response[fit.HeelAlong]; slide != nil && !beside && by != 0 {
			one.causes = append(one.causes, cause{by, slide})
		}
		list = append(list, one)
	}
	return list
}

// keep leaves an outcome those draws in which a characteristic lies inside too.
func (o *odds) keep(out *outcome, c *criterion, d *candidate, elements []drawnElement) {
	high := d.limit(c)
	for w := range out.passed {
		if out.passed[w] == 0 {
			continue
		}
		var value, other [block]float64
		if c.taken == fit.LeastOf {
			for t := range value {
				value[t] = math.Inf(1)
			}
		}
		for e := 0; e < len(elements); e++ {
			var one [block]float64
			fill(&one, &elements[e], w*block)
			switch c.taken {
			case fit.Alone:
				value = one
			case fit.LeastOf:
				for t, x := range one {
					value[t] = min(value[t], x)
				}
			case fit.LongestOf:
				e++
				fill(&other, &elements[e], w*block)
				for t, x := range one {
					value[t] = max(value[t], math.Sqrt(length2(x, other[t])))
				}
			}
		}
		for t, x := range value {
			if x < c.lower || x > high {
				out.passed[w] &^= 1 << t
			}
		}
	}
}

// fill draws an element in a block.
func fill(out *[block]float64, e *drawnElement, at int) {
	for t := range out {
		out[t] = e.planned
	}
	add(out, e.causes, at)
}

// cholesky is the Cholesky factor of a covariance, line by line. It adds as little to the diagonal as is
// needed: a balance of two margins makes three lines of rank two.
func cholesky(s *mat.SymDense) []float64 {
	n := s.SymmetricDim()
	var c mat.Cholesky
	for lift := rankSlack; ; lift *= 10 {
		t := mat.NewSymDense(n, nil)
		t.CopySym(s)
		for i := range n {
			t.SetSym(i, i, s.At(i, i)*(1+lift)+lift*leastStd*leastStd)
		}
		if c.Factorize(t) {
			break
		}
	}
	var l mat.TriDense
	c.LTo(&l)
	out := make([]float64, n*n)
	for i := range n {
		for j := range i + 1 {
			out[i*n+j] = l.At(i, j)
		}
	}
	return out
}

// rankSlack is far above the rounding of a covariance, about 1e-15 of it, and changes a standard
// deviation by half of itself.
const rankSlack = 1e-10

// Which normal numbers are whose: the readings' and the hand's are independent.
const (
	ofReadings = 0
	ofHands    = 1000
)

var (
	normalsLock sync.Mutex
	normalsBy   = map[int][]float64{}
)

// normals are standard normal numbers for all draws, of each number its own and always the same; twice in a
// row, so that they can be taken from anywhere on.
func normals(number int) []float64 {
	normalsLock.Lock()
	defer normalsLock.Unlock()
	if z, ok := normalsBy[number]; ok {
		return z
	}
	rng := rand.New(rand.NewPCG(20, uint64(number))) // any fixed seed
	z := make([]float64, draws, 2*draws)
	for i := range z {
		z[i] = rng.NormFloat64()
	}
	z = append(z, z...)
	normalsBy[number] = z
	return z
}
