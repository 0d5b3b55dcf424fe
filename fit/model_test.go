package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// The answer to a heel's shift, a bridge's move and a wedge against instruments that are built
// that way: move the true instrument a little, measure it again, and the difference must be
// Response times the move.
func TestResponseIsWhatAMovedInstrumentShows(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 15))
	setup := simulate.Setup{Exact: true, Heights: true}
	const step = 0.2 // mm or degrees
	moves := map[Move]func(*simulate.Instrument){
		HeelMouth:    func(in *simulate.Instrument) { in.MouthShift += step },
		HeelEnd:      func(in *simulate.Instrument) { in.EndShift += step },
		HeelAlong:    func(in *simulate.Instrument) { in.EndGap += step }, // away from the end, so headstockward
		BridgeAcross: func(in *simulate.Instrument) { in.CentreLineError += step },
		BridgeAlong:  func(in *simulate.Instrument) { in.BridgeStation += step },
		BridgeTurn:   func(in *simulate.Instrument) { in.BridgeSkew += step },
	}
	names := []string{"centre-line-error", "bridge-skew", "margin-bass", "margin-treble", "margin-balance", "scale-length", "saddle-reserve-front", "saddle-reserve-back"}
	compared := 0
	defer func() {
		if compared < 30 {
			t.Errorf("only %d moves compared", compared)
		}
	}()
	for range 12 {
		in := simulate.Random(rng)
		in.HeelHeading, in.HeelSideways = 0, 0 // so that shifts along the heel's axis are along the centre line's
		for move, change := range moves {
			moved := in
			change(&moved)
			o := Options{Compensation: in.Compensation, Model: true}
			a := Check(in.Kit("K", simulate.DryFit(in, rng, setup)), o)
			b := Check(moved.Kit("K", simulate.DryFit(moved, rng, setup)), o)
			if a.Swing == nil {
				continue // the heel does not go in, so nothing felt says where the pocket is
			}
			compared++
			sign := 1.0
			if move == HeelAlong {
				sign = -1
			}
			var by [Moves]float64
			by[move] = sign * step
			checkMoved(t, a, b, move, &by)
			for _, name := range names {
				if (move == HeelMouth || move == HeelEnd) && strings.HasPrefix(name, "saddle-reserve") {
					continue // simulate slides the turned heel home on its other corner, which a remedy's move does not
				}
				got := b.named(t, name).Value - a.named(t, name).Value
				want := sign * step * a.response(t, name)[move]
				// Second order: the step over the pocket's 57 mm, times the step, times how far
				// the bridge is from the pocket in pockets.
				if math.Abs(got-want) > 5*step*step/57 {
					t.Errorf("move %d: %s changes by %+.5f, response says %+.5f", move, name, got, want)
				}
			}
		}
	}
}

// checkMoved holds what a model says of moved parts against its own first order, and where it has them against the kit of the moved instrument.
func checkMoved(t *testing.T, a, b *Result, move Move, by *[Moves]float64) {
	t.Helper()
	const second = 5 * 0.2 * 0.2 / 57 // as above
	m := a.Model
	for e, v := range m.Values(by) {
		if want := m.Elements[e].Value + m.Response[e][move]*by[move]; math.Abs(v-want) > second {
			t.Errorf("move %d: element %d comes to %.5f, in first order %.5f", move, e, v, want)
		}
	}
	if move == HeelMouth || move == HeelEnd { // see above
		return
	}
	is, want := m.Placed(by), b.Model.Geometry
	for i, p := range is.Places {
		q := want.Places[i]
		if p.Feature.Part() == measure.BodyPart { // simulate drills its holes anew, and a move leaves them
			q = m.Geometry.Places[i]
		}
		if p.Feature != q.Feature || math.Hypot(p.X-q.X, p.Y-q.Y) > second {
			t.Errorf("move %d: %s %d lies at %.4f, %.4f, built at %.4f, %.4f", move, p.Feature, p.Mark.Number, p.X, p.Y, q.X, q.Y)
		}
	}
	lines := map[string][2]*Line{"centre": {is.Centre, want.Centre}, "bass edge": {is.Edges[0], want.Edges[0]}, "treble edge": {is.Edges[1], want.Edges[1]}}
	for name, l := range lines {
		if off := math.Hypot(l[0].NX-l[1].NX, l[0].NY-l[1].NY); off > 1e-6 || math.Abs(l[0].D-l[1].D) > second {
			t.Errorf("move %d: the %s is %+v, built as %+v", move, name, l[0], l[1])
		}
	}
	if p, q := is.Bridge, want.Bridge; math.Hypot(p.X-q.X, p.Y-q.Y) > second || math.Abs(p.Heading-q.Heading) > 1e-4 || p.Basis != q.Basis {
		t.Errorf("move %d: the bridge is %+v, built as %+v", move, p, q)
	}
}

