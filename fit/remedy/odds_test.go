package remedy

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// The table of logarithms against the distribution itself, and its going on far below.
func TestLogBelowIsTheNormalDistributions(t *testing.T) {
	for z := -7.99; z < 9; z += 0.0371 {
		want := math.Log(distuv.UnitNormal.CDF(z))
		if got := logBelow(z); math.Abs(got-want) > 1e-4*(1+math.Abs(want)) { // straight between steps of 1/64
			t.Errorf("%.3f: %g, want %g", z, got, want)
		}
	}
	for z := -40.0; z < -8; z++ { // it falls as the square of the distance, and never stops
		if a, b := logBelow(z), logBelow(z+1); !(a < b) || math.Abs(b-a-(z*z-(z+1)*(z+1))/2) > 0.2 {
			t.Errorf("%g: %g, then %g", z, a, b)
		}
	}
}

func TestLogInsideTakesBothLimits(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct{ y, u, low, high, want float64 }{
		{0, 1, -inf, inf, 0},
		{0, 1, 0, inf, math.Log(0.5)},
		{1, 0.5, -inf, 1, math.Log(0.5)},
		{0.5, 0.25, 0, 10, math.Log(distuv.UnitNormal.CDF(2))},
		{0.2, 0, 0, 1, 0}, // no uncertainty at all: as with a micrometre
	} {
		if got := logInside(c.y, c.u, c.low, c.high); math.Abs(got-c.want) > 1e-4 {
			t.Errorf("%+v: %g", c, got)
		}
	}
}

// Holes drilled with normal errors, by drawing them: the share that keeps to a distance, and the distance
// that half of the lots keep to.
func TestDrilledHolesAgainstDraws(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, c := range []struct {
		n           int
		std, within float64
	}{{1, 0.1, 0.1}, {4, 0.1, 0.25}, {5, 0.05, 0.12}, {9, 0.2, 0.4}} {
		const lots = 40000
		inside, half := 0, 0
		median := drilledQuantile(c.n, c.std, 0.5)
		for range lots {
			far := 0.0
			for range c.n {
				far = max(far, math.Hypot(c.std*rng.NormFloat64(), c.std*rng.NormFloat64()))
			}
			if far <= c.within {
				inside++
			}
			if far <= median {
				half++
			}
		}
		const loose = 0.01 // four standard errors of a share of 40,000
		if got := float64(inside) / lots; math.Abs(got-drilled(c.n, c.std, c.within)) > loose {
			t.Errorf("%+v: %.4f, by draws %.4f", c, drilled(c.n, c.std, c.within), got)
		}
		if got := float64(half) / lots; math.Abs(got-0.5) > loose {
			t.Errorf("%+v: %.4f keep to the median", c, got)
		}
	}
	if drilled(3, 0, 0.1) != 1 || drilled(3, 0, 0) != 1 {
		t.Error("a hand without errors misses")
	}
}

// The factor times itself is the covariance, also of a rank that is short.
func TestCholesky(t *testing.T) {
	s := mat.NewSymDense(3, []float64{4, 2, 2, 2, 3, -1, 2, -1, 3}) // the first line is the sum of the others
	l := cholesky(s)
	for i := range 3 {
		for j := range 3 {
			sum := 0.0
			for k := range 3 {
				sum += l[i*3+k] * l[j*3+k]
			}
			if math.Abs(sum-s.At(i, j)) > 1e-6 {
				t.Errorf("%d, %d: %g, want %g", i, j, sum, s.At(i, j))
			}
		}
	}
}

// passedIn is an outcome that passes in a range of the draws.
func passedIn(from, to int) *outcome {
	o := &outcome{fixed: 1, fresh: 1}
	for t := from; t < to; t++ {
		o.passed[t/64] |= 1 << (t % 64)
	}
	return o
}

func planned(work measure.Work, minutes, price float64, o *outcome) weighed {
	a := Action{Work: work}
	return weighed{&Plan{Actions: []Action{a}, Kind: work, Level: a.Level(), Minutes: minutes, Price: price, Next: -1, Curable: 1}, o, nil}
}

// By hand, with 2,500 draws, 10 minutes for measuring again and a return at 300: a re-seat that passes in the
// first 1,500 costs 10 + 10, and fails in 1,000, of which the plugs pass 900: those cost 90 + 150 + 10, and in a
// tenth of them the part goes back, 30. So 20 + 0.4 (250 + 30) = 132, and the plugs first, which pass in
// the last 1,900, 250 + 0.24 x (20 + ...): all that they fail the re-seat passes, 250 + 0.24 x 20 = 254.8.
func TestExpectedCostByHand(t *testing.T) {
	list := []weighed{
		planned(measure.Reseat, 10, 0, passedIn(0, 1500)),
		planned(measure.PlugBridge, 90, 150, passedIn(600, 2400)),
		planned(measure.SendBack, 30, 270, nil),
	}
	expect(list, 10)
	if p := list[0].plan; math.Abs(p.Expected-(20+0.4*(250+0.1*300))) > 1e-9 || p.Next != 1 {
		t.Errorf("re-seat first: %.3f, then %d", p.Expected, p.Next)
	}
	// the plugs fail in 600 + 100 draws, of which the re-seat passes 600
	if p := list[1].plan; math.Abs(p.Expected-(250+0.28*(20+300.0/7))) > 1e-9 || p.Next != 0 {
		t.Errorf("plugs first: %.3f, then %d", p.Expected, p.Next)
	}
	if p := list[2].plan; p.Expected != 300 || p.Next != -1 {
		t.Errorf("return: %.3f, then %d", p.Expected, p.Next)
	}
	if order := rank(list); order[0] != 0 || order[1] != 1 || order[2] != 2 {
		t.Errorf("order %v", order)
	}
}

