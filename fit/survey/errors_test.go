package survey

import (
	"math"
	"testing"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// stepOf is what a gauge's step hides from all repeats of a place, as a standard deviation, and what is left to each: the mean of what is rounded to
// steps, at places all over one, by the normal distribution's share in each.
func stepOf(g *measure.Gauge) (step, own float64) {
	const places = 2000
	r, variance := g.Repeatability/g.Resolution, 0.0
	for i := range places {
		at, mean := (float64(i)+0.5)/places-0.5, 0.0
		for k := -3.0; k <= 3; k++ { // the number shown is k or more
			mean += 0.5 * math.Erfc((k-0.5-at)/r/math.Sqrt2)
		}
		mean -= 4
		variance += (mean - at) * (mean - at) / places
	}
	return g.Resolution * math.Sqrt(variance), math.Sqrt(g.Variance() - g.Resolution*g.Resolution*variance)
}

// Readings of one place by one gauge that show the same number share what its step hides from all repeats, and keep the rest;
// where the hand shakes by more than a quarter of a step, or number, gauge or place differ, nothing is shared.
func TestWhatAStepHidesIsShared(t *testing.T) {
	coarse := &measure.Gauge{ID: "rule", Resolution: 0.5, Repeatability: 0.12}
	other := &measure.Gauge{ID: "tape", Resolution: 0.5, Repeatability: 0.12}
	shaky := &measure.Gauge{ID: "shaky", Resolution: 0.5, Repeatability: 0.13}
	for what, c := range map[string]struct {
		gauges [2]*measure.Gauge
		by     [2]float64
		mark   int // of the second
		shared bool
	}{
		"alike": {[2]*measure.Gauge{coarse, coarse}, [2]float64{100, 100}, 1, true}, "another number": {[2]*measure.Gauge{coarse, coarse}, [2]float64{100, 100.5}, 1, false},
		"two gauges": {[2]*measure.Gauge{coarse, other}, [2]float64{100, 100}, 1, false}, "shaky": {[2]*measure.Gauge{shaky, shaky}, [2]float64{100, 100}, 1, false},
		"another place": {[2]*measure.Gauge{coarse, coarse}, [2]float64{100, 100}, 2, false},
	} {
		var list []measure.Reading
		for i, g := range c.gauges {
			r := marked([]int{1, c.mark}[i], read(measure.DatumBody, measure.NeckScrew, measure.Station, c.by[i], 0, 0))
			r.HasOffset, r.StationGauge, r.Gauge, r.Trial = false, g, g, i+1
			list = append(list, r)
		}
		s := surveyed(measure.Info{}, list...)
		rows := s.Problem.Rows
		want := math.Hypot(c.gauges[0].Repeatability, 0.5/math.Sqrt(12))
		if c.shared {
			var step float64
			step, want = stepOf(coarse)
			if len(s.Problem.Steps) != 1 || rows[0].Step != 1 || rows[1].Step != 1 {
				t.Fatalf("%s: steps %v, rows %+v", what, s.Problem.Steps, rows)
			}
			is(t, "a step", s.Problem.Steps[0], step)
		} else if len(s.Problem.Steps) != 0 {
			t.Errorf("%s: steps %v", what, s.Problem.Steps)
		}
		for _, row := range rows {
			is(t, what+": a row's own", row.Sigma, want)
		}
	}
}

// A gauge's common error shifts what it reads, and where it read the place too, by the slope the other way.
func TestShiftsOfGauges(t *testing.T) {
	offset, station := &measure.Gauge{ID: "o", Repeatability: 0.05, MaxError: 0.03}, &measure.Gauge{ID: "s", Repeatability: 0.2, MaxError: 0.3}
	for _, c := range []struct {
		feature    measure.Feature
		kind       measure.Kind
		x1, x2     [2]float64 // station and offset of two readings
		size       [2]float64
		own, other *measure.Gauge
		slope      float64
	}{
		{measure.HeelBass, measure.Offset, [2]float64{480, -30}, [2]float64{530, -29}, [2]float64{}, offset, station, 0.02},
		{measure.HeelEnd, measure.Station, [2]float64{540, -20}, [2]float64{544, 20}, [2]float64{}, station, offset, 0.1},
		{measure.Heel, measure.Width, [2]float64{480, 0}, [2]float64{530, 0}, [2]float64{63, 62}, offset, station, -0.02},
	} {
		var list []measure.Reading
		for i, x := range [][2]float64{c.x1, c.x2} {
			r := read(measure.DatumNeck, c.feature, c.kind, x[0], x[1], c.size[i])
			r.Gauge, r.StationGauge = offset, station
			list = append(list, r)
		}
		s := surveyed(measure.Info{}, list...)
		for i, row := range s.Problem.Rows {
			if s.Source[i] == nil {
				continue
			}
			is(t, c.feature.String()+": a row's own", row.Sigma, math.Sqrt(c.own.Variance()+c.slope*c.slope*c.other.Variance()))
			by := map[*measure.Gauge]float64{}
			for _, shift := range row.Shifts {
				by[s.Gauges[shift.Cause]] = shift.Coef
				is(t, "a rectangle's deviation", s.Problem.Causes[shift.Cause], s.Gauges[shift.Cause].MaxError/math.Sqrt(3))
			}
			is(t, c.feature.String()+": own shift", by[c.own], 1)
			is(t, c.feature.String()+": the place's shift", by[c.other], -c.slope)
		}
	}
}

// A straightedge touches at nut and last fret: an offset beyond the last has more than the whole of the one error and the other the other
// way. Without frets it is taken to touch 680 and 200 mm before the bridge. A station, 12 mm out from it, has what the straightedge turns by between
// the two.
func TestSeatsOfAStraightedge(t *testing.T) {
	screw := func(d measure.Datum) measure.Reading {
		return marked(1, read(d, measure.BridgeScrew, measure.Offset, 700, 12, 0))
	}
	unplaced := screw(measure.DatumEdgeBass)
	unplaced.HasStation = false
	fret := func(n int) measure.Reading {
		r := marked(n, read(measure.DatumEdgeBass, measure.Fret, measure.Station, 10+762*(1-math.Exp2(-float64(n)/12)), 0, 0))
		return r
	}
	last := func(n float64) float64 { return 690 / (762 * (1 - math.Exp2(-n/12))) }
	for _, c := range []struct {
		what  string
		info  measure.Info
		list  []measure.Reading
		share float64
		sign  float64
	}{
		{"no frets", measure.Info{}, []measure.Reading{screw(measure.DatumEdgeBass)}, 680.0 / 480, 1},
		{"no frets, treble", measure.Info{}, []measure.Reading{screw(measure.DatumEdgeTreble)}, 680.0 / 480, -1},
		{"no station", measure.Info{}, []measure.Reading{unplaced}, 680.0 / 480, 1},
		{"one fret", measure.Info{}, []measure.Reading{screw(measure.DatumEdgeBass), fret(12)}, 680.0 / 480, 1},
		{"two frets", measure.Info{}, []measure.Reading{fret(12), screw(measure.DatumEdgeBass), fret(3)}, last(21), 1},
		{"two frets of 24", measure.Info{Frets: 24}, []measure.Reading{fret(3), screw(measure.DatumEdgeBass), fret(12)}, last(24), 1},
		{"up to fret 22", measure.Info{}, []measure.Reading{fret(3), screw(measure.DatumEdgeBass), fret(22)}, last(22), 1},
	} {
		s := surveyed(c.info, c.list...)
		found := false
		for i, row := range s.Problem.Rows {
			if r := s.Source[i]; r == nil || r.Feature != measure.BridgeScrew || len(row.Shifts) < 2 {
				continue
			}
			if row.Value == 700 {
				between := 690 / c.share
				if c.share == 680.0/480 {
					between = 480
				}
				is(t, c.what+": the nut's part of a station", row.Shifts[0].Coef, 12/between)
				is(t, c.what+": the last fret's part of a station", row.Shifts[1].Coef, -12/between)
				continue
			}
			found = true
			is(t, c.what+": the nut's part", row.Shifts[0].Coef, c.sign*(1-c.share))
			is(t, c.what+": the last fret's part", row.Shifts[1].Coef, c.sign*c.share)
			is(t, c.what+": how far it seats off", s.Problem.Causes[0], math.Hypot(EdgeForm, math.Sqrt(Straightedge(s.Kit).Variance())))
		}
		if !found {
			t.Errorf("%s: no offset of the screw", c.what)
		}
	}
}

// Rows pasted twice count once, but not two trials that show the same; and the order of a table tells nothing.
func TestPastedRowsAndOrder(t *testing.T) {
	at := func(line, trial int, station, offset, size float64) measure.Reading {
		r := read(measure.DatumBody, measure.PocketFloor, measure.Height, station, offset, size)
		r.Place.Line, r.Trial = line, trial
		return r
	}
	s := surveyed(measure.Info{}, at(2, 0, 500, 10, -16), at(3, 0, 500, 10, -16), at(4, 1, 500, 10, -16), at(5, 0, 500, 10, -16.1))
	if len(s.Pasted) != 1 || s.Pasted[0].Place.Line != 3 || len(s.Problem.Rows) != 3 {
		t.Errorf("%d pasted, %d rows", len(s.Pasted), len(s.Problem.Rows))
	}
	list := []measure.Reading{at(2, 0, 500, 10, -16.2), at(3, 0, 500, 10, -16.1), at(4, 0, 500, -10, -15), at(5, 0, 490, 20, -14)}
	back := []measure.Reading{list[3], list[0], list[2], list[1]}
	for i := range back {
		back[i].Place.Line = i + 2
	}
	for _, l := range [][]measure.Reading{list, back} {
		s := surveyed(measure.Info{}, l...)
		for i, want := range []float64{-14, -15, -16.2, -16.1} {
			if got := s.Problem.Rows[i].Value; got != want {
				t.Errorf("row %d is of %v, by station, offset and height %v", i, got, want)
			}
		}
	}
}

// A width's own deviations are those of its outermost places, 3 mm either way.
func TestWhereADeviationHolds(t *testing.T) {
	seen := &Trend{N: 2, LowX: 10, HighX: 20}
	for x, want := range map[float64]int{10: 0, 13: 0, 13.01: -1, 16.99: -1, 17: 1, 20: 1} {
		if u, ok := (Local{0, 1}).at(seen, x); u != want || ok != (want >= 0) {
			t.Errorf("at %v: unknown %d, %v", x, u, ok)
		}
	}
	if u, ok := (Local{-1, -1}).at(seen, 10); ok || u != -1 {
		t.Error("there is none")
	}
}

// A pickup's ends are named; a diameter and a lone radius start as they were read.
func TestNamesAndStarts(t *testing.T) {
	end := read(measure.DatumBody, measure.Pickup, measure.Point, 90, -27, 0)
	end.Mark.Name = "bass"
	other := end
	other.Mark.Name, other.Offset = "treble", 27
	s := surveyed(measure.Info{}, end, other)
	is(t, "the bass end", s.Problem.Start[s.Point(measure.DatumBody, measure.Pickup, BassEnd).Offset], -27)
	is(t, "the treble end", s.Problem.Start[s.Point(measure.DatumBody, measure.Pickup, TrebleEnd).Offset], 27)
	s = surveyed(measure.Info{}, marked(1, read(measure.DatumBody, measure.NeckScrew, measure.Diameter, 0, 0, 5.2)))
	is(t, "a diameter", s.Problem.Start[s.Point(measure.DatumBody, measure.NeckScrew, 1).Diameter], 5.2)
	corner := read(measure.DatumBody, measure.PocketCorner, measure.Radius, 0, 0, 6)
	corner.Mark.Name = "bass"
	s = surveyed(measure.Info{}, corner)
	c := s.Corners.Get(CornerKey{measure.DatumBody, measure.PocketCorner, "bass"})
	is(t, "a lone radius", s.Problem.Start[c.Radius], 6)
	if !c.Known() {
		t.Error("a radius that was read is not known")
	}
}

// Of a fan each string has its own scale, and all line up at the straight fret: fret n of a string of scale S lies (S - mean) (share of n -
// share of the straight one) farther than on the centre line.
func TestLeadOfAFan(t *testing.T) {
	fan := FanOf(&measure.Info{ScaleBass: 863.6, ScaleTreble: 838.2, StraightFret: 7})
	for _, n := range []int{0, 7, 12, 24} {
		for across, scale := range map[float64]float64{-0.5: 863.6, 0: 850.9, 0.5: 838.2} {
			is(t, "a lead", fan.Lead(adjust.FretShare(n), across), (scale-850.9)*(math.Exp2(-7.0/12)-math.Exp2(-float64(n)/12)))
		}
	}
}
