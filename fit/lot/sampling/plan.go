// Package sampling is acceptance of lots by attributes with single sampling plans after MIL-STD-105E
// (10 May 1989): which plan, which kits to draw, whether the lot is acceptable, how strictly to look
// at the next one, and what risks the plan carries. It takes plain counts and imports nothing of ours.
//
// Quality is a percentage in an AQL, as in the standard, and a fraction from 0 to 1 elsewhere.
package sampling

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

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
	column := slices.Index(aqls[:], aql)
	if column < 0 {
		return Plan{}, fmt.Errorf("AQL %v is not in the tables: use one of %v", aql, aqls)
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

// Level is the inspection level: how large the sample is for a size of lot.
type Level uint8

// The levels. General level II is the zero value, since the standard uses it unless told
// otherwise (from memory); S-1 to S-4 are for small samples at large risks.
const (
	LevelII Level = iota
	LevelI
	LevelIII
	LevelS1
	LevelS2
	LevelS3
	LevelS4
	countOfLevels // keep last
)

var levelNames = [countOfLevels]string{"II", "I", "III", "S-1", "S-2", "S-3", "S-4"}

// String is the level's name in the standard, such as "II" or "S-3".
func (l Level) String() string { return levelNames[l] }

// ParseLevel is the reverse of String.
func ParseLevel(name string) (Level, error) {
	for l, n := range levelNames {
		if n == name {
			return Level(l), nil
		}
	}
	return 0, fmt.Errorf("inspection level %q is none of I, II, III, S-1, S-2, S-3, S-4", name)
}

// letters are the code letters in the order of sample size; I and O are left out, and S belongs to
// tightened inspection alone.
const letters = "ABCDEFGHJKLMNPQRS"

type sizeRow struct {
	upTo    int
	letters string
}

// tableI is MIL-STD-105E, Table I: up to which lot size, and the code letter of each Level in the
// order of the constants.
var tableI = []sizeRow{
	{8, "AABAAAA"}, {15, "BACAAAA"}, {25, "CBDAABB"}, {50, "DCEABBC"}, {90, "ECFBBCC"},
	{150, "FDGBBCD"}, {280, "GEHBCDE"}, {500, "HFJBCDE"}, {1200, "JGKCCEF"}, {3200, "KHLCDEG"},
	{10000, "LJMCDFG"}, {35000, "MKNCDFH"}, {150000, "NLPDEGJ"}, {500000, "PMQDEGJ"}, {math.MaxInt, "QNRDEHK"},
}

// codeLetter returns the code letter of a lot of at least 2 pieces, an index into letters.
func codeLetter(lotSize int, level Level) int {
	row := slices.IndexFunc(tableI, func(r sizeRow) bool { return lotSize <= r.upTo }) // the last one has no end
	return strings.IndexByte(letters, tableI[row].letters[level])
}

// Severity is how strictly a lot is inspected. The zero value, Normal, is where the standard starts.
type Severity uint8

// The severities.
const (
	Normal Severity = iota
	Tightened
	Reduced
	countOfSeverities // keep last
)

// String names the severity.
func (s Severity) String() string {
	return [countOfSeverities]string{"normal", "tightened", "reduced"}[s]
}

// aqls are the preferred acceptable quality levels, in percent nonconforming up to 10, in
// nonconformities per hundred pieces above.
var aqls = [...]float64{
	0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5,
	4.0, 6.5, 10, 15, 25, 40, 65, 100, 150, 250, 400, 650, 1000,
}

// largestFractionAQL is the largest level that may be read as a percentage of bad pieces; those
// above count faults, of which a piece may have several.
const largestFractionAQL = 10

// Sample sizes by code letter (Tables II-A and II-B, II-C).
var (
	sizes        = [...]int{2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000, 3150}
	sizesReduced = [...]int{2, 2, 2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800}
)

// numbers are an acceptance and a rejection number.
type numbers struct {
	accept, reject int
}

// The tables are diagonal: sample sizes and AQLs both grow by the fifth root of ten a step, so that
// one step down and one to the left leaves the numbers as they are. A diagonal is therefore named by
// row + column, counted from 0, and a table is one list of numbers.
const (
	firstDiagonal  = 14 // Ac 0 in normal and reduced; one further in tightened
	secondDiagonal = 17 // Ac 1 (reduced: 0); likewise. What lies between are arrows.
)

// largeLetter is F: from there on the tables stop after eight numbers (seven for tightened), where
// smaller letters have ten (nine).
const largeLetter = 5

// numbersNormal start at secondDiagonal, numbersTightened one further.
var (
	numbersNormal    = []int{1, 2, 3, 5, 7, 10, 14, 21, 30, 44}
	numbersTightened = []int{1, 2, 3, 5, 8, 12, 18, 27, 41}
)

// numbersReduced start at secondDiagonal. Letters A and B have their own, since their samples are
// no smaller, or hardly, than in normal inspection.
var (
	numbersReduced  = []numbers{{0, 2}, {1, 3}, {1, 4}, {2, 5}, {3, 6}, {5, 8}, {7, 10}, {10, 13}, {14, 17}, {21, 24}}
	numbersReducedB = []numbers{{0, 2}, {1, 3}, {2, 4}, {3, 5}, {5, 6}, {7, 8}, {10, 11}, {14, 15}, {21, 22}, {30, 31}}
)

// cell is an entry of a master table: numbers, or an arrow to the next letter that has some.
type cell struct {
	numbers
	arrow int // 0 for numbers, +1 for a larger sample (down), -1 for a smaller one (up)
}

// masterCell is the entry for a letter and an AQL, both as indices. Arrows at the edge of the table
// are not turned here; resolve does that.
func masterCell(letter, aql int, s Severity) cell {
	shift := 0
	if s == Tightened {
		shift = 1
	}
	diagonal := letter + aql - shift
	place := diagonal - secondDiagonal
	switch {
	case s == Tightened && letter == 0 && place < 0:
		return cell{arrow: 1} // letter A has no Ac 0: a tightened AQL of 10 asks for more than two pieces
	case diagonal < firstDiagonal:
		return cell{arrow: 1}
	case diagonal == firstDiagonal:
		return cell{numbers: numbers{0, 1}}
	case place == -2 && s != Tightened:
		return cell{arrow: -1}
	case place < 0:
		return cell{arrow: 1}
	case letter == len(letters)-1 && place > 0:
		return cell{arrow: -1} // S is there for Ac 1 alone
	}
	return numberedCell(letter, place, s)
}

// numberedCell is the entry at a place on the list of numbers, or an arrow up beyond its end.
func numberedCell(letter, place int, s Severity) cell {
	end := len(numbersNormal)
	if s == Tightened {
		end = len(numbersTightened)
	}
	if letter >= largeLetter {
		end -= 2
	}
	if place >= end {
		return cell{arrow: -1}
	}
	switch {
	case s == Tightened:
		return accepting(numbersTightened[place])
	case s == Normal || letter == 0:
		return accepting(numbersNormal[place])
	case letter == 1:
		return cell{numbers: numbersReducedB[place]}
	default:
		return cell{numbers: numbersReduced[place]}
	}
}

func accepting(n int) cell { return cell{numbers: numbers{n, n + 1}} }

// resolve follows the arrows from a letter to the one whose plan is to be used. An arrow that would
// leave the table is turned round.
func resolve(letter, aql int, s Severity) (int, numbers) {
	rows := len(letters)
	if s != Tightened {
		rows-- // S belongs to tightened inspection alone
	}
	arrow := masterCell(letter, aql, s).arrow
	for _, step := range []int{arrow, -arrow} {
		for i := letter; i >= 0 && i < rows; i += step {
			if c := masterCell(i, aql, s); c.arrow == 0 {
				return i, c.numbers
			}
		}
	}
	panic("sampling: an AQL without any plan")
}

func sampleSize(letter int, s Severity) int {
	if s == Reduced {
		return sizesReduced[letter]
	}
	return sizes[letter]
}

// Draw chooses sample of lotSize pieces at random without replacement and returns their indices,
// ascending. The same numbers give the same pieces always, so that a draw can be checked later: the
// generator (PCG, M. E. O'Neill 2014) is fixed by its definition, and the choice of an index from it is
// written out below, since that of the standard library may change. For the draw to be repeatable the
// lot must be listed in the same order.
func Draw(lotSize, sample int, seed uint64) ([]int, error) {
	if lotSize < 0 || sample < 0 || sample > lotSize {
		return nil, fmt.Errorf("cannot draw %d of %d pieces", sample, lotSize)
	}
	source := rand.NewPCG(seed, drawStream)
	pieces := make([]int, lotSize)
	for i := range pieces {
		pieces[i] = i
	}
	for i := range sample { // Fisher-Yates, as far as needed
		// Each of the n pieces left is equally likely: values beyond the last whole multiple of n are thrown away.
		n, v := uint64(lotSize-i), source.Uint64()
		for v < -n%n { // 2^64 modulo n
			v = source.Uint64()
		}
		j := i + int(v%n)
		pieces[i], pieces[j] = pieces[j], pieces[i]
	}
	drawn := pieces[:sample:sample]
	slices.Sort(drawn)
	return drawn, nil
}

// drawStream is the second half of the seed; any fixed number will do.
const drawStream = 105

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
