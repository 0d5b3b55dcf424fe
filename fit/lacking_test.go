package fit

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"neckfit/fit/autodiff"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// put is the assembly of a kit.
func put(t *testing.T, k *measure.Kit) *assembly {
	t.Helper()
	s := new(solved)
	if err := s.solve(k); err != nil {
		t.Fatal(err)
	}
	return new(assembly).put(s, wayOf(&s.Survey), Options{}, nil)
}

// A fret read on one side of the board lies farther along the longer the bass scale is: by half a millimetre's share at an edge for
// a millimetre of difference, with the share from the square fret. Near the middle nothing is told, and a side wants two frets.
func TestColumnOfAFan(t *testing.T) {
	edges := []string{"neck edge-bass - offset 0 -18 -", "neck edge-bass - offset 500 -28 -", "neck edge-treble - offset 0 22 -", "neck edge-treble - offset 500 32 -"}
	share := func(n float64) float64 { return 1 - math.Exp2(-n/12) }
	type read struct {
		fret     int
		x, y     float64
		straight float64
	}
	// The middle runs at 2, the half width is 20 + 0.02 x.
	reads := []read{{1, 50, -16.9, 0}, {12, 390, -10, 0}, {1, 50, 20, 0}, {12, 390, 25, 0}, {5, 200, 6, 0}, {5, 200, 7, 0}, {3, 100, 2, 0}}
	rows := slices.Clone(edges)
	for _, r := range reads {
		rows = append(rows, fmt.Sprintf("neck fret %d point %v %v -", r.fret, r.x, r.y))
	}
	rows = append(rows, "neck fret 9 station 310 - -") // nobody knows where
	for _, straight := range []float64{0, share(7)} {
		k := kit(t, rows...)
		shift := 15 * straight // of the straightedge
		for i := range k.Readings {
			k.Readings[i].Offset += shift
		}
		k.Readings[len(k.Readings)-1].Offset = 0
		a := put(t, k)
		column, enough := a.fanColumn(straight)
		if !enough {
			t.Fatal("two frets on each side are not enough")
		}
		for i, r := range a.Source {
			if r == nil || r.Feature != measure.Fret {
				if column[i] != 0 {
					t.Errorf("row %d, of no fret, has %v", i, column[i])
				}
				continue
			}
			// Square to the middle, which runs level; edges lean to it by 0.02 each way, which a distance to both has alike.
			across := (r.Offset - 2 - shift) / (20 + 0.02*r.Station)
			want := -across / 2 * (share(float64(r.Mark.Number)) - straight)
			if math.Abs(across) < 0.2 || !r.HasOffset {
				want = 0
			}
			about(t, fmt.Sprintf("fret %d at %v", r.Mark.Number, r.Offset), column[i], want, 5e-5) // the frets turn the edges a little
		}
	}
	for what, c := range map[string]struct {
		frets  []string
		enough bool
	}{
		"two on each side":    {[]string{"neck fret 1 point 50 -15 -", "neck fret 12 point 390 -15 -", "neck fret 1 point 50 19 -", "neck nut - point 5 19 -"}, true},
		"one on the treble":   {[]string{"neck fret 1 point 50 -15 -", "neck fret 12 point 390 -15 -", "neck fret 1 point 50 19 -", "neck fret 1 point 50.1 21 -"}, false},
		"one on the bass":     {[]string{"neck fret 1 point 50 -15 -", "neck fret 12 point 390 19 -", "neck fret 1 point 50 19 -"}, false},
		"without their place": {[]string{"neck fret 1 station 50 - -", "neck fret 12 station 390 - -", "neck fret 1 point 50 19 -", "neck fret 12 point 390 19 -"}, false},
	} {
		if _, enough := put(t, kit(t, append(slices.Clone(edges), c.frets...)...)).fanColumn(0); enough != c.enough {
			t.Errorf("%s: enough %v", what, enough)
		}
	}
	byEdges := kit(t, "edge-bass fret 1 station 50 0 -", "edge-bass fret 12 station 390 0 -", "edge-treble fret 1 station 60 0 -", "edge-treble fret 12 station 400 0 -")
	b := put(t, byEdges)
	column, enough := b.fanColumn(0)
	for i, r := range b.Source {
		if r == nil {
			continue
		}
		want := share(float64(r.Mark.Number)) / 2
		if r.Datum == measure.DatumEdgeTreble {
			want = -want
		}
		about(t, "along an edge", column[i], want, 1e-12)
	}
	if !enough {
		t.Error("two frets along each edge are not enough")
	}
}

