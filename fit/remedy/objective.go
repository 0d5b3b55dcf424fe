package remedy

import (
	"math"
	"math/rand/v2"
	"sync"

	"gonum.org/v1/gonum/mat"

	"neckfit/fit"
)

// objective looks at some criteria of a candidate while its moves are varied. The standard deviations are those
// of the candidate that it was made for: they do not depend on the moves but for the holes' mismatches,
// and there weakly. So a objective only searches; what it finds is scored by kit.score.
type objective struct {
	kit      *kit
	criteria []*criterion
	std      []float64
	high     []float64
	base     float64 // of the holes drilled anew, which no move changes
}

func (k *kit) objective(d *candidate, counts func(*criterion) bool) *objective {
	l := &objective{kit: k}
	for i := range k.criteria {
		r := &k.criteria[i]
		switch {
		case !r.judged || !counts(r):
		case d.renews(r.kind):
			l.base += k.scoreOf(r, d)
		default:
			l.criteria = append(l.criteria, r)
			l.std = append(l.std, math.Sqrt(k.variance(r, d)))
			l.high = append(l.high, d.upper(r))
		}
	}
	return l
}

// score is kit.score for the criteria of the objective. No criterion adds to it, so that it may stop once it is
// below what is worth knowing.
func (l *objective) score(d *candidate, floor float64) float64 {
	sum := l.base
	for i, r := range l.criteria {
		sum += logInside(l.kit.value(r, d), l.std[i], r.lower, l.high[i])
		if sum < floor {
			break
		}
	}
	return sum
}

// offCentre is a slight pull toward the middle of two-sided limits and of the saddles' travel: a
// thousandth of a nat for a whole half-width. Where everything passes anyhow it decides.
func (l *objective) offCentre(d *candidate) float64 {
	const pull = 1e-3
	sum := 0.0
	for i, r := range l.criteria {
		if r.kind == bridgeHoles {
			continue
		}
		v := l.kit.value(r, d)
		switch low, high := !math.IsInf(r.lower, -1), !math.IsInf(l.high[i], 1); {
		case low && high:
			half := (l.high[i] - r.lower) / 2
			off := (v - r.lower - half) / half
			sum += pull * off * off
		case low: // a reserve: the other end's grows as this one shrinks
			sum += pull * math.Exp(-min(v-r.lower, mostExp))
		case high:
			sum += pull * math.Exp(-min(l.high[i]-v, mostExp))
		}
	}
	return sum
}

// mostExp keeps an exponential away from underflow, where it would slow down the processor.
const mostExp = 100

// within is the most that the centre-line error's criterion can score while the heel moves in these gaps.
func (l *objective) within(d *candidate, gap [2]float64) float64 {
	for i, r := range l.criteria {
		if l.kit.result.Characteristics[r.index].ID != fit.CentreLineError {
			continue
		}
		y := l.kit.value(r, d)
		free := math.Abs(r.by[fit.HeelMouth])*gap[0]/2 + math.Abs(r.by[fit.HeelEnd])*gap[1]/2
		aim := (r.lower + l.high[i]) / 2
		if math.IsInf(aim, 0) || math.IsNaN(aim) {
			return 0
		}
		return logInside(y+max(-free, min(free, aim-y)), l.std[i], r.lower, l.high[i])
	}
	return 0
}

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

// score is the sum over the judged criteria: the logarithm of what the probability would be were they
// independent. It only orders plans; joint gives what is stated.
func (k *kit) score(d *candidate, counts func(*criterion) bool) float64 {
	sum := 0.0
	for i := range k.criteria {
		if r := &k.criteria[i]; r.judged && counts(r) {
			sum += k.scoreOf(r, d)
		}
	}
	return sum
}

func (k *kit) scoreOf(r *criterion, d *candidate) float64 {
	if d.renews(r.kind) {
		_, _, p := k.renewed(r, d)
		return math.Log(max(p, math.SmallestNonzeroFloat64))
	}
	return logInside(k.value(r, d), math.Sqrt(k.variance(r, d)), r.lower, d.upper(r))
}

func all(*criterion) bool { return true }

// Monte Carlo: so many draws, so that the standard error of a probability is at most
// sqrt(0.25/draws) = 0.8 %.
const draws = 4000

// sureRow is a probability so near 1 that the criterion is left out of the draws: even thirty of them
// change the result by less than a tenth of the draws' own error.
const sureRow = 1 - 2e-5

// joint is the probability that all judged criteria lie inside, and that the curable ones do. The criteria
// are jointly normal with the readings' covariance and what the hand adds; holes drilled anew are
// independent of them and come in as a factor. The integral is by Monte Carlo, with the same fixed
// draws for every plan and kit, so that plans are compared on equal terms.
func (k *kit) joint(d *candidate) (every, curables float64) {
	var use []*criterion
	factor := 1.0
	for i := range k.criteria {
		r := &k.criteria[i]
		switch {
		case !r.judged:
		case d.renews(r.kind):
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

// inside counts the draws in which all criteria are inside, and in which the curable ones are.
func (k *kit) inside(use []*criterion, d *candidate) (every, curables int) {
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

// factor is the Cholesky factor of the covariance of the criteria, line by line.
func (k *kit) factor(use []*criterion, d *candidate) []float64 {
	n := len(use)
	s := mat.NewSymDense(n, nil)
	answers := make([][]float64, n)
	for i, r := range use {
		answers[i] = make([]float64, len(d.noise))
		for m := range d.noise {
			answers[i][m] = k.answer(r, d, &d.noise[m])
		}
		for j := 0; j <= i; j++ {
			c := k.covariance(r, use[j])
			for m := range d.noise {
				c += answers[i][m] * answers[j][m]
			}
			s.SetSym(i, j, c)
		}
	}
	return cholesky(s)
}

// cholesky adds as little to the diagonal as is needed: a balance of two margins makes three criteria
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
