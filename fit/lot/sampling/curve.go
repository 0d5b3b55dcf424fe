package sampling

import (
	"gonum.org/v1/gonum/mathext"
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

// Risks are a plan's operating curve in a few numbers; qualities are fractions, or faults per piece.
type Risks struct {
	AQL             float64
	ProducersRisk   float64 // that a lot from a process just at the AQL is rejected
	LimitingQuality float64 // quality that is still accepted one time in ten: the consumer's risk
}

// consumersRisk is the customary one in ten.
const consumersRisk = 0.10

// Risks works the numbers out. For the consumer's risk at another quality ask AcceptProcess.
func (p Plan) Risks() Risks {
	r := Risks{AQL: p.AQL / 100, LimitingQuality: p.QualityAt(consumersRisk)}
	r.ProducersRisk = 1 - p.AcceptProcess(r.AQL)
	return r
}
