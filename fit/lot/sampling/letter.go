package sampling

import (
	"fmt"
	"math"
)

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

// tableI is MIL-STD-105E, Table I: up to which lot size, and the code letter of each Level in the
// order of the constants.
var tableI = []struct {
	upTo    int
	letters string
}{
	{8, "AABAAAA"},
	{15, "BACAAAA"},
	{25, "CBDAABB"},
	{50, "DCEABBC"},
	{90, "ECFBBCC"},
	{150, "FDGBBCD"},
	{280, "GEHBCDE"},
	{500, "HFJBCDE"},
	{1200, "JGKCCEF"},
	{3200, "KHLCDEG"},
	{10000, "LJMCDFG"},
	{35000, "MKNCDFH"},
	{150000, "NLPDEGJ"},
	{500000, "PMQDEGJ"},
	{math.MaxInt, "QNRDEHK"},
}

// codeLetter returns the code letter of a lot of at least 2 pieces, an index into letters.
func codeLetter(lotSize int, level Level) int {
	for _, row := range tableI {
		if lotSize <= row.upTo {
			return indexOf(row.letters[level])
		}
	}
	panic("sampling: table I has no end")
}

func indexOf(letter byte) int {
	for i := range letters {
		if letters[i] == letter {
			return i
		}
	}
	panic("sampling: no such code letter")
}