// A fan is seen from 6 mm on, and from six standard uncertainties on: along two edges, of which nobody knows where one has its zero against the
// other's, a scale is the distance of two frets over the difference of their shares, and that of each is a gauge's and a fret's of 0.05 mm.
// Of one straightedge a fan about any of five frets is as large as it is built.
func TestAFanThatIsSeen(t *testing.T) {
	share := func(n int) float64 { return 1 - math.Exp2(-float64(n)/12) }
	byEdges := func(fan, sigma float64) float64 {
		k := kit(t, fmt.Sprintf("edge-bass fret 1 station %v 0 -", 10+share(1)*(760+fan/2)), fmt.Sprintf("edge-bass fret 12 station %v 0 -", 10+share(12)*(760+fan/2)),
			fmt.Sprintf("edge-treble fret 1 station %v 0 -", 20+share(1)*(760-fan/2)), fmt.Sprintf("edge-treble fret 12 station %v 0 -", 20+share(12)*(760-fan/2)))
		for i := range k.Readings {
			k.Readings[i].StationGauge = &measure.Gauge{ID: "plain", Repeatability: sigma}
		}
		return put(t, k).fanSeen()
	}
	const sigma = 0.5
	u := 2 * math.Hypot(sigma, 0.05) / (share(12) - share(1))
	for _, c := range []struct{ fan, sigma, want float64 }{
		{5.95, 0.001, 0}, {6.05, 0.001, 6.05}, {-5.95, 0.001, 0}, {-6.05, 0.001, -6.05}, {5.95 * u, sigma, 0}, {6.05 * u, sigma, 6.05 * u}, {-6.05 * u, sigma, -6.05 * u},
	} {
		about(t, fmt.Sprintf("a fan of %.2f", c.fan), byEdges(c.fan, c.sigma), c.want, 1e-6)
	}
	for _, straight := range []int{0, 5, 7, 9, 12} {
		rows := []string{"neck edge-bass - offset 0 -20 -", "neck edge-bass - offset 500 -20 -", "neck edge-treble - offset 0 20 -", "neck edge-treble - offset 500 20 -"}
		for _, n := range []int{1, 3, 7, 12, 17} {
			for _, y := range []float64{-18, 18} {
				rows = append(rows, fmt.Sprintf("neck fret %d point %v %v -", n, 760*share(n)-y/20*15*(share(n)-share(straight)), y))
			}
		}
		about(t, fmt.Sprintf("a fan of 30 mm about fret %d", straight), put(t, kit(t, rows...)).fanSeen(), 30, 0.02)
	}
}

// Distances between holes of two patterns, of which each is half of what the two pairs differ by: with the turn free there is no error across, so
// that it is as sure as one along it. A hole and a ferrule have an error either way: beyond what chance makes of none that is again the
// gauges' along it, and below Rayleigh's, a quarter more; by 1.5 % that of the cube of a normal number for chi-square. Half-way from one
// to the other is one and an eighth.
func TestDistancesBetweenHoles(t *testing.T) {
	const sigma = 0.05
	plain := &measure.Gauge{ID: "plain", Repeatability: sigma}
	judged := func(id ID, rows ...string) *Characteristic {
		k := kit(t, rows...)
		for i := range k.Readings {
			k.Readings[i].Gauge, k.Readings[i].StationGauge = plain, plain
		}
		return Check(k, Options{}).Find(id)
	}
	rayleigh := math.Sqrt(-2 * math.Log(0.05))
	for _, c := range []struct{ z, open float64 }{{0.01, 1}, {1, 1}, {2.3, 1}, {1.125 * rayleigh, 0.5}, {3.2, 0}, {20, 0}} {
		// Two holes 64 apart and 64 + 2 z sigma: each is z sigma out along their line. Of four numbers along the line half of the difference has the
		// deviation of one.
		two := judged(BridgeHoleMismatch, "bridge plate-screw 1 point 30 32 -", "bridge plate-screw 2 point 30 -32 -",
			fmt.Sprintf("body bridge-screw 1 point 890 %.9f -", 32+c.z*sigma), fmt.Sprintf("body bridge-screw 2 point 890 %.9f -", -32-c.z*sigma))
		one := judged(FerruleMismatch, "body string-hole 1 point 890 20 -", fmt.Sprintf("body ferrule 1 point 890 %.9f -", 20+math.Sqrt2*c.z*sigma))
		about(t, fmt.Sprintf("of two %v deviations", c.z), two.Value, c.z*sigma, 1e-6)
		about(t, fmt.Sprintf("what it is sure to, at %v", c.z), two.StdUncertainty, sigma*factorFor(2, 0)/1.96, 0.015*sigma)
		about(t, fmt.Sprintf("of one %v deviations", c.z), one.Value, math.Sqrt2*c.z*sigma, 1e-6)
		about(t, fmt.Sprintf("what it is sure to, at %v", c.z), one.StdUncertainty, math.Sqrt2*sigma*(1+c.open*(rayleigh/1.96-1)), 0.02*sigma)
	}
}

