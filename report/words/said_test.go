package words

import (
	"errors"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// Whatever is missing is said, with the feature, datum and marks that are meant.
func TestMissing(t *testing.T) {
	for w := range missing {
		m := fit.Missing{Want: fit.Want(w), Feature: measure.SaddleBack, Datum: measure.DatumEdgeBass, Mark: 7}
		if got := Missing(m); (got == "") != m.None() || strings.ContainsAny(got, "{}") {
			t.Errorf("want %d is said as %q", w, got)
		}
	}
	marks := fit.Marks{1<<2 | 1<<3 | 1<<5}
	for _, c := range []struct {
		missing fit.Missing
		want    string
	}{
		{fit.Missing{}, ""},
		{fit.Missing{Want: fit.WantSide, Feature: measure.HeelBass, Datum: measure.DatumNeck}, "heel-bass at two stations (datum neck)"},
		{fit.Missing{Want: fit.WantPlace, Feature: measure.Saddle, Datum: measure.DatumBody, Mark: 4}, "saddle 4, both station and offset (datum body)"},
		{fit.Missing{Want: fit.WantSaddleStops, Feature: measure.SaddleBack, Marks: marks}, "saddle-back of string 2, 3 and 5, with its saddle's offset"},
		{fit.Missing{Want: fit.WantCorners, Marks: fit.Marks{1 << 1}}, "heel-corner and pocket-corner radius, bass"},
		{fit.Missing{Want: fit.WantCorners, Marks: fit.Marks{1 << 2}}, "heel-corner and pocket-corner radius, treble"},
	} {
		if got := Missing(c.missing); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for n, want := range []string{"", "a", "a and b", "a, b and c"} {
		if got := Listed([]string{"a", "b", "c"}[:n]); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestBasisAndSource(t *testing.T) {
	for _, c := range []struct {
		basis fit.Basis
		want  string
	}{
		{fit.Basis{}, ""}, {fit.Basis{Kind: fit.Symmetric, Feature: measure.BridgeScrew}, "bridge-screws from both edges, taken as symmetric"},
		{fit.Basis{Kind: fit.BowOver, Length: 412.4, Ratio: 2.345}, "over 412 mm, 2.3 standard uncertainties from straight"}, {fit.Basis{Kind: fit.AtFret, Mark: 9, Read: 5}, "at fret 9, of the 5 that were read"},
		{fit.Basis{Kind: fit.AtFret, Mark: 9, Read: 5, All: 20}, "at fret 9, of the 5 that were read of 20"},
		{fit.Basis{Kind: fit.NeckSeated, Mark: 3}, "neck seated, at screw 3"}, {fit.Basis{Kind: fit.HeelSeated}, "pocket and seated heel"},
		{fit.Basis{Kind: fit.HeelSeated, Length: 65.4}, "pocket and seated heel, 65 mm from the pocket's end"},
	} {
		if got := Basis(c.basis); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for _, c := range []struct {
		source fit.LimitSource
		want   string
	}{
		{fit.LimitSource{}, ""}, {fit.LimitSource{Origin: fit.CommonPractice}, "common practice, no source"}, {fit.LimitSource{Origin: fit.LimitTable}, "limits.csv"},
		{fit.LimitSource{Origin: fit.LimitTable, Text: "the workshop"}, "the workshop"},
		{fit.LimitSource{Origin: fit.ByScale, Slack: 1.5}, "scale in kits.csv, 1.5 mm either way: common practice, no source"},
		{fit.LimitSource{Origin: fit.ByCents, Slack: 5}, "5 cents of the string: common practice, no source"},
		{fit.LimitSource{Origin: fit.ByClearance, Feature: measure.PlateScrew, Hole: 3.5, Screw: 2.9}, "half the screw's clearance in plate-screw: hole 3.50 mm, bridge_screw 2.90 mm"},
		{fit.LimitSource{Origin: fit.ByClearance, Feature: measure.NeckScrew, Hole: 5, Screw: 4.5}, "half the screw's clearance in neck-screw: hole 5.00 mm, neck_screw 4.50 mm"},
	} {
		if got := LimitSource(c.source); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestWarning(t *testing.T) {
	for _, c := range []struct {
		warning fit.Warning
		want    string
	}{
		{fit.Warning{Kind: fit.ScaledUp, Ratio: 2.345}, "by 2.3 times what their gauges claim"}, {fit.Warning{Kind: fit.NoCompensation, Strings: 7}, "for 7 strings: "},
		{fit.Warning{Kind: fit.Fanned, Ratio: 24.6}, "fanned by 25 mm more than kits.csv tells: along the bass edge they follow a longer scale than along the treble"},
		{fit.Warning{Kind: fit.Fanned, Ratio: -24.6}, "by 25 mm more than kits.csv tells: along the treble edge they follow a longer scale than along the bass"},
		{fit.Warning{Kind: fit.NoFit, Err: errors.New("no way")}, "no fit: no way"}, {fit.Warning{Kind: fit.ReworkedOnly}, "stage reworked"},
		{fit.Warning{Kind: fit.NoCircle}, "do not lie on a circle"}, {fit.Warning{Kind: fit.AlongNeck}, "to lie along the neck"},
		{fit.Warning{Kind: fit.PastedAgain, Readings: []*measure.Reading{{Place: measure.Place{Line: 9}}, {Place: measure.Place{Line: 4}}}}, "lines 4 and 9 of readings.csv: the same row"},
		{fit.Warning{Kind: fit.OffThere, Ratio: -1.704, Readings: []*measure.Reading{{Place: measure.Place{Line: 9}, Feature: measure.Fret, Mark: measure.Mark{Number: 7}, Kind: measure.Station, Datum: measure.DatumNeck, Trial: 2}, {Place: measure.Place{Line: 4}}}},
			"fret 7 station (neck) lies 1.70 mm off where the other readings put it, and reads so again (lines 4 and 9): it is the part that is off there"},
	} {
		if got := Warning(c.warning); !strings.Contains(got, c.want) {
			t.Errorf("%q, want %q in it", got, c.want)
		}
	}
}

// What is to be minded at a hole has its numbers, the one that is there before the one that is needed.
func TestRemark(t *testing.T) {
	other := remedy.Named{Feature: measure.StringHole, Mark: 3, Old: true}
	for _, c := range []struct {
		remark remedy.Remark
		want   string
	}{
		{remedy.Remark{}, ""}, {remedy.Remark{Kind: remedy.PilotOff, Need: 2.125, Have: 2.5}, "the pilot should be 2.12 mm; the nearest bit in stock is 2.50 mm"},
		{remedy.Remark{Kind: remedy.ThinPlug, Need: 1.5}, "less than 1.5 mm of wood is left between the bit and the plug's edge"},
		{remedy.Remark{Kind: remedy.Close, Other: other, Have: 5.25, Need: 3}, "the old string-hole 3 is 5.2 mm away, less than 3 screw diameters"},
		{remedy.Remark{Kind: remedy.Crowded, Other: other, Have: 5.26, Need: 2}, "the old string-hole 3 is only 5.3 mm away, less than 2 screw diameters"},
		{remedy.Remark{Kind: remedy.CloseToEdge, Have: 3.14, Need: 5}, "only 3.1 mm of wood to the edge or a cavity; 5.0 mm is common practice, no source"},
		{remedy.Remark{Kind: remedy.ThinWood, Other: other, Have: 0.33, Need: 1}, "only 0.33 mm of wood to the old string-hole 3; 1.0 mm is common practice, no source"},
		{remedy.Remark{Kind: remedy.NoPlug, Need: 6.5}, "no plug in stock is 6.5 mm or more, which the old hole needs"},
		{remedy.Remark{Kind: remedy.RunsInto, Other: other}, "it runs into the old string-hole 3"},
		{remedy.Remark{Kind: remedy.PlugsOverlap, Other: other}, "its plug and that of the old string-hole 3 would overlap"},
		{remedy.Remark{Kind: remedy.InCavity, Cavity: "control"}, "it falls into the cavity control"}, {remedy.Remark{Kind: remedy.OutsideBody}, "it falls outside the body"},
		{remedy.Remark{Kind: remedy.NoBit}, "the screw's size is not known: write bridge_screw or neck_screw into kits.csv, or read the old hole's diameter"},
		{remedy.Remark{Kind: remedy.NoBit, Need: 3.1}, "no bit in stock for 3.10 mm"},
	} {
		if got := Remark(c.remark); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if got := HoleName(remedy.Named{Feature: measure.BridgeScrew, Mark: 2}) + HoleName(remedy.Named{}); got != "bridge-screw 2" {
		t.Error(got)
	}
	for h, want := range map[*remedy.Hole]string{
		{Through: true, Depth: 9}: "through, from the top on a backing board", {Depth: 24.6}: "25 mm deep in the wood", {}: "as deep as its screw reaches, 6 mm of wood or more left below",
	} {
		if got := Depth(h); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// What cannot be cured says what there is against what it takes; what waits for a reading says which.
func TestWhatToDo(t *testing.T) {
	for _, c := range []struct {
		incurable remedy.Incurable
		want      string
	}{
		{remedy.Incurable{Cause: remedy.OtherScale, Have: 812.8, Need: 762}, "it measures 813 mm, and kits.csv says 762 mm"},
		{remedy.Incurable{ID: fit.PocketGapEnd, Cause: remedy.HeelTooWide, Have: 2.26, Most: 1}, "pocket-gap-end: the heel is 2.3 mm wider than the pocket there, and a wall is scraped by 1.0 mm at the most"},
		{remedy.Incurable{ID: fit.PocketGapEnd, Cause: remedy.NoStockFits, Have: 0.3, Need: 0.74}, "it takes 0.3 to 0.7 mm of shim, and the thickest on the shelf is none"},
		{remedy.Incurable{ID: fit.PocketGapEnd, Cause: remedy.NoStockFits, Have: 0.3, Need: 0.74, Most: 1}, "the thickest on the shelf is 1.00 mm a wall"},
		{remedy.Incurable{ID: fit.SaddleReserveBack, Cause: remedy.TravelTooShort, Have: 1.26, Need: 2}, "the two reserves add up to 1.3 mm and must be 2.0 mm"},
		{remedy.Incurable{ID: fit.SaddleReserveBack, Cause: remedy.BridgeTooFar, Most: 12}, "it cannot be moved that far (12 mm at the most)"},
		{remedy.Incurable{ID: fit.SideBow, Cause: remedy.Unchanged}, "side-bow is not changed by any work on the fit"},
	} {
		a := &remedy.Advice{Plans: []remedy.Plan{{Level: remedy.Returned, Return: []measure.Part{measure.NeckPart}}}, Cannot: []remedy.Incurable{c.incurable}}
		if got := WhatToDo(kitWith(found(fit.SideBow, 1, -0.3, 0.3, fit.Fail, measure.Minor)), a); !strings.HasPrefix(got, "return the neck: ") || !strings.Contains(got, c.want) {
			t.Errorf("%q, want %q in it", got, c.want)
		}
	}
	failing := kitWith(found(fit.SideBow, 1, -0.3, 0.3, fit.Fail, measure.Minor))
	near := kitWith(found(fit.SideBow, 0.3, -0.3, 0.3, fit.Unsure, measure.Minor))
	reseat := remedy.Plan{Actions: []remedy.Action{{Work: measure.Reseat}}, Level: remedy.Reversible, P: 0.9, Minutes: 10, Expected: 40.4}
	level := remedy.Plan{Actions: []remedy.Action{{Work: measure.LevelFloor}}, Level: remedy.Trimmed, P: 0.8, Minutes: 20, Expected: 60.6}
	one := func(line int) *measure.Reading {
		return &measure.Reading{Place: measure.Place{File: "a/readings.csv", Line: line}}
	}
	line := []fit.Suspect{{Reading: one(12), Rivals: []*measure.Reading{one(18)}}, {Reading: one(14)}}
	odd := kitWith(found(fit.SideBow, 0, -0.3, 0.3, fit.Pass, measure.Minor))
	odd.Suspects = []fit.Suspect{{Reading: &measure.Reading{Place: measure.Place{File: "readings.csv", Line: 12}, Feature: measure.Nut, Kind: measure.Station}}}
	for _, c := range []struct {
		kit    *fit.Result
		advice remedy.Advice
		want   string
	}{
		{kitWith(found(fit.SideBow, 0, -0.3, 0.3, fit.Pass, measure.Minor)), remedy.Advice{Plans: []remedy.Plan{reseat}}, "passes: leave it."},
		{odd, remedy.Advice{Plans: []remedy.Plan{reseat}}, "passes as it was read: leave it, but read again what does not agree, readings.csv line 12, "},
		{kitWith(), remedy.Advice{Plans: []remedy.Plan{reseat}}, "nothing could be judged"},
		{failing, remedy.Advice{Plans: []remedy.Plan{reseat}, Untried: []remedy.Untried{remedy.BridgeUntried}}, "re-seat the neck: 90.0 % that all then passes; 10 minutes, reversible."},
		{failing, remedy.Advice{Plans: []remedy.Plan{level}, Untried: []remedy.Untried{remedy.SaddlesUntried}}, "first read saddle-front and saddle-back, for that may save it this: level the pocket's floor: 80.0 %"},
		{failing, remedy.Advice{Plans: []remedy.Plan{level}, Suspect: line}, "read again before anything is done: readings.csv line 12 or 18; line 14. What would follow if that is as it was read: level"},
		{near, remedy.Advice{Plans: []remedy.Plan{level}}, "read again what is unsure before any wood is cut; if it holds, level the pocket's floor: 80.0 %"},
		{near, remedy.Advice{Plans: []remedy.Plan{reseat}}, "re-seat the neck: 90.0 %"},
		{failing, remedy.Advice{Plans: []remedy.Plan{{P: 0.4}}, Waits: []remedy.Wait{{ID: fit.PocketGapEnd, Untried: remedy.ScrewsUntried}}}, "first read their diameters (neck-screw, kind diameter): until then nothing can be said of how to cure pocket-gap-end."},
		{failing, remedy.Advice{Plans: []remedy.Plan{level}, Waits: []remedy.Wait{{ID: fit.PocketGapEnd, Untried: remedy.ScrewsUntried}}}, "first read their diameters (neck-screw, kind diameter): until then nothing can be said of how to cure pocket-gap-end. Meanwhile: level the pocket's floor: 80.0 %"},
		{failing, remedy.Advice{Plans: []remedy.Plan{{P: 0.4}}}, "read again what is unsure, and leave it until then: 40.0 % that it passes as it is."},
	} {
		if got := WhatToDo(c.kit, &c.advice); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	a := &remedy.Advice{Plans: []remedy.Plan{reseat, level}, Why: remedy.Cheaper}
	if got, want := Why(a), "less, 40 against 61 minutes"; !strings.Contains(got, want) || !strings.HasSuffix(got, "90.0 % against 80.0 % that all then passes.") || !strings.Contains(got, "the next plan (level the pocket's floor)") {
		t.Errorf("%q, want %q in it", got, want)
	}
	a.Why = remedy.NothingHelps
	if got, want := Why(a), "(level the pocket's floor) reaches 80.0 %."; !strings.HasSuffix(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
