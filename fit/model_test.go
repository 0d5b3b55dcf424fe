package fit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"neckfit/fit/simulate"
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
