package simulate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"neckfit/measure"
)

type planner struct {
	name string
	plan func(Instrument, *rand.Rand, Setup) []measure.Reading
}

var planners = []planner{{"loose parts", LooseParts}, {"dry fit", DryFit}, {"edge check", EdgeCheck}}

func seeded() *rand.Rand { return rand.New(rand.NewPCG(1, 2)) }

func TestEveryReadingIsOneThatMeasureAllows(t *testing.T) {
	allowed := func(n measure.Need, has bool) bool {
		return n == measure.Optional || has == (n == measure.Required)
	}
	for _, p := range planners {
		for _, byEdge := range []bool{false, true} {
			for _, r := range p.plan(ShortScaleBass(), seeded(), Setup{HolesByEdge: byEdge, Heights: true}) {
				station, offset, _, ok := r.Feature.Needs(r.Kind)
				if !ok || !slices.Contains(r.Feature.Datums(), r.Datum) {
					t.Errorf("%s: feature %d, kind %d, datum %d is not allowed", p.name, r.Feature, r.Kind, r.Datum)
				}
				if !allowed(station, r.HasStation) || !allowed(offset, r.HasOffset) {
					t.Errorf("%s: feature %d, kind %d has wrong numbers", p.name, r.Feature, r.Kind)
				}
				if r.Gauge == nil || r.StationGauge == nil {
					t.Errorf("%s: feature %d lacks a gauge", p.name, r.Feature)
				}
			}
		}
	}
}

func TestSameSeedSameReadings(t *testing.T) {
	for _, p := range planners {
		a, b := p.plan(ShortScaleBass(), seeded(), Setup{}), p.plan(ShortScaleBass(), seeded(), Setup{})
		if diff := cmp.Diff(a, b, cmpopts.IgnoreFields(measure.Reading{}, "Gauge", "StationGauge")); diff != "" {
			t.Errorf("%s: %s", p.name, diff)
		}
	}
}

// place is one exact reading without what its order changes.
type place struct {
	Datum                 measure.Datum
	Feature               measure.Feature
	Mark                  measure.Mark
	Kind                  measure.Kind
	Station, Offset, Size float64
}

func places(readings []measure.Reading) []place {
	var all []place
	for _, r := range readings {
		all = append(all, place{r.Datum, r.Feature, r.Mark, r.Kind, r.Station, r.Offset, r.Size})
	}
	return all
}

// byOrder sorts; the offsets that break a tie are millimetres apart.
var byOrder = cmpopts.SortSlices(func(a, b place) bool {
	return slices.Compare(a.key(), b.key()) < 0
})

func (p place) key() []float64 {
	side := 0.0
	if p.Mark.Name == "treble" {
		side = 1
	}
	return []float64{
		float64(p.Datum), float64(p.Feature), float64(p.Mark.Number), side, float64(p.Kind),
		math.Round(p.Station), math.Round(p.Offset),
	}
}

func TestMirrorTwiceIsTheSame(t *testing.T) {
	for _, p := range planners {
		readings := p.plan(Random(seeded()), seeded(), Setup{HolesByEdge: true})
		if diff := cmp.Diff(readings, Mirror(Mirror(readings, 4), 4)); diff != "" {
			t.Errorf("%s: %s", p.name, diff)
		}
	}
}

func TestMirrorIsTheMirroredInstrument(t *testing.T) {
	close := cmpopts.EquateApprox(0, exact)
	for _, in := range instruments() {
		// A gap below zero is left out, on both sides alike; the shifts are well inside the others.
		in.PocketMouth, in.PocketEnd = in.PocketMouth+1, in.PocketEnd+1
		in.MouthShift, in.EndShift = 0.1, -0.05
		for _, p := range planners {
			got := places(Mirror(p.plan(in, nil, Setup{Exact: true, Heights: true}), in.Strings))
			want := places(p.plan(in.Mirrored(), nil, Setup{Exact: true, Heights: true}))
			if diff := cmp.Diff(want, got, byOrder, close); diff != "" {
				t.Fatalf("%s: %s", p.name, diff)
			}
		}
		a, b := in.Truth(), in.Mirrored().Truth()
		near(t, "mirrored error", b.CentreLineError, -a.CentreLineError, exact)
		near(t, "mirrored skew", b.BridgeSkew, -a.BridgeSkew, exact)
		near(t, "mirrored margin", b.MarginBass, a.MarginTreble, exact)
		near(t, "mirrored swing", b.SwingLow, -a.SwingHigh, exact)
	}
}