// A heel that is sawn shorter lets the neck slide home along the heel's own axis, which carries the nut aside of a heel that is skew.
func TestAHeelSlidesAlongItsAxis(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 16))
	setup := simulate.Setup{Exact: true, Heights: true}
	for _, heading := range []float64{-1.5, 1.5} {
		in := simulate.Random(rng).Seated()
		in.HeelHeading, in.HeelEndAngle, in.PocketEndAngle = heading, 0, 0
		w := simulate.NewWorkshop(in)
		w.TrimHeel(0.5)
		w.Seat(0, 0)
		o := Options{Compensation: in.Compensation, Model: true}
		a, b := Check(in.Kit("K", simulate.LooseParts(in, rng, setup)), o), Check(in.Kit("K", simulate.LooseParts(w.Instrument(), rng, setup)), o)
		for _, name := range []string{"centre-line-error", "saddle-reserve-front", "saddle-reserve-back", "margin-balance"} {
			got, want := b.named(t, name).Value-a.named(t, name).Value, 0.5*a.response(t, name)[HeelAlong]
			if about(t, name, got, want, 2e-3); name == "centre-line-error" && math.Abs(want) < 0.01 { // 0.5 mm in 1.5 degrees are 0.013
				t.Errorf("a skew heel carries the neck aside by %.4f", want)
			}
		}
	}
}

// What moves is known of what was read: nothing without a bridge, not how a neck turns without a pocket's place. Whole characteristics have no mark,
// what no reading tells enters the variances, and residuals their own.
func TestWhatAModelKnows(t *testing.T) {
	in := simulate.ShortScaleBass()
	all := simulate.LooseParts(in, rand.New(rand.NewPCG(8, 17)), simulate.Setup{Heights: true})
	without := func(drop func(r *measure.Reading) bool) *Result {
		return Check(in.Kit("K", slices.DeleteFunc(slices.Clone(all), func(r measure.Reading) bool { return drop(&r) })), Options{Model: true})
	}
	moves := [Moves]float64{0.3, 0.2, 0.1, 0.4, 0.5, 0.6, 0.7, 0.8}
	for what, c := range map[string]struct {
		drop         func(r *measure.Reading) bool
		moves, turns bool
	}{
		"all": {func(*measure.Reading) bool { return false }, true, true},
		"no bridge": {func(r *measure.Reading) bool {
			return r.Feature == measure.BridgeScrew || r.Feature == measure.StringHole
		}, false, false},
		"no board": {func(r *measure.Reading) bool {
			return r.Datum == measure.DatumNeck && r.Feature.Part() == measure.NeckPart && !strings.HasPrefix(r.Feature.String(), "heel")
		}, false, false},
		"a pocket read at its mouth": {func(r *measure.Reading) bool {
			return r.Datum == measure.DatumBody && r.Feature.Part() == measure.BodyPart && r.Kind == measure.Width
		}, true, true},
	} {
		m := without(c.drop).Model
		if m.Moves() != c.moves || m.Turns() != c.turns {
			t.Errorf("%s: moves %v, turns %v", what, m.Moves(), m.Turns())
		}
		same := true
		for e, v := range m.Values(&moves) {
			same = same && v == m.Elements[e].Value
		}
		if g := m.Placed(&moves); same == c.moves || (g.Bridge != nil && m.Geometry.Bridge != nil && g.Bridge.X != m.Geometry.Bridge.X) != c.moves {
			t.Errorf("%s: nothing moves: %v; %+v", what, same, g.Bridge)
		}
	}
	// Widths that were read of the parts by themselves tell how far a neck may be moved, and not where it lies along an edge.
	edge := in.Kit("K", simulate.EdgeCheck(in, nil, simulate.Setup{Exact: true}))
	for _, along := range []bool{false, true} {
		for i := range edge.Readings {
			if r := &edge.Readings[i]; along && (r.Feature == measure.Heel || r.Feature == measure.Pocket) {
				r.Datum = measure.DatumEdgeBass
			}
		}
		if m := Check(edge, Options{Model: true}).Model; !m.Moves() || m.Turns() != along {
			t.Errorf("widths read along an edge %v: moves %v, turns %v", along, m.Moves(), m.Turns())
		}
	}
	r, given := without(func(*measure.Reading) bool { return false }), Check(in.Kit("K", all), Options{Model: true, Compensation: measure.Strings{1: 1, 2: 1, 3: 1, 4: 1}})
	for e, v := range r.Model.Values(new([Moves]float64)) {
		about(t, "an element that is not moved", v, r.Model.Elements[e].Value, 1e-9)
	}
	for i, c := range r.Model.Measured {
		e, one := r.Model.First[i], &r.Characteristics[c]
		variance := r.Model.Covariance[e][e]
		switch {
		case one.ID == FretError || one.ID == NutError:
			about(t, one.ID.String(), variance, one.StdUncertainty*one.StdUncertainty, 1e-12)
		case one.ID == NeckScrewMismatch: // both coordinates of each hole
			worst := 0.0
			for mark := 1; mark <= 4; mark++ {
				x, y := r.Model.Elements[e+2*mark-2], r.Model.Elements[e+2*mark-1]
				if worst = max(worst, math.Hypot(x.Value, y.Value)); x.Mark != mark || y.Mark != mark {
					t.Errorf("hole %d has elements %+v and %+v", mark, x, y)
				}
			}
			if n := r.Model.First[i+1] - e; n != 8 || r.Model.Taken[i] != LongestOf || math.Abs(worst-one.Value) > one.StdUncertainty {
				t.Errorf("four holes have %d elements, %v at the worst of %v", n, worst, one.Value)
			}
		case one.ID == SaddleReserveFront: // by the built-in rule half a millimetre of each string
			about(t, one.ID.String(), variance-given.Model.Covariance[e][e], 0.25, 1e-3)
		}
		if r.Model.Taken[i] == Alone && r.Model.Elements[e].Mark != 0 {
			t.Errorf("%s has the mark %d", one.ID, r.Model.Elements[e].Mark)
		}
	}
}

