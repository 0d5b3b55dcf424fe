package measure

import (
	"strings"
	"testing"
)

// A plan of somebody's own: lengths in the row's unit, turns always in degrees, signs kept.
func TestReadPlan(t *testing.T) {
	steps, err := ReadPlan("p.csv", strings.NewReader("work,wall,mouth,end,across,along,turn,size,unit\nside-shim,treble,1/32,0,,,,,in\nplug-bridge,,,,-1.5,2,-0.25,,mm\ntrim-heel,,,,,,,2.6,\n"))
	want := []PlanStep{
		{Work: SideShim, Treble: true, Mouth: 25.4 / 32}, {Work: PlugBridge, Across: -1.5, Along: 2, Turn: -0.25}, {Work: TrimHeel, Size: 2.6},
	}
	if err != nil || len(steps) != len(want) {
		t.Fatal(steps, err)
	}
	for i, s := range steps {
		if s.Place.Line != i+2 {
			t.Errorf("row %d is of line %d", i, s.Place.Line)
		}
		if s.Place = (Place{}); s != want[i] {
			t.Errorf("%+v, want %+v", s, want[i])
		}
	}
	for text, says := range map[string]string{
		"work\nhammer\n":                    "is unknown",
		"work,size\ntrim-heel,-1\n":         "is negative",
		"work,mouth\nrelieve-wall,0.2\n":    "wall is blank",
		"work,wall\nside-shim,left\n":       "is unknown",
		"work,mouth\nre-seat,much\n":        "much",
		"wall,mouth\nbass,0.2\n":            "work",
		"work,turn,unit\npitch-shim,x,mm\n": "x",
	} {
		if _, err := ReadPlan("p.csv", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", text, err, says)
		}
	}
}
