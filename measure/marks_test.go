package measure

import "testing"

// Readings that look alike and are no repeats.
func TestNoRepeats(t *testing.T) {
	const head = "kit,datum,feature,mark,to,kind,station,offset,size,trial\n"
	for name, rows := range map[string]string{
		"trials":                "A,body,bridge-screw,1,,point,1,2,,1\nA,body,bridge-screw,1,,point,1,2,,2\nA,body,bridge-screw,1,,point,1,2,,\n",
		"kinds":                 "A,body,bridge-screw,1,,offset-near,,2,,\nA,body,bridge-screw,1,,offset-far,,2,,\n",
		"datums":                "A,edge-bass,string-hole,1,,offset,,2,,\nA,edge-treble,string-hole,1,,offset,,2,,\n",
		"marks":                 "A,body,bridge-screw,1,,point,1,2,,\nA,body,bridge-screw,2,,point,1,2,,\n",
		"features":              "A,body,bridge-screw,1,,point,1,2,,\nA,body,string-hole,1,,point,1,2,,\n",
		"kits":                  "A,body,bridge-screw,1,,point,1,2,,\nB,body,bridge-screw,1,,point,1,2,,\n",
		"distances":             "A,body,bridge-screw,1,2,distance,,,9,\nA,body,bridge-screw,1,3,distance,,,9,\n",
		"fret at two offsets":   "A,neck,fret,1,,station,1,,,\nA,neck,fret,1,,station,1,0,,\nA,neck,fret,1,,station,1,5,,\nA,neck,fret,1,,point,1,5,,\nA,neck,fret,1,,point,1,6,,\n",
		"slot at two stations":  "A,neck,nut-slot,1,,offset,,3,,\nA,neck,nut-slot,1,,offset,1,3,,\n",
		"points of a line":      "A,neck,heel-bass,,,offset,1,2,,\nA,neck,heel-bass,,,offset,1,2,,\n",
		"points of a corner":    "A,body,pocket-corner,bass,,point,1,2,,\nA,body,pocket-corner,bass,,point,1,2,,\n",
		"heights":               "A,neck,fret-top,1,,height,1,2,3,\nA,neck,fret-top,1,,height,1,2,3,\n",
		"nut at the same place": "A,neck,nut,,,station,1,,,\nA,neck,nut,,,station,1,,,\n",
	} {
		if _, err := readAll(t, "-", head+rows); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Points of a fret at one offset are a repeat, whatever their stations say.
func TestRepeatedFretPoint(t *testing.T) {
	_, err := readAll(t, "-", "kit,datum,feature,mark,kind,station,offset\nA,neck,fret,1,point,1,5\nA,neck,fret,1,point,2,5\n")
	if err == nil {
		t.Error("no error")
	}
}

func TestMarkString(t *testing.T) {
	for mark, want := range map[Mark]string{{}: "", {Number: 7}: "7", {Name: "bass"}: "bass"} {
		if got := mark.String(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
