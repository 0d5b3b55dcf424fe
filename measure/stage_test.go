package measure

import (
	"strings"
	"testing"
)

// Rows read again after the work are no repeats of those before, and either stage can be had alone.
func TestStagesAreKeptApart(t *testing.T) {
	const head = "kit,datum,feature,mark,kind,station,offset,stage\n"
	got := mustRead(t, head+
		"A,body,bridge-screw,1,point,10,5,\nA,body,bridge-screw,1,point,11,5,Reworked\nA,body,bridge-screw,2,point,10,9,received\n")[0]
	before, after := got.Staged(Received), got.Staged(Reworked)
	if !got.WasReworked() || before.WasReworked() || len(before.Readings) != 2 || len(after.Readings) != 1 || after.Readings[0].Station != 11 {
		t.Errorf("before %+v\nafter %+v", before.Readings, after.Readings)
	}
	if before.Staged(Received) != before {
		t.Error("a kit of one stage is copied for nothing")
	}
}

// The same reading twice in one stage is still a mistake, and an unknown stage is named.
func TestBadStages(t *testing.T) {
	_, err := readAll(t, "-", "kit,datum,feature,mark,kind,station,offset,stage\n"+
		"A,body,bridge-screw,1,point,10,5,reworked\nA,body,bridge-screw,1,point,11,5,reworked\nA,body,bridge-screw,2,point,10,9,new\n")
	for _, want := range []string{"stdin:3:", "was read already on line 2", "stdin:4:", `stage "new" is unknown`} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v\nshould name %q", err, want)
		}
	}
}
