package adjust

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// W. Baarda, A Testing Procedure for Use in Geodetic Networks (1968); A. J. Pope, The Statistics
// of Residuals and the Detection of Outliers, NOAA TR NOS 65 NGS 1 (1976): by its formula, and the
// published modified Thompson tau (Thompson 1935), which is Pope's tau by another scale.
func TestCriticalValues(t *testing.T) {
	f, err := os.Open("../../testdata/published/baarda_pope_critical_values.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for _, r := range rows[1:] {
		table, alpha, power, dof, printed, recomputed := r[0], number(t, r[1]), r[2], r[3], r[4], r[5]
		n, _ := strconv.Atoi(dof) // empty, hence 0, where the table has none
		var got float64
		switch table {
		case "baarda_w_critical":
			got = baarda(alpha)
		case "baarda_delta0": // a two-sided test of size alpha finds this error with the given power
			got = baarda(alpha) + baarda(2*(1-number(t, power)))
		case "baarda_lambda0":
			got = math.Pow(baarda(alpha)+baarda(2*(1-number(t, power))), 2)
		case "pope_tau":
			got = popeTau(alpha, n)
		case "modified_thompson_tau":
			got = thompson(alpha, n)
		default:
			t.Fatalf("unknown table %q", table)
		}
		seen[table]++
		if printed != "" {
			sameDigits(t, table+" "+dof, got, printed, 15)
		}
		sameDigits(t, table+" "+dof, got, recomputed, 6)
	}
	if len(seen) != 5 {
		t.Errorf("tables %v, want five", seen)
	}
}

// Šidák: n tests each of the spread size make one error with the chance asked for.
func TestSpreadAlpha(t *testing.T) {
	for _, n := range []int{1, 7, 200} {
		a := spreadAlpha(0.05, n)
		if got := 1 - math.Pow(1-a, float64(n)); math.Abs(got-0.05) > 1e-12 {
			t.Errorf("%d tests of size %g: together %g, want 0.05", n, a, got)
		}
	}
}

// What n are held against: together they are beyond it once in fifty times, by the error function. Of n readings of one thing the one
// that is off makes all of chi-square: just below the square of it there is no suspect, just above there is one, held against it.
func TestCriticalForMany(t *testing.T) {
	for _, n := range []int{2, 5, 20, 300} {
		near(t, "chance that none is beyond", math.Pow(math.Erf(Critical(n, 0.02)/math.Sqrt2), float64(n)), 0.98, 1e-9)
		held := Critical(n, 0.02)
		if n == 2 { // whose misfits are one and the same
			held = Critical(1, 0.02)
		}
		for _, far := range []float64{0.999, 1.001} {
			p := &Problem{Start: []float64{0}}
			for range n {
				p.Rows = append(p.Rows, Row{Sigma: 0.1, Terms: []Term{{0, 1}}})
			}
			p.Rows[n-1].Value = 0.1 * far * held / math.Sqrt(1-1/float64(n))
			s := mustSolve(t, p, Options{})
			near(t, "chi-square", s.ChiSquare, far*far*held*held, 1e-9)
			found := s.Suspects()
			if len(found) > 0 != (far > 1) {
				t.Errorf("%d readings, one of them %v times as far as may be: %+v", n, far, found)
			} else if far > 1 {
				near(t, "held against", found[0].Critical, held, 1e-12)
			}
		}
	}
}

// thompson is the modified tau of a sample of n: Pope's with n-1 redundant, times
// sqrt((n-1)/n), for it divides by the sample's deviation and not by the residual's.
func thompson(alpha float64, n int) float64 {
	return popeTau(alpha, n-1) * math.Sqrt(float64(n-1)/float64(n))
}
