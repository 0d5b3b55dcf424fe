package words

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// What a drawing is told by, for whoever cannot see it, has the numbers with their places and no sign to be read.
func TestDrawingLabels(t *testing.T) {
	error := found(fit.CentreLineError, -1.25, -1, 1, fit.Fail, measure.Critical)
	for got, want := range map[string]string{
		SidewaysLabel(&error): "Sideways from the centre line, magnified: the bridge lies -1.25 ± 0.20 mm from it, positive toward treble; limits -1 to 1 mm.",
		BridgeLies(&error):    "the bridge lies 1.25 ± 0.20 mm toward bass",
		PocketLabel([2]float64{0.1, 0.2}, [2]float64{0.34, 0.456}): "Pocket with the heel in it, gaps magnified. " +
			"At the mouth 0.10 mm on the bass side and 0.34 on the treble side; at the end 0.20 and 0.46.",
		HistogramLabel("pitch", "deg", 12, 0.4321, 0.1):  "Histogram of pitch over 12 kits, mean 0.43 deg; one kit is uncertain by ± 0.20.",
		SequenceLabel("pitch", 12, 2):                    "Individuals chart of pitch: 12 values, 2 signals.",
		RangesLabel("pitch", "deg", 11, 0.12345):         "Moving ranges of pitch: 11 steps, limit 0.123 deg.",
		Magnified("gaps", 9.96):                          "gaps drawn 10.0 times the scale of lengths",
		Magnified("gaps", 12.6):                          "gaps drawn 13 times the scale of lengths",
		Extent(0.25, 0.25):                               "0.25 mm",
		Extent(0.25, 0.5):                                "0.25 to 0.50 mm",
		WholeGap("mouth", 0.44, 0.05):                    "whole gap at the mouth 0.440 ± 0.098 mm",
		SwingRange(&fit.Swing{Low: -1.711, High: 4.106}): "swing of the neck at the bridge: -1.71 to +4.11 mm",
		Reserve(-0.26):                                   "0.3 mm short",
		Reserve(1.24):                                    "1.2 mm to spare",
		Person(""):                                       "(not named)",
		Person("A"):                                      "A",
		Beside(-1.234) + ", " + Beside(1.235) + ", " + Beside(-0.004): "1.23 bass, 1.24 treble, 0.00",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	right := found(fit.CentreLineError, 1.25, -1, 1, fit.Fail, measure.Critical)
	if got := BridgeLies(&right); !strings.HasSuffix(got, "toward treble") {
		t.Error(got)
	}
}

// Of numbers that no instrument has it is said where they stand, what they are compared with, and what happened
// probably; long lists of lines are cut.
func TestNonsense(t *testing.T) {
	read := func(lines ...int) (list []*measure.Reading) {
		for _, l := range lines {
			list = append(list, &measure.Reading{Place: measure.Place{File: "batch/readings.csv", Line: l}, Feature: measure.Heel, Mark: measure.Mark{Number: 1}})
		}
		return list
	}
	for _, c := range []struct {
		found fit.Nonsense
		want  string
	}{
		{fit.Nonsense{Slip: fit.Centimetres, What: fit.HeelWidth, Readings: read(7), Value: 6.35, Low: 35, High: 90},
			"readings.csv line 7: a heel's width of 6.35 mm, and instruments have 35 to 90 mm: likely centimetres written as millimetres"},
		{fit.Nonsense{Slip: fit.DecimalPoint, What: fit.PocketWidth, Readings: read(7, 9), Value: 6350, Low: 35, High: 90},
			"readings.csv lines 7 and 9: a pocket's width of 6350 mm, and instruments have 35 to 90 mm: likely a decimal point was lost"},
		{fit.Nonsense{Slip: fit.Inches, What: fit.ScaleOfFrets, Readings: read(1, 2, 3, 4, 5, 6), Value: 29.99974, Low: 400, High: 1000},
			"readings.csv lines 1, 2, 3, 4 and 2 more: a scale length of 30 mm, and instruments have 400 to 1000 mm: likely inches without their unit"},
		{fit.Nonsense{Slip: fit.Inches, What: fit.ScaleOfFrets, Place: measure.Place{File: "batch/kits.csv", Line: 3}, Value: 30, Low: 400, High: 1000},
			"batch/kits.csv:3: a scale length of 30 mm, and instruments have 400 to 1000 mm: likely inches without their unit"},
		{fit.Nonsense{Slip: fit.LoneString, Readings: read(4, 5)},
			"readings.csv lines 4 and 5: only string 1 was read, from both edges, which says nothing of the middle: read the outermost string on either side"},
		{fit.Nonsense{Slip: fit.SidesSwapped, What: fit.SideOrder, Readings: read(4, 5)},
			"readings.csv lines 4 and 5: heel and its other side lie the wrong way round: likely bass and treble were swapped"},
		{fit.Nonsense{Slip: fit.EndsSwapped, What: fit.FretOrder, Readings: read(4)},
			"readings.csv line 4: stations fall from the nut to the last fret: likely the straightedge lay from tail to head"},
		{fit.Nonsense{Slip: fit.NumbersTurned, What: fit.StringOrder, Readings: read(4)},
			"readings.csv line 4: string 1 lies on the bass side, and it is the thinnest: likely numbered from the other side"},
		{fit.Nonsense{What: fit.FloorStation, Readings: read(4), Value: 116, Low: 16, High: 90.12}, "readings.csv line 4: heel was read at a station of 116 mm, and its pocket from 16.00 to 90.12 mm: read it again"},
		{fit.Nonsense{What: fit.OffItsLine, Readings: read(4), Value: -2.126}, "readings.csv line 4: heel 1 lies 2.13 mm off where the others put it: read it again"},
		{fit.Nonsense{Slip: fit.NumbersTurned, What: fit.HolePattern, Readings: []*measure.Reading{
			{Place: measure.Place{File: "readings.csv", Line: 4}, Feature: measure.BridgeScrew}, {Place: measure.Place{File: "readings.csv", Line: 9}, Feature: measure.PlateScrew},
		}}, "readings.csv lines 4 and 9: bridge-screw and plate-screw match only when one of the two is turned round: likely numbered from the other side"},
		{fit.Nonsense{Slip: fit.Centimetres, What: fit.Agreement, Readings: []*measure.Reading{{Place: measure.Place{File: "readings.csv", Line: 4}, Feature: measure.Heel, Kind: measure.Width, Datum: measure.DatumNeck}}, Value: 4.55, Low: 45.63},
			"readings.csv line 4: heel width (neck) is 4.55 mm, and the others of its kit say about 45.6 mm: likely centimetres written as millimetres"},
	} {
		if got := Nonsense(&c.found); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	// What is said of two groups of readings in the same words is said once.
	r := fit.Result{Nonsense: []fit.Nonsense{{Readings: read(9, 5)}, {Readings: read(7), Value: 1}, {Readings: read(4)}}}
	if list := Nonsenses(&r); len(list) != 2 || !strings.HasPrefix(list[0], "readings.csv lines 4, 5 and 9: a station of 0 mm") || !strings.HasPrefix(list[1], "readings.csv line 7: a station of 1 mm") {
		t.Errorf("%q", list)
	}
	if got := firstNonsense(&r); !strings.HasSuffix(got, "; and 1 more") || firstNonsense(&fit.Result{}) != "check names it" {
		t.Error(got)
	}
}

// A schedule's headline counts each hole once, by what is done at it, and says first when some cannot be placed.
func TestDrillHeadline(t *testing.T) {
	s := &remedy.Schedule{Holes: []remedy.Hole{{Work: remedy.PlugFirst}, {Work: remedy.PlugFirst}, {Work: remedy.Fresh}, {Work: remedy.Reuse}, {Work: remedy.Abandon}}}
	const counts = "5 holes: 2 plugged and drilled anew, 1 drilled fresh, 1 used as they are, 1 plugged only"
	if got := DrillHeadline(s); got != counts {
		t.Errorf("%q", got)
	}
	s.Refusals = 2
	if got := DrillHeadline(s); got != "2 of the holes cannot be placed, do not drill; "+counts {
		t.Errorf("%q", got)
	}
	for work, want := range map[remedy.HoleWork]string{remedy.Reuse: "reuse", remedy.Fresh: "drill fresh", remedy.PlugFirst: "plug, re-drill", remedy.Abandon: "plug only"} {
		if got := HoleWork(work); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// At a hole stands first why it cannot be placed; then how it is moved, how deep, and what is near.
func TestMinding(t *testing.T) {
	far := math.Inf(1)
	for _, c := range []struct {
		hole remedy.Hole
		want []string
	}{
		{remedy.Hole{Work: remedy.Reuse, Cavity: 3, Edge: 3}, nil},
		{remedy.Hole{Work: remedy.PlugFirst, HasOld: true, Old: remedy.Point{X: 10, Y: 5}, New: remedy.Point{X: 10, Y: 7}, Depth: 20, Shared: 0.256, FaceGrain: true, Cavity: 3.14, Edge: far},
			[]string{"drilled " + Moved(0, 2) + "; 20 mm deep in the wood; 26 % of it lies in the old hole; face-grain plug of the same wood; 3.1 mm to a cavity."}},
		{remedy.Hole{Work: remedy.Fresh, Through: true, Cavity: far, Edge: 7.26, Refused: remedy.Remark{Kind: remedy.OutsideBody}},
			[]string{"CANNOT BE PLACED: it falls outside the body.", "through, from the top on a backing board; 7.3 mm to the edge."}},
	} {
		if diff := cmp.Diff(c.want, Minding(&c.hole)); diff != "" {
			t.Error(diff)
		}
	}
}

// An index shows its confidence limits as far as there are any; beyond 3 its number says no more.
func TestIndexInWords(t *testing.T) {
	up, down := math.Inf(1), math.Inf(-1)
	for _, c := range []struct {
		index lot.Index
		want  string
	}{
		{lot.Index{}, "-"},
		{lot.Index{Known: true, Value: 1.334, Low: 1.04, High: 1.66}, "1.33 1.0..1.7"},
		{lot.Index{Known: true, Value: 1.334, Low: 1.04, High: up}, "1.33 >1.0"},
		{lot.Index{Known: true, Value: 1.334, Low: down, High: 1.66}, "1.33 <1.7"},
		{lot.Index{Known: true, Value: 3.01, Low: 2.5, High: 4}, ">3"},
		{lot.Index{Known: true, Value: 2.99, Low: 2.5, High: 4}, "2.99 2.5..4.0"},
		{lot.Index{Known: true, Value: up, Low: 1.26, High: up}, ">1.3"},
		{lot.Index{Known: true, Value: down, Low: down, High: -0.26}, "<-0.3"},
		{lot.Index{Known: true, Value: 1, Low: down, High: up}, "?"},
	} {
		if got := Index(c.index); got != c.want {
			t.Errorf("%+v: %q, want %q", c.index, got, c.want)
		}
	}
	for got, want := range map[string]string{
		Tolerance(nil): "",
		Tolerance(&lot.Interval{Low: down, High: 1.2345}):  "up to 1.234",
		Tolerance(&lot.Interval{Low: -0.5, High: up}):      "-0.500 and up",
		Tolerance(&lot.Interval{Low: -0.5, High: 123.456}): "-0.500 to 123.46",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	falling := &delivery.Process{N: 24, Trend: &lot.Trend{Slope: -0.0205, U: 0.0098, First: 0.3, Last: -0.1714}}
	if got := Drift(falling); got != "it drifts by -0.0205 ± 0.0098 mm a kit, down by 0.471 mm over the 24 kits" {
		t.Errorf("%q", got)
	}
}

// What a sheet will tell is sorted by what it can decide; what nobody wants and has no rows is not mentioned.
func TestPlanned(t *testing.T) {
	up := math.Inf(1)
	lacks := fit.Missing{}
	for _, id := range fit.IDs() { // whatever a kit without readings lacks
		for _, c := range fit.Check(&measure.Kit{Name: "A"}, fit.Options{}).Characteristics {
			if c.ID == id && !c.Missing.None() {
				lacks = c.Missing
			}
		}
	}
	list := []fit.Planned{
		{ID: fit.CentreLineError, StdUncertainty: 0.1, Lower: -1, Upper: 1, Needed: 0.4, Wanted: true},
		{ID: fit.BridgeSkew, StdUncertainty: 0.5, Lower: -0.8, Upper: 0.8, Needed: 0.25, TooCoarse: true, Wanted: true, Cure: fit.Cure{Times: 2, Instead: []string{"rule"}, StdUncertainty: 0.2}},
		{ID: fit.PocketWidthEnd, StdUncertainty: 0.05, Lower: -up, Upper: up},
		{ID: fit.MarginBass, Missing: lacks, Lower: 2.5, Upper: up},
		{ID: fit.ScaleLength, Missing: lacks, Wanted: true, Lower: 761, Upper: 763},
	}
	want := []Answer{Decidable, Coarse, NotLimited, NoRows, NoRows}
	for i := range list {
		if got := AnswerOf(&list[i]); got != want[i] {
			t.Errorf("%s: %s, want %s", list[i].ID, got, want[i])
		}
	}
	if diff := cmp.Diff([]string{
		"With these rows and gauges can be decided: centre-line-error ± 0.2 mm.",
		"Too coarse to be decided: bridge-skew (± 0.98 deg, needed ± 0.49 deg; instead of rule a calliper that repeats to 0.05 mm, or as good a long vernier where that does not reach, and each place read twice as often: ± 0.39 deg).",
		"No rows for what matters besides: scale-length.",
	}, Planned(list)); diff != "" {
		t.Error(diff)
	}
	head := PlanHeadline([]string{"A", "B"}, list)
	if !strings.HasPrefix(head, "A and B: these rows and gauges are too coarse for bridge-skew; there are no rows for scale-length (read ") || !strings.HasSuffix(head, ").") {
		t.Errorf("%q", head)
	}
	if got := PlanHeadline([]string{"1", "2", "3", "4", "5", "6", "7"}, list[:1]); got != "1, 2, 3, 4, 5 and 2 more: everything that matters can be decided with these rows and gauges." {
		t.Errorf("%q", got)
	}
	for got, want := range map[string]string{
		TaskName(measure.DatumEdgeBass, measure.BridgeScrew, "5", measure.Point, "2"): "bridge screw 5, from the bass edge, time 2",
		TaskName(measure.DatumEdgeTreble, measure.Nut, "", measure.Station, "1"):      "nut, from the treble edge",
		TaskName(measure.DatumBody, measure.Pocket, "", measure.Width, ""):            "pocket, width",
		NumberName("station", measure.Point):                                          "station: how far along the straightedge",
		NumberName("offset", measure.Point):                                           "offset: how far across from the straightedge",
		NumberName("size", measure.Gap):                                               "gap",
		TellsMost("nut", "on the bass side", fit.ScaleLength):                         "of what is still to be read this tells most: nut, on the bass side (scale-length rests on it)",
		TellsMost("nut", "", fit.ScaleLength):                                         "of what is still to be read this tells most: nut (scale-length rests on it)",
		SheetTitle("quick", 1, 1) + ", " + SheetTitle("loose", 2, 3):                  "Quick check, Loose parts, page 2 of 3",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Every place that a sheet may name has words of its own.
func TestWhere(t *testing.T) {
	for where, want := range map[Where]string{
		Anywhere: "", NearMouth: "near the pocket's mouth", NearEnd: "near the pocket's end", BassSide: "on the bass side", TrebleSide: "on the treble side", AtNut: "at the nut",
		AtLastFret: "at the last fret", SlotCentre: "centre of the slot", BassMost: "centre of the bass-most hole", TrebleMost: "centre of the treble-most hole",
		WoundForward: "wound fully forward", WoundBack: "wound fully back", WoundDown: "wound fully down", WoundUp: "wound fully up",
		MouthBass: "mouth, bass corner", EndTreble: "end, treble corner", BesideMouthBass: "beside the mouth, bass", BehindEndTreble: "behind the end, treble",
	} {
		if got := string(where); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := Hint(measure.Heel, measure.Width, NearMouth); got != "near the pocket's mouth: fill in station and size" {
		t.Error(got)
	}
	defer func() {
		if recover() == nil {
			t.Error("a nut has no gap")
		}
	}()
	Hint(measure.Nut, measure.Gap, Anywhere)
}
