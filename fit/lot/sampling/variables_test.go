package sampling

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Source: MIL-STD-414, Table B-1 (form 1): its k and this table's M, which is Table B-3's (form 2), must say the
// same of one limit. Either is rounded to three digits; M moves k by no more than 0.006 for half of its last one.
func TestVariablesPublished(t *testing.T) {
	f, err := os.Open("../../../testdata/published-lot/mil_std_414_table_b1.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	lots := map[string]int{} // a lot of each letter at level II
	for size := 2; size < 5000; size++ {
		if p, err := VariablesFor(size, LevelII, 10, Normal); err == nil {
			lots[p.Letter] = size
		}
	}
	compared := 0
	for _, row := range rows[1:] {
		for i, cell := range row[2:] {
			aql, errAQL := strconv.ParseFloat(rows[0][i+2], 64)
			n, errN := strconv.Atoi(row[1])
			p, err := VariablesFor(lots[row[0]], LevelII, aql, Normal)
			if errAQL != nil || errN != nil || err != nil {
				t.Fatal(errAQL, errN, err)
			}
			if cell == "" { // an arrow to a larger sample
				if p.Sample <= n {
					t.Errorf("letter %s, AQL %v: a sample of %d", row[0], aql, p.Sample)
				}
				continue
			}
			k, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			digits := len(cell) - strings.Index(cell, ".") - 1
			if compared++; p.Sample != n || math.Abs(p.K-k) > 0.5*math.Pow10(-digits)+0.006 {
				t.Errorf("letter %s, AQL %v: n %d, k %.4f, published %d, %s", row[0], aql, p.Sample, p.K, n, cell)
			}
		}
	}
	if compared != 52 {
		t.Errorf("%d compared", compared)
	}
}

// MIL-STD-414, examples B-1 and B-3 (from memory, confirmed by working them out): five of a lot of 40, an upper limit
// of 209, AQL 1 %: mean 195, s 8.81 (the root of 77.5 is 8.803), (209 - 195)/8.81 = 1.59, more than k = 1.53; 2.19 %
// estimated above it, less than M = 3.32 % (3.33 in the package): accepted.
func TestVariablesExample(t *testing.T) {
	p, err := VariablesFor(40, LevelII, 1.0, Normal)
	if err != nil || p.Letter != "D" || p.Sample != 5 || math.Abs(p.K-1.53) > 0.006 || math.Abs(p.Most-0.0332) > 0.00015 {
		t.Errorf("%+v, %v", p, err)
	}
	values := []float64{197, 188, 184, 205, 201}
	mean, squares := 0.0, 0.0
	for _, v := range values {
		mean += v / 5
	}
	for _, v := range values {
		squares += (v - mean) * (v - mean)
	}
	sd := math.Sqrt(squares / 4)
	below, above := Outside(5, mean, sd, math.Inf(-1), 209)
	if math.Abs(mean-195) > 1e-9 || math.Abs(sd-8.81) > 0.007 || math.Abs((209-mean)/sd-1.59) > 0.005 || below != 0 || math.Abs(above-0.0219) > 0.0001 {
		t.Errorf("mean %v, s %v, %v below, %v above", mean, sd, below, above)
	}
}

// Second way: the estimate's mean over many samples is the share that lies outside.
func TestOutsideIsUnbiased(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 14))
	const trials = 40000
	for _, n := range []int{3, 5, 20} {
		var below, above float64
		for range trials {
			var sum, squares float64
			for range n {
				v := rng.NormFloat64()
				sum, squares = sum+v, squares+v*v
			}
			mean := sum / float64(n)
			l, u := Outside(n, mean, math.Sqrt((squares-sum*mean)/float64(n-1)), -1, 2)
			below, above = below+l/trials, above+u/trials
		}
		// Phi(-1) and Phi(-2); a share estimated from three values scatters by about 0.2.
		if math.Abs(below-0.15866) > 0.005 || math.Abs(above-0.02275) > 0.002 {
			t.Errorf("%d values: %.4f below, %.4f above", n, below, above)
		}
	}
	for _, c := range [][4]float64{{0, -1, 1, 0}, {0, -1, 0, 0}, {2, -1, 1, 1}} { // all equal: mean, limits, share
		if below, above := Outside(4, c[0], 0, c[1], c[2]); below+above != c[3] {
			t.Errorf("all at %v: %v, %v", c[0], below, above)
		}
	}
	if below, above := Outside(4, 10, 1, 0, 5); below != 0 || above != 1 {
		t.Errorf("far beyond: %v, %v", below, above)
	}
}

// Tightened inspection asks for more than normal and reduced for less, at every size of lot and AQL; the sample grows
// with the lot and is never more than there are.
func TestVariablesSeverities(t *testing.T) {
	for _, aql := range variableAQLs {
		sample := 0
		for _, row := range tableA2 {
			size := min(row.upTo, 1e6)
			var plans [3]VariablesPlan
			for i, s := range []Severity{Tightened, Normal, Reduced} {
				var err error
				if plans[i], err = VariablesFor(size, LevelII, aql, s); err != nil {
					t.Fatal(err)
				}
			}
			if plans[0].Sample < plans[1].Sample || plans[2].Sample > plans[1].Sample || !(plans[0].K > plans[1].K || size < 9) || plans[1].K < plans[2].K {
				t.Errorf("AQL %v, %d: %+v", aql, size, plans)
			}
			if plans[1].Sample < sample || plans[1].Sample > size {
				t.Errorf("AQL %v, %d: a sample of %d after %d", aql, size, plans[1].Sample, sample)
			}
			sample = plans[1].Sample
		}
	}
	levels := []int{}
	for _, level := range []Level{LevelS3, LevelS4, LevelI, LevelII, LevelIII} {
		p, err := VariablesFor(1000, level, 4, Normal)
		if err != nil {
			t.Fatal(err)
		}
		levels = append(levels, p.Sample)
	}
	if !slices.Equal(levels, []int{5, 10, 20, 35, 50}) { // D, F, H, J, K of Table A-2
		t.Errorf("a lot of 1,000: %v", levels)
	}
	for _, bad := range []error{
		errOf(VariablesFor(1, LevelII, 1, Normal)), errOf(VariablesFor(9, LevelS1, 1, Normal)), errOf(VariablesFor(9, LevelII, 3, Normal)), errOf(VariablesFor(9, LevelII, 0.065, Normal)),
	} {
		if bad == nil {
			t.Error("no error")
		}
	}
}

func errOf(_ VariablesPlan, err error) error { return err }
