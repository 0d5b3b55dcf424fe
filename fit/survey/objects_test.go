package survey

import (
	"math"
	"slices"
	"testing"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// surveyed is the survey of readings, with what kits.csv says, not solved.
func surveyed(info measure.Info, list ...measure.Reading) *Survey {
	s := new(Survey)
	s.Assemble(&measure.Kit{Name: "K", Info: info, Readings: list})
	return s
}

// marked is a reading of a numbered mark.
func marked(n int, r measure.Reading) measure.Reading {
	r.Mark.Number = n
	return r
}

// meets holds every row with a source against the unknowns of a true geometry, which its readings were made from: what the
// equation gives is what was read. Unknowns that are not named are as they start.
func meets(t *testing.T, what string, s *Survey, truth map[int]float64) {
	t.Helper()
	x := append([]float64(nil), s.Problem.Start...)
	for u, v := range truth {
		x[u] = v
	}
	rows := 0
	for i, row := range s.Problem.Rows {
		if s.Source[i] == nil {
			continue
		}
		rows++
		sum := 0.0
		for _, term := range row.Terms {
			sum += term.Coef * x[term.Unknown]
		}
		if row.Model != nil {
			sum += row.Model.Eval(x, make([]float64, len(x)))
		}
		if !(math.Abs(sum-row.Value) <= 1e-9) {
			t.Errorf("%s: row %d, %s %s at %v, gives %.9f, read %.9f", what, i, s.Source[i].Feature, s.Source[i].Kind, s.Source[i].Station, sum, row.Value)
		}
	}
	if rows == 0 {
		t.Errorf("%s: no rows", what)
	}
}

// is holds a number against one by hand.
func is(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*max(1, math.Abs(want))) {
		t.Errorf("%s is %.10g, by hand %.10g", what, got, want)
	}
}

const (
	ownVariance = 0.05*0.05 + 0.01*0.01/12 // of reader
	taper       = 0.02
)

// A side along the stations is offset over station, an end station over offset; a place that is out moves what is read by the
// slope. The line starts as its readings have it, about their middle.
func TestEquationsOfALine(t *testing.T) {
	var along, across []measure.Reading
	for _, x := range []float64{480, 520, 530} {
		along = append(along, read(measure.DatumNeck, measure.HeelTreble, measure.Offset, x, 31-taper*(x-500), 0))
	}
	for _, y := range []float64{-20, 25} {
		across = append(across, read(measure.DatumNeck, measure.HeelEnd, measure.Station, 545+0.1*y, y, 0))
	}
	for _, c := range []struct {
		feature    measure.Feature
		list       []measure.Reading
		at, y, tan float64 // of the middle
	}{
		{measure.HeelTreble, along, 510, 30.8, -taper}, {measure.HeelEnd, across, 2.5, 545.25, 0.1},
	} {
		s := surveyed(measure.Info{}, c.list...)
		on := s.Sides.Get(SideAt(measure.DatumNeck, c.feature))
		is(t, "the middle", on.C, c.at)
		is(t, "the line there", s.Problem.Start[on.A], c.y)
		is(t, "its slope", s.Problem.Start[on.B], c.tan)
		is(t, "the line 100 mm on", s.startOf(on, c.at+100), c.y+100*c.tan)
		meets(t, c.feature.String(), s, nil)
		for _, row := range s.Problem.Rows {
			is(t, "a row's deviation", row.Sigma, math.Sqrt(ownVariance*(1+c.tan*c.tan)))
			if s.Problem.Places[row.Place-1] != 0.03 {
				t.Errorf("a wall's form is %v", s.Problem.Places[row.Place-1])
			}
		}
	}
	lone := surveyed(measure.Info{}, along[0])
	is(t, "a lone reading", lone.Problem.Start[lone.Sides.At(0).A], along[0].Offset)
	one := surveyed(measure.Info{}, along[0], along[0]) // one place tells no slope
	on := one.Sides.Get(SideAt(measure.DatumNeck, measure.HeelTreble))
	is(t, "a lone place's slope", one.Problem.Start[on.B], 0)
	if terms := one.Problem.Rows[0].Terms; len(terms) != 1 || terms[0] != (adjust.Term{Unknown: on.A, Coef: 1}) {
		t.Errorf("a lone place's row is %v", terms)
	}
}