// Holes drilled anew fail by themselves, on top of the draws; what no work changes has no part in it but
// where it fails.
func TestExpectedCostOfNewHolesAndOfWhatFailsAnyhow(t *testing.T) {
	o := passedIn(0, 2500)
	o.fresh = 0.8
	list := []weighed{planned(measure.PlugNeck, 60, 90, o), planned(measure.SendBack, 30, 270, nil)}
	expect(list, 10)
	if p := list[0].plan; math.Abs(p.Expected-(160+0.2*300)) > 1e-9 || p.Next != 1 {
		t.Errorf("%.3f, then %d", p.Expected, p.Next)
	}
	o.fixed = 0.5
	expect(list, 10)
	if p := list[0].plan; math.Abs(p.Expected-(160+0.2*300)) > 1e-9 {
		t.Errorf("unsure of what no work changes: %.3f", p.Expected)
	}
	o.fixed = 0.01
	expect(list, 10)
	if p := list[0].plan; math.Abs(p.Expected-(160+0.2*300+300)) > 1e-9 {
		t.Errorf("what no work changes fails: %.3f", p.Expected)
	}
}

// Reading again, by drawing: a true margin about the one that was read, four readings more, and the share of the kits of
// which the mean of all five then shows with 95 % that they pass.
func TestReadingAgainShows(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for _, p := range []float64{0.05, 0.2, 0.5, 0.8, 0.9, 0.97} {
		z, seen := distuv.UnitNormal.Quantile(p), 0
		const kits = 40000
		for range kits {
			truth, sum := z+rng.NormFloat64(), z
			for range 4 {
				sum += truth + rng.NormFloat64()
			}
			if sum/5*math.Sqrt(5) >= 1.6449 { // the normal distribution's 95 %
				seen++
			}
		}
		if got, want := shown(p), float64(seen)/kits; math.Abs(got-want) > 0.01 { // four standard errors
			t.Errorf("%.2f: %.3f, by drawing %.3f", p, got, want)
		}
	}
	if shown(0) != 0 || shown(1) != 1 {
		t.Error("what is certain is not shown")
	}
}

// Leaving a kit as it is is a first step where reading again may well show that it passes: by hand, a shim at
// 20 + 5 + 10 minutes that always helps, against 10 minutes and the shim where it shows nothing.
func TestReadingAgainIsForKitsThatMayPass(t *testing.T) {
	for _, passes := range []int{2000, 1500, 1000, 400} {
		leave := planned(measure.Leave, 0, 0, passedIn(0, passes))
		leave.plan.Level, leave.plan.Curable = Untouched, float64(passes)/draws
		list := []weighed{leave, planned(measure.SideShim, 20, 5, passedIn(0, 2500)), planned(measure.SendBack, 30, 450, nil)}
		expect(list, 10)
		want := 10 + (1-shown(leave.plan.Curable))*35
		if got := list[0].plan.Expected; math.Abs(got-want) > 1e-9 || (rank(list)[0] == 0) != (want < 35) {
			t.Errorf("%d of 2500: %.2f, by hand %.2f", passes, got, want)
		}
	}
}

// The draws of two characteristics together: a kit with exact readings whose only doubt is its hand. The heel
// set with a standard deviation of 0.033 mm at mouth and end lies within 1 mm at the bridge as often as
// the normal distribution of the error says.
func TestOddsOfASingleDoubt(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.PocketMouth, in.PocketEnd = in.HeelMouth+0.4, in.HeelEnd+0.4
	in.CentreLineError = 0.9
	kit := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	tiny := &measure.Gauge{ID: "tiny", Resolution: 1e-4}
	for i := range kit.Readings {
		kit.Readings[i].Gauge, kit.Readings[i].StationGauge = tiny, tiny
	}
	r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
	p, _ := Try(r, []Action{{Work: measure.Reseat}}, Options{})
	for _, q := range p.Predicted {
		if r.Characteristics[q.Index].ID != fit.CentreLineError {
			continue
		}
		want := distuv.Normal{Mu: q.Value, Sigma: q.StdUncertainty}.CDF(1)
		for _, o := range p.Predicted { // what else is in doubt
			if o.Judged && r.Characteristics[o.Index].ID != fit.CentreLineError && r.Characteristics[o.Index].ID != fit.MarginBalance {
				want *= o.P
			}
		}
		if math.Abs(p.P-want) > 0.05 {
			t.Errorf("%.3f, by the distribution %.3f", p.P, want)
		}
	}
}
