package survey

import (
	"math"
	"testing"

	"neckfit/measure"
)

// Edges and frets leave their ideal form by 0.05 mm, walls by 0.03, planes by 0.05; what two sides do by one reading adds up.
func TestFormsOfPlaces(t *testing.T) {
	for _, c := range []struct {
		r    measure.Reading
		want float64
	}{
		{read(measure.DatumNeck, measure.EdgeBass, measure.Offset, 100, -20, 0), 0.05}, {read(measure.DatumNeck, measure.EdgeTreble, measure.Offset, 100, 20, 0), 0.05},
		{read(measure.DatumNeck, measure.HeelTreble, measure.Offset, 500, 30, 0), 0.03}, {read(measure.DatumNeck, measure.HeelEnd, measure.Station, 540, 0, 0), 0.03},
		{read(measure.DatumBody, measure.PocketEnd, measure.Station, 540, 0, 0), 0.03}, {marked(3, read(measure.DatumNeck, measure.Fret, measure.Station, 100, 0, 0)), 0.05},
		{read(measure.DatumNeck, measure.Fingerboard, measure.Width, 100, 0, 42), 0.05 * math.Sqrt2}, {read(measure.DatumNeck, measure.Heel, measure.Width, 100, 0, 62), 0.03 * math.Sqrt2},
		{read(measure.DatumBody, measure.PocketTreble, measure.Gap, 500, 0, 0.1), 0.03 * math.Sqrt2},
		{read(measure.DatumBody, measure.PocketFloor, measure.Height, 500, 0, -16), 0.05}, {marked(2, read(measure.DatumNeck, measure.FretTop, measure.Height, 100, 0, 15)), 0.05},
	} {
		s := surveyed(measure.Info{}, c.r)
		row := s.Problem.Rows[0]
		if row.Place != 1 || len(s.Problem.Places) != 1 {
			t.Fatalf("%s: place %d of %d", c.r.Feature, row.Place, len(s.Problem.Places))
		}
		is(t, "the form of "+c.r.Feature.String(), s.Problem.Places[0], c.want)
	}
}

// A straightedge seats off an edge by what edges leave their line and by how it is laid down, 0.05 mm each; kits with one of their own
// have its.
func TestWhatAStraightedgeSeatsOff(t *testing.T) {
	for _, c := range []struct {
		gauge *measure.Gauge
		want  float64
	}{{nil, math.Hypot(0.05, 0.05)}, {&measure.Gauge{ID: measure.Straightedge, Repeatability: 0.12}, 0.13}} {
		kit := &measure.Kit{Straightedge: c.gauge, Readings: []measure.Reading{
			marked(1, read(measure.DatumEdgeBass, measure.BridgeScrew, measure.Offset, 700, 12, 0)), marked(2, read(measure.DatumEdgeBass, measure.BridgeScrew, measure.Offset, 650, 30, 0)),
			marked(3, read(measure.DatumEdgeTreble, measure.BridgeScrew, measure.Offset, 700, 12, 0))}}
		s := new(Survey)
		s.Assemble(kit)
		if len(s.Gauges) != 4 { // two places on each of the two straightedges
			t.Fatalf("%d common errors", len(s.Gauges))
		}
		for i, g := range s.Gauges {
			is(t, "how far it seats off", s.Problem.Causes[i], c.want)
			if g.Kind != "seat" || g.ID != measure.Straightedge {
				t.Errorf("its gauge is %+v", g)
			}
		}
		for i, row := range s.Problem.Rows {
			if s.Source[i] == nil || len(row.Shifts) == 0 {
				continue
			}
			first := 0
			if s.Source[i].Datum == measure.DatumEdgeTreble {
				first = 2
			}
			if len(row.Shifts) != 2 || row.Shifts[0].Cause != first || row.Shifts[1].Cause != first+1 {
				t.Errorf("%v is shifted by %v", s.Source[i].Mark, row.Shifts)
			}
		}
	}
}