// Beside a wall the gap is a line of its own with deviations at its outermost places, which a row each holds near nothing.
func TestEquationsOfAGap(t *testing.T) {
	var list []measure.Reading
	for _, x := range []float64{500, 530, 560} {
		list = append(list, read(measure.DatumBody, measure.PocketBass, measure.Gap, x, 0, 0.1+0.001*(x-500)))
	}
	s := surveyed(measure.Info{}, list...)
	on := s.Sides.Get(GapBeside(measure.DatumBody, measure.PocketBass))
	if s.Sides.Get(SideAt(measure.DatumBody, measure.PocketBass)) != nil || on == nil || len(s.Forms) != 2 {
		t.Fatalf("a gap is no gap: %v, %d forms", s.Sides.Keys(), len(s.Forms))
	}
	meets(t, "gap", s, nil)
	for i, x := range []float64{500, 530, 560} {
		u, ok := on.At(x)
		if want := []int{on.Local[0], -1, on.Local[1]}[i]; u != want || ok != (i != 1) {
			t.Errorf("at %v the deviation is unknown %d, %v", x, u, ok)
		}
	}
	meets(t, "gap with deviations", surveyed(measure.Info{}, // wider by 0.02 at 500, narrower by 0.03 at 560
		read(measure.DatumBody, measure.PocketBass, measure.Gap, 500, 0, 0.12), list[1], read(measure.DatumBody, measure.PocketBass, measure.Gap, 560, 0, 0.13)),
		map[int]float64{on.A: 0.13, on.B: 0.001, on.Local[0]: 0.02, on.Local[1]: -0.03})
	for _, f := range s.Forms {
		is(t, "the form of two walls", s.Problem.Rows[f.Row].Sigma, 0.03*math.Sqrt2)
	}
	for apart, locals := range map[float64]bool{3: false, 3.01: true} {
		on := surveyed(measure.Info{}, list[0], read(measure.DatumBody, measure.PocketBass, measure.Gap, 500+apart, 0, 0.1)).Sides.Get(GapBeside(measure.DatumBody, measure.PocketBass))
		if got := on.Local[0] >= 0; got != locals {
			t.Errorf("%v mm apart: two places %v", apart, got)
		}
	}
}

// A width is read square to the line that halves the two sides, there where that line has the station: by intersecting.
func TestEquationsOfAWidth(t *testing.T) {
	bass := func(x float64) float64 { return -30 + 0.015*(x-500) }
	treble := func(x float64) float64 { return 33 - 0.025*(x-500) }
	// The halving line's heading is the mean of the two; it goes through where they meet.
	meet := 500 + 63/0.04
	heading := math.Tan((math.Atan(0.015) + math.Atan(-0.025)) / 2)
	width := func(x float64) float64 {
		y := bass(meet) + heading*(x-meet)
		// From (x, y) along (-heading, 1) till the line y0 + m (x - 500): the way is (y0 + m (x-500) - y) / (1 + m heading).
		way := func(line func(float64) float64, m float64) float64 { return (line(x) - y) / (1 + m*heading) }
		return (way(treble, -0.025) - way(bass, 0.015)) * math.Hypot(1, heading)
	}
	var list []measure.Reading
	for _, x := range []float64{490, 550} {
		list = append(list, read(measure.DatumNeck, measure.HeelBass, measure.Offset, x, bass(x), 0), read(measure.DatumNeck, measure.HeelTreble, measure.Offset, x, treble(x), 0),
			read(measure.DatumNeck, measure.Heel, measure.Width, x, 0, width(x)))
	}
	s := surveyed(measure.Info{}, list...)
	meets(t, "width", s, nil)
	w := s.Widths.Get(SideAt(measure.DatumNeck, measure.Heel))
	is(t, "the steepness", w.steepness(), (width(550)-width(490))/60)
	// Without sides to go by they start symmetric, half of the width to each.
	s = surveyed(measure.Info{}, list[2], list[5])
	for f, sign := range map[measure.Feature]float64{measure.HeelBass: -1, measure.HeelTreble: 1} {
		on := s.Sides.Get(SideAt(measure.DatumNeck, f))
		is(t, "a side that was not read", s.startOf(on, 490), sign*width(490)/2)
		is(t, "and at its other end", s.startOf(on, 550), sign*width(550)/2)
	}
	// Of a bass side, from the treble one and the width.
	s = surveyed(measure.Info{}, list[1], list[2], list[4], list[5])
	is(t, "the bass side", s.startOf(s.Sides.Get(SideAt(measure.DatumNeck, measure.HeelBass)), 550), treble(550)-width(550))
}

