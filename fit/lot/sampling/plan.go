package sampling

import "fmt"

// Plan is a single sampling plan for one lot.
type Plan struct {
	LotSize  int
	AQL      float64 // percent nonconforming, or nonconformities per hundred pieces above 10
	Severity Severity
	Letter   string // whose sample and numbers are used; empty for a lot of one
	Sample   int    // pieces to draw and inspect
	All      bool   // the sample is the whole lot
	Accept   int    // Ac: accept with so many or fewer
	Reject   int    // Re: reject with so many or more; reduced plans leave a gap between the two
}

// For returns the plan for a lot, from Tables I and II-A, II-B or II-C. Where the sample would be as
// large as the lot or larger, every piece is inspected, as the tables' footnote says (from memory); the
// numbers stay. A lot of one, which Table I does not have, is inspected and
// accepted when it is good. An AQL that the tables do not have is an error.
func For(lotSize int, level Level, aql float64, s Severity) (Plan, error) {
	column, err := aqlIndex(aql)
	if err != nil {
		return Plan{}, err
	}
	p := Plan{LotSize: lotSize, AQL: aql, Severity: s}
	switch {
	case lotSize < 1:
		return Plan{}, fmt.Errorf("a lot has at least one piece, not %d", lotSize)
	case lotSize == 1:
		p.Sample, p.All, p.Reject = 1, true, 1
		return p, nil
	}
	letter, n := resolve(codeLetter(lotSize, level), column, s)
	p.Letter, p.Sample = letters[letter:letter+1], sampleSize(letter, s)
	p.Accept, p.Reject = n.accept, n.reject
	if p.Sample >= lotSize {
		p.Sample, p.All = lotSize, true
	}
	return p, nil
}

// CountsFaults reports that the plan counts nonconformities, of which a piece may have several, and
// not nonconforming pieces.
func (p Plan) CountsFaults() bool { return p.AQL > largestFractionAQL }

// Outcome is what the sample says of the lot. Its zero value accepts nothing.
type Outcome uint8

// The outcomes.
const (
	Undecided Outcome = iota // the unsure pieces of the sample decide: measure them again
	Accepted
	AcceptedNormalNext // reduced inspection, between Ac and Re: accepted, but inspect the next lot normally
	Rejected
)

// Decide judges a sample in which bad nonconforming pieces (or faults) were found and unsure further
// ones could be. It is an error to find more than were looked at.
func (p Plan) Decide(bad, unsure int) (Outcome, error) {
	if bad < 0 || unsure < 0 {
		return Undecided, fmt.Errorf("counts %d and %d must not be negative", bad, unsure)
	}
	if !p.CountsFaults() && bad+unsure > p.Sample {
		return Undecided, fmt.Errorf("%d bad and %d unsure pieces in a sample of %d", bad, unsure, p.Sample)
	}
	best, worst := p.outcome(bad), p.outcome(bad+unsure)
	if best != worst && worst == Rejected {
		return Undecided, nil
	}
	return worst, nil // of two ways to accept, the cautious one
}

// outcome of a count; that the gap of reduced plans accepts, and ends reduced inspection, is 4.10.1.4
// of the standard (from memory) and 4.7.4 b.
func (p Plan) outcome(count int) Outcome {
	switch {
	case count <= p.Accept:
		return Accepted
	case count >= p.Reject:
		return Rejected
	default:
		return AcceptedNormalNext
	}
}