// Where frets do not tell: the bridge is at the mean of what was read of it from that edge with a station, and frets that run the wrong
// way, or were read from the other edge, tell nothing.
func TestSeatsWithoutFrets(t *testing.T) {
	fret := func(d measure.Datum, n int, station float64) measure.Reading {
		return marked(n, read(d, measure.Fret, measure.Station, station, 0, 0))
	}
	screw := func(n int, station float64) measure.Reading {
		return marked(n, read(measure.DatumEdgeBass, measure.BridgeScrew, measure.Offset, station, 10, 0))
	}
	saddle := marked(1, read(measure.DatumEdgeBass, measure.Saddle, measure.Point, 660, 10, 0))
	bare := screw(4, 0)
	bare.HasStation = false
	hole := marked(1, read(measure.DatumEdgeBass, measure.NeckScrew, measure.Offset, 500, 10, 0))
	for what, list := range map[string][]measure.Reading{
		"two screws":               {screw(1, 690), screw(2, 710)},
		"and one without station":  {screw(1, 690), screw(2, 710), bare},
		"and another part's hole":  {screw(1, 690), screw(2, 710), hole},
		"a saddle too":             {screw(1, 720), screw(2, 720), saddle},
		"frets of the other edge":  {screw(1, 700), fret(measure.DatumEdgeTreble, 1, 50), fret(measure.DatumEdgeTreble, 12, 390)},
		"frets the wrong way":      {screw(1, 700), fret(measure.DatumEdgeBass, 1, 390), fret(measure.DatumEdgeBass, 12, 50)},
		"frets at one place":       {screw(1, 700), fret(measure.DatumEdgeBass, 1, 390), fret(measure.DatumEdgeBass, 12, 390)},
		"a fret, read twice there": {screw(1, 700), fret(measure.DatumEdgeBass, 12, 390), fret(measure.DatumEdgeBass, 12, 391)},
	} {
		s := surveyed(measure.Info{}, list...)
		is(t, what+": the nut", s.seats[0].nut, 700-680)
		is(t, what+": the last fret", s.seats[0].last, 700-200)
	}
	s := surveyed(measure.Info{}, fret(measure.DatumEdgeBass, 12, 10+700*fretPart(12)), marked(0, read(measure.DatumEdgeBass, measure.Nut, measure.Station, 10, 0, 0)))
	is(t, "a nut that was read", s.seats[0].nut, 10)
	is(t, "the 21st fret from there", s.seats[0].last, 10+700*fretPart(21))
	if neither := surveyed(measure.Info{}, read(measure.DatumNeck, measure.HeelBass, measure.Offset, 500, -30, 0)); neither.seats != [2]touch{} {
		t.Error("straightedges touch that were not used")
	}
}