// A hole's rims lie half a diameter before and behind its centre, along and across; its diameter takes part only where one
// of them, or itself, was read.
func TestEquationsOfAHole(t *testing.T) {
	const x, y, d = 120.0, -18.0, 5.2
	hole := func(k measure.Kind, station, offset, size float64) measure.Reading {
		return marked(2, read(measure.DatumBody, measure.NeckScrew, k, station, offset, size))
	}
	for _, c := range []struct {
		what                      string
		list                      []measure.Reading
		station, offset, diameter bool
		takesPart                 bool
	}{
		{"near rim along", []measure.Reading{hole(measure.StationNear, x-2.6, 0, 0)}, true, true, false, true},
		{"far rim along", []measure.Reading{hole(measure.StationFar, x+2.6, 0, 0)}, true, true, false, true},
		{"near rim across", []measure.Reading{hole(measure.OffsetNear, 0, y-2.6, 0)}, true, true, false, true},
		{"far rim across", []measure.Reading{hole(measure.OffsetFar, 0, y+2.6, 0)}, true, true, false, true},
		{"centre", []measure.Reading{hole(measure.Point, x, y, 0)}, true, true, false, false},
		{"diameter", []measure.Reading{hole(measure.Diameter, 0, 0, d)}, false, false, true, true},
	} {
		for i := range c.list {
			r := &c.list[i]
			switch r.Kind {
			case measure.StationNear, measure.StationFar:
				r.HasOffset, c.offset = false, false
			case measure.OffsetNear, measure.OffsetFar:
				r.HasStation, c.station = false, false
			case measure.Diameter:
				r.HasStation, r.HasOffset = false, false
			}
		}
		s := surveyed(measure.Info{}, c.list...)
		p := s.Point(measure.DatumBody, measure.NeckScrew, 2)
		if p.HasStation != c.station || p.HasOffset != c.offset || p.HasDiameter != c.diameter || (p.Diameter >= 0) != c.takesPart {
			t.Errorf("%s: %+v", c.what, p)
		}
		truth := map[int]float64{p.Station: x, p.Offset: y}
		if c.takesPart {
			truth[p.Diameter] = d
		}
		meets(t, c.what, s, truth)
	}
	// The distance of two holes, 3 mm along and 4 across; they start where they were read first.
	far := marked(1, read(measure.DatumBody, measure.NeckScrew, measure.Distance, 0, 0, 5))
	far.To.Number = 2
	far.HasStation, far.HasOffset = false, false
	s := surveyed(measure.Info{}, far, hole(measure.Point, x, y, 0), hole(measure.Point, x+0.2, y+0.1, 0), marked(1, read(measure.DatumBody, measure.NeckScrew, measure.Point, x+3, y-4, 0)))
	one, two := s.Point(measure.DatumBody, measure.NeckScrew, 1), s.Point(measure.DatumBody, measure.NeckScrew, 2)
	is(t, "the first station", s.Problem.Start[two.Station], x)
	is(t, "the first offset", s.Problem.Start[two.Offset], y)
	for i, row := range s.Problem.Rows {
		if r := s.Source[i]; r.Kind == measure.Distance {
			grad := make([]float64, len(s.Problem.Start))
			is(t, "the distance", row.Model.Eval(s.Problem.Start, grad), 5)
			is(t, "what it moves by with the one's station", grad[one.Station], 0.6)
			is(t, "what it moves by with the other's offset", grad[two.Offset], 0.8)
		}
	}
}