// What the reader is told before trusting a report.
func TestWarnings(t *testing.T) {
	pasted := kit(t, "neck heel-bass - offset 480 -30 -", "neck heel-bass - offset 480 -30 -", "neck heel-bass - offset 540 -30 -")
	row := kit(t, "body pocket-corner - point 1 2 -", "body pocket-corner - point 2 4 -", "body pocket-corner - point 3 6 -")
	var scattered []string
	for i := range 8 {
		scattered = append(scattered, fmt.Sprintf("neck heel-bass - offset 480 %v -", []float64{-30.12, -29.88}[i%2]+0.001*float64(i)))
	}
	wild := kit(t, scattered...)
	along := kit(t, "neck fret 1 station 50 - -", "neck fret 12 station 390 - -")
	seven := &measure.Kit{Info: measure.Info{Strings: 7}, Readings: kit(t, "neck heel-bass - offset 480 -30 -").Readings}
	four := &measure.Kit{Info: measure.Info{Strings: 4}, Readings: seven.Readings}
	spec := measure.StringSpec{Core: 0.9, UnitWeight: 21, Pitch: 41.2}
	all := measure.Strings{1: 1, 2: 1, 3: 1, 4: 1, 5: 1, 6: 1}
	for _, c := range []struct {
		what string
		k    *measure.Kit
		o    Options
		want []WarningKind
	}{
		{"pasted", pasted, Options{}, []WarningKind{PastedAgain}}, {"no circle", row, Options{}, []WarningKind{NoCircle}}, {"scatter", wild, Options{}, []WarningKind{ScaledUp}},
		{"without edges", along, Options{}, []WarningKind{AlongNeck}}, {"seven strings", seven, Options{}, []WarningKind{NoCompensation}}, {"four", four, Options{}, nil},
		{"all but one given", seven, Options{Compensation: all}, []WarningKind{NoCompensation}}, {"and that described", seven, Options{Compensation: all, Specs: map[int]measure.StringSpec{7: spec}}, nil},
	} {
		var got []WarningKind
		for _, w := range Check(c.k, c.o).Warnings {
			got = append(got, w.Kind)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: warnings %v", c.what, got)
		}
	}
}

