package sampling

import "fmt"

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

// AQLs returns the acceptable quality levels that the tables have, ascending.
func AQLs() []float64 { return append([]float64(nil), aqls[:]...) }

// largestFractionAQL is the largest level that may be read as a percentage of bad pieces; those
// above count faults, of which a piece may have several.
const largestFractionAQL = 10

func aqlIndex(aql float64) (int, error) {
	for i, a := range aqls {
		if a == aql {
			return i, nil
		}
	}
	return 0, fmt.Errorf("AQL %v is not in the tables: use one of %v", aql, aqls)
}

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
	arrow := masterCell(letter, aql, s).arrow
	for _, step := range []int{arrow, -arrow} {
		for i := letter; i >= 0 && i < rowsOf(s); i += step {
			if c := masterCell(i, aql, s); c.arrow == 0 {
				return i, c.numbers
			}
		}
	}
	panic("sampling: an AQL without any plan")
}

// rowsOf is the number of letters in a table.
func rowsOf(s Severity) int {
	if s == Tightened {
		return len(letters)
	}
	return len(letters) - 1
}

func sampleSize(letter int, s Severity) int {
	if s == Reduced {
		return sizesReduced[letter]
	}
	return sizes[letter]
}
