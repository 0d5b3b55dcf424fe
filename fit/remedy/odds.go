package remedy

import (
	"math"
	"math/rand/v2"
	"sync"

	"gonum.org/v1/gonum/mat"

	"neckfit/fit"
)

// logPhi are the logarithms of the standard normal distribution function from -phiReach to phiReach, in
// steps of 1/phiSteps. Straight between them it is off by less than 1e-4.
const (
	phiReach = 8
	phiSteps = 64
)

var logPhi = func() [2*phiReach*phiSteps + 1]float64 {
	var table [2*phiReach*phiSteps + 1]float64
	for i := range table {
		z := float64(i)/phiSteps - phiReach
		table[i] = math.Log(0.5 * math.Erfc(-z/math.Sqrt2))
	}
	return table
}()

// logBelow is the logarithm of the probability that a standard normal number is below z. Far below
// nought, where the probability itself would vanish, it goes on as the square of the distance, so that a
// search still knows which way is better.
func logBelow(z float64) float64 {
	switch at := (z + phiReach) * phiSteps; {
	case at >= 2*phiReach*phiSteps:
		return 0
	case at < 0:
		return logPhi[0] - (z*z-phiReach*phiReach)/2
	default:
		i := int(at)
		return logPhi[i] + (at-float64(i))*(logPhi[i+1]-logPhi[i])
	}
}

// logInside is the logarithm of the probability that a normal value lies between limits that are much
// farther apart than its standard deviation; of narrower ones it says too much.
func logInside(y, u, lower, upper float64) float64 {
	u = max(u, leastStd)
	sum := 0.0
	if !math.IsInf(lower, -1) {
		sum += logBelow((y - lower) / u)
	}
	if !math.IsInf(upper, 1) {
		sum += logBelow((upper - y) / u)
	}
	return sum
}

// score is the sum over the judged characteristics: the logarithm of what the probability would be were
// they independent. It only orders candidates; the odds give what is stated.
func (k *kit) score(d *candidate, counts func(*criterion) bool) float64 {
	sum := 0.0
	for i := range k.criteria {
		if c := &k.criteria[i]; c.judged && c.movable && counts(c) {
			sum += k.scoreOf(c, d)
		}
	}
	return sum
}

func (k *kit) scoreOf(c *criterion, d *candidate) float64 {
	if d.renews(c) {
		_, _, p := k.renewed(c, d)
		return math.Log(max(p, math.SmallestNonzeroFloat64))
	}
	if c.still {
		return math.Log(max(c.p, math.SmallestNonzeroFloat64))
	}
	return logInside(k.value(c, d), math.Sqrt(k.variance(c, d)), c.lower, d.limit(c))
}

// objective scores some characteristics of a candidate while its moves are varied. The standard deviations
// are those of the candidate that it was made for: they depend on the moves only where another string or
// hole becomes the worst. So it only searches; what it finds is scored by kit.score.
type objective struct {
	kit      *kit
	criteria []*criterion
	std      []float64
	high     []float64
	base     float64 // of what is made anew, which no move changes
}

func (k *kit) objective(d *candidate, counts func(*criterion) bool) *objective {
	o := &objective{kit: k}
	for i := range k.criteria {
		c := &k.criteria[i]
		switch {
		case !c.judged || !c.movable || !counts(c):
		case d.renews(c) || c.still:
			o.base += k.scoreOf(c, d)
		default:
			o.criteria = append(o.criteria, c)
			o.std = append(o.std, math.Sqrt(k.variance(c, d)))
			o.high = append(o.high, d.limit(c))
		}
	}
	return o
}

// score stops once it is below what is worth knowing, since no characteristic adds to it.
func (o *objective) score(d *candidate, floor float64) float64 {
	sum := o.base
	for i, c := range o.criteria {
		sum += logInside(o.kit.value(c, d), o.std[i], c.lower, o.high[i])
		if sum < floor {
			break
		}
	}
	return sum
}

// within is the most that the centre-line error can score while the heel moves in these gaps.
func (o *objective) within(d *candidate, gap [2]float64) float64 {
	for i, c := range o.criteria {
		if c.id != fit.CentreLineError {
			continue
		}
		y, by := o.kit.value(c, d), o.kit.model.Response[c.first]
		free := math.Abs(by[fit.HeelMouth])*gap[0]/2 + math.Abs(by[fit.HeelEnd])*gap[1]/2
		aim := (c.lower + o.high[i]) / 2
		if math.IsInf(aim, 0) || math.IsNaN(aim) {
			return 0
		}
		return logInside(y+max(-free, min(free, aim-y)), o.std[i], c.lower, o.high[i])
	}
	return 0
}

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
	at     []int     // of each element that is drawn, where in a draw it stands; -1 for none
	n      int       // elements drawn
	errors []float64 // of the readings, draw by draw
}