// From the straightedge along the treble edge a place is read along that edge, from a zero of its own, and inward from it.
func TestEquationsFromTheTrebleEdge(t *testing.T) {
	const x, y, d = 700.0, 20.0, 3.0 // in the frame of the bass edge
	const a, b = 44.0, 0.03          // the treble edge there, at station 0
	cos := 1 / math.Hypot(1, b)
	sin := b * cos
	along, inward := x*cos+(y-a)*sin, a*cos+x*sin-y*cos
	at := func(k measure.Kind, station, offset float64) measure.Reading {
		return marked(1, read(measure.DatumEdgeTreble, measure.BridgeScrew, k, station, offset, 0))
	}
	for _, c := range []struct {
		what string
		r    measure.Reading
	}{
		{"centre", at(measure.Point, along-7, inward)},
		{"near rim across", at(measure.OffsetNear, along-7, inward-d/2)}, {"far rim across", at(measure.OffsetFar, along-7, inward+d/2)},
		{"near rim along", at(measure.StationNear, along-7-d/2, inward)}, {"far rim along", at(measure.StationFar, along-7+d/2, inward)},
	} {
		r := c.r
		switch r.Kind {
		case measure.OffsetNear, measure.OffsetFar:
			r.HasStation = false
		case measure.StationNear, measure.StationFar:
			r.HasOffset = false
		}
		s := surveyed(measure.Info{}, r)
		edge, p := s.Sides.Get(SideAt(measure.DatumEdgeBass, measure.EdgeTreble)), s.Point(measure.DatumEdgeBass, measure.BridgeScrew, 1)
		is(t, "an edge that nothing tells of", s.startOf(edge, 100), 50+0.025*100)
		truth := map[int]float64{p.Station: x, p.Offset: y, edge.A: a + b*edge.C, edge.B: b}
		if p.Diameter >= 0 {
			truth[p.Diameter] = d
		}
		if r.HasStation {
			zero := s.trebleZero - 1
			truth[zero] = -7 - a*sin // the edge's foot of the frame's origin lies a sin before station 0 of the edge
			grad := make([]float64, len(s.Problem.Start))
			x := append([]float64(nil), s.Problem.Start...)
			for u, v := range truth {
				x[u] = v
			}
			s.Problem.Rows[slices.IndexFunc(s.Source, func(r *measure.Reading) bool { return r != nil })].Model.Eval(x, grad)
			is(t, c.what+": what the station moves by with its zero", grad[zero], 1)
			is(t, c.what+": what it moves by with the place's station", grad[p.Station], cos)
			is(t, c.what+": what it moves by with the place's offset", grad[p.Offset], sin)
		}
		meets(t, c.what, s, truth)
	}
}

// Fret tops lie on a plane about the middle of the readings, lower by the crown's sag off the middle of the board and by the neck's hollow
// between the ends.
func TestEquationsOfAPlane(t *testing.T) {
	const a, b, c, hollow, radius = 16.0, -0.003, 0.002, 0.2, 240.0
	floor := func(x, y float64) measure.Reading {
		return read(measure.DatumBody, measure.PocketFloor, measure.Height, x, y, a+b*(x-530)+c*(y-5))
	}
	s := surveyed(measure.Info{}, floor(500, -15), floor(530, 20), floor(560, 10))
	p := s.Planes.Get(SideAt(measure.DatumBody, measure.PocketFloor))
	is(t, "the middle's station", p.X0, 530)
	is(t, "the middle's offset", p.Y0, 5)
	is(t, "the height there", s.Problem.Start[p.A], a)
	if p.Hollow >= 0 || p.N != 3 || p.Low != 500 || p.High != 560 {
		t.Errorf("a floor: %+v", p)
	}
	meets(t, "floor", s, map[int]float64{p.B: b, p.C: c})

	edges := []measure.Reading{
		read(measure.DatumNeck, measure.EdgeBass, measure.Offset, 0, -20, 0), read(measure.DatumNeck, measure.EdgeBass, measure.Offset, 400, -26, 0),
		read(measure.DatumNeck, measure.EdgeTreble, measure.Offset, 0, 22, 0), read(measure.DatumNeck, measure.EdgeTreble, measure.Offset, 400, 32, 0),
	}
	top := func(fret int, x, y, middle float64) measure.Reading {
		u := (x - 220) / 180 // the ends are at 40 and 400
		sag := radius - math.Sqrt(radius*radius-(y-middle)*(y-middle))
		return marked(fret, read(measure.DatumNeck, measure.FretTop, measure.Height, x, y, a+b*(x-220)+c*y-sag-hollow*(1-u*u)))
	}
	info := measure.Info{BoardRadius: radius}
	middle := func(x float64) float64 { return 1 + 0.005*x } // midway between the edges
	tops := []measure.Reading{top(1, 40, -12, middle(40)), top(9, 220, 0, middle(220)), top(17, 400, 12, middle(400))}
	s = surveyed(info, append(edges, tops...)...)
	p = s.Planes.Get(SideAt(measure.DatumNeck, measure.FretTop))
	if p.Hollow < 0 {
		t.Fatal("three frets tell no hollow")
	}
	meets(t, "crowned and hollow", s, map[int]float64{p.A: a, p.B: b, p.C: c, p.Hollow: hollow})
	for _, few := range [][]measure.Reading{nil, edges[:2], edges[2:]} { // the crown's middle is that of the readings
		var flat []measure.Reading
		for i, x := range []float64{40, 220, 400} {
			flat = append(flat, top(1+8*i, x, []float64{-12, 0, 12}[i], 0))
		}
		s = surveyed(info, append(flat, few...)...)
		p = s.Planes.Get(SideAt(measure.DatumNeck, measure.FretTop))
		meets(t, "crowned, without both edges", s, map[int]float64{p.A: a, p.B: b, p.C: c, p.Hollow: hollow})
	}
	if two := surveyed(info, tops[0], tops[2]).Planes.Get(SideAt(measure.DatumNeck, measure.FretTop)); two.Hollow >= 0 {
		t.Error("two frets tell a hollow")
	}
	for _, c := range []struct{ radius, across, want float64 }{{240, 24, 240 - math.Sqrt(240*240-24*24)}, {5, 3, 1}, {5, -4, 2}, {5, 5, 5}, {5, 9, 5}} {
		is(t, "a sag", Sag(c.radius, c.across), c.want)
	}
}

