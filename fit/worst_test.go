package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/measure"
)

func about(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) && got != want {
		t.Errorf("%s is %.10g, by hand %.10g", what, got, want)
	}
}

// The worst of several deviations is the largest by size, the first of equals; how many there were to pick from, and the uncertainty, count
// each in full up to two standard uncertainties behind, half at three, and nothing from four on.
func TestWorstOfSeveral(t *testing.T) {
	of := func(pairs ...float64) (list []deviation) {
		for i := 0; i < len(pairs); i += 2 {
			list = append(list, deviation{value: pairs[i], std: pairs[i+1]})
		}
		return list
	}
	for _, c := range []struct {
		list       []deviation
		at         int
		std, among float64
	}{
		{of(0.3, 0.1), 0, 0.1, 1}, {of(-0.3, 0.1, 0.2, 0.1), 0, 0.1, 2}, {of(0.2, 0.1, -0.3, 0.1), 1, 0.1, 2},
		{of(0.3, 0.1, -0.3, 0.1), 0, 0.1, 2}, {of(2, 0.1, 0.5, 0.1, -0.1, 0.1), 0, 0.1, 1},
		{of(1, 0.1, 0.81, 0.1, 0.75, 0.1, -0.7, 0.1, 0.61, 0.1, 0.59, 0.1), 0, 0.1, 1 + 1 + 0.75 + 0.5 + 0.05},
		{of(2, 0.05, 1.73, 0.15), 0, 0.65 * 0.15, 1.65}, {of(2, 0.05, 1.65, 0.15), 0, 0.05, 1.25},
	} {
		at, std, among := worstOf(c.list)
		if at != c.at {
			t.Errorf("%v: the worst is %d", c.list, at)
		}
		about(t, "its uncertainty", std, c.std, 1e-12)
		about(t, "among", among, c.among, 1e-12)
	}
}

// The interval of the worst of many holds the truth of the place that was picked, whether all places are nothing, out by as much as they are
// uncertain, or by far more: in 94.2 to 97.2 of 100 draws, whose share scatters by 0.2. Likewise of distances, which are never below nothing, and
// whose errors are alike either way or half as large one way: in 94 to 98.
func TestWorstIsHeld(t *testing.T) {
	const draws = 10000
	rng := rand.New(rand.NewPCG(1, 2))
	a := new(assembly)
	for _, many := range []int{1, 2, 4, 10} {
		for _, spread := range []float64{0, 1, 2, 3, 10} {
			across := []float64{1, 0.5}[rng.IntN(2)]
			line, plane := 0, 0
			for range draws {
				list, apart, truth, far := make([]deviation, many), make([]deviation, many), make([]float64, many), make([]float64, many)
				var along float64
				for k := range many {
					truth[k] = spread * rng.NormFloat64()
					list[k] = deviation{value: truth[k] + rng.NormFloat64(), std: 1}
					p, q := spread*rng.NormFloat64(), spread*rng.NormFloat64()
					x, y := p+rng.NormFloat64(), q+across*rng.NormFloat64()
					far[k], apart[k].value = math.Hypot(p, q), math.Hypot(x, y)
					if at, _, _ := worstOf(apart[:k+1]); at == k {
						along = math.Hypot(x, across*y) / apart[k].value
					}
				}
				ch := Characteristic{Lower: math.Inf(-1), Upper: math.Inf(1)}
				a.judgeWorst(&ch, list)
				if at, _, _ := worstOf(list); math.Abs(ch.Value-truth[at]) <= Coverage*ch.StdUncertainty {
					line++
				}
				a.judgeApart(&ch, apart, deviation{std: along}, 1, across)
				if at, _, _ := worstOf(apart); math.Abs(ch.Value-far[at]) <= Coverage*ch.StdUncertainty {
					plane++
				}
			}
			about(t, fmt.Sprintf("of %d out by %v the worst is held, in %%,", many, spread), 100*float64(line)/draws, 95.7, 1.5)
			about(t, fmt.Sprintf("of %d distances out by %v, %v across, the worst is held, in %%,", many, spread, across), 100*float64(plane)/draws, 96, 2)
		}
	}
}

// With few degrees of freedom the interval of a worst distance is longer by what Student's factor is, whatever the distance.
func TestDistancesByStudent(t *testing.T) {
	for _, value := range []float64{0, 1, 3, 3.3, 20} {
		var u [2]float64
		for i, dof := range []float64{0, 5} {
			ch := Characteristic{Lower: math.Inf(-1), Upper: math.Inf(1)}
			new(assembly).judgeApart(&ch, []deviation{{value: value}, {value: value}}, deviation{std: 1, dof: dof}, 1, 0.9)
			u[i] = ch.StdUncertainty
		}
		about(t, fmt.Sprintf("of %v: longer", value), u[1]/u[0], factorFor(2, 5)/factorFor(2, 0), 1e-12)
	}
}

