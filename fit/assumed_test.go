package fit

import (
	"testing"

	"neckfit/measure"
)

// Built-in gauges that a kit was read with are named once each; one of gauges.csv, and a rule where no station was
// read, are not.
func TestAssumedGauges(t *testing.T) {
	calliper, rule := &measure.Gauge{ID: "calliper"}, &measure.Gauge{ID: "rule"}
	own := &measure.Gauge{ID: "own", Place: measure.Place{File: "gauges.csv", Line: 2}}
	kit := &measure.Kit{Readings: []measure.Reading{
		{Gauge: own, StationGauge: rule}, {Gauge: calliper, StationGauge: own, HasStation: true}, {Gauge: calliper, StationGauge: own, HasStation: true},
	}}
	if got := assumed(kit); len(got) != 1 || got[0] != calliper {
		t.Errorf("%v", got)
	}
	kit.Readings = append(kit.Readings, measure.Reading{Gauge: own, StationGauge: rule, HasStation: true})
	if got := assumed(kit); len(got) != 2 || got[1] != rule {
		t.Errorf("%v", got)
	}
	kit.Readings = append(kit.Readings, measure.Reading{Gauge: own, StationGauge: own, Datum: measure.DatumEdgeBass})
	if got := assumed(kit); len(got) != 3 || got[2].ID != measure.Straightedge {
		t.Errorf("%v", got)
	}
	kit.Straightedge = own
	if got := assumed(kit); len(got) != 2 {
		t.Errorf("with a straightedge of one's own: %v", got)
	}
	kit.Readings = kit.Readings[:0]
	if got := assumed(kit); got != nil {
		t.Errorf("%v", got)
	}
}