// A height and a corner's radius are what was read: the height starts at its first reading, the radius at the mean.
func TestEquationsOfAHeightAndARadius(t *testing.T) {
	s := surveyed(measure.Info{}, marked(3, read(measure.DatumBody, measure.SaddleLow, measure.Height, 0, 0, 9.5)), marked(3, read(measure.DatumBody, measure.SaddleLow, measure.Height, 0, 0, 9.7)))
	h := s.Heights.Get(PointAt(measure.DatumBody, measure.SaddleLow, 3))
	is(t, "the height", s.Problem.Start[h.Unknown], 9.5)
	var list []measure.Reading
	for _, radius := range []float64{6, 6.2, 6.4} {
		r := read(measure.DatumNeck, measure.HeelCorner, measure.Radius, 0, 0, radius)
		r.Mark.Name = "bass"
		list = append(list, r)
	}
	s = surveyed(measure.Info{}, list...)
	c := s.Corners.Get(CornerKey{measure.DatumNeck, measure.HeelCorner, "bass"})
	is(t, "the radius", s.Problem.Start[c.Radius], 6.2)
	if !c.Known() || len(s.Problem.Rows) != 3 || s.Problem.Rows[0].Terms[0] != (adjust.Term{Unknown: c.Radius, Coef: 1}) {
		t.Errorf("%+v, rows %v", c, s.Problem.Rows)
	}
	for i, row := range s.Problem.Rows {
		is(t, "a radius as read", row.Value, list[i].Size)
	}
}