// response is the whole characteristic's: its worst element's, where it is the least of several.
func (r *Result) response(t *testing.T, name string) [Moves]float64 {
	t.Helper()
	m := r.Model
	for i, c := range m.Measured {
		if r.Characteristics[c].ID.String() != name {
			continue
		}
		worst := m.First[i]
		for e := m.First[i]; e < m.First[i+1]; e++ {
			if m.Elements[e].Value < m.Elements[worst].Value {
				worst = e
			}
		}
		return m.Response[worst]
	}
	t.Fatalf("%s has no response", name)
	return [Moves]float64{}
}

// A wedge of thickness w at the end of a pocket of length l lifts the fret plane at the saddle
// line by w D/l (DESIGN section 6: a x D).
func TestRoomBeforeAHeelsEnd(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.EndGap, in.EndShift = 0.3, 0.05
	truth := in.Truth()
	r := Check(in.Kit("K", simulate.DryFit(in, rand.New(rand.NewPCG(21, 7)), simulate.Setup{Exact: true})), Options{Model: true})
	p := r.Model.Geometry.Play
	if p == nil || !p.Felt {
		t.Fatalf("%+v", p)
	}
	for i, want := range [2]float64{truth.EndGapBass, truth.EndGapTreble} {
		if side := float64(2*i-1) * in.HeelEnd / 2; math.Abs(p.Ahead[i]-want) > 0.03 || math.Abs(p.Beside[i]-side) > 2 {
			t.Errorf("%.3f mm ahead at %.1f, built with %.3f at %.1f", p.Ahead[i], p.Beside[i], want, side)
		}
	}
}

func TestWedgeLiftsTheFretPlaneByItsAngleTimesTheLever(t *testing.T) {
	in := simulate.ShortScaleBass()
	r := Check(in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})), Options{Model: true})
	p := r.Model.Geometry.Play
	if got, want := r.response(t, "fret-plane-height")[FloorEnd], p.Lever/p.Length; math.Abs(got-want) > 1e-6 { // rounding
		t.Errorf("a wedge of 1 mm lifts by %.4f mm, by hand %.4f", got, want)
	}
	if got := r.response(t, "fret-plane-height")[FloorAll]; math.Abs(got-1) > 1e-9 { // rounding
		t.Errorf("a floor shim of 1 mm lifts by %.4f mm", got)
	}
}

// The covariance of margins must give their difference's variance, which is worked out by itself.
func TestCovarianceAgreesWithADifference(t *testing.T) {
	_, readings := noisy(plans[0], 4)
	in, _ := noisy(plans[0], 4)
	r := Check(in.Kit("K", readings), Options{Model: true})
	at := map[string]int{}
	for i, c := range r.Model.Measured {
		at[r.Characteristics[c].ID.String()] = r.Model.First[i]
	}
	c, b, tr := r.Model.Covariance, at["margin-bass"], at["margin-treble"]
	got := c[b][b] + c[tr][tr] - 2*c[b][tr]
	want := math.Pow(unwidened(r.named(t, "margin-balance")), 2)
	if math.Abs(got-want) > 1e-9*want { // rounding
		t.Errorf("variance of the difference %g, by covariance %g", want, got)
	}
}
