package words

import (
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

func TestPageWords(t *testing.T) {
	for want, got := range map[string]string{
		"(kit 7, without a name)":            KitName(" \t", 7),
		"A1":                                 KitName(" A1 ", 7),
		"✕ fail":                             SignedVerdict(fit.Fail),
		"? unsure":                           SignedVerdict(fit.Unsure),
		"✓ pass":                             SignedVerdict(fit.Pass),
		"– not judged":                       SignedVerdict(fit.NotJudged),
		"and 3 more readings, 12 % together": MoreShares(3, 0.123),
		"and 1 more reading, 0 % together":   MoreShares(1, -1e-9),
		"gaps drawn 8.6 times the scale of lengths":     Magnified("gaps", 8.61),
		"sideways drawn 132 times the scale of lengths": Magnified("sideways", 132.4),
		"0.50 mm":                               Extent(0.5, 0.5),
		"1.00 to 0.60 mm":                       Extent(1, 0.6),
		"0.00 to 0.20 mm":                       Extent(-0.001, 0.2),
		"0.4 mm short":                          Reserve(-0.4),
		"2.6 mm to spare":                       Reserve(2.6),
		"whole gap at the end 0.890 ± 0.051 mm": WholeGap("end", 0.89, 0.026),
		"swing of the neck at the bridge: -5.08 to +4.86 mm": SwingRange(&fit.Swing{Low: -5.08, High: 4.86}),
		"the bridge lies 0.11 ± 0.25 mm toward bass":         BridgeLies(&fit.Characteristic{Value: -0.11, StdUncertainty: 0.1255}),
		"the bridge lies 0.11 ± 0.25 mm toward treble":       BridgeLies(&fit.Characteristic{Value: 0.11, StdUncertainty: 0.1255}),
		"+12": Hundredths(0.123),
		"−50": Hundredths(-0.5),
		"0":   Hundredths(-0.004),
		"Individuals chart of gap: 9 values, 2 signals.":                                                SequenceLabel("gap", 9, 2),
		"read 1.00 mm, the others say 2.00 mm; residual 5.0 times its standard deviation, critical 4.0": Disagrees(&fit.Suspect{Read: 1, Expected: 2, W: 5, Critical: 4}),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A plan's works are named once each in a row, without sizes.
func TestWorks(t *testing.T) {
	p := &remedy.Plan{Actions: []remedy.Action{{Work: measure.Reseat}, {Work: measure.SideShim, Wall: remedy.Bass, Mouth: 1}, {Work: measure.SideShim, Wall: remedy.Treble}, {Work: measure.PlugBridge}}}
	if got := Works(p); strings.Contains(got, "1.0") || strings.Count(got, "shim") != 1 || !strings.HasPrefix(got, "reseat") && !strings.HasPrefix(got, "re-seat") {
		t.Errorf("works: %q", got)
	}
}

// What holds a plan's odds down is told where that is less than sure.
func TestHeldDownBy(t *testing.T) {
	for want, p := range map[string]remedy.Plan{
		"pocket-gap-end, 91.2 %": {Level: remedy.Redrilled, Weakest: remedy.Weakest{ID: fit.PocketGapEnd, P: 0.912}},
		"-":                      {Level: remedy.Redrilled, Weakest: remedy.Weakest{ID: fit.PocketGapEnd, P: 0.951}},
	} {
		if got := HeldDownBy(&p); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := HeldDownBy(&remedy.Plan{Level: remedy.Returned}); got != "-" {
		t.Errorf("a return is held down by %q", got)
	}
}

// The tool of a reading is the one that reaches it.
func TestTool(t *testing.T) {
	for _, c := range []struct {
		datum   measure.Datum
		feature measure.Feature
		kind    measure.Kind
		want    string
	}{
		{measure.DatumBody, measure.Pocket, measure.Width, "inside jaws"},
		{measure.DatumNeck, measure.Heel, measure.Width, "outside jaws"},
		{measure.DatumBody, measure.PocketBass, measure.Gap, "feeler leaves, as many as go in"},
		{measure.DatumBody, measure.NeckScrew, measure.Diameter, "inside jaws, or the bit that just goes in"},
		{measure.DatumNeck, measure.HeelCorner, measure.Radius, "radius gauge or coin"},
		{measure.DatumBody, measure.PocketFloor, measure.Height, "depth rod, from the straightedge"},
		{measure.DatumEdgeBass, measure.Nut, measure.Station, "rule along the bass edge"},
		{measure.DatumNeck, measure.EdgeBass, measure.Offset, "depth rod, square to the straightedge"},
		{measure.DatumEdgeTreble, measure.BridgeScrew, measure.Point, "rule along, depth rod across: the treble edge"},
	} {
		if got := Tool(c.datum, c.feature, c.kind); got != c.want {
			t.Errorf("%s %s from %s: %q, want %q", c.feature, c.kind, c.datum, got, c.want)
		}
	}
	if got := ToRead(measure.BridgeScrew, "5", measure.Point, BassMost, 1, 2); got != "bridge-screw 5: centre of the bass-most hole, 2 times" {
		t.Errorf("%q", got)
	}
	if got := ToRead(measure.Heel, "", measure.Width, NearMouth, 3, 4); got != "heel, width: near the pocket's mouth, time 3 of 4" {
		t.Errorf("%q", got)
	}
}
