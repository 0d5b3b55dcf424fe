package remedy

import (
	"math"
	"math/rand/v2"
	"sync"

	"gonum.org/v1/gonum/mat"

	"neckfit/fit"
)

// logInside is the logarithm of the probability that a normal value lies between the limits. Far
// outside, where the probability itself would be nought, it goes on as the square of the distance,
// so that a search still knows which way is better. Tails of less than a millionth are left out.
func logInside(y, u, lower, upper float64) float64 {
	const nought = 1e-12 // far above the rounding of 1 less two tails
	p := 1 - tail(y-lower, u) - tail(upper-y, u)
	if p == 1 {
		return 0
	}
	if p > nought {
		return math.Log(p)
	}
	out := max(lower-y, y-upper)
	z := out / max(u, leastStd)
	return math.Log(nought) - z*z/2
}

// tail is the probability beyond a distance of the mean.
func tail(far, u float64) float64 {
	switch {
	case far >= certain*u:
		return 0
	case far < -certain*u:
		return 1
	}
	return 0.5 * math.Erfc(far/(u*math.Sqrt2))
}

// certain is how many standard deviations inside the rest is less than a millionth.
const certain = 5.0

// leastStd stands for a standard uncertainty of nought where one is divided by: a micrometre.
const leastStd = 1e-3

// score is the sum over the judged rows: the logarithm of what the probability would be were they
// independent. It only orders plans; joint gives what is stated.
func (k *kit) score(d *draft, counts func(*row) bool) float64 {
	sum := 0.0
	for i := range k.rows {
		if r := &k.rows[i]; r.judged && counts(r) {
			sum += k.rowScore(r, d)
		}
	}
	return sum
}

func (k *kit) rowScore(r *row, d *draft) float64 {
	if d.fresh(r.sort) {
		_, _, p := k.renewed(r, d)
		return math.Log(max(p, math.SmallestNonzeroFloat64))
	}
	return logInside(k.value(r, d), math.Sqrt(k.variance(r, d)), r.lower, d.upper(r))
}

func all(*row) bool { return true }

// Monte Carlo: so many draws, so that the standard error of a probability is at most
// sqrt(0.25/draws) = 0.8 %.
const draws = 4000

// sureRow is a probability so near 1 that the row is left out of the draws: even thirty of them
// change the result by less than a tenth of the draws' own error.
const sureRow = 1 - 2e-5

// joint is the probability that all judged rows lie inside, and that the curable ones do. The rows
// are jointly normal with the readings' covariance and what the hand adds; holes drilled anew are
// independent of them and come in as a factor. The integral is by Monte Carlo, with the same fixed
// draws for every plan and kit, so that plans are compared on equal terms.
func (k *kit) joint(d *draft) (every, curables float64) {
	var use []*row
	factor := 1.0
	for i := range k.rows {
		r := &k.rows[i]
		switch {
		case !r.judged:
		case d.fresh(r.sort):
			_, _, p := k.renewed(r, d)
			factor *= p
		case fit.Conformance(k.value(r, d), math.Sqrt(k.variance(r, d)), r.lower, d.upper(r)) < sureRow:
			use = append(use, r)
		}
	}
	if len(use) == 0 {
		return factor, factor
	}
	e, c := k.inside(use, d)
	return factor * float64(e) / draws, factor * float64(c) / draws
}

// inside counts the draws in which all rows are inside, and in which the curable ones are.
func (k *kit) inside(use []*row, d *draft) (every, curables int) {
	n := len(use)
	lower := k.factor(use, d)
	value, high := make([]float64, n), make([]float64, n)
	for i, r := range use {
		value[i], high[i] = k.value(r, d), d.upper(r)
	}
	z := normals(n)
	for t := range draws {
		draw := z[t*n : (t+1)*n]
		all, most := true, true
		for i, r := range use {
			x := value[i]
			for j := 0; j <= i; j++ {
				x += lower[i*n+j] * draw[j]
			}
			if x < r.lower || x > high[i] {
				all = false
				if r.curable {
					most = false
					break
				}
			}
		}
		if all {
			every++
		}
		if most {
			curables++
		}
	}
	return every, curables
}

// factor is the Cholesky factor of the rows' covariance, row by row.
func (k *kit) factor(use []*row, d *draft) []float64 {
	n := len(use)
	s := mat.NewSymDense(n, nil)
	answers := make([][]float64, n)
	for i, r := range use {
		answers[i] = make([]float64, len(d.noise))
		for m := range d.noise {
			answers[i][m] = k.answer(r, d, &d.noise[m])
		}
		for j := 0; j <= i; j++ {
			c := k.model.Covariance[r.at][use[j].at]
			for m := range d.noise {
				c += answers[i][m] * answers[j][m]
			}
			s.SetSym(i, j, c)
		}
	}
	return cholesky(s)
}

// cholesky adds as little to the diagonal as is needed: a balance of two margins makes three rows
// of rank two.
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
		for j := 0; j <= i; j++ {
			out[i*n+j] = l.At(i, j)
		}
	}
	return out
}

// rankSlack is far above the rounding of a covariance, about 1e-15 of it, and changes a standard
// deviation by half of itself.
const rankSlack = 1e-10

var (
	normalsLock sync.Mutex
	normalsBy   = map[int][]float64{}
)

// normals are standard normal numbers for so many dimensions, always the same.
func normals(n int) []float64 {
	normalsLock.Lock()
	defer normalsLock.Unlock()
	if z, ok := normalsBy[n]; ok {
		return z
	}
	rng := rand.New(rand.NewPCG(20, uint64(n))) // any fixed seed
	z := make([]float64, n*draws)
	for i := range z {
		z[i] = rng.NormFloat64()
	}
	normalsBy[n] = z
	return z
}