// What a length of two errors stays within: by the mean over all directions of what an error in that direction stays within, which is Rayleigh's
// chance; one error by itself is a normal one.
func TestLengthWithin(t *testing.T) {
	for _, p := range []float64{0.95, 0.98726, 0.9949} {
		for _, across := range []float64{0, 0.2, 0.5, 0.8, 1} {
			r, inside := lengthWithin(0.3, 0.3*across, p)/0.3, 0.0
			const directions = 2000
			for i := range directions {
				sin, cos := math.Sincos(math.Pi * (float64(i) + 0.5) / directions)
				inside += (1 - math.Exp(-0.5*r*r/(cos*cos+across*across*sin*sin))) / directions
			}
			about(t, fmt.Sprintf("%v across, of %v: beyond", across, p), (1-inside)/(1-p), 1.06, 0.1)
			if other := lengthWithin(0.3*across, 0.3, p) / 0.3; math.Abs(other-r) > 1e-12 {
				t.Errorf("%v across: %v and %v", across, r, other)
			}
		}
	}
	about(t, "of nothing", lengthWithin(0, 0, 0.95), 0, 0)
}

// The coverage factor of a worst of many: so many values, each within it, all are with 95 %. Of one it is 1.96, or as printed for Student's
// at five and ten degrees of freedom.
func TestFactorOfAWorst(t *testing.T) {
	for _, c := range []struct{ among, dof, want float64 }{{1, 0, 1.96}, {1, 5, 2.571}, {1, 10, 2.228}, {1, 1, 12.706}} {
		about(t, "factor of one", factorFor(c.among, c.dof), c.want, 8e-4)
	}
	for _, among := range []float64{1.5, 2, 7, 20} {
		for _, dof := range []float64{0, 4, 25} {
			k := factorFor(among, dof)
			inside := distuv.UnitNormal.CDF(k) - distuv.UnitNormal.CDF(-k)
			if dof != 0 {
				s := distuv.StudentsT{Sigma: 1, Nu: dof}
				inside = s.CDF(k) - s.CDF(-k)
			}
			about(t, "all inside", math.Pow(inside, among), 0.95, 1e-6)
		}
	}
}

// What lies beyond two limits: by the printed normal and Student's distributions, at an infinity nothing, and without an uncertainty all or
// nothing, a billionth for rounding.
func TestTails(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct{ y, u, dof, lower, upper, below, above float64 }{
		{0, 1, 0, -1, 2, 0.158655, 0.022750}, {0.5, 0.5, 0, -0.5, 1.5, 0.022750, 0.022750}, {3, 1, 0, 0, 2, 0.001350, 0.841345},
		{0, 1, 0, -inf, 1, 0, 0.158655}, {0, 1, 0, -1, inf, 0.158655, 0}, {0, 1, 1, -1, 1, 0.25, 0.25}, {0, 2, 5, -2 * 2.570582, 2 * 2.015048, 0.025, 0.05},
		{1, 0, 0, 0, 1, 0, 0}, {1.1, 0, 0, 0, 1, 0, 1}, {-0.1, 0, 0, 0, 1, 1, 0}, {1 + 0.9e-9, 0, 0, 0, 1, 0, 0}, {1 + 1.05e-9, 0, 0, 0, 1, 0, 1},
	} {
		below, above := tailsOf(c.y, c.u, c.dof, c.lower, c.upper)
		about(t, "below", below, c.below, 4e-6)
		about(t, "above", above, c.above, 4e-6)
	}
	if below, above := tailsOf(0, 1, 0, -9.2, 9.4); below <= 0 || above != 0 { // beside 1 both vanish
		t.Errorf("far beyond: %g and %g", below, above)
	}
}