// Which number of which reading is asked for.
func TestWhichReadingTells(t *testing.T) {
	is := func(number measure.Kind) asked {
		return asked{frame: measure.DatumBody, feature: measure.NeckScrew, mark: measure.Mark{Number: 1}, number: number}
	}
	near := asked{frame: measure.DatumBody, feature: measure.PocketBass, number: measure.Gap, near: true, station: 500}
	where := asked{frame: measure.DatumNeck, feature: measure.HeelBass, number: measure.Station, near: true, station: 500}
	for _, c := range []struct {
		q    asked
		row  string
		told bool
	}{
		{is(measure.Station), "body neck-screw 1 point 500 20 -", true}, {is(measure.Station), "body neck-screw 1 station 500 - -", true}, {is(measure.Station), "body neck-screw 1 offset - 20 -", false},
		{is(measure.Offset), "body neck-screw 1 point 500 20 -", true}, {is(measure.Offset), "body neck-screw 1 station 500 - -", false}, {is(measure.Offset), "body neck-screw 1 diameter - 20 5", false},
		{is(measure.Station), "body neck-screw 1 diameter 500 - 5", false}, {is(measure.Diameter), "body neck-screw 1 diameter - - 5", true}, {is(measure.Diameter), "body neck-screw 1 point 500 20 -", false},
		{is(measure.Station), "body neck-screw 2 point 500 20 -", false}, {is(measure.Station), "neck neck-screw 1 point 500 20 -", false}, {is(measure.Station), "body bridge-screw 1 point 500 20 -", false},
		{near, "body pocket-bass - gap 500 - 0.1", true}, {near, "body pocket-bass - gap 505 - 0.1", true}, {near, "body pocket-bass - gap 505.1 - 0.1", false}, {near, "body pocket-bass - gap 494.9 - 0.1", false},
		{near, "body pocket-bass - offset 500 -30 -", false}, {where, "neck heel-bass - offset 503 -30 -", true}, {where, "neck heel-bass - offset 506 -30 -", false},
	} {
		if got := c.q.toldBy(&kit(t, c.row).Readings[0]); got != c.told {
			t.Errorf("%+v by %q: %v", c.q, c.row, got)
		}
	}
	named := is(measure.Radius)
	named.mark.Name = "bass"
	if named.toldBy(&kit(t, "body neck-screw 1 radius - - 5").Readings[0]) {
		t.Error("a name is not asked for")
	}
	k := &alike{assembly: put(t, kit(t, "body neck-screw 1 point 500 20 -", "body neck-screw 1 diameter - - 5", "body neck-screw 2 point 500 20 -", "body neck-screw 2 point 500 21 -"))}
	if r := k.only(is(measure.Station)); r == nil || r.Place.Line != 2 {
		t.Errorf("a point's station is told by %+v", r)
	}
	twice := is(measure.Station)
	if twice.mark.Number = 2; k.only(twice) != nil {
		t.Error("of two readings one is said to be the only")
	}
	// What people read at mouth and end of heel and pocket they read at about the same stations.
	for high, odd := range map[float64]bool{570: false, 590: true} {
		rows := []string{"neck heel-bass - offset 480 -31 -", "neck heel-bass - offset 540 -31 -", "neck heel-treble - offset 480 31 -", fmt.Sprintf("neck heel-treble - offset %v 31 -", high)}
		list := unlike(t, kit(t, rows...))
		if (len(list) == 1) != odd || odd && (list[0].Crooked || math.Abs(math.Abs(list[0].W)-(high-540)*math.Sqrt(0.5)/9) > 1e-6) {
			t.Errorf("at %v: %+v", high, list)
		}
		edges := kit(t, "neck edge-bass - offset 20 -20 -", "neck edge-bass - offset 300 -24 -", "neck edge-treble - offset 20 20 -", fmt.Sprintf("neck edge-treble - offset %v 24 -", high))
		if list := unlike(t, edges); len(list) != 0 {
			t.Errorf("edges up to %v: %+v", high, list)
		}
	}
}

// A loose neck or body says what it lacks to be seated: a side, its end, or readings that fall together.
func TestWhatALoosePartLacks(t *testing.T) {
	in := simulate.ShortScaleBass()
	all := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true})).Readings
	of := func(d []measure.Datum, less ...measure.Feature) *measure.Kit {
		return &measure.Kit{Name: "P", Readings: slices.DeleteFunc(slices.Clone(all), func(r measure.Reading) bool {
			return !slices.Contains(d, r.Datum) || slices.Contains(less, r.Feature)
		})}
	}
	neck, body := []measure.Datum{measure.DatumNeck}, []measure.Datum{measure.DatumBody, measure.DatumBridge}
	for _, c := range []struct {
		what string
		part *LoosePart
		want Missing
	}{
		{"a neck", NewLooseNeck(of(neck), nil), Missing{}}, {"a body", NewLooseBody(of(body), nil), Missing{}},
		{"no bass side", NewLooseNeck(of(neck, measure.HeelBass, measure.Heel), nil), Missing{Want: WantSide, Feature: measure.HeelBass, Datum: measure.DatumNeck}},
		{"no treble side", NewLooseNeck(of(neck, measure.HeelTreble, measure.Heel), nil), Missing{Want: WantSide, Feature: measure.HeelTreble, Datum: measure.DatumNeck}},
		{"no end", NewLooseNeck(of(neck, measure.HeelEnd), nil), Missing{Want: WantEnd, Feature: measure.HeelEnd, Datum: measure.DatumNeck}},
		{"no wall", NewLooseBody(of(body, measure.PocketTreble, measure.Pocket), nil), Missing{Want: WantSide, Feature: measure.PocketTreble, Datum: measure.DatumBody}},
		{"no pocket's end", NewLooseBody(of(body, measure.PocketEnd), nil), Missing{Want: WantEnd, Feature: measure.PocketEnd, Datum: measure.DatumBody}},
	} {
		if c.part.Missing != c.want {
			t.Errorf("%s lacks %+v", c.what, c.part.Missing)
		}
	}
	k := of(neck)
	at := slices.IndexFunc(k.Readings, func(r measure.Reading) bool { return r.Feature == measure.HeelEnd })
	k.Readings[at].Station += 500
	odd := []Nonsense{{Readings: []*measure.Reading{&k.Readings[at]}}}
	if p := NewLooseNeck(k, odd); p.Missing.Want != WantEnd { // one place is no end
		t.Errorf("without what cannot be so it lacks %+v", p.Missing)
	}
	if n := NewLooseNeck(of(neck), nil); n.Strings != 4 {
		t.Errorf("%d strings", n.Strings)
	}
}