// Frets lie along the middle between the edges by the law of equal temperament, each square to it; the nut where it is, which a row
// holds near the law's.
func TestEquationsOfFrets(t *testing.T) {
	const s0, scale, turn = 4.0, 762.0, 0.02 // the middle's heading
	cos, sin := math.Cos(turn), math.Sin(turn)
	var list []measure.Reading
	for _, e := range []struct {
		f    measure.Feature
		y, m float64 // offset at station 0 and heading off the middle's
	}{{measure.EdgeBass, -21, -0.012}, {measure.EdgeTreble, 21, 0.012}} {
		for _, x := range []float64{0, 400} {
			list = append(list, read(measure.DatumNeck, e.f, measure.Offset, x, e.y+math.Tan(turn+e.m)*x, 0))
		}
	}
	// The line that halves them goes through where they meet, by symmetry at y = 21 and -21 with unlike slopes.
	mb, mt := math.Tan(turn-0.012), math.Tan(turn+0.012)
	meet := -42 / (mt - mb)
	my := -21 + mb*meet
	foot := (my*cos - meet*sin) / cos // the middle's offset at station 0
	for _, n := range []int{0, 1, 5, 12, 19} {
		along := s0 + scale*(1-math.Exp2(-float64(n)/12))
		if n == 0 {
			along += 0.4 // the nut is filed
		}
		y := 3 - float64(n)/4 // wherever across
		r := marked(n, read(measure.DatumNeck, measure.Fret, measure.Station, (along-y*sin)/cos, y, 0))
		if n == 0 {
			r.Feature = measure.Nut
		}
		list = append(list, r)
	}
	s := surveyed(measure.Info{}, list...)
	b := s.Boards.Get(measure.DatumNeck)
	if !b.Edged || b.Nut == b.S0 || s.AlongNeck || len(b.Frets) != 5 {
		t.Fatalf("%+v", b)
	}
	meets(t, "frets", s, map[int]float64{b.S0: s0, b.Nut: s0 + 0.4, b.L: scale})
	if off := math.Abs(s.Problem.Start[b.L] - scale); off > 1 {
		t.Errorf("the scale starts %.2f mm off", off)
	}
	held := s.Forms[len(s.Forms)-1]
	if row := s.Problem.Rows[held.Row]; row.Sigma != 0.3 || row.Value != 0 || row.Terms[0] != (adjust.Term{Unknown: b.Nut, Coef: 1}) || row.Terms[1] != (adjust.Term{Unknown: b.S0, Coef: -1}) {
		t.Errorf("the nut is held by %+v", row)
	}
	// On the middle itself, read without an offset.
	for i := range list[4:] {
		r := &list[4+i]
		along := s0 + scale*(1-math.Exp2(-float64(r.Mark.Number)/12))
		r.Station, r.HasOffset = (along-foot*sin)*cos, false // of the middle line through (0, foot), the place so far along
	}
	s = surveyed(measure.Info{}, list...)
	b = s.Boards.Get(measure.DatumNeck)
	meets(t, "frets on the middle", s, map[int]float64{b.S0: s0, b.Nut: s0, b.L: scale})
	// Without an edge the stations are along the neck.
	for i := range list[4:] {
		list[4+i].Station = s0 + scale*(1-math.Exp2(-float64(list[4+i].Mark.Number)/12))
	}
	s = surveyed(measure.Info{}, list[4:]...)
	b = s.Boards.Get(measure.DatumNeck)
	is(t, "the nut's start", s.Problem.Start[b.S0], s0)
	is(t, "the scale's start", s.Problem.Start[b.L], scale)
	meets(t, "frets without an edge", s, nil)
	if !s.AlongNeck || b.Edged {
		t.Error("the straightedge is not taken to lie along the neck")
	}
	// One fret by itself has the scale of kits.csv; three and the nut tell where the nut is, two and the nut do not.
	one := surveyed(measure.Info{Scale: 762}, list[7])
	is(t, "the nut before fret 12", one.Problem.Start[one.Boards.Get(measure.DatumNeck).S0], s0)
	for n, free := range map[int]bool{7: false, 8: true} {
		b := surveyed(measure.Info{}, list[4:n]...).Boards.Get(measure.DatumNeck)
		if got := b.Nut != b.S0; got != free {
			t.Errorf("the nut and %d frets: the nut by itself %v", n-5, got)
		}
	}
}

// Both edges bent alike by 0.2 mm over what was read: the bow is that, whether it was read on both or on one.
func TestBowOfBothEdges(t *testing.T) {
	var list []measure.Reading
	for _, f := range []measure.Feature{measure.EdgeBass, measure.EdgeTreble} {
		for _, x := range []float64{0, 100, 250, 400} {
			u := (x - 200) / 200
			side := 21 + 0.012*x
			if f == measure.EdgeBass {
				side = -side
			}
			list = append(list, read(measure.DatumNeck, f, measure.Offset, x, side+0.2*(1-u*u), 0))
		}
	}
	for n, told := range map[int]bool{2: false, 4: true, 8: true} {
		s, on := assembled(t, list[:n]...)
		b := s.Bows.Get(measure.DatumNeck)
		if (b != nil) != told {
			t.Errorf("%d readings tell a bow: %v", n, b != nil)
		} else if told {
			is(t, "the bow", math.Round(on.X[b.Unknown]*1e9)/1e9, 0.2)
			if b.Low != 0 || b.High != 400 {
				t.Errorf("the bow is over %v to %v", b.Low, b.High)
			}
		}
	}
}
