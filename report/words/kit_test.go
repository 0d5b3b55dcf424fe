package words

import (
	"math"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

var open = math.Inf(1)

// found is a characteristic known to 0.1 of its unit, standard: ± 0.20.
func found(id fit.ID, value, low, high float64, v fit.Verdict, class measure.Class) fit.Characteristic {
	return fit.Characteristic{ID: id, Dimension: fit.Characteristics()[id.String()], Value: value, StdUncertainty: 0.1, Lower: low, Upper: high, Verdict: v, Class: class}
}

// What a value means is said by its side, never by its sign, and held against the limit on that side.
func TestStanding(t *testing.T) {
	for _, c := range []struct {
		id          fit.ID
		value       float64
		low, high   float64
		verdict     fit.Verdict
		want, brief string
	}{
		{fit.CentreLineError, 1.92, -1, 1, fit.Fail,
			"the bridge lies 1.92 ± 0.20 mm toward treble (the thin strings), more than the 1 mm allowed (centre-line-error)", "toward treble, beyond 1 mm"},
		{fit.CentreLineError, -1.92, -1, 1, fit.Fail,
			"the bridge lies 1.92 ± 0.20 mm toward bass (the thick strings), more than the 1 mm allowed (centre-line-error)", "toward bass, beyond 1 mm"},
		{fit.CentreLineError, -1.05, -1, 1, fit.Unsure,
			"the bridge lies 1.05 ± 0.20 mm toward bass (the thick strings), too near the limit of 1 mm to say (centre-line-error)", "toward bass, near the limit of 1 mm"},
		{fit.CentreLineError, 0.9, -1.5, 1, fit.Unsure,
			"the bridge lies 0.90 ± 0.20 mm toward treble (the thin strings), too near the limit of 1 mm to say (centre-line-error)", "toward treble, near the limit of 1 mm"},
		{fit.CentreLineError, -0.2, -1, 1, fit.Pass,
			"the bridge lies 0.20 ± 0.20 mm toward bass (the thick strings), 1 mm either way allowed (centre-line-error)", ""},
		{fit.CentreLineError, 0.2, -1, 1.5, fit.Pass,
			"the bridge lies 0.20 ± 0.20 mm toward treble (the thin strings), -1 to 1.5 mm allowed (centre-line-error)", ""},
		{fit.CentreLineError, -0.001, -1, 1, fit.Pass, "centre-line-error is 0.00 ± 0.20 mm, 1 mm either way allowed", ""}, // of nothing there is no side
		{fit.BridgeSkew, 0.99, -0.5, 0.5, fit.Fail,
			"the treble end of the saddles' row is turned 0.99 ± 0.20 deg toward the headstock, more than the 0.5 deg allowed (bridge-skew)", "treble forward, beyond 0.5 deg"},
		{fit.MarginBass, 1.5, 2.5, open, fit.Fail,
			"the lowest string runs 1.50 ± 0.20 mm inside the bass edge, less than the 2.5 mm wanted (margin-bass)", "below 2.5 mm"},
		{fit.MarginTreble, -1.5, 2.5, open, fit.Fail,
			"the highest string runs 1.50 ± 0.20 mm beyond the treble edge, at least 2.5 mm wanted (margin-treble)", "off the board, below 2.5 mm"},
		{fit.PocketGapEnd, -0.6, 0.05, 0.5, fit.Fail,
			"the heel is 0.60 ± 0.20 mm wider than the pocket near its end and does not go in, 0.05 to 0.5 mm allowed (pocket-gap-end)", "too tight, below 0.05 mm"},
		{fit.PocketGapMouth, 1.46, 0.05, 0.5, fit.Fail,
			"the pocket is 1.46 ± 0.20 mm wider than the heel at its mouth, more than the 0.5 mm allowed (pocket-gap-mouth)", "above 0.5 mm"},
		{fit.CornerReserve, -2, 0, open, fit.Fail,
			"a corner of the heel is 2.00 ± 0.20 mm sharper than the pocket's and keeps the end from going home, at least 0 mm wanted (corner-reserve)",
			"too sharp, below 0 mm"},
		{fit.ScaleLength, 812.83, 761, 763, fit.Fail, "the scale is 812.83 ± 0.20 mm long, more than the 763 mm allowed (scale-length)", "above 763 mm"},
		{fit.ScaleLength, 760, 761, 763, fit.Fail, "the scale is 760.00 ± 0.20 mm long, less than the 761 mm wanted (scale-length)", "below 761 mm"},
		{fit.FretError, -0.4, -0.15, 0.15, fit.Fail, "the worst fret lies 0.40 ± 0.20 mm too near the nut, more than the 0.15 mm allowed (fret-error)", "toward nut, beyond 0.15 mm"},
		{fit.BridgeSkew, -0.2, -0.05, 0.05, fit.TooCoarse,
			"the bass end of the saddles' row is turned 0.20 ± 0.20 deg toward the headstock, which gauges as coarse as these cannot hold against its limits, -0.05 to 0.05 deg (bridge-skew)",
			"the gauges are too coarse for its limits"},
		{fit.NeckScrewMismatch, 1.41, -open, 0.585, fit.Fail,
			"the worst screw hole of the heel lies 1.41 ± 0.20 mm off the body's, more than the 0.585 mm allowed (neck-screw-mismatch)", "above 0.585 mm"},
		{fit.NeckScrewMismatch, 0.1, -open, 0.585, fit.Pass,
			"the worst screw hole of the heel lies 0.10 ± 0.20 mm off the body's, at most 0.585 mm allowed (neck-screw-mismatch)", ""},
	} {
		r := &fit.Result{Verdict: c.verdict, Characteristics: []fit.Characteristic{found(c.id, c.value, c.low, c.high, c.verdict, measure.Major)}}
		if got := Standing(&r.Characteristics[0]); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
		brief := c.id.String() + ": " + c.brief
		if c.brief == "" {
			brief = c.id.String() + " has least room"
		}
		if got := Brief(r); got != brief {
			t.Errorf("%q, want %q", got, brief)
		}
	}
}

// A screw that is as thick as its hole is said to be so: there is no gauge that would do.
func TestScrewThatDoesNotPass(t *testing.T) {
	c := found(fit.NeckScrewMismatch, 0.2, math.Inf(-1), 0, fit.Fail, measure.Major)
	c.LimitSource = fit.LimitSource{Origin: fit.ByClearance, Feature: measure.NeckScrew, Hole: 5.18, Screw: 5.5}
	want := "the worst screw hole of the heel lies 0.20 ± 0.20 mm off the body's, and its screw does not pass freely: it is 5.50 mm thick, and the narrowest hole 5.18 mm wide (neck-screw-mismatch)"
	if got := Standing(&c); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What matters most: the worst verdict, then the class, then what is farthest beyond its limit in its own
// uncertainties.
func TestWorst(t *testing.T) {
	list := []fit.Characteristic{
		found(fit.HeelThickness, 26, -open, open, fit.NotJudged, measure.Minor),
		found(fit.SideBow, 0.1, -0.3, 0.3, fit.Pass, measure.Minor),
		found(fit.MarginBass, 2.9, 2.5, open, fit.Pass, measure.Major), // four times its uncertainty inside
		found(fit.MarginBalance, 1.2, -1.4, 1.4, fit.Pass, measure.Major),
		found(fit.MarginBalance, -1.2, -1.4, 1.4, fit.Unsure, measure.NoClass),
		found(fit.FretError, 0.2, -open, 0.15, fit.Unsure, measure.Minor),
		found(fit.PocketGapEnd, 0.52, 0.05, 0.5, fit.Unsure, measure.Major),
		found(fit.CentreLineError, -0.97, -1, 1, fit.Unsure, measure.Critical),
		found(fit.CentreLineError, 0.99, -1, 1, fit.Unsure, measure.Critical),
		found(fit.SideBow, 0.9, -0.3, 0.3, fit.Fail, measure.Minor),
		found(fit.PocketGapMouth, 0.9, 0.05, 0.5, fit.Fail, measure.Major),
		found(fit.PocketGapMouth, -0.4, 0.05, 0.5, fit.Fail, measure.Major),
	}
	for n := 2; n <= len(list); n++ {
		r := &fit.Result{Characteristics: list[:n]}
		if got := Worst(r); got != &list[n-1] {
			t.Errorf("of %d the worst is %v %v, want %v %v", n, got.ID, got.Value, list[n-1].ID, list[n-1].Value)
		}
		if !Worse(&list[n-1], &list[n-2]) || Worse(&list[n-2], &list[n-1]) {
			t.Errorf("%v and %v are not in order", list[n-2].ID, list[n-1].ID)
		}
	}
	if got := Worst(&fit.Result{Characteristics: list[:1]}); got != nil {
		t.Errorf("%v was not judged", got.ID)
	}
	exact := []fit.Characteristic{found(fit.SideBow, 0.1, -0.3, 0.3, fit.Pass, measure.Minor), found(fit.Roll, 0.4, -0.3, 0.3, fit.Fail, measure.Minor)}
	exact[0].StdUncertainty, exact[1].StdUncertainty = 0, 0
	if !math.IsInf(room(&exact[0]), 1) || !math.IsInf(room(&exact[1]), -1) {
		t.Errorf("without an uncertainty there is room of %v and %v", room(&exact[0]), room(&exact[1]))
	}
}

// kitWith is a kit of characteristics, whose verdict is the worst of theirs.
func kitWith(list ...fit.Characteristic) *fit.Result {
	r := &fit.Result{Kit: "K", Characteristics: list}
	for _, c := range list {
		r.Verdict = max(r.Verdict, c.Verdict)
	}
	return r
}

func TestHeadlines(t *testing.T) {
	good, scale := found(fit.CentreLineError, 0.2, -1, 1, fit.Pass, measure.Critical), found(fit.ScaleLength, 762, 761, 763, fit.Pass, measure.Critical)
	missing := fit.Characteristic{ID: fit.SaddleReserveBack, Class: measure.Critical, Missing: fit.Missing{Want: fit.WantSaddleStops, Feature: measure.SaddleBack}}
	minor := fit.Characteristic{ID: fit.FretError, Class: measure.Minor, Missing: fit.Missing{Want: fit.WantFrets}}
	bad, also := found(fit.CentreLineError, 1.9, -1, 1, fit.Fail, measure.Critical), found(fit.PocketGapEnd, 1.9, 0.05, 0.5, fit.Fail, measure.Major)
	near := found(fit.CentreLineError, 1.05, -1, 1, fit.Unsure, measure.Critical)
	decided := near
	decided.Advice = fit.Advice{Kind: fit.OnLimit}
	free := found(fit.HeelThickness, 26, -open, open, fit.NotJudged, measure.Minor)
	swinging := kitWith(bad)
	swinging.Swing = &fit.Swing{Low: 0.9, High: 2.9}
	stuck := kitWith(bad)
	stuck.Swing = &fit.Swing{Low: 1.1, High: 2.9}
	suspected := kitWith(bad)
	suspected.Suspects = []fit.Suspect{{Reading: &measure.Reading{Datum: measure.DatumBody, Feature: measure.Pocket, Kind: measure.Width, Place: measure.Place{File: "a/r.csv", Line: 7}}}}
	doubted := kitWith(decided)
	doubted.Suspects = suspected.Suspects
	for _, c := range []struct {
		kit             *fit.Result
		headline, first string // how they begin
	}{
		{kitWith(good, minor), "the one judged characteristic passes. Least room: the bridge lies 0.20 ± 0.20 mm toward treble", "Nothing to do before assembly."},
		{kitWith(good, scale), "all 2 judged characteristics pass. Least room: the bridge", "Nothing to do"},
		{kitWith(good, missing), "the one judged characteristic passes, but not measured: saddle-reserve-back. Least room: ",
			"To do first: read what is missing for saddle-reserve-back: saddle-back of each string"},
		{kitWith(near), "the bridge lies 1.05 ± 0.20 mm toward treble (the thin strings), too near the limit of 1 mm to say (centre-line-error).", ""},
		{kitWith(decided), "the bridge lies 1.05 ± 0.20 mm toward treble (the thin strings), too near the limit of 1 mm to say (centre-line-error). To decide it: it lies on", ""},
		{kitWith(bad, good), "the bridge lies 1.90 ± 0.20 mm toward treble (the thin strings), more than the 1 mm allowed (centre-line-error).", "To do first: neckfit remedy, "},
		{kitWith(good, also, bad), "the bridge lies 1.90 ± 0.20 mm toward treble (the thin strings), more than the 1 mm allowed (centre-line-error). Also failing: pocket-gap-end.",
			"To do first: neckfit remedy, "},
		{swinging, "the bridge lies 1.90", "To do first: neckfit remedy, which says how likely re-seating the neck cures it"},
		{stuck, "the bridge lies 1.90", "To do first: neckfit remedy, "},
		{suspected, "the bridge lies 1.90", ""},
		{kitWith(missing), "nothing could be judged, for the readings do not give anything that has a limit.", "To do first: read what is missing for saddle-reserve-back: "},
		{kitWith(free), "nothing was judged, for nothing that was measured has a limit.", ""},
	} {
		if got := Headline(c.kit); !strings.HasPrefix(got, c.headline) {
			t.Errorf("%q, want %q", got, c.headline)
		}
		if got := First(c.kit); !strings.HasPrefix(got, c.first) || c.first == "" && got != "" {
			t.Errorf("%q, want %q", got, c.first)
		}
	}
	if got := Headline(doubted); strings.Contains(got, "To decide") {
		t.Errorf("before a suspect is read again nothing is to be decided: %q", got)
	}
	if got := Brief(kitWith(good, missing)); got != "saddle-reserve-back not measured; centre-line-error" {
		t.Error(got)
	}
	if got := Brief(kitWith(good, missing, missing, missing)); got != "saddle-reserve-back not measured (+2); centre-line-error" {
		t.Error(got)
	}
	if got := Brief(kitWith(free)); got != "nothing judged" {
		t.Error(got)
	}
	coarse := found(fit.PocketGapEnd, 0.3, 0.05, 0.5, fit.TooCoarse, measure.Major)
	if got := First(&fit.Result{Verdict: fit.NotMeasured, Characteristics: []fit.Characteristic{coarse}}); !strings.HasPrefix(got, "To do first: U must come down to 0.22 mm") {
		t.Error(got)
	}
	rivals := []*measure.Reading{{Place: measure.Place{Line: 18}}, {Place: measure.Place{Line: 19}}}
	for n, want := range map[int]string{1: "read line 7 or 18 again; ", 2: "read line 7 or 2 others again; "} {
		r := kitWith(bad)
		r.Suspects = []fit.Suspect{{Reading: suspected.Suspects[0].Reading, Rivals: rivals[:n]}}
		if got := Brief(r); !strings.HasPrefix(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := Brief(suspected); got != "read line 7 again; centre-line-error: toward treble, beyond 1 mm" {
		t.Error(got)
	}
}

// The swing's ends are said by their side; whether it helps is by the limits, their ends included.
func TestSwing(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		verdict   fit.Verdict
		curable   bool
		want      string
	}{
		{0.9, 2.9, fit.Fail, true, "from 0.9 mm toward treble to 2.9 mm toward treble of the neck's centre line. That reaches inside the limits (1 mm either way allowed): re-seat"},
		{1, 2.9, fit.Unsure, true, "That reaches inside"},
		{-2.9, -1, fit.Fail, true, "from 2.9 mm toward bass to 1.0 mm toward bass of the neck's centre line. That reaches inside"},
		{1.01, 2.9, fit.Fail, false, "That does not reach the limits (1 mm either way allowed): the pocket's play cannot cure it."},
		{-2.9, -1.01, fit.Fail, false, "That does not reach"},
		{-0.5, 0.5, fit.Pass, true, "from 0.5 mm toward bass to 0.5 mm toward treble of the neck's centre line."},
	} {
		r := kitWith(found(fit.CentreLineError, 1.9, -1, 1, c.verdict, measure.Critical))
		r.Swing = &fit.Swing{Low: c.low, High: c.high}
		if got := Swing(r); !strings.Contains(got, c.want) || c.verdict == fit.Pass && !strings.HasSuffix(got, c.want) || Curable(r) != c.curable {
			t.Errorf("%v to %v, %v: %q, curable %v", c.low, c.high, c.verdict, got, Curable(r))
		}
		if want := c.verdict == fit.Fail || c.verdict == fit.Unsure && c.curable; Mending(r) != want || (Cautions(r) != nil) != want {
			t.Errorf("%v to %v, %v: mending %v", c.low, c.high, c.verdict, Mending(r))
		}
	}
	loose := kitWith(found(fit.CentreLineError, 1.9, -1, 1, fit.Fail, measure.Critical), found(fit.PocketGapEnd, 0.8, 0.05, 0.5, fit.Fail, measure.Major))
	loose.Swing = &fit.Swing{Low: 0, High: 2}
	if got := Swing(loose) + First(loose); !strings.Contains(got, "That reaches inside the limits") || strings.Contains(got, "re-seat") {
		t.Errorf("a pocket that is too wide is not cured by re-seating: %q", got)
	}
	if r := kitWith(); Swing(r) != "" || Curable(r) || Mending(r) {
		t.Error("a kit of which nothing is known is to be mended")
	}
}

func TestReadAgain(t *testing.T) {
	var list []fit.Suspect
	want := []string{
		"",
		"Read again first: r.csv line 1, pocket width (body).",
		"Read again first: r.csv line 1, pocket width (body); r.csv line 2, pocket width (body).",
		"Read again first: r.csv line 1, pocket width (body); r.csv line 2, pocket width (body); r.csv line 3, pocket width (body).",
		"Read again first: r.csv line 1, pocket width (body); r.csv line 2, pocket width (body); r.csv line 3, pocket width (body); and 1 more.",
	}
	for n, text := range want {
		if got := ReadAgain(&fit.Result{Suspects: list}); got != text {
			t.Errorf("%d: %q, want %q", n, got, text)
		}
		list = append(list, fit.Suspect{
			Reading: &measure.Reading{Datum: measure.DatumBody, Feature: measure.Pocket, Kind: measure.Width, Place: measure.Place{File: "a/r.csv", Line: n + 1}},
			Read:    65.3, Expected: 63.456, W: 9.04, Critical: 3.26,
		})
	}
	if got, want := Suspect(&list[0]), "a/r.csv:1: pocket width (body): read 65.3 mm, the others say 63.46 mm; residual 9.0 times its standard deviation, critical 3.3"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A batch is counted, its worst named, and what to do first said of all together.
func TestBatch(t *testing.T) {
	good := found(fit.CentreLineError, 0.2, -1, 1, fit.Pass, measure.Critical)
	missing := fit.Characteristic{ID: fit.SaddleReserveBack, Class: measure.Critical, Missing: fit.Missing{Want: fit.WantSaddleStops, Feature: measure.SaddleBack}}
	var b Batch
	b.Add(kitWith(good), "A")
	if got := b.Headline() + " " + b.ToDo(); got != "1 kit: 1 pass. Nothing to do before assembly." {
		t.Error(got)
	}
	odd := kitWith(good)
	odd.Verdict = fit.Implausible
	if got := First(odd); !strings.HasPrefix(got, "To do first: look again at what was read there") {
		t.Error(got)
	}
	var c Batch
	c.Add(odd, "X")
	if got := c.ToDo(); got != "Correct first what cannot have been read so: X." {
		t.Error(got)
	}
	for _, name := range []string{"O1", "O2", "O3", "O4"} {
		r := kitWith(good, missing)
		r.Verdict = fit.Incomplete
		b.Add(r, name)
	}
	if got, want := b.ToDo(), "Incomplete, for something that had to be measured was not: O1, O2, O3 and 1 more."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for i, id := range []fit.ID{fit.SideBow, fit.Roll, fit.FretError, fit.FretError, fit.Roll, fit.Roll, fit.FloorFlatness, fit.FloorFlatness, fit.FloorFlatness, fit.FloorFlatness} {
		r := kitWith(found(id, 0.5+float64(i)/100, -0.3, 0.3, fit.Fail, measure.Minor))
		if i < 5 {
			r.Suspects = []fit.Suspect{{Reading: &measure.Reading{Place: measure.Place{File: "x/r.csv", Line: 10 + i}}}}
		}
		if i == 2 {
			r.Suspects[0].Rivals = []*measure.Reading{{Place: measure.Place{Line: 33}}}
		}
		b.Add(r, "B"+string(rune('0'+i)))
	}
	b.Add(kitWith(found(fit.PocketGapEnd, 0.52, 0.05, 0.5, fit.Unsure, measure.Major)), "U")
	if got, want := b.Headline(), "16 kits: 1 pass, 10 fail, 1 unsure, 4 incomplete. Worst: B9, the worst place of the pocket's floor stands 0.59 ± 0.20 mm high, more than the 0.3 mm allowed (floor-flatness)."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := b.ToDo(), "Read again first: r.csv line 10 of B0; r.csv line 11 of B1; r.csv line 12 or 33 of B2; and in 2 more kits. "+
		"What fails most: floor-flatness (4), roll (3), fret-error (2). An unsure kit's own table says which reading would decide it. "+
		"Incomplete, for something that had to be measured was not: O1, O2, O3 and 1 more."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What the gauges cannot judge is told once for all kits, with what would do.
func TestBatchTellsWhatIsTooCoarse(t *testing.T) {
	var b Batch
	for _, name := range []string{"A", "B"} {
		coarse := found(fit.BridgeSkew, 0.1, -0.5, 0.5, fit.TooCoarse, measure.Major)
		coarse.StdUncertainty, coarse.Advice = 0.5, fit.Advice{Kind: fit.SmallerU, U: 0.25}
		b.Add(kitWith(found(fit.CentreLineError, 0.2, -1, 1, fit.Pass, measure.Critical), coarse), name)
	}
	if got, want := b.ToDo(), "Gauges too coarse to judge bridge-skew (U of 0.98, and 0.49 deg would do): read with a finer one, or more often."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestAdjusted(t *testing.T) {
	r := &fit.Result{Way: fit.LooseParts, Info: measure.Info{Lot: "L", Supplier: "S\x1b"}, Readings: 12, DOF: 3, ChiSquare: 2.54, Scale: 1}
	if got, want := Adjusted(r), "loose parts; lot L; supplier S<U+001B>; 12 readings, 3 of them redundant; chi-square 2.5."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	r.Gauges = []*measure.Gauge{{ID: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.12}, {ID: "calliper", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.05}}
	if got, want := Adjusted(r), "chi-square 2.5. Gauges taken for granted, since gauges.csv has none: rule (steps of 0.5 mm, at most 0.15 mm out, repeats to 0.12 mm) and "+
		"calliper (steps of 0.01 mm, at most 0.03 mm out, repeats to 0.05 mm); common practice, no source."; !strings.HasSuffix(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	r = &fit.Result{Readings: 6, Scale: 1.256}
	if got, want := Adjusted(r), "6 readings, 0 of them redundant. Some scatter more than their gauges claim: the uncertainty of what rests on these was multiplied by up to 1.26."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A characteristic that is missing is told of at length where it is critical, or would be judged as more than minor.
func TestWeighty(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		class     measure.Class
		want      bool
	}{
		{-open, open, measure.Critical, true}, {-open, open, measure.Major, false}, {0.5, open, measure.Major, true}, {-open, 0.5, measure.Major, true},
		{-open, 0.5, measure.Minor, false}, {-1, 1, measure.NoClass, true}, {-open, open, measure.NoClass, false},
	} {
		if got := Weighty(&fit.Characteristic{Lower: c.low, Upper: c.high, Class: c.class}); got != c.want {
			t.Errorf("%v to %v, %v: %v", c.low, c.high, c.class, got)
		}
	}
}

// With U = 1.96 u the value amid two limits passes with 95 % when U is half their distance; one under a
// single limit, at nothing, when 1.645 u is the limit.
func TestTooCoarse(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		verdict   fit.Verdict
		want      string
	}{
		{0.05, 0.5, fit.TooCoarse, "U must come down to 0.22 mm: read each place again"}, {-open, 0.3, fit.TooCoarse, "U must come down to 0.35 mm: "},
		{-1, 1, fit.TooCoarse, "U must come down to 1.00 mm: "}, {0.05, 0.5, fit.Unsure, ""},
	} {
		if got := TooCoarse(&fit.Characteristic{Lower: c.low, Upper: c.high, Verdict: c.verdict}); !strings.HasPrefix(got, c.want) || c.want == "" && got != "" {
			t.Errorf("%v to %v: %q, want %q", c.low, c.high, got, c.want)
		}
	}
}

func TestAdvice(t *testing.T) {
	at := func(line int) *measure.Reading {
		return &measure.Reading{Datum: measure.DatumBody, Feature: measure.Pocket, Kind: measure.Width, Place: measure.Place{File: "r.csv", Line: line}}
	}
	for _, c := range []struct {
		advice fit.Advice
		want   string
	}{
		{fit.Advice{}, ""},
		{fit.Advice{Kind: fit.OnLimit}, "it lies on the limit: no measurement can decide it"},
		{fit.Advice{Kind: fit.SmallerU, U: 0.1}, "a finer gauge, that brings U to 0.2 mm"},
		{fit.Advice{Kind: fit.SmallerU, U: 0.0052}, "a finer gauge, that brings U to 0.01 mm"},
		{fit.Advice{Kind: fit.SmallerU, U: 0.0050}, "it lies so near the limit that no gauge of a bench can decide it"},
		{fit.Advice{Kind: fit.BetterGauge, U: 1e-15, Times: 10}, "it lies so near the limit that no gauge of a bench can decide it"},
		{fit.Advice{Kind: fit.BetterGauge, U: 0.1, Times: 10}, "a finer gauge, that brings U to 0.2 mm; 10 repeats would not do it"},
		{
			fit.Advice{Kind: fit.BetterGauge, U: 0.1, Times: 10, Readings: [4]*measure.Reading{{HasStation: true, Gauge: &measure.Gauge{ID: "cal", Resolution: 0.01}, StationGauge: &measure.Gauge{ID: "rule", Resolution: 0.5}}}},
			"instead of rule a calliper of 150 mm, or a long vernier where that does not reach, that brings U to 0.2 mm; 10 repeats would not do it",
		},
		{
			fit.Advice{Kind: fit.BetterGauge, U: 0.1, Times: 10, Readings: [4]*measure.Reading{{Gauge: &measure.Gauge{ID: "cal", Resolution: 0.01}, StationGauge: &measure.Gauge{ID: "rule", Resolution: 0.5}}}},
			"a finer gauge than cal, that brings U to 0.2 mm; 10 repeats would not do it",
		},
		{fit.Advice{Kind: fit.Repeat, Times: 4, Readings: [4]*measure.Reading{at(8)}}, "read pocket width (body) (line 8) 4 times in all"},
		{fit.Advice{Kind: fit.Repeat, Times: 4, Readings: [4]*measure.Reading{at(8), at(6)}}, "read pocket width (body) (lines 6 and 8) 4 times in all"},
	} {
		if got := Advice(&fit.Characteristic{Advice: c.advice}); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// What cannot be so is read again before anything else, also where something else fails; an implausible kit's headline
// has said it.
func TestNonsenseComesFirst(t *testing.T) {
	odd := fit.Nonsense{Slip: fit.DecimalPoint, What: fit.HeelWidth, Readings: []*measure.Reading{{Place: measure.Place{File: "readings.csv", Line: 7}}}, Value: 635, Low: 35, High: 90}
	r := kitWith(found(fit.PocketGapEnd, 0.8, 0.05, 0.5, fit.Fail, measure.Major))
	r.Nonsense = []fit.Nonsense{odd}
	const said = "readings.csv line 7: a heel's width of 635 mm, and instruments have 35 to 90 mm: likely a decimal point was lost"
	if got := ReadAgain(r); got != "Read again first: "+said+"." {
		t.Errorf("%q", got)
	}
	if got := First(r); got != "" {
		t.Errorf("%q besides", got)
	}
	if got, calm := HeadlineInOne(r), kitWith(r.Characteristics[0]); got != "Read again first: "+said+"; as it was read, "+Headline(r) || HeadlineInOne(calm) != Headline(calm) {
		t.Errorf("%q", got)
	}
	plan := remedy.Plan{Level: remedy.Reversible, Actions: []remedy.Action{{Work: measure.Reseat}}, P: 0.5}
	if got := WhatToDo(r, &remedy.Advice{Plans: []remedy.Plan{plan}}); !strings.HasPrefix(got, "read again before anything is done what cannot be so, "+said+". What follows from the rest: ") {
		t.Errorf("%q", got)
	}
	if got := Brief(r); got != "line 7 cannot be so; pocket-gap-end: above 0.5 mm" {
		t.Errorf("%q", got)
	}
	told := *r
	told.Nonsense = []fit.Nonsense{{What: fit.RadiusOfBoard, Place: measure.Place{File: "batch/kits.csv", Line: 3}, Value: 9.5, Low: 120, High: 1500, Slip: fit.Inches}}
	if got := Brief(&told); got != "kits.csv line 3 cannot be so; pocket-gap-end: above 0.5 mm" {
		t.Errorf("%q", got)
	}
	if got, want := Nonsense(&told.Nonsense[0]), "batch/kits.csv:3: a fingerboard's radius of 9.5 mm, and instruments have 120 to 1500 mm: likely inches without their unit"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := Tally([fit.Fail + 1]int{fit.NotMeasured: 1, fit.Fail: 2}); got != "2 fail, 1 not measured" {
		t.Errorf("%q", got)
	}
	var b Batch
	b.Add(r, "A")
	if got := b.ToDo(); !strings.HasPrefix(got, "Correct first what cannot have been read so: A.") {
		t.Errorf("%q", got)
	}
	r.Verdict = fit.Implausible
	if got := ReadAgain(r); got != "" {
		t.Errorf("%q twice", got)
	}
}