// newOdds draws for the characteristics that are in doubt under any of the candidates.
func (k *kit) newOdds(candidates []*candidate) *odds {
	o := &odds{kit: k, at: make([]int, len(k.model.Elements))}
	for i := range o.at {
		o.at[i] = -1
	}
	var drawn []int
	for _, d := range candidates {
		for _, c := range k.doubtful(d) {
			for e := c.first; e < c.last; e++ {
				if o.at[e] < 0 {
					o.at[e] = len(drawn)
					drawn = append(drawn, e)
				}
			}
		}
	}
	if o.n = len(drawn); o.n == 0 {
		return o
	}
	s := mat.NewSymDense(o.n, nil)
	for i, e := range drawn {
		for j := range i + 1 {
			s.SetSym(i, j, k.model.Covariance[e][drawn[j]])
		}
	}
	lower, z := cholesky(s), normals(o.n)
	o.errors = make([]float64, draws*o.n)
	for t := range draws {
		draw, out := z[t*o.n:(t+1)*o.n], o.errors[t*o.n:(t+1)*o.n]
		for i := range out {
			row := lower[i*o.n : i*o.n+i+1]
			sum := 0.0
			for j, l := range row {
				sum += l * draw[j]
			}
			out[i] = sum
		}
	}
	return o
}

// doubtful are the judged characteristics that must be drawn under a candidate.
func (k *kit) doubtful(d *candidate) []*criterion {
	var list []*criterion
	for i := range k.criteria {
		c := &k.criteria[i]
		if !c.judged || !c.movable || c.still || d.renews(c) && len(d.reused) == 0 {
			continue
		}
		if d.renews(c) && c.id != fit.NeckScrewMismatch && c.id != fit.BridgeHoleMismatch {
			continue
		}
		// several strings or holes near a limit are together less sure than the worst of them
		p := fit.Conformance(k.value(c, d), math.Sqrt(k.variance(c, d)), c.lower, d.limit(c))
		if d.renews(c) || p < 1-(1-sure)/float64(c.last-c.first) {
			list = append(list, c)
		}
	}
	return list
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
		case c.still:
			out.fresh *= c.p
		}
	}
	doubtful := k.doubtful(d)
	hand := normals(max(1, len(d.noise)))
	start := d.moves[fit.HeelAlong]
	for t := range draws {
		from := (t + 617*(number+1)) % draws // each candidate its own
		z := hand[from*len(d.noise) : (from+1)*len(d.noise)]
		var by noise
		for i := range d.noise {
			n := &d.noise[i]
			for m := range by.moves {
				by.moves[m] += n.moves[m] * z[i]
			}
			by.wider[0] += n.wider[0] * z[i]
			by.wider[1] += n.wider[1] * z[i]
			by.corner += n.corner * z[i]
		}
		if d.seated {
			by.moves[fit.HeelAlong] += k.home(d.moves[fit.HeelMouth]+by.moves[fit.HeelMouth], d.moves[fit.HeelEnd]+by.moves[fit.HeelEnd]) + d.trimmed - start
		}
		if k.passes(doubtful, d, &by, o.errors[t*o.n:], o.at) {
			out.passed[t/64] |= 1 << (t % 64)
		}
	}
	return out
}

// passes tells whether all of some characteristics lie inside in one draw.
func (k *kit) passes(list []*criterion, d *candidate, by *noise, errors []float64, at []int) bool {
	for _, c := range list {
		element := func(e int) float64 {
			v := d.exact[e] + errors[at[e]]
			if c.gap == [2]float64{} {
				v += dot(&k.model.Response[e], &by.moves)
			}
			return v
		}
		add := c.gap[0]*(d.wider[0]+by.wider[0]) + c.gap[1]*(d.wider[1]+by.wider[1])
		if c.gap != [2]float64{} {
			add += k.model.Elements[c.first].Value - d.exact[c.first]
		}
		if c.id == fit.CornerReserve {
			add += d.corner + by.corner
		}
		var v float64
		if d.renews(c) {
			v = k.longestReused(c, d, element)
		} else {
			v = c.of(element) + add
		}
		if v < c.lower || v > d.limit(c) {
			return false
		}
	}
	return true
}

// longestReused is the longest distance of the holes that stay.
func (k *kit) longestReused(c *criterion, d *candidate, element func(int) float64) float64 {
	far := 0.0
	for e := c.first; e < c.last; e += 2 {
		if d.stays(c, k.model.Elements[e].Mark) {
			far = max(far, length2(element(e), element(e+1)))
		}
	}
	return math.Sqrt(far)
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
