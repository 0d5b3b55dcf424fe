package measure

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A gauge without any uncertainty would have infinite weight.
func TestBuiltInGaugesAreUncertain(t *testing.T) {
	seen := map[string]bool{}
	for _, g := range BuiltInGauges() {
		if !(g.Resolution > 0 && g.MaxError > 0 && g.Repeatability > 0) || seen[g.ID] {
			t.Errorf("gauge %+v", g)
		}
		seen[g.ID] = true
	}
	if !seen[Calliper] || !seen[Rule] || !seen[Feeler] {
		t.Errorf("a gauge that stands for blanks is missing: %v", seen)
	}
}

// A blank gauge cell is the calliper, for a gap the feeler, and for a station the rule.
func TestBlankGauges(t *testing.T) {
	kits := mustRead(t, "kit,datum,feature,kind,station,size\nA,body,pocket,width,1,2\nA,body,pocket-bass,gap,1,0\n")
	var ids []string
	for _, g := range kits[0].Readings {
		ids = append(ids, g.Gauge.ID, g.StationGauge.ID)
	}
	if got, want := strings.Join(ids, " "), "calliper rule feeler rule"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// Of a gauge whose own row is wrong the readings that name it say nothing more.
func TestReadingsOfABadGauge(t *testing.T) {
	dir := folder(t, map[string]string{
		"readings.csv": "kit,datum,feature,kind,station,size,gauge\nA,body,pocket,width,1,2,bad\nA,body,pocket,width,2,2,none\n",
		"gauges.csv":   "gauge,resolution\nbad,x\n",
	})
	_, err := readAll(t, dir, "")
	want := []string{
		`gauges.csv:2:5: resolution "x" is not a number, expected a length in millimetres such as 55.6`,
		`readings.csv:3:25: gauge "none" is not in gauges.csv, expected one of calliper, rule, feeler, bad`,
	}
	if diff := cmp.Diff(want, messages(err, dir)); diff != "" {
		t.Error(diff)
	}
}
