package remedy

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// misfitKit is a random misfit bass as a search knows it.
func misfitKit(seed uint64) *kit {
	rng := rand.New(rand.NewPCG(seed, 61))
	in := misfit(rng)
	setup := simulate.DefaultSetup()
	setup.Heights = true
	r := fit.Check(in.Kit("K", simulate.LooseParts(in, rng, setup)), fit.Options{Model: true, Compensation: in.Compensation})
	return newKit(r, newStock(Options{}))
}

// Odds against the plainest way to them: draw by draw, every element by itself, with other random numbers, the heel slid home
// in each, a hole's distance, a least of strings.
func TestOddsAgainstPlainDraws(t *testing.T) {
	compared := 0
	for seed := range uint64(8) {
		k := misfitKit(seed)
		candidates := k.shown(k.complete(k.bases()))
		o := k.newOdds(candidates)
		for i, d := range candidates {
			out, passed := o.of(d, i), 0
			for _, w := range out.passed {
				passed += bits.OnesCount64(w)
			}
			got := float64(passed) / draws
			if got < 0.05 || got > 0.97 {
				continue
			}
			compared++
			if want := plainOdds(t, k, d, seed); math.Abs(got-want) > 0.045 { // four standard errors of both
				t.Errorf("seed %d, %v: %.3f, draw by draw %.3f", seed, d.actions, got, want)
			}
		}
	}
	if compared < 10 {
		t.Errorf("only %d compared", compared)
	}
}

func plainOdds(t *testing.T, k *kit, d *candidate, seed uint64) float64 {
	t.Helper()
	const kits = 4000
	rng := rand.New(rand.NewPCG(seed, 99))
	list := k.doubtful(d)
	var elements []int
	for _, c := range list {
		for e := c.first; e < c.last; e++ {
			elements = append(elements, e)
		}
	}
	n := len(elements)
	covariance := mat.NewSymDense(n, nil)
	for i, a := range elements {
		for j := range i + 1 {
			covariance.SetSym(i, j, k.model.Covariance[a][elements[j]])
		}
		covariance.SetSym(i, i, covariance.At(i, i)+1e-9) // a balance of two margins is short of rank
	}
	readings, ok := distmv.NewNormal(make([]float64, n), covariance, rng)
	if !ok {
		t.Fatal("no covariance")
	}
	good, errors := 0, make([]float64, n)
	for range kits {
		readings.Rand(errors)
		var hand noise
		for _, one := range d.noise {
			z := rng.NormFloat64()
			for m := range hand.moves {
				hand.moves[m] += z * one.moves[m]
			}
			hand.wider[0], hand.wider[1], hand.corner = hand.wider[0]+z*one.wider[0], hand.wider[1]+z*one.wider[1], hand.corner+z*one.corner
		}
		if d.seated {
			hand.moves[fit.HeelAlong] += k.home(d.moves[fit.HeelMouth]+hand.moves[fit.HeelMouth], d.moves[fit.HeelEnd]+hand.moves[fit.HeelEnd]) + d.trimmed - d.moves[fit.HeelAlong]
		}
		inside, at := true, 0
		for _, c := range list {
			values := make([]float64, 0, c.last-c.first)
			for e := c.first; e < c.last; e++ {
				v := k.element(c, d, e) + errors[at]
				if c.gap != [2]float64{} {
					v = k.value(c, d) + errors[at] + c.gap[0]*hand.wider[0] + c.gap[1]*hand.wider[1]
				} else {
					for m, by := range k.model.Response[e] {
						v += by * hand.moves[m]
					}
				}
				if c.id == fit.CornerReserve {
					v += hand.corner
				}
				if values = append(values, v); d.renews(c) && !d.stays(c, k.model.Elements[e].Mark) {
					values[len(values)-1] = 0 // drilled anew, which is not drawn
				}
				at++
			}
			v := values[0]
			switch c.taken {
			case fit.LeastOf:
				v = slices.Min(values)
			case fit.LongestOf:
				v = 0
				for i := 0; i < len(values); i += 2 {
					v = max(v, math.Hypot(values[i], values[i+1]))
				}
			}
			inside = inside && v >= c.lower && v <= d.limit(c)
		}
		if inside {
			good++
		}
	}
	return float64(good) / kits
}

