package survey

import (
	"math"
	"testing"

	"neckfit/measure"
)

// The neck was in the pocket when its places were read from the body, or its edges served as datums; a calliper's width tells nothing.
func TestFittedAndEdges(t *testing.T) {
	for _, c := range []struct {
		r             measure.Reading
		fitted, edges bool
	}{
		{read(measure.DatumBody, measure.EdgeBass, measure.Offset, 100, -20, 0), true, false},
		{marked(12, read(measure.DatumBody, measure.Fret, measure.Station, 100, -20, 0)), true, false},
		{read(measure.DatumBody, measure.Fingerboard, measure.Width, 100, 0, 42), false, false},
		{read(measure.DatumNeck, measure.EdgeBass, measure.Offset, 100, -20, 0), false, false},
		{read(measure.DatumBody, measure.PocketBass, measure.Offset, 100, -20, 0), false, false},
		{marked(1, read(measure.DatumEdgeBass, measure.BridgeScrew, measure.Point, 700, 20, 0)), false, true},
		{marked(1, read(measure.DatumEdgeTreble, measure.BridgeScrew, measure.Point, 700, 20, 0)), false, true},
	} {
		other := read(measure.DatumBody, measure.PocketTreble, measure.Offset, 500, 30, 0)
		for _, list := range [][]measure.Reading{{c.r}, {c.r, other}, {other, c.r}} {
			if s := surveyed(measure.Info{}, list...); s.Fitted != c.fitted || s.Edges != c.edges {
				t.Errorf("%s from %s: fitted %v, edges %v", c.r.Feature, c.r.Datum, s.Fitted, s.Edges)
			}
		}
	}
}

// As many strings as the highest marked, unless kits.csv says; holes have marks that are no strings'.
func TestStringsByMarks(t *testing.T) {
	at := func(f measure.Feature, n int) measure.Reading {
		return marked(n, read(measure.DatumBody, f, measure.Point, 700, float64(n), 0))
	}
	for _, c := range []struct {
		info measure.Info
		list []measure.Reading
		want int
	}{
		{measure.Info{}, []measure.Reading{at(measure.Saddle, 1), at(measure.Saddle, 4), at(measure.Saddle, 2)}, 4},
		{measure.Info{}, []measure.Reading{at(measure.NutSlot, 5), at(measure.Saddle, 4)}, 5},
		{measure.Info{Strings: 5}, []measure.Reading{at(measure.Saddle, 4)}, 5},
		{measure.Info{Strings: 4}, []measure.Reading{at(measure.Saddle, 5)}, 4},
		{measure.Info{}, []measure.Reading{at(measure.BridgeScrew, 5)}, 0},
		{measure.Info{}, []measure.Reading{at(measure.BridgeScrew, 5), at(measure.Saddle, 1)}, 1},
	} {
		if s := surveyed(c.info, c.list...); s.Strings != c.want {
			t.Errorf("%d strings, by hand %d", s.Strings, c.want)
		}
	}
}

// A row's variance is its gauges'; what a gauge claims for all its readings is a cause, one for each such gauge, whichever row has it
// first. One that claims no noise weighs as 0.1 micrometres.
func TestRowsAndCausesOfGauges(t *testing.T) {
	quiet, loud, still := &measure.Gauge{ID: "q", Repeatability: 0.05}, &measure.Gauge{ID: "l", Repeatability: 0.2, MaxError: 0.3}, &measure.Gauge{ID: "s", MaxError: 0.1}
	at := func(n int, along, across *measure.Gauge) measure.Reading {
		r := marked(n, read(measure.DatumBody, measure.NeckScrew, measure.Point, 500, float64(n), 0))
		r.StationGauge, r.Gauge = along, across
		return r
	}
	s := surveyed(measure.Info{}, at(1, quiet, loud), at(2, loud, still), at(3, still, quiet))
	sigmas := []float64{0.05, 0.2, 0.2, 1e-4, 1e-4, 0.05}
	causes := []*measure.Gauge{nil, loud, loud, still, still, nil}
	for i, row := range s.Problem.Rows {
		is(t, "a row's own", row.Sigma, sigmas[i])
		if causes[i] == nil {
			if len(row.Shifts) != 0 {
				t.Errorf("row %d is shifted by %v", i, row.Shifts)
			}
			continue
		}
		if len(row.Shifts) != 1 || s.Gauges[row.Shifts[0].Cause] != causes[i] || row.Shifts[0].Coef != 1 {
			t.Errorf("row %d is shifted by %v", i, row.Shifts)
		}
	}
	if len(s.Gauges) != 2 || len(s.Used) != 3 {
		t.Fatalf("%d causes of %d gauges", len(s.Gauges), len(s.Used))
	}
	for i, g := range s.Gauges {
		is(t, "a rectangle's deviation", s.Problem.Causes[i], g.MaxError/math.Sqrt(3))
	}
	// A level side is read alike wherever it was read: the rule's error does not enter.
	r := read(measure.DatumNeck, measure.HeelBass, measure.Offset, 500, -30, 0)
	r.StationGauge, r.Gauge = loud, quiet
	far := r
	far.Station = 540
	s = surveyed(measure.Info{}, r, far)
	if len(s.Gauges) != 0 || len(s.Problem.Rows[0].Shifts) != 0 || len(s.Used) != 2 {
		t.Errorf("a level side is shifted by %v", s.Problem.Rows[0].Shifts)
	}
	is(t, "its row's own", s.Problem.Rows[0].Sigma, 0.05)
	// Where the treble edge's straightedge has its zero starts at that of the bass one.
	s = surveyed(measure.Info{}, marked(1, read(measure.DatumEdgeTreble, measure.BridgeScrew, measure.Point, 700, 20, 0)))
	is(t, "the treble zero", s.Problem.Start[s.trebleZero-1], 0)
	if s.trebleZero != len(s.Problem.Start) {
		t.Errorf("the treble zero is unknown %d of %d, of which the others are other things'", s.trebleZero-1, len(s.Problem.Start))
	}
}

// A survey that was used has nothing of the kit before.
func TestASurveyUsedAgain(t *testing.T) {
	s := everything(5)
	fresh := marked(1, read(measure.DatumNeck, measure.HeelScrew, measure.Point, 500, 4, 0))
	s.Assemble(&measure.Kit{Name: "K", Readings: []measure.Reading{fresh}})
	new := surveyed(measure.Info{}, fresh)
	if len(s.Problem.Start) != len(new.Problem.Start) || len(s.Problem.Rows) != 2 || len(s.Problem.Causes) != 0 || len(s.Forms)+len(s.Problem.Places)+len(s.Problem.Steps)+len(s.Pasted) != 0 {
		t.Errorf("%d unknowns, %d rows, %d causes", len(s.Problem.Start), len(s.Problem.Rows), len(s.Problem.Causes))
	}
	if s.Fitted || s.Edges || s.AlongNeck || s.NoCircle || s.Point(measure.DatumBody, measure.NeckScrew, 1) != nil || s.Point(measure.DatumNeck, measure.HeelScrew, 1) == nil {
		t.Error("something of the kit before is left")
	}
}
