package sampling

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/combin"
	"gonum.org/v1/gonum/stat/distuv"
)

// largestAccepted is the largest count with which the lot is still accepted; reduced plans accept in
// the gap too.
func (p Plan) largestAccepted() int { return p.Reject - 1 }

// AcceptProcess is the probability that a lot is accepted when its pieces come from a process with
// this quality (Type B operating curve): the fraction of bad pieces, by the binomial distribution, or
// for CountsFaults the faults per piece, by the Poisson distribution. It panics on a quality that
// cannot be.
func (p Plan) AcceptProcess(quality float64) float64 {
	c := float64(p.largestAccepted())
	switch {
	case !(quality >= 0) || !p.CountsFaults() && quality > 1:
		panic("sampling: no such quality")
	case quality == 0 || !p.CountsFaults() && c >= float64(p.Sample):
		return 1
	case p.CountsFaults():
		return distuv.Poisson{Lambda: quality * float64(p.Sample)}.CDF(c)
	}
	return distuv.Binomial{N: float64(p.Sample), P: quality}.CDF(c)
}

// AcceptLot is the probability that this very lot is accepted when bad of its pieces are (Type A
// operating curve): hypergeometric. It is an error for a plan that counts faults, and for more bad
// pieces than the lot has.
func (p Plan) AcceptLot(bad int) (float64, error) {
	if p.CountsFaults() {
		return 0, fmt.Errorf("AQL %g counts faults, not bad pieces: a lot's bad pieces do not say how many", p.AQL)
	}
	if bad < 0 || bad > p.LotSize {
		return 0, fmt.Errorf("%d bad pieces in a lot of %d", bad, p.LotSize)
	}
	choose := func(n, k int) float64 { return combin.LogGeneralizedBinomial(float64(n), float64(k)) }
	all := choose(p.LotSize, p.Sample)
	var sum float64
	good := p.LotSize - bad
	for k := max(0, p.Sample-good); k <= min(p.largestAccepted(), bad, p.Sample); k++ {
		sum += math.Exp(choose(bad, k) + choose(good, p.Sample-k) - all)
	}
	return math.Min(sum, 1), nil
}

// QualityAt is the process quality at which a lot is accepted with this probability, between 0 and
// 1: the inverse of AcceptProcess. A plan that accepts everything has quality 1 there.
func (p Plan) QualityAt(probability float64) float64 {
	if !(probability > 0 && probability < 1) {
		panic("sampling: no such probability")
	}
	c := float64(p.largestAccepted())
	n := float64(p.Sample)
	switch {
	case p.CountsFaults():
		return distuv.ChiSquared{K: 2 * (c + 1)}.Quantile(1-probability) / (2 * n)
	case c >= n:
		return 1
	}
	return mathext.InvRegIncBeta(c+1, n-c, 1-probability)
}

// Inspected is the average total inspection of a lot, in pieces, when rejected lots are inspected
// whole (NIST/SEMATECH e-Handbook 6.2.3.2): n + (1 - Pa)(N - n).
func (p Plan) Inspected(quality float64) float64 {
	return float64(p.Sample) + (1-p.AcceptProcess(quality))*float64(p.LotSize-p.Sample)
}

// Outgoing is the average quality that leaves inspection when rejected lots are inspected whole and
// bad pieces found are replaced (e-Handbook 6.2.3.2): Pa p (N - n)/N.
func (p Plan) Outgoing(quality float64) float64 {
	return p.AcceptProcess(quality) * quality * float64(p.LotSize-p.Sample) / float64(p.LotSize)
}

// Risks are a plan's operating curve in a few numbers; qualities are fractions, or faults per piece.
type Risks struct {
	AQL             float64
	AcceptAtAQL     float64
	ProducersRisk   float64 // that a lot from a process just at the AQL is rejected
	Indifference    float64 // quality accepted half of the time
	LimitingQuality float64 // quality that is still accepted one time in ten: the consumer's risk
	WorstOutgoing   float64 // AOQL: worst average quality after inspecting rejected lots whole
}

// consumersRisk is the customary one in ten.
const consumersRisk = 0.10

// Risks works the numbers out. For the consumer's risk at another quality ask AcceptProcess.
func (p Plan) Risks() Risks {
	r := Risks{AQL: p.AQL / 100, Indifference: p.QualityAt(0.5), LimitingQuality: p.QualityAt(consumersRisk)}
	r.AcceptAtAQL = p.AcceptProcess(r.AQL)
	r.ProducersRisk = 1 - r.AcceptAtAQL
	r.WorstOutgoing = p.worstOutgoing()
	return r
}

// goldenSteps shrink an interval by 0.618 each: to 1e-12 of its width.
const goldenSteps = 58

// worstOutgoing finds the top of Outgoing, which rises to one peak and falls, by golden section. The
// peak lies below the quality that is accepted one time in a thousand: beyond, Pa falls faster than
// the quality rises.
func (p Plan) worstOutgoing() float64 {
	golden := (math.Sqrt(5) - 1) / 2
	low, high := 0.0, p.QualityAt(0.001)
	for range goldenSteps {
		a, b := high-golden*(high-low), low+golden*(high-low)
		if p.Outgoing(a) < p.Outgoing(b) {
			low = a
		} else {
			high = b
		}
	}
	return p.Outgoing((low + high) / 2)
}