// An objective's linear elements are the kit's own values, whichever moves are varied, and its score is the kit's where no other string or
// hole becomes the worst.
func TestObjectivesAreTheKitsValues(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 72))
	for seed := range uint64(6) {
		k := misfitKit(seed)
		for _, moves := range [][]fit.Move{{fit.HeelMouth, fit.HeelEnd, fit.HeelAlong}, {fit.BridgeTurn}, {fit.BridgeAcross}, {fit.BridgeAlong}} {
			d := &candidate{corner: 0.5, squared: [2]float64{1, 2}}
			for m := range d.moves {
				d.moves[m] = rng.NormFloat64()
			}
			o := k.objective(d, all)
			o.vary(d, moves...)
			for range 5 {
				var x varied
				for j, m := range moves {
					x[j] = rng.NormFloat64()
					d.moves[m] = x[j]
				}
				sum := o.base
				for i := range o.live {
					c := &o.live[i]
					if got, want := o.value(c, x), k.value(c.criterion, d); math.Abs(got-want) > 1e-9 {
						t.Errorf("seed %d, %v: %v is %.9f, of the kit %.9f", seed, moves, c.id, got, want)
					}
					sum += logInside(k.value(c.criterion, d), c.std, c.lower, c.high)
				}
				if got := o.score(x, math.Inf(-1)); math.Abs(got-sum-o.settled) > 1e-9 {
					t.Errorf("seed %d, %v: score %.9f, summed up %.9f", seed, moves, got, sum+o.settled)
				}
				if got := o.score(x, sum+o.settled+1); got > sum+o.settled+1 {
					t.Errorf("what cannot reach its floor scores %.3f", got)
				}
			}
		}
	}
}

// Nothing is advised that the trade does not do, in sizes that can be made: the limits as they are written in the comments beside them.
func TestWorksKeepWithinTheTrades(t *testing.T) {
	seen := map[measure.Work]int{}
	for seed := range uint64(kits() / 2) {
		k := misfitKit(seed)
		for _, d := range k.complete(k.bases()) {
			for _, a := range d.actions {
				seen[a.Work]++
				thin, thick := min(a.Mouth, a.End), max(a.Mouth, a.End)
				ok := true
				switch a.Work {
				case measure.SideShim:
					ok = thick <= 1.2 && (thin == thick || thin == 0 || thick >= 0.5 && thin >= 0.25 && thick-thin > 0.199)
				case measure.RelieveWall:
					ok = thick <= 1.0 && thin >= 0 && thick >= 0.1
				case measure.PitchShim:
					ok = a.Size >= 0.25 && math.Abs(a.Turn) <= 1.0001
				case measure.ReamScrews:
					ok = a.Size > k.neckHole() && a.Size <= k.neckHole()+1
				case measure.SlotScrews:
					ok = a.Size > 0.5 && a.Size <= 1
				case measure.SlotStrings, measure.SlotBridge:
					ok = a.Size == 0.3
				case measure.EaseCorner:
					ok = a.Size >= 0.5 && a.Size <= 5 && math.Mod(a.Size, 0.5) == 0
				case measure.DeepenFloor:
					ok = a.Size >= 0.25 && a.Size <= 5
				case measure.TrimHeel:
					ok = a.Size > 0.39 && a.Size < 6.01
				case measure.PlugBridge:
					ok = math.Abs(a.Across) <= 15.001 && math.Abs(a.Along) <= 15.001 && math.Abs(a.Turn) <= 3.001
				case measure.BridgeMove:
					ok = math.Abs(a.Across) <= 1.501 && math.Abs(a.Along) <= 1.501 && math.Abs(a.Turn) <= 1.501
				}
				if !ok {
					t.Errorf("seed %d: %+v", seed, a)
				}
			}
		}
	}
	for _, w := range []measure.Work{measure.SideShim, measure.RelieveWall, measure.ReamScrews, measure.SlotScrews, measure.EaseCorner, measure.SquareCorner, measure.SlotBridge, measure.PlugBridge, measure.PlugNeck, measure.BridgeMove, measure.TrimHeel} {
		if seen[w] == 0 {
			t.Errorf("%v was never thought of", w)
		}
	}
}

// Of works for one fault every one has its plan, the smallest that will do: a screw that is 0.55 mm off in 0.35 mm of clearance takes
// 0.2 mm of room and what the readings leave.
func TestAlternativesForOneFault(t *testing.T) {
	in := spoiled(t, "screw=0.7")
	r, _ := adviceOf(in)
	k := newKit(r, newStock(Options{}))
	k.others.find(k)
	none := func(c *criterion) bool { return c.id == fit.NeckScrewMismatch }
	list := k.alternatives(&candidate{}, k.others.screws, none)
	var works []measure.Work
	for i, d := range list {
		works = append(works, d.actions[0].Work)
		if i > 0 && k.estimate(d, none) < k.estimate(list[i-1], none) {
			t.Errorf("%v costs less than %v", d.actions, list[i-1].actions)
		}
	}
	for _, w := range []measure.Work{measure.ReamScrews, measure.SlotScrews, measure.PlugNeck} {
		if n := slices.Index(works, w); n < 0 || slices.Contains(works[n+1:], w) {
			t.Errorf("%v: %v", w, works)
		}
	}
	need := r.Find(fit.NeckScrewMismatch).Value - r.Find(fit.NeckScrewMismatch).Upper
	if room := list[0].room.neck; room < need || room > need+0.3 {
		t.Errorf("%v gives %.3f mm of room, %.3f are wanted", list[0].actions, room, need)
	}
}