// What a step hides is shared by all readings of one place that show the same, and by no others: here of gaps and widths, whose
// outermost places have a deviation of their own, of corners, and inward from the treble edge.
func TestStepsOfPlaces(t *testing.T) {
	coarse := &measure.Gauge{ID: "coarse", Resolution: 0.5, Repeatability: 0.1}
	other := &measure.Gauge{ID: "other", Resolution: 0.5, Repeatability: 0.1}
	at := func(f measure.Feature, k measure.Kind, station, size float64) measure.Reading {
		r := read(measure.DatumBody, f, k, station, 10, size)
		r.Gauge, r.StationGauge = coarse, coarse
		return r
	}
	gap := func(station float64) measure.Reading { return at(measure.PocketBass, measure.Gap, station, 0.5) }
	width := func(station float64) measure.Reading { return at(measure.Pocket, measure.Width, station, 62) }
	corner := func(name string) measure.Reading {
		r := at(measure.PocketCorner, measure.Radius, 0, 6)
		r.Mark.Name = name
		return r
	}
	inward := marked(1, read(measure.DatumEdgeTreble, measure.BridgeScrew, measure.Offset, 700, 12, 0))
	inward.Gauge, inward.HasStation = coarse, false
	level := marked(1, at(measure.NeckScrew, measure.Point, 10, 0)) // as far along as across
	placed := gap(530)
	placed.StationGauge = other
	for what, c := range map[string]struct {
		list []measure.Reading
		want []int // how many rows share each step
	}{
		"three gaps":                      {[]measure.Reading{gap(500), gap(530), gap(560)}, nil},
		"each twice":                      {[]measure.Reading{gap(500), gap(530), gap(560), gap(500), gap(530), gap(560)}, []int{2, 2, 2}},
		"the middle three times":          {[]measure.Reading{gap(500), gap(530), gap(530), gap(560), gap(530)}, []int{3}},
		"near by":                         {[]measure.Reading{gap(500), gap(530), gap(532.9), gap(560)}, []int{2}},
		"placed by another gauge":         {[]measure.Reading{gap(500), gap(530), placed, gap(560)}, nil},
		"two widths":                      {[]measure.Reading{width(500), width(560)}, nil},
		"each width twice":                {[]measure.Reading{width(500), width(560), width(500), width(560)}, []int{2, 2}},
		"two corners":                     {[]measure.Reading{corner("bass"), corner("treble")}, nil},
		"one corner twice":                {[]measure.Reading{corner("bass"), corner("treble"), corner("bass")}, []int{2}},
		"along and across alike":          {[]measure.Reading{level}, nil},
		"inward from the treble edge":     {[]measure.Reading{inward, inward}, []int{2}},
		"a gap and a width, the same far": {[]measure.Reading{gap(500), at(measure.Pocket, measure.Width, 500, 0.5)}, nil},
	} {
		for i := range c.list {
			c.list[i].Trial = i + 1
		}
		s := surveyed(measure.Info{}, c.list...)
		if len(s.Problem.Steps) != len(c.want) {
			t.Errorf("%s: steps %v", what, s.Problem.Steps)
			continue
		}
		count := make([]int, len(c.want)+1)
		for i, row := range s.Problem.Rows {
			if s.Source[i] != nil {
				count[row.Step]++
			}
			if row.Step > 0 {
				step, own := stepOf(coarse)
				is(t, what+": a row's own", row.Sigma, own)
				is(t, what+": what the step hides", s.Problem.Steps[row.Step-1], step)
			}
		}
		for k, want := range c.want {
			if count[k+1] != want {
				t.Errorf("%s: %v rows share the steps, want %v", what, count[1:], c.want)
			}
		}
	}
}

// A deviation at an outermost place is held once, however often the place was read; the places between are places.
func TestFormsOfGapsReadTwice(t *testing.T) {
	var list []measure.Reading
	for _, x := range []float64{500, 530, 560, 501, 531, 559} {
		list = append(list, read(measure.DatumBody, measure.PocketBass, measure.Gap, x, 0, 0.1))
	}
	s := surveyed(measure.Info{}, list...)
	on := s.Sides.Get(GapBeside(measure.DatumBody, measure.PocketBass))
	if len(s.Forms) != 2 || len(s.Problem.Places) != 1 {
		t.Fatalf("%d forms, %d places", len(s.Forms), len(s.Problem.Places))
	}
	for k, f := range s.Forms {
		if row := s.Problem.Rows[f.Row]; len(row.Terms) != 1 || row.Terms[0].Unknown != on.Local[k] || row.Terms[0].Coef != 1 || s.Source[f.Row] != nil || f.Reading.Station != []float64{500, 559}[k] {
			t.Errorf("form %d is held by %+v of %v", k, row, f.Reading.Station)
		}
	}
	for k, x := range []float64{500, 559} { // the first of each that was met
		if u, ok := on.At(x); !ok || u != on.Local[k] || s.Problem.Start[u] != 0 {
			t.Errorf("the deviation at %v is %d", x, u)
		}
	}
	// None is asked where there is one place, of a side itself, or of a fingerboard, whose edges' form is no fault of its fit.
	board := surveyed(measure.Info{}, read(measure.DatumNeck, measure.Fingerboard, measure.Width, 0, 0, 42), read(measure.DatumNeck, measure.Fingerboard, measure.Width, 400, 0, 52))
	lone := surveyed(measure.Info{}, list[0], list[3])
	for what, l := range map[string]Local{
		"fingerboard": board.Widths.At(0).Local, "an edge": board.Sides.At(0).Local, "one place": lone.Sides.At(0).Local,
	} {
		if l != (Local{-1, -1}) {
			t.Errorf("%s has deviations %v", what, l)
		}
	}
}