func TestMoveAndTurnAreOtherStraightedges(t *testing.T) {
	const dx, dy, angle = 7, -3, 1.5
	at := func(in Instrument) []measure.Reading {
		all := LooseParts(in, nil, Setup{Exact: true})
		return slices.DeleteFunc(all, func(r measure.Reading) bool {
			return r.HasStation != r.HasOffset // widths, and frets on the centre line
		})
	}
	points := func(all []measure.Reading) []place {
		return places(slices.DeleteFunc(all, func(r measure.Reading) bool { return r.Kind != measure.Point }))
	}
	in := Random(seeded())
	in.BodyPose = Pose{}
	moved := in
	moved.BodyPose.Zero = Point{-dx, -dy}
	close := cmpopts.EquateApprox(0, exact)
	if diff := cmp.Diff(points(at(moved)), points(Move(at(in), measure.DatumBody, dx, dy)), close); diff != "" {
		t.Error("moved:", diff)
	}
	turned := in
	turned.BodyPose.Turn = -angle
	if diff := cmp.Diff(points(at(turned)), points(turn(at(in), measure.DatumBody, angle)), close); diff != "" {
		t.Error("turned:", diff)
	}
}

// turn is the same places seen from a straightedge turned by -angle degrees about its zero: each
// place turns by +angle, its tail side toward treble. It serves readings with both a station and
// an offset, exact ones only, as an error keeps its direction. Sizes without a station stay. It
// panics on a reading that lacks one of the two: lay the instrument's own Pose otherwise for that.
func turn(readings []measure.Reading, datum measure.Datum, angle float64) []measure.Reading {
	f := frame{turn: radians(angle)}
	return rewritten(readings, func(r *measure.Reading) {
		switch {
		case r.Datum != datum || !r.HasStation && !r.HasOffset:
		case r.HasStation && r.HasOffset:
			p := f.out(Point{r.Station, r.Offset})
			r.Station, r.Offset = p.Station, p.Offset
		default:
			panic(fmt.Sprintf("simulate: reading %d has no full place to turn", r.Place.Line))
		}
	})
}

// A side read from a turned straightedge must lie on the side: carried back, its offset is the
// side's own.
func TestReadingsOfSidesLieOnThem(t *testing.T) {
	for _, in := range instruments() {
		in.SideBow = 0.3
		for _, r := range LooseParts(in, nil, Setup{Exact: true}) {
			p := Point{r.Station, r.Offset}
			switch r.Feature {
			case measure.PocketBass, measure.PocketTreble:
				w := map[measure.Feature]side{measure.PocketBass: bass, measure.PocketTreble: treble}[r.Feature]
				q := in.BodyPose.frame().out(p)
				near(t, "pocket side", q.Offset, in.pocketSide(w)(q.Station).Offset, exact)
			case measure.EdgeBass, measure.EdgeTreble:
				w := map[measure.Feature]side{measure.EdgeBass: bass, measure.EdgeTreble: treble}[r.Feature]
				q := in.NeckPose.frame().out(p)
				near(t, "edge", q.Offset, in.edge(w)(q.Station).Offset, exact)
			}
		}
	}
}

// What is read from a straightedge along an edge is the distance from that edge, and from a square
// line through the zero mark.
func TestEdgeReadingsAreDistancesFromTheEdge(t *testing.T) {
	for _, in := range instruments() {
		in.MouthShift, in.EndShift = 0.1, -0.2
		neck, bridge := in.neck(), in.bridge()
		seen := 0
		for _, r := range EdgeCheck(in, nil, Setup{Exact: true}) {
			if r.Feature != measure.Saddle && r.Feature != measure.NutSlot {
				continue
			}
			seen++
			p := neck.out(in.slot(r.Mark.Number))
			if r.Feature == measure.Saddle {
				p = bridge.out(in.contact(r.Mark.Number, 0))
			}
			w, inward := bass, 1.0
			if r.Datum == measure.DatumEdgeTreble {
				w, inward = treble, -1
			}
			a, b := line(neck, in.edge(w), in.EdgeZero, 400)
			near(t, "offset", r.Offset, inward*distance(p, a, b), exact)
			near(t, "way from the zero mark", math.Hypot(r.Station, r.Offset), apart(p, a), exact)
		}
		if seen != 8 {
			t.Errorf("%d slots and saddles were read, want 4 from each edge", seen)
		}
	}
}

func TestGapsOfADryFitAreFeltWhereTheNeckLies(t *testing.T) {
	in := ShortScaleBass()
	in.BodyPose.Turn = 1
	in.MouthShift, in.EndShift, in.EndGap = 0.06, -0.02, 0.3
	type gap struct {
		feature measure.Feature
		size    float64
	}
	var got []gap
	for _, r := range DryFit(in, nil, Setup{Exact: true}) {
		if r.Kind == measure.Gap {
			got = append(got, gap{r.Feature, r.Size})
		}
	}
	// 0.1 mm a side, of a heel in a pocket 0.2 mm wider; the heel turns by 0.08 mm in 60 mm, which
	// slopes its 63.5 mm end by 0.0847 mm.
	slope := 63.5 * 0.08 / 60
	const half = 0.025 // mm, of a step of the built-in feeler gauge: the gap lies between the leaf that enters and the next
	want := []gap{
		{measure.PocketBass, 0.16 - half}, {measure.PocketBass, 0.08 - half}, {measure.PocketTreble, 0.04 - half}, {measure.PocketTreble, 0.12 - half},
		{measure.PocketEnd, 0.3 + slope - half}, {measure.PocketEnd, 0.3 - half},
	}
	// A turn by 0.0013 makes the heel's sides and the slope differ by its square, 2e-6, of 63.5 mm.
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(gap{}), cmpopts.EquateApprox(0, 2e-4)); diff != "" {
		t.Error(diff)
	}
}

