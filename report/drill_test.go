package report

import (
	"bytes"
	"encoding/csv"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// scheduled is a schedule of two holes: one is plugged and drilled 0.5 mm toward bass of the old one, one stays.
func scheduled() *Drilling {
	far := math.Inf(1)
	plan := &remedy.Plan{Actions: []remedy.Action{{Work: measure.PlugBridge, Across: -0.5}}, Level: remedy.Redrilled}
	return &Drilling{Result: &fit.Result{Kit: "=K", Way: fit.LooseParts}, Plan: plan, Number: 2, Schedule: &remedy.Schedule{Holes: []remedy.Hole{
		{Feature: measure.BridgeScrew, Mark: 1, Work: remedy.PlugFirst, HasOld: true, Old: remedy.Point{X: 10, Y: 30}, New: remedy.Point{X: 10, Y: 29.5}, Behind: 254.275, Beside: -26.201, Move: 0.5, Within: 0.61,
			OldDiameter: 2.9, Plug: 6, Pilot: 1.4, Shared: 0.92, FaceGrain: true, Ligament: 6.904, Cavity: far, Edge: 12.34},
		{Feature: measure.StringHole, Mark: 2, Work: remedy.Reuse, HasOld: true, Behind: math.NaN(), Beside: 9.5, OldDiameter: 3.2, Pilot: 3.2, Ligament: far, Cavity: far, Edge: far},
	}}}
}

func TestDrillByHand(t *testing.T) {
	var out bytes.Buffer
	if err := DrillText(&out, scheduled(), Options{}); err != nil {
		t.Fatal(err)
	}
	got, _, _ := strings.Cut(out.String(), "\n\nBehind: ")
	want(t, got, `
=K: 2 holes: 1 plugged and drilled anew, 0 drilled fresh, 1 used as they are.
This is plan 2, plug and re-drill the bridge. The recommended plan is another: neckfit remedy tells.

hole            do              behind       beside  moved  within   old  plug   bit  wood left
bridge-screw 1  plug, re-drill  254.28   26.20 bass   0.50    0.61  2.90  6.00  1.40       6.90
    drilled 0.5 mm toward bass of the old one; as deep as its screw reaches, 6 mm of wood or more
    left below; 92 % of it lies in the old hole; face-grain plug of the same wood; 12.3 mm to the
    edge.
string-hole 2   reuse                -  9.50 treble   0.00       -  3.20     -  3.20          -`)
	out.Reset()
	if err := DrillCSV(&out, scheduled()); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Fatalf("%q, %v", rows, err)
	}
	// What rests on a reading that another contradicts, or on one too near to a limit, or may be spared, is read before anything is drilled.
	d, at := scheduled(), func(line int) *measure.Reading {
		return &measure.Reading{Place: measure.Place{File: "readings.csv", Line: line}, Feature: measure.BridgeScrew, Mark: measure.Mark{Number: 1}, Kind: measure.Point, Datum: measure.DatumBody}
	}
	d.Result.Suspects, d.Advice = []fit.Suspect{{Reading: at(7), Rivals: []*measure.Reading{at(18)}}}, &remedy.Advice{}
	for i, first := range []string{
		"Read again first: readings.csv line 7, bridge-screw 1 point (body) or line 18. Drill nothing until then, and check once more.",
		"Read again first what is unsure: check names it. Drill nothing until then, and check once more.",
		"First read saddle-front and saddle-back, for that may save it the drill. Drill nothing until then, and check once more.",
	} {
		switch i {
		case 1:
			d.Result.Suspects, d.Result.Verdict = nil, fit.Unsure
		case 2:
			d.Result.Verdict, d.Advice.Untried = fit.Fail, []remedy.Untried{remedy.SaddlesUntried}
		}
		out.Reset()
		if err := DrillText(&out, d, Options{}); err != nil || !strings.HasPrefix(strings.Join(strings.Fields(out.String()), " "), first+" =K: 2 holes") {
			t.Errorf("%.200q, %v, want first %q", out.String(), err, first)
		}
		out.Reset()
		if err := DrillCSV(&out, d); err != nil || strings.Count(out.String(), first) != 2 {
			t.Errorf("%q, %v, want %q in each row", out.String(), err, first)
		}
	}
	if diff := cmp.Diff([]string{"'=K", "bridge-screw", "1", "plug, re-drill", "pocket", "10", "30", "10", "29.5", "254.275", "-26.201", "0.5", "0.61", "2.9", "6", "1.4", "0.92", "false", "6.904", "", "", "12.34"}, rows[1][:22]); diff != "" {
		t.Error(diff)
	}
}