// Several deviations are judged together: the chance that all lie inside is one less the sum of all that may lie beyond; it fails when one
// by itself lies beyond a limit with 95 % after an allowance for how many there are.
func TestJudgingAWorst(t *testing.T) {
	beyond := func(z float64) float64 { return 0.5 * math.Erfc(z/math.Sqrt2) }
	d := func(values ...float64) (list []deviation) {
		for _, v := range values {
			list = append(list, deviation{value: v, std: 0.1, common: 0.02})
		}
		return list
	}
	for _, c := range []struct {
		what    string
		list    []deviation
		p       float64
		verdict Verdict
	}{
		{"amid", d(0, 0.1, -0.1), 1 - 2*beyond(10) - 2*(beyond(9)+beyond(11)), Pass},
		{"one near a limit", d(0.8, 0), 1 - beyond(2), Pass}, {"two of them", d(0.8, -0.83), 1 - beyond(2) - beyond(1.7), Unsure},
		{"one beyond", d(1.25, 0), 1 - (1 - beyond(2.5)), Fail}, {"as far, of ten", d(1.25, 0, 0, 0, 0, 0, 0, 0, 0, 0), beyond(2.5), Unsure},
		{"farther, of ten", d(1.27, 0, 0, 0, 0, 0, 0, 0, 0, 0), beyond(2.7), Fail}, {"on the other side", d(-1.27, 0, 0, 0, 0, 0, 0, 0, 0, 0), beyond(2.7), Fail},
	} {
		a, ch := new(assembly), Characteristic{ID: FretError, Lower: -1, Upper: 1}
		a.options.Terse = true
		a.judgeWorst(&ch, c.list)
		about(t, c.what+": the chance", ch.P, max(0, c.p), 1e-12)
		if ch.Verdict != c.verdict || ch.Among != len(c.list) {
			t.Errorf("%s: %s among %d", c.what, ch.Verdict, ch.Among)
		}
		at, _, among := worstOf(c.list)
		about(t, c.what+": the value", ch.Value, c.list[at].value, 0)
		about(t, c.what+": its uncertainty", ch.StdUncertainty, 0.1*factorFor(among, 0)/1.96, 1e-12)
		about(t, c.what+": in common", ch.Common, 0.02, 0)
	}
	for _, limits := range [][2]float64{{math.Inf(-1), math.Inf(1)}} {
		ch := Characteristic{ID: FretError, Lower: limits[0], Upper: limits[1]}
		new(assembly).judgeWorst(&ch, d(0.1))
		if ch.Verdict != NotJudged || ch.Value != 0.1 {
			t.Errorf("without limits: %s %v", ch.Verdict, ch.Value)
		}
	}
	nan := Characteristic{ID: FretError, Lower: -1, Upper: 1}
	new(assembly).judgeWorst(&nan, d(math.NaN()))
	if nan.Missing.Want != WantSound || nan.Verdict != NotMeasured || nan.Value != 0 || nan.StdUncertainty != 0 || nan.Common != 0 {
		t.Errorf("no number: %+v", nan)
	}
}

// A lone value is judged with its uncertainty, taken longer where that was estimated: to what 1.96 of it stands for at few degrees of freedom.
func TestJudgingOne(t *testing.T) {
	for _, c := range []struct {
		value, std, dof float64
		verdict         Verdict
	}{{0.8, 0.1, 0, Pass}, {0.8, 0.1, 5, Unsure}, {0.84, 0.1, 0, Unsure}, {1.17, 0.1, 0, Fail}, {1.17, 0.1, 4, Unsure}, {-1.17, 0.1, 0, Fail}} {
		a, ch := new(assembly), Characteristic{ID: CentreLineError, Lower: -1, Upper: 1, Value: c.value, StdUncertainty: c.std, DOF: c.dof}
		a.judge(&ch)
		want, factor := 1-0.5*math.Erfc((1-math.Abs(c.value))/c.std/math.Sqrt2), 1.0
		if c.dof != 0 {
			s := distuv.StudentsT{Sigma: 1, Nu: c.dof}
			want, factor = s.CDF((1-c.value)/c.std)-s.CDF((-1-c.value)/c.std), s.Quantile(0.975)/1.96
		}
		about(t, "chance", ch.P, want, 2e-6)
		about(t, "uncertainty", ch.StdUncertainty, factor*c.std, 1e-12+2e-4*c.dof*c.std) // Student's in closed form
		if ch.Verdict != c.verdict {
			t.Errorf("%v with %v and %v degrees: %s", c.value, c.std, c.dof, ch.Verdict)
		}
	}
}

