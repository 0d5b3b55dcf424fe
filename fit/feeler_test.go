package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
)

// A feeler gauge shows the thickest leaf that enters, so the gap lies between that leaf and the next:
// taken as the leaf itself a gap of two walls comes out a whole step, 0.05 mm, too small.
func TestGapsLieBetweenTwoLeaves(t *testing.T) {
	const n = 400
	held, wrong, squares := 0, 0.0, 0.0
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 9))
		in := simulate.Random(rng)
		in.FretErrors, in.SideBow, in.FloorHump = nil, 0, 0
		r := Check(in.Kit("K", simulate.DryFit(in, rng, simulate.DefaultSetup())), Options{})
		c := r.Find(PocketGapMouth)
		if !c.Measured() {
			t.Fatal("no gap")
		}
		d := c.Value - in.Truth().PocketGapMouth
		wrong += d / n
		squares += d * d
		if math.Abs(d) <= Coverage*c.StdUncertainty {
			held++
		}
	}
	if four := 4 * math.Sqrt(squares) / n; math.Abs(wrong) > four {
		t.Errorf("gaps are wrong by %.4f mm in the mean, four standard errors are %.4f", wrong, four)
	}
	if share := float64(held) / n; share < 0.91 {
		t.Errorf("%.3f hold the truth", share)
	}
}
