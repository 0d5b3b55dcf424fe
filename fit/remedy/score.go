package remedy

import (
	"math"

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
	return logBelow((y-lower)/u) + logBelow((upper-y)/u) // of a limit that is infinite nothing
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
	if d.leaves(c) {
		return math.Log(max(c.p, math.SmallestNonzeroFloat64))
	}
	return logInside(k.value(c, d), math.Sqrt(k.variance(c, d)), c.lower, d.limit(c))
}

// objective scores some characteristics of a candidate while its moves are varied. The standard deviations
// are those of the candidate that it was made for: they depend on the moves only where another string or
// hole becomes the worst. So it only searches; what it finds is scored by kit.score.
type objective struct {
	kit      *kit
	criteria []ranged
	base     float64 // of what is made anew, which no move changes
	gaps     []ranged

	// What vary prepares: the elements of the criteria that answer, one after the other, as linear functions
	// of the moves that are varied, and the score of the criteria that do not.
	live    []ranged
	at      []float64
	by      []varied
	settled float64
}

// ranged is a criterion with its standard deviation and its upper limit under a candidate, and where its elements begin.
type ranged struct {
	*criterion
	std, high float64
	at        int
}

func (r *ranged) score(y float64) float64 { return logInside(y, r.std, r.lower, r.high) }

// varied are the moves that an objective varies at once: at most three.
type varied [3]float64

func (k *kit) objective(d *candidate, counts func(*criterion) bool) *objective {
	o := &objective{kit: k}
	for i := range k.criteria {
		c := &k.criteria[i]
		if !c.judged || !c.movable || !counts(c) {
			continue
		}
		switch r := (ranged{criterion: c, high: d.limit(c)}); {
		case d.renews(c) || c.still:
			o.base += k.scoreOf(c, d)
		default:
			r.std = math.Sqrt(k.variance(c, d))
			if c.gap != [2]float64{} {
				o.gaps = append(o.gaps, r)
			} else {
				o.criteria = append(o.criteria, r)
			}
		}
	}
	return o
}

// vary makes up to three moves variable, those of the candidate else. A search asks for thousands of scores a kit: on linear
// elements, with draws in blocks, the plans of 1,000 kits take 14 s where they took 18, and TestObjectivesAreTheKitsValues
// holds them against kit.value. Of the heel's moves and the bridge's
// only the one or the other, since the bridge's turn about the neck's is the product of both.
func (o *objective) vary(d *candidate, moves ...fit.Move) {
	o.live, o.at, o.by, o.settled = o.live[:0], o.at[:0], o.by[:0], 0
	fixed := d.moves
	for _, m := range moves {
		fixed[m] = 0
	}
	perLength := 0.0
	if o.kit.play != nil {
		perLength = 1 / o.kit.play.Length
	}
	bend := fixed[fit.BridgeAlong] * (fixed[fit.HeelMouth] - fixed[fit.HeelEnd]) * perLength
	for _, c := range o.criteria {
		answers := false
		c.at = len(o.at)
		for e := c.first; e < c.last; e++ {
			response := &o.kit.model.Response[e]
			var by varied
			for j, m := range moves {
				by[j] = response[m]
				switch across := response[fit.BridgeAcross] * perLength; m {
				case fit.HeelMouth:
					by[j] += across * fixed[fit.BridgeAlong]
				case fit.HeelEnd:
					by[j] -= across * fixed[fit.BridgeAlong]
				case fit.BridgeAlong:
					by[j] += across * (fixed[fit.HeelMouth] - fixed[fit.HeelEnd])
				}
				answers = answers || math.Abs(by[j]) > noResponse
			}
			o.at = append(o.at, o.kit.model.Elements[e].Value+dot(response, &fixed)+response[fit.BridgeAcross]*bend)
			o.by = append(o.by, by)
		}
		if c.id == fit.CornerReserve {
			for i := range o.at[c.at:] {
				o.at[c.at+i] += d.rounded(o.kit.model.Elements[c.first+i].Mark)
			}
		}
		if answers {
			o.live = append(o.live, c)
		} else {
			o.settled += c.score(o.value(&c, varied{}))
			o.at, o.by = o.at[:c.at], o.by[:c.at]
		}
	}
}

// value is a criterion's.
func (o *objective) value(c *ranged, x varied) float64 {
	if c.taken == fit.Alone {
		return o.element(c.at, &x)
	}
	return c.of(func(e int) float64 { return o.element(c.at+e-c.first, &x) })
}

func (o *objective) element(i int, x *varied) float64 {
	by := &o.by[i]
	return o.at[i] + by[0]*x[0] + by[1]*x[1] + by[2]*x[2]
}

// score stops once it is below what is worth knowing, since no characteristic adds to it.
func (o *objective) score(x varied, floor float64) float64 {
	sum := o.base + o.settled
	for i := range o.live {
		if sum < floor {
			break
		}
		c := &o.live[i]
		sum += c.score(o.value(c, x))
	}
	return sum
}

// ofGaps is the score of the pocket's gaps, grown wider by so much at mouth and end.
func (o *objective) ofGaps(wider [2]float64) float64 {
	sum := 0.0
	for i := range o.gaps {
		c := &o.gaps[i]
		sum += c.score(o.kit.model.Elements[c.first].Value + c.gap[0]*wider[0] + c.gap[1]*wider[1])
	}
	return sum
}

// within is the most that the centre-line error can score while the heel moves in these gaps about a place.
func (o *objective) within(x varied, gap [2]float64) float64 {
	for i := range o.live {
		c := &o.live[i]
		if c.id != fit.CentreLineError {
			continue
		}
		y, by := o.value(c, x), o.kit.model.Response[c.first]
		free := math.Abs(by[fit.HeelMouth])*gap[0]/2 + math.Abs(by[fit.HeelEnd])*gap[1]/2
		aim := (c.lower + c.high) / 2
		if math.IsInf(aim, 0) || math.IsNaN(aim) {
			return 0
		}
		return c.score(y + max(-free, min(free, aim-y)))
	}
	return 0
}

// fault aims a move at what is wrong: across and in turn at the middle of the two-sided limits, since a
// bridge that is laid anew is laid straight; along at as little as will do, since the saddles have their
// travel for that. Where everything passes anyhow it decides, by a hundredth of a nat for a whole half-width
// or for 3 mm.
func (o *objective) fault(move fit.Move, x float64) float64 {
	const pull = 1e-2
	if move == fit.BridgeAlong {
		return pull * math.Abs(x) / askFrom
	}
	sum := 0.0
	for i := range o.live {
		c := &o.live[i]
		if half := (c.high - c.lower) / 2; c.taken == fit.Alone && !math.IsInf(half, 0) {
			off := (o.value(c, varied{x}) - c.lower - half) / half
			sum += pull * off * off
		}
	}
	return sum
}