// How fine gauges must be for the best value to pass: half of the limits' distance over 1.96, of a size from nothing its limit over 1.645;
// with one open end any will do. Of the worst of many the best case is all of them there.
func TestFinenessThatWouldDo(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		id           ID
		lower, upper float64
		want         float64
	}{
		{CentreLineError, -1, 1, 1 / 1.959964}, {CentreLineError, 0, 3, 1.5 / 1.959964}, {CentreLineError, -inf, 1, 0}, {MarginBass, 2, inf, 0}, {CentreLineError, -inf, inf, 0},
		{BridgeHoleMismatch, -inf, 0.3, 0.3 / 1.644854}, {BridgeHoleMismatch, -inf, -0.1, 0}, {BridgeHoleMismatch, 0, 0.3, 0.15 / 1.959964},
	} {
		ch := Characteristic{ID: c.id, Lower: c.lower, Upper: c.upper}
		about(t, c.id.String(), ch.coarsest(), c.want, 1e-6)
	}
	for _, c := range []struct {
		ch   Characteristic
		want float64
	}{
		{Characteristic{ID: CentreLineError, StdUncertainty: 0.5, Lower: -1, Upper: 1}, 1 - 2*0.022750}, {Characteristic{ID: CentreLineError, StdUncertainty: 0.5, Lower: 1, Upper: 3}, 1 - 2*0.022750},
		{Characteristic{ID: CentreLineError, StdUncertainty: 0.5, Lower: 1, Upper: inf}, 1}, {Characteristic{ID: CentreLineError, StdUncertainty: 0.5, Lower: -inf, Upper: inf}, 1},
		{Characteristic{ID: BridgeHoleMismatch, StdUncertainty: 0.1, Lower: -inf, Upper: 0.2}, 1 - 0.022750}, {Characteristic{ID: BridgeHoleMismatch, StdUncertainty: 0.1, Lower: -inf, Upper: -0.2}, 0.5},
		{Characteristic{ID: BridgeHoleMismatch, StdUncertainty: 0.1, Lower: 0, Upper: 0.2}, 0.5 - 0.022750},
		{Characteristic{ID: CentreLineError, StdUncertainty: 0.5, Doubt: 0.3, Lower: -0.8, Upper: 0.8}, 1 - 2*0.022750},
		{Characteristic{ID: FretError, StdUncertainty: 0.5 * factorFor(4, 0) / 1.96, Among: 4, Lower: -1, Upper: 1}, 1 - 8*0.022750},
		{Characteristic{ID: CentreLineError, StdUncertainty: 0.5 * 2.570582 / 1.96, DOF: 5, Lower: -1, Upper: 1}, 1 - 2*0.050970},
	} {
		about(t, c.ch.ID.String()+" at best", c.ch.bestCase(), c.want, 2e-6+6e-6*c.ch.DOF)
	}
}

// Limits stand as the user set them, whichever list is handed in after which; a class that he leaves out is the built-in one.
func TestBlankOfTheUsersLimits(t *testing.T) {
	mine := []measure.Limit{{Characteristic: CentreLineError.String(), Lower: -0.5, Upper: 0.25, Source: "mine"}, {Characteristic: ScaleLength.String(), Lower: 700, Upper: 701, Class: measure.Minor}}
	yours := []measure.Limit{{Characteristic: CentreLineError.String(), Lower: -3, Upper: 3}, {Characteristic: BridgeSkew.String(), Lower: -2, Upper: 2}}
	var b blank
	b.fill(nil)
	built := b.list[CentreLineError]
	for range 2 {
		for _, c := range []struct {
			user         []measure.Limit
			lower, upper float64
			given        []ID
		}{
			{nil, built.Lower, built.Upper, nil}, {mine, -0.5, 0.25, []ID{CentreLineError, ScaleLength}}, {yours, -3, 3, []ID{CentreLineError, BridgeSkew}},
			{mine[1:], built.Lower, built.Upper, []ID{ScaleLength}}, {mine[:1], -0.5, 0.25, []ID{CentreLineError}},
		} {
			b.fill(c.user)
			if e := b.list[CentreLineError]; e.Lower != c.lower || e.Upper != c.upper || e.Class != built.Class {
				t.Errorf("limits %v to %v of class %s", e.Lower, e.Upper, e.Class)
			}
			count := 0
			for _, given := range b.given {
				if given {
					count++
				}
			}
			for _, id := range c.given {
				if !b.given[id] || b.list[id].LimitSource.Origin != LimitTable {
					t.Errorf("%s is not the user's", id)
				}
			}
			if count != len(c.given) {
				t.Errorf("%d are the user's, by hand %d", count, len(c.given))
			}
		}
	}
	b.fill(mine)
	if b.list[ScaleLength].Class != measure.Minor || b.list[CentreLineError].LimitSource.Text != "mine" || b.list[FretError].LimitSource.Origin != CommonPractice {
		t.Errorf("%+v", b.list[ScaleLength])
	}
}
