package lot

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The CDF limit is what the comment at noncentralTCDF claims.
const cdfError = 1e-10

// Second way: algorithm AS 243 (R. V. Lenth, Applied Statistics 38 (1989) 185), as in gonum, which
// checks it against R.
func TestNoncentralTAgreesWithAS243(t *testing.T) {
	for _, nu := range []float64{1, 1.7, 4, 9, 24, 100, 400} {
		for _, delta := range []float64{-6, -1, 0, 0.5, 3, 12, 30} {
			for _, at := range []float64{-5, -0.3, 0, 0.01, 1, 4, 13, 31, 60} {
				got := noncentralTCDF(at, nu, delta)
				want := distuv.NoncentralT{Nu: nu, Mu: delta}.CDF(at)
				if math.Abs(got-want) > cdfError {
					t.Errorf("nu %v delta %v t %v: %v, AS 243 %v", nu, delta, at, got, want)
				}
			}
		}
	}
}

func TestNoncentralTWithoutShiftIsStudent(t *testing.T) {
	for _, nu := range []float64{1, 2.5, 30, 2000} {
		for _, at := range []float64{-3, 0.2, 1, 40} {
			got, want := noncentralTCDF(at, nu, 0), distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.CDF(at)
			if math.Abs(got-want) > cdfError {
				t.Errorf("nu %v t %v: %v, Student %v", nu, at, got, want)
			}
		}
	}
}

// Where the series underflows there is no published figure at hand: simulate the definition.
func TestNoncentralTFarOut(t *testing.T) {
	const draws, nu, delta, at = 200000, 99.0, 40.0, 41.0
	src := rand.NewPCG(5, 99)
	normal, chi := rand.New(src), distuv.ChiSquared{K: nu, Src: src}
	below := 0
	for range draws {
		if (normal.NormFloat64()+delta)/math.Sqrt(chi.Rand()/nu) <= at {
			below++
		}
	}
	p := noncentralTCDF(at, nu, delta)
	// Four standard deviations of a simulated proportion.
	if got := float64(below) / draws; math.Abs(got-p) > 4*math.Sqrt(p*(1-p)/draws) {
		t.Errorf("computed %v, simulated %v", p, got)
	}
}

func TestNoncentralTInverses(t *testing.T) {
	for _, nu := range []float64{1, 9.3, 200} {
		for _, p := range []float64{0.025, 0.5, 0.975} {
			at := noncentralTQuantile(p, nu, 5)
			if got := noncentralTCDF(at, nu, 5); math.Abs(got-p) > 1e-8 { // root tolerance times the density
				t.Errorf("nu %v: quantile of %v has P %v", nu, p, got)
			}
			delta := noncentralityAt(6, nu, p)
			if got := noncentralTCDF(6, nu, delta); math.Abs(got-p) > 1e-8 {
				t.Errorf("nu %v: noncentrality at %v has P %v", nu, p, got)
			}
		}
	}
}