// The assembled kit as numbers: what simulate built, from exact readings, each part the way it says.
func TestGeometryOfAnExactKit(t *testing.T) {
	in := simulate.ShortScaleBass()
	for _, p := range plans {
		r := Check(in.Kit("K", p.read(in, nil, simulate.Setup{Exact: true, Heights: true})), Options{Model: true})
		g := r.Model.Geometry
		about(t, p.name+": scale", g.Scale, in.Scale, 1e-3)
		if g.Strings != 4 || g.LastFret == 0 || g.Centre == nil || g.Edges[0] == nil || g.Edges[1] == nil {
			t.Fatalf("%s: %+v", p.name, g)
		}
		// The bridge lies beside the centre line by the centre-line error, and heads off it by the skew.
		about(t, p.name+": error", g.Centre.NX*g.Bridge.X+g.Centre.NY*g.Bridge.Y-g.Centre.D, r.Find(CentreLineError).Value, 1e-9)
		heading := math.Atan2(-g.Centre.NX, g.Centre.NY) * 180 / math.Pi
		about(t, p.name+": skew", g.Bridge.Heading-heading, r.Find(BridgeSkew).Value, 1e-9)
		// It is the nut and the scale from the zero of the frame, but for compensation and the place of the saddles.
		if along := g.Centre.NY*g.Bridge.X - g.Centre.NX*g.Bridge.Y; along < g.Nut+g.Scale-10 || along > g.Nut+g.Scale+15 {
			t.Errorf("%s: the bridge lies %.2f along, the octave's double %.2f", p.name, along, g.Nut+g.Scale)
		}
		if (g.Heel[0] != nil) != (p.way == LooseParts) || (g.HeelEnd != nil) != (p.way == LooseParts) || p.way == LooseParts && g.PocketEnd == nil || p.way == EdgeCheck && g.PocketEnd != nil {
			t.Errorf("%s: pocket %v, heel %v, ends %v %v", p.name, g.Pocket, g.Heel, g.PocketEnd, g.HeelEnd)
		}
		if p.way == LooseParts {
			if c := g.Corners; c[0] <= 0 || c[1] <= 0 {
				t.Errorf("corners %v", c)
			}
			for i, gaps := range []ID{PocketGapMouth, PocketGapEnd} {
				about(t, "gap", g.Play.Bass[i]+g.Play.Treble[i], r.Find(gaps).Value, 1e-9)
				about(t, "what it is sure to", g.Play.Std[i], unwidened(r.Find(gaps)), 1e-9)
			}
		}
		seen := map[string]bool{}
		for _, place := range g.Places {
			name := fmt.Sprint(place.Feature, place.Mark)
			if seen[name] {
				t.Errorf("%s: %s is there twice", p.name, name)
			}
			seen[name] = true
		}
		if len(seen) == 0 {
			t.Errorf("%s: no places", p.name)
		}
	}
}

// The two places farthest from each other, whichever they are.
func TestOutermostPlaces(t *testing.T) {
	places := []autodiff.Vector{fixed(0, 1), fixed(5, 0), fixed(1, 30), fixed(3, -31), fixed(2, 2)}
	for shift := range places {
		list := slices.Concat(places[shift:], places[:shift])
		i, j := outermost(list)
		if got := math.Abs(list[i].Y.Value - list[j].Y.Value); got != 61 {
			t.Errorf("%d and %d are %v apart", i, j, got)
		}
	}
	if i, j := outermost(places[:2]); i+j != 1 {
		t.Errorf("of two %d and %d", i, j)
	}
	var m Marks
	for _, mark := range []int{127, 64, 1, 63, 65, 128, 0, -3} {
		m.add(mark)
	}
	if got := m.List(); !slices.Equal(got, []int{1, 63, 64, 65, 127}) {
		t.Errorf("marks %v", got)
	}
}
