package fit

import (
	"slices"
	"testing"

	"neckfit/measure"
)

// Gauges whose errors count are named once each: not a rule that only says where a height was taken, nor one that stands
// in a column and read nothing.
func TestGauges(t *testing.T) {
	own := &measure.Gauge{ID: "own", Resolution: 0.01, Repeatability: 0.05, Place: measure.Place{File: "gauges.csv", Line: 2}}
	byEdge := []string{"edge-bass bridge-screw 5 offset - 12.40 -", "edge-treble bridge-screw 1 offset - 10.00 -"}
	floor := []string{"body pocket-floor - height 10 -20 -16", "body pocket-floor - height 60 -20 -16", "body pocket-floor - height 60 20 -16"}
	side := []string{"neck edge-bass - offset 10 -20 -", "neck edge-bass - offset 400 -26 -"}
	for _, c := range []struct {
		rows         []string
		gauge        *measure.Gauge
		straightedge *measure.Gauge
		want         []string
	}{
		{byEdge, steel, nil, []string{"calliper", "straightedge"}},
		{byEdge, own, nil, []string{"own", "straightedge"}},
		{byEdge, steel, own, []string{"calliper", "own"}},
		{floor, steel, nil, []string{"calliper"}},
		{slices.Concat(floor, side), steel, nil, []string{"calliper", "rule"}},
		{side, own, nil, []string{"own", "rule"}},
		{nil, own, nil, nil},
	} {
		k := kit(t, c.rows...)
		k.Straightedge = c.straightedge
		for i := range k.Readings {
			k.Readings[i].Gauge = c.gauge
		}
		var got []string
		for _, g := range Check(k, Options{}).Gauges {
			got = append(got, g.ID)
		}
		if slices.Sort(got); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v, want %v", c.rows, got, c.want)
		}
	}
}

// A kit of which nothing can be told but values too coarse for any limit is unsure, and not unmeasured.
func TestNothingButTooCoarse(t *testing.T) {
	k := kit(t, "neck nut - station 10 - -", "neck fret 1 station 53 - -", "neck fret 5 station 201 - -", "neck fret 12 station 391 - -", "neck fret 20 station 532 - -")
	noLimit := []measure.Limit{{Characteristic: "nut-error", Lower: -inf, Upper: inf}}
	r := Check(k, Options{Limits: noLimit})
	if c := r.Find(FretError); c.Verdict != TooCoarse || r.Verdict != Unsure {
		t.Errorf("fret-error is %s, the kit %s", c.Verdict, r.Verdict)
	}
}
