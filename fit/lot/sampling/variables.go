package sampling

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
)

// VariablesPlan is a plan that judges a lot by the values of one characteristic, whose standard deviation is not
// known beforehand: MIL-STD-414, section B (standard deviation method, form 2), as ANSI/ASQ Z1.9 has it. It needs
// fewer pieces than counting bad ones does, and holds for a normal process alone.
type VariablesPlan struct {
	LotSize  int
	AQL      float64 // percent nonconforming
	Severity Severity
	Letter   string
	Sample   int     // pieces to draw and measure; no more than there are
	Most     float64 // M: the lot is acceptable if no larger share of it is estimated to lie outside its limits
	K        float64 // for one limit the same as a distance of the mean from it, in standard deviations (form 1)
}

// variableLetters are the code letters of sampling by variables; there is no A, and no O.
const variableLetters = "BCDEFGHIJKLMNP"

// tableA2 is Table A-2: up to which lot size, and the code letter by level, in the order of the constants II, I, III;
// then S-3 and S-4 ("by variables" there is no S-1 and no S-2).
var tableA2 = []sizeRow{
	{8, "BBCBB"}, {15, "BBDBB"}, {25, "CBEBB"}, {50, "DCFBB"}, {90, "EDGBB"}, {150, "FEHBC"}, {280, "GFIBD"}, {400, "HGJCE"},
	{500, "IGJCE"}, {1200, "JHKDF"}, {3200, "KILEG"}, {10000, "LJMFH"}, {35000, "MKNGI"}, {150000, "NLPHJ"}, {500000, "PMPHK"}, {math.MaxInt, "PNPHK"},
}

// Samples by letter in normal and tightened inspection, and in reduced.
var (
	variableSizes        = [...]int{3, 4, 5, 7, 10, 15, 20, 25, 35, 50, 75, 100, 150, 200}
	variableSizesReduced = [...]int{3, 3, 3, 3, 4, 5, 7, 10, 15, 20, 25, 30, 50, 75}
)

// variableAQLs are the columns of tableB3 in normal inspection, but for the first and the last, which tightened and
// reduced inspection alone reach.
var variableAQLs = [...]float64{0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10}

// tableB3 is M in percent by AQL, for the sizes of tableB3Sizes from the smallest on that has a plan: Tables B-3 and
// B-4 in one, since tightened inspection takes the column to the left and reduced that to the right. Read from the
// R package AQLSchemes 1.7-2; where its two tables differ (0.40 %, 7 pieces: 1.05 and 1.06), the latter.
var (
	tableB3Sizes = [...]int{3, 4, 5, 7, 10, 15, 20, 25, 30, 35, 50, 75, 100, 150, 200}
	tableB3      = [...][]float64{
		{0.077, 0.186, 0.228, 0.250, 0, 0.253, 0.243, 0.225, 0.218, 0.202, 0.204},
		{0.005, 0.179, 0.311, 0.356, 0.378, 0, 0.373, 0.355, 0.326, 0.315, 0.292, 0.294},
		{0.087, 0.349, 0.491, 0.531, 0.551, 0.567, 0.534, 0.503, 0.461, 0.444, 0.412, 0.414},
		{0.421, 0.714, 0.839, 0.864, 0.874, 0.885, 0.833, 0.778, 0.711, 0.684, 0.636, 0.637},
		{0.041, 1.06, 1.27, 1.33, 1.33, 1.32, 1.32, 1.24, 1.16, 1.06, 1.02, 0.946, 0.945},
		{1.34, 2.13, 2.14, 2.09, 2.03, 2.00, 1.98, 1.87, 1.73, 1.59, 1.52, 1.42, 1.42},
		{1.49, 3.33, 3.54, 3.27, 3.06, 2.93, 2.86, 2.82, 2.66, 2.47, 2.27, 2.18, 2.05, 2.04},
		{5.46, 5.82, 5.34, 4.72, 4.32, 4.10, 3.97, 3.91, 3.70, 3.44, 3.17, 3.06, 2.88, 2.86},
		{7.59, 10.88, 9.80, 8.40, 7.26, 6.55, 6.18, 5.98, 5.87, 5.58, 5.21, 4.83, 4.67, 4.42, 4.39},
		{18.86, 16.41, 14.37, 12.19, 10.53, 9.48, 8.95, 8.65, 8.48, 8.11, 7.61, 7.10, 6.88, 6.56, 6.52},
		{26.94, 22.84, 20.19, 17.34, 15.17, 13.74, 13.01, 12.60, 12.37, 11.89, 11.23, 10.58, 10.29, 9.86, 9.80},
		{33.69, 29.43, 26.55, 23.30, 20.73, 18.97, 18.07, 17.55, 17.25, 16.67, 15.87, 15.07, 14.71, 14.18, 14.11},
		{40.47, 36.79, 33.94, 30.50, 27.65, 25.63, 24.58, 23.97, 23.61, 0, 21.99, 21.05, 0, 0, 0},
	}
)

// VariablesFor returns the plan for a lot. A level or an AQL that the tables do not have is an error; a lot that is no
// larger than the sample is measured whole.
func VariablesFor(lotSize int, level Level, aql float64, s Severity) (VariablesPlan, error) {
	p := VariablesPlan{LotSize: lotSize, AQL: aql, Severity: s}
	place := slices.Index([]Level{LevelII, LevelI, LevelIII, LevelS3, LevelS4}, level)
	column := slices.Index(variableAQLs[:], aql)
	switch {
	case lotSize < 2:
		return p, fmt.Errorf("by variables a lot has at least two pieces, not %d", lotSize)
	case place < 0:
		return p, fmt.Errorf("by variables there is no inspection level %s: use II, I, III, S-3 or S-4", level)
	case column < 0:
		return p, fmt.Errorf("by variables there is no AQL of %v: use one of %v", aql, variableAQLs)
	}
	row := slices.IndexFunc(tableA2, func(r sizeRow) bool { return lotSize <= r.upTo }) // the last one has no end
	p.Letter = tableA2[row].letters[place : place+1]
	letter, sizes := slices.Index([]byte(variableLetters), p.Letter[0]), variableSizes
	if s == Reduced {
		sizes = variableSizesReduced
	}
	column += map[Severity]int{Tightened: 0, Normal: 1, Reduced: 2}[s]
	most := tableB3[column]
	first := len(tableB3Sizes) - len(most)
	at := max(first, slices.Index(tableB3Sizes[:], sizes[letter])) // an arrow points to the smallest sample that has a plan
	n := float64(tableB3Sizes[at])
	p.Sample, p.Most = min(lotSize, tableB3Sizes[at]), most[at-first]/100
	half := mathext.InvRegIncBeta(n/2-1, n/2-1, p.Most)
	p.K = (1 - 2*half) * (n - 1) / math.Sqrt(n)
	return p, nil
}

// Outside estimates without bias which share of a normal process lies outside its limits, from mean and standard
// deviation of n >= 3 values: at each the beta distribution of MIL-STD-414's Table B-5, and the two added. An open
// limit is an infinity. Values that are all equal lie outside or inside as they stand.
func Outside(n int, mean, sd, lower, upper float64) (below, above float64) {
	share := func(distance float64) float64 {
		switch {
		case math.IsInf(distance, 1):
			return 0
		case sd == 0 && distance >= 0:
			return 0
		case sd == 0:
			return 1
		}
		x := 0.5 - 0.5*distance/sd*math.Sqrt(float64(n))/float64(n-1)
		a := float64(n)/2 - 1
		return mathext.RegIncBeta(a, a, max(0, min(1, x)))
	}
	return share(mean - lower), share(upper - mean)
}
