package fit

import (
	"testing"

	"neckfit/measure"
)

// Gauges that a kit was read with are named once each; a rule where no station was read is not.
func TestGaugesOf(t *testing.T) {
	calliper, rule := &measure.Gauge{ID: "calliper"}, &measure.Gauge{ID: "rule"}
	own := &measure.Gauge{ID: "own", Place: measure.Place{File: "gauges.csv", Line: 2}}
	kit := &measure.Kit{Readings: []measure.Reading{
		{Gauge: own, StationGauge: rule}, {Gauge: calliper, StationGauge: own, HasStation: true}, {Gauge: calliper, StationGauge: own, HasStation: true},
	}}
	if got := GaugesOf(kit); len(got) != 2 || got[0] != own || got[1] != calliper {
		t.Errorf("%v", got)
	}
	kit.Readings = append(kit.Readings, measure.Reading{Gauge: own, StationGauge: rule, HasStation: true})
	if got := GaugesOf(kit); len(got) != 3 || got[2] != rule {
		t.Errorf("%v", got)
	}
	kit.Readings = append(kit.Readings, measure.Reading{Gauge: own, StationGauge: own, Datum: measure.DatumEdgeBass})
	if got := GaugesOf(kit); len(got) != 4 || got[3].ID != measure.Straightedge {
		t.Errorf("%v", got)
	}
	kit.Straightedge = own
	if got := GaugesOf(kit); len(got) != 3 {
		t.Errorf("with a straightedge of one's own: %v", got)
	}
	kit.Readings = kit.Readings[:0]
	if got := GaugesOf(kit); got != nil {
		t.Errorf("%v", got)
	}
}