// JCGM 100, 4.3.7: a rectangular distribution of half-width a has the variance a^2/3.
func TestErrorsHaveTheVariancesOfTheirParts(t *testing.T) {
	g := &measure.Gauge{ID: "g", Resolution: 0.1, MaxError: 0.2, Repeatability: 0.05}
	rng := seeded()
	const kits, repeats = 4000, 3
	common, own := g.MaxError*g.MaxError/3, g.Repeatability*g.Repeatability+g.Resolution*g.Resolution/12
	for _, uniform := range []bool{false, true} {
		var first, between, within float64
		for range kits {
			h := newHand(Setup{Offset: g, Uniform: uniform}, rng)
			var e [repeats]float64
			truth := 10 * rng.Float64()
			for i := range e {
				e[i] = h.shown(g, truth) - truth
			}
			first += e[0] / kits
			between += e[0] * e[1] / kits
			within += (e[0] - e[2]) * (e[0] - e[2]) / 2 / kits
		}
		// Five standard errors each: sqrt(V/kits) for the mean; a square's own spread is at most
		// sqrt(2) V, so sqrt(2/kits) V for the others.
		total := common + own
		near(t, "mean error", first, 0, 5*math.Sqrt(total/kits))
		near(t, "covariance of two readings", between, common, 5*math.Sqrt(2.0/kits)*total)
		near(t, "variance of one reading about the shift", within, own, 5*math.Sqrt(2.0/kits)*total)
	}
}

func TestMarkLiesWhereTheGaugePutsIt(t *testing.T) {
	g := &measure.Gauge{ID: "rule", Resolution: 0.5, MaxError: 0.4, Repeatability: 0.1}
	rng := seeded()
	const kits = 4000
	var sum, squares float64
	for range kits {
		e := newHand(Setup{Station: g}, rng).marked(g, 100) - 100
		sum += e / kits
		squares += e * e / kits
	}
	v := 0.4*0.4/3 + 0.1*0.1 + 0.5*0.5/12
	near(t, "mean error of a mark", sum, 0, 5*math.Sqrt(v/kits)) // five standard errors
	near(t, "variance of a mark", squares, v, 5*math.Sqrt(2.0/kits)*v)
}

func TestRoundedReadingsAreWholeSteps(t *testing.T) {
	for _, r := range LooseParts(Random(seeded()), seeded(), Setup{}) {
		if r.Kind != measure.Point {
			continue
		}
		steps := r.Offset / r.Gauge.Resolution
		// Offsets stay below 300 mm, so 30000 steps, each exact to 1e-16 of itself.
		near(t, "steps of the gauge", steps, math.Round(steps), 1e-9)
	}
}

func TestSidesAreReadAsOftenAsTheSetupSays(t *testing.T) {
	in := Random(seeded())
	datum, heel := in.NeckPose.frame(), in.heel()
	for _, c := range []struct{ stations, trials, wantStations, wantTrials int }{{0, 0, 3, 1}, {5, 2, 5, 2}, {2, 3, 2, 3}} {
		seen, trials := map[float64]int{}, map[int]int{}
		for _, r := range LooseParts(in, nil, Setup{Exact: true, SideStations: c.stations, Trials: c.trials}) {
			if r.Feature != measure.HeelTreble {
				if r.Feature == measure.EdgeBass && r.Trial != 0 {
					t.Error("an edge is read once, so without a trial")
				}
				continue
			}
			p := heel.in(datum.out(Point{r.Station, r.Offset}))
			near(t, "on the side", p.Offset, in.heelSide(treble)(p.Station).Offset, exact)
			seen[math.Round(p.Station*1e6)]++ // to the nanometre: equal places differ by rounding
			trials[r.Trial]++
		}
		if len(seen) != c.wantStations || len(trials) != c.wantTrials {
			t.Errorf("%+v: places %v, trials %v", c, seen, trials)
		}
		for _, inset := range []float64{in.MouthInset, in.EndInset} {
			if seen[math.Round(-inset*1e6)] != c.wantTrials {
				t.Errorf("%+v: not read %d times at %g mm from the end: %v", c, c.wantTrials, inset, seen)
			}
		}
	}
}

func TestHeightsAreReadWithTheDepthGauge(t *testing.T) {
	depth := &measure.Gauge{ID: "depth", Repeatability: 0.02}
	for _, p := range planners[:2] {
		for _, r := range p.plan(ShortScaleBass(), seeded(), Setup{Heights: true, Depth: depth}) {
			if (r.Kind == measure.Height) != (r.Gauge == depth) {
				t.Errorf("%s: feature %d, kind %d was read with %s", p.name, r.Feature, r.Kind, r.Gauge.ID)
			}
		}
	}
}