// What is made in one go leaves its form alike: both edges with their widths, a heel, a pocket, the frets, their tops, the floor with the top;
// no two of these. A nut, set by hand, and holes, drilled one by one, are by themselves, and so is what has no form.
func TestGroupsOfPlaces(t *testing.T) {
	const neck, body = measure.DatumNeck, measure.DatumBody
	made := [][]measure.Reading{
		{read(neck, measure.EdgeBass, measure.Offset, 100, -20, 0), read(neck, measure.EdgeTreble, measure.Offset, 100, 20, 0), read(neck, measure.Fingerboard, measure.Width, 100, 0, 42)},
		{read(neck, measure.HeelBass, measure.Offset, 500, -30, 0), read(neck, measure.HeelTreble, measure.Offset, 500, 30, 0), read(neck, measure.HeelEnd, measure.Station, 540, 0, 0), read(neck, measure.Heel, measure.Width, 500, 0, 60)},
		{read(body, measure.PocketBass, measure.Offset, 500, -30, 0), read(body, measure.PocketTreble, measure.Gap, 500, 0, 0.1), read(body, measure.PocketEnd, measure.Station, 540, 0, 0), read(body, measure.Pocket, measure.Width, 500, 0, 60)},
		{marked(3, read(neck, measure.Fret, measure.Station, 100, 0, 0)), read(neck, measure.Nut, measure.Station, 5, 0, 0)}, {marked(2, read(neck, measure.FretTop, measure.Height, 100, 0, 15))},
		{read(body, measure.PocketFloor, measure.Height, 500, 0, -16), read(body, measure.Top, measure.Height, 500, 0, 0)},
	}
	seen := map[int]bool{0: true}
	for _, list := range made {
		group := surveyed(measure.Info{}, list[0]).Problem.Rows[0].Group
		if seen[group] {
			t.Errorf("%s is of group %d with what is made otherwise", list[0].Feature, group)
		}
		seen[group] = true
		for _, r := range list {
			if got := surveyed(measure.Info{}, r).Problem.Rows[0].Group; got != group {
				t.Errorf("%s is of group %d, %s of %d", r.Feature, got, list[0].Feature, group)
			}
		}
	}
	var alone, gaps []measure.Reading
	for n := range 5 {
		f := measure.Fret
		if n == 0 {
			f = measure.Nut
		}
		alone = append(alone, marked(3*n, read(neck, f, measure.Station, 762*fretPart(3*float64(n)), 0, 0)))
	}
	alone = append(alone, marked(1, read(body, measure.BridgeScrew, measure.Point, 700, 20, 0)))
	for _, x := range []float64{500, 560} {
		gaps = append(gaps, read(body, measure.PocketBass, measure.Gap, x, 0, 0.1))
	}
	s := surveyed(measure.Info{}, alone...)
	if len(s.Forms) != 3 {
		t.Fatalf("%d forms", len(s.Forms))
	}
	for _, f := range s.Forms {
		if g := s.Problem.Rows[f.Row].Group; g != 0 {
			t.Errorf("%s is held with group %d", f.Reading.Feature, g)
		}
	}
	for i, row := range s.Problem.Rows {
		if r := s.Source[i]; r != nil && r.Feature == measure.BridgeScrew && row.Group != 0 {
			t.Errorf("a hole is of group %d", row.Group)
		}
	}
	s = surveyed(measure.Info{}, gaps...)
	wall := surveyed(measure.Info{}, made[2][0]).Problem.Rows[0].Group
	for _, f := range s.Forms {
		if g := s.Problem.Rows[f.Row].Group; g != wall {
			t.Errorf("a gap's end is held with group %d, a wall is of %d", g, wall)
		}
	}
	for i, row := range s.Problem.Rows {
		if s.Source[i] != nil && row.Group != 0 {
			t.Errorf("a gap with a deviation of its own is of group %d besides", row.Group)
		}
	}
}

// Two corners of a part, and their readings, are in the order of their names, whatever was read.
func TestOrderOfCorners(t *testing.T) {
	corner := func(name string, radius float64) measure.Reading {
		r := read(measure.DatumBody, measure.PocketCorner, measure.Radius, 0, 0, radius)
		r.Mark.Name = name
		return r
	}
	s := surveyed(measure.Info{}, corner("treble", 4), corner("bass", 6), corner("treble", 3), corner("bass", 5))
	for i, want := range []float64{5, 6, 3, 4} {
		is(t, "a radius in its place", s.Problem.Rows[i].Value, want)
	}
}
