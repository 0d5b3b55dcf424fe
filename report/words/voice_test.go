package words

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/fit/pair"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

var (
	oneOfMany = regexp.MustCompile(`(?:^|[^\d.,])1 (?:kits|readings|repeats|steps|values|signals|pairs|parts|necks|bodies|strings|holes|plugs|plans|places|persons|classes|lots|works|gauges)\b`)
	slipOfPen = regexp.MustCompile(`%!|\{|\}|  |NaN|Inf|\bnil\b|-0\.0+ |\( | \)| [,;:.]|\.\.(?:$| )|,,|;;`)
	aWord     = regexp.MustCompile(`[\p{L}'-]+`)
)

// wellSaid holds a text against what no reader should meet: a verb left over, a word twice, a number that is none, one of
// something in the plural, and what does not fit the narrowest terminal.
func wellSaid(t *testing.T, whose, text string) {
	t.Helper()
	if text == "" {
		t.Errorf("%s: nothing is said", whose)
	}
	if bad := slipOfPen.FindString(text); bad != "" {
		t.Errorf("%s: %q in %q", whose, bad, text)
	}
	if bad := oneOfMany.FindString(text); bad != "" {
		t.Errorf("%s: %q in %q", whose, bad, text)
	}
	words := aWord.FindAllStringIndex(text, -1)
	for i := 1; i < len(words); i++ {
		a, b := text[words[i-1][0]:words[i-1][1]], text[words[i][0]:words[i][1]]
		if strings.EqualFold(a, b) && text[words[i-1][1]:words[i][0]] == " " {
			t.Errorf("%s: %q twice in %q", whose, a, text)
		}
	}
	for _, line := range Wrap(Narrowest, "  - ", text) {
		if Width(line) > Narrowest {
			t.Errorf("%s: a line of %d columns: %q", whose, Width(line), line)
		}
		if strings.HasPrefix(strings.TrimSpace(line), "%") {
			t.Errorf("%s: a percentage parted from its sign: %q", whose, line)
		}
	}
}

// sentences are to end with a full stop and to have none but those between two.
func sentences(t *testing.T, whose, text string) {
	t.Helper()
	wellSaid(t, whose, text)
	if !strings.HasSuffix(text, ".") || strings.HasSuffix(text, "..") {
		t.Errorf("%s does not end as a sentence: %q", whose, text)
	}
}

// Of every characteristic each verdict is a sentence that names it, has its number without a sign and its unit, and tells
// the side of the value that the dictionary tells aside.
func TestEveryCharacteristicIsSpoken(t *testing.T) {
	for _, id := range fit.IDs() {
		a := aboutOf(id)
		values := []float64{1.37}
		if a.minus != "" {
			values = append(values, -1.37)
		}
		for _, v := range values {
			for verdict, limits := range map[fit.Verdict][2]float64{
				fit.Pass: {-2, 2}, fit.Fail: {-1, 1}, fit.Unsure: {-1.4, 1.4}, fit.TooCoarse: {-1.5, 1.5},
			} {
				if a.minus == "" {
					limits[0] = math.Inf(-1)
				}
				c := found(id, v, limits[0], limits[1], verdict, measure.Critical)
				c.Advice = fit.Advice{Kind: fit.SmallerU, U: 0.01}
				r := kitWith(c)
				whose := fmt.Sprint(id, " ", verdict, " ", v)
				unit := map[measure.Dimension]string{measure.Angle: " deg"}[c.Dimension]
				if unit == "" {
					unit = " mm"
				}
				for what, text := range map[string]string{"headline": Headline(r), "first": First(r) + " ", "standing": Standing(&c) + "."} {
					if text = strings.TrimSpace(text); text == "" {
						continue
					}
					sentences(t, whose+" "+what, text)
					if what == "first" {
						continue
					}
					if !strings.Contains(text, id.String()) || !strings.Contains(text, "1.37 ± 0.20"+unit) || strings.Contains(text, "-1.37") {
						t.Errorf("%s: %q", whose, text)
					}
				}
				wellSaid(t, whose, Brief(r))
				if !strings.HasPrefix(Brief(r), id.String()) {
					t.Errorf("%s: %q", whose, Brief(r))
				}
				heard := heardSide(Meaning(&c))
				if aside := heardSide(Which(&c)); aside != "" && heard != aside {
					t.Errorf("%s: %q says %s, %q says %s", whose, Meaning(&c), heard, Which(&c), aside)
				}
				if strings.HasPrefix(Which(&c), "toward ") && !strings.HasSuffix(ValueAside(&c), "1.37 ± 0.20"+unit+" "+Which(&c)) {
					t.Errorf("%s: %q", whose, ValueAside(&c))
				}
			}
		}
		if len(values) == 2 && a.side[0] == a.side[1] {
			t.Errorf("%s: both sides are %q", id, a.side)
		}
	}
}

// heardSide is the first side or direction that a text names.
func heardSide(text string) string {
	first, at := "", len(text)
	for _, side := range []string{"treble", "bass", "forward", "back", "high", "low", "hollow", "humped"} {
		if i := strings.Index(text, side); i >= 0 && i < at {
			first, at = side, i
		}
	}
	return first
}

// Every kind of thing that can be wanting, warned of, asked, refused or answered has its words, and all differ.
func TestEveryKindIsSpoken(t *testing.T) {
	reading := func(line int) *measure.Reading {
		return &measure.Reading{Feature: measure.Saddle, Mark: measure.Mark{Number: 2}, Kind: measure.Offset, Datum: measure.DatumBody, Gauge: &measure.Gauge{ID: "ver150", Resolution: 0.02}, Place: measure.Place{File: "readings.csv", Line: line}}
	}
	kinds := map[string][]string{}
	add := func(of, text string) { kinds[of] = append(kinds[of], text) }
	for w := fit.WantEdges; int(w) < len(missing); w++ {
		add("missing", Missing(fit.Missing{Want: w, Feature: measure.SaddleBack, Datum: measure.DatumBody, Mark: 3}))
	}
	c := found(fit.PocketGapEnd, 0.49, 0.05, 0.5, fit.Unsure, measure.Critical)
	for _, k := range []fit.AdviceKind{fit.OnLimit, fit.SmallerU, fit.Repeat, fit.RepeatMost, fit.GiveCompensation, fit.BetterGauge} {
		c.Advice = fit.Advice{Kind: k, Readings: [4]*measure.Reading{reading(3), reading(8)}, Times: 4, Count: 5, U: 0.03}
		add("advice", Advice(&c))
	}
	for _, w := range []fit.WarningKind{fit.ReworkedOnly, fit.NoFit, fit.NoCircle, fit.AlongNeck, fit.Fanned, fit.ScaledUp, fit.HeelNotHome, fit.OffThere, fit.PastedAgain, fit.NoCompensation} {
		add("warning", Warning(fit.Warning{Kind: w, Ratio: 2.5, Strings: 1, Err: fmt.Errorf("no way"), Readings: []*measure.Reading{reading(5)}}))
	}
	for s := fit.AnyPlace; int(s) < len(senses); s++ {
		add("sense", Nonsense(&fit.Nonsense{What: s, Value: 500, Low: 30, High: 90, Slip: fit.DecimalPoint, Readings: []*measure.Reading{reading(5), reading(9)}}))
	}
	for s := fit.OutOfRange; int(s) < len(slips); s++ {
		add("slip", Nonsense(&fit.Nonsense{What: fit.HeelWidth, Value: 500, Low: 30, High: 90, Slip: s, Readings: []*measure.Reading{reading(5)}}))
	}
	for k := remedy.PilotOff; k <= remedy.OutsideBody; k++ {
		add("remark", Remark(remedy.Remark{Kind: k, Have: 1.4, Need: 2.6, Cavity: "control", Other: remedy.Named{Feature: measure.BridgeScrew, Mark: 2, Old: true}}))
	}
	for k := remedy.NotTogether; k <= remedy.NoSizeFits; k++ {
		add("incurable", incurable(remedy.Incurable{ID: fit.PocketGapEnd, Cause: k, Have: 1.4, Need: 2.6, Most: 1}))
	}
	for u := remedy.HeelUntried; u <= remedy.SaddlesUntried; u++ {
		add("untried", Untried(&remedy.Advice{Untried: []remedy.Untried{u}})[0])
		add("reading that is wanted", untriedReading(u))
	}
	for a := remedy.BridgeScrewSize; a <= remedy.HolesUnread; a++ {
		for _, text := range Asks("K1", &remedy.Plan{Asks: []remedy.Ask{a}}) {
			sentences(t, "ask", strings.ReplaceAll(text, "?", "."))
			add("ask", text)
		}
	}
	for k := pair.NoNeck; k <= pair.BridgeTooFar; k++ {
		add("obstacle", Obstacle(pair.Obstacle{Kind: k, NeckStrings: 4, BodyStrings: 5, Missing: fit.Missing{Want: fit.WantEndGap}}))
	}
	for _, k := range []lot.WarningKind{lot.OneValue, lot.AllEqual, lot.FewForLimits, lot.FewForIndices, lot.NotSteady, lot.NotNormal, lot.LimitsDiffer, lot.LimitsWithoutRoom, lot.OnePerson} {
		add("lot warning", LotWarning(lot.Warning{Kind: k, N: 7}))
	}
	for _, k := range []sampling.CauseKind{sampling.RejectedOften, sampling.AcceptedInARow, sampling.RejectedTightened, sampling.CauseCured, sampling.LotRejected, sampling.BetweenNumbers, sampling.ReducedNotWanted, sampling.AskedFor} {
		add("cause", Cause(sampling.Cause{Kind: k, Rejected: 2, Lots: 5}))
	}
	for k := range fit.BasisKind(len(bases)) {
		if k == 0 {
			continue
		}
		add("basis", Basis(fit.Basis{Kind: k, Feature: measure.Saddle, Mark: 3, Length: 65}))
	}
	for _, w := range []fit.Way{fit.EdgeCheck, fit.DryFit, fit.LooseParts} {
		name, origin := Frame(w)
		add("frame", name+": "+origin)
	}
	for of, texts := range kinds {
		seen := map[string]bool{}
		for _, text := range texts {
			wellSaid(t, of, text)
			if seen[text] {
				t.Errorf("%s: %q is said of two kinds", of, text)
			}
			seen[text] = true
		}
	}
	for of, least := range map[string]int{"missing": 35, "advice": 6, "warning": 9, "sense": 10, "slip": 8, "remark": 14, "incurable": 8, "untried": 5, "ask": 5, "obstacle": 8, "basis": 12} {
		if len(kinds[of]) < least {
			t.Errorf("only %d of %s are said", len(kinds[of]), of)
		}
	}
}

// Every work has a step that is a sentence with a check, for a kit of which all is known and for one of which nothing is;
// its size stands in the step, and in the plan's name in a few words.
func TestEveryWorkIsSpoken(t *testing.T) {
	for _, w := range measure.Works() {
		a := remedy.Action{Work: w, Wall: remedy.Treble, Mouth: 0.37, End: 0.21, Across: -0.62, Along: 1.43, Turn: -0.5, Size: 0.83, Std: 0.01}
		known, plan := pocketed(a)
		bare := &remedy.Plan{Actions: []remedy.Action{a}, Return: []measure.Part{measure.NeckPart}}
		plan.Return = bare.Return
		for whose, steps := range map[string][]Step{"known": Steps(known, plan), "unknown": Steps(&fit.Result{}, bare)} {
			if len(steps) != 1 {
				t.Fatalf("%s: %d steps", w, len(steps))
			}
			whose = fmt.Sprint(w, ", ", whose)
			sentences(t, whose, steps[0].Do)
			cuts := w != measure.Leave && w != measure.ReadAgain && w != measure.SendBack
			if (steps[0].Check != "") != cuts {
				t.Errorf("%s: check %q", whose, steps[0].Check)
			}
			if cuts {
				sentences(t, whose, steps[0].String())
				sentences(t, whose, steps[0].Check)
			}
			for word, number := range map[measure.Work]string{
				measure.SideShim: "0.37 mm at the mouth, 0.21 at the end", measure.RelieveWall: "0.37 mm off at the mouth and 0.21 mm at the end", measure.PitchShim: "0.83 mm thick at the pocket's mouth",
				measure.RiseShim: "0.83 mm", measure.TrimHeel: "0.8 mm", measure.EaseCorner: "0.8 mm larger", measure.DeepenFloor: "0.83 mm all over", measure.SquareCorner: "0.8 mm is out", measure.ReamScrews: "0.83 mm",
				measure.BridgeMove: "0.62 mm toward bass (the thick strings), 1.43 mm toward the tail, turned by 0.50 degrees with its tail toward bass", measure.SendBack: "Return the neck,",
			} {
				if w == word && !strings.Contains(steps[0].Do, number) {
					t.Errorf("%s: %q has no %q", whose, steps[0].Do, number)
				}
			}
		}
		brief := Plan(plan)
		wellSaid(t, w.String(), brief)
		if Width(brief) > Columns {
			t.Errorf("%s is %q in a few words", w, brief)
		}
		if got := Handles(plan); got != (w != measure.Leave && w != measure.SendBack) {
			t.Errorf("%s: hands are needed: %v", w, got)
		}
	}
}

// The dictionary's entries are sentences.
func TestDictionaryIsWellSaid(t *testing.T) {
	for _, e := range Entries() {
		sentences(t, e.Word, strings.ReplaceAll(e.What, "{v}", "1 mm"))
		for _, f := range e.Facts {
			wellSaid(t, e.Word+", "+f.Heading, f.Text)
		}
	}
	for name, text := range map[string]string{
		"pair note": PairNote, "gauge note": GaugeNote, "remedy note": RemedyNote, "batch note": RemedyBatchNote, "reworked note": ReworkedNote, "kit note": KitNote, "list's note": BatchNote,
		"drill note": DrillNote, "short cautions": ShortCautions, "gauges hint": GaugesHint, "learnt hint": LearntHint, "explain note": ExplainNote, "greeting": Greeting, "further commands": FurtherCommands,
		"places from the pocket": PlacesFromPocket, "places from a datum": PlacesFromDatum, "heel from the front": HeelFromFront, "curve note": CurveNote, "no drawing": NoDrawing, "plan label": PlanLabel,
		"legend": strings.Join(append(append(SheetLegend("quick", true), SheetLegend("dry", false)...), SheetLegend("loose", false)...), " "), "cautions": strings.Join(WorkCautions(), " "),
	} {
		sentences(t, name, text)
	}
	for _, way := range []string{"quick", "edge", "dry", "loose"} {
		if n := len(SheetLegend(way, true)); n != 7 || !strings.Contains(SheetLegend(way, true)[6], "bass on the right") || len(SheetLegend(way, false)) != 6 {
			t.Errorf("%s: %q", way, SheetLegend(way, true))
		}
	}
}

func TestSmallThingsSaid(t *testing.T) {
	one := kitWith(found(fit.CentreLineError, 0.2, -1, 1, fit.Pass, measure.Critical))
	one.Suspects = []fit.Suspect{{Reading: &measure.Reading{Place: measure.Place{File: "x/r.csv", Line: 10}}}}
	var b Batch
	b.Add(one, "A")
	said(t,
		[2]string{b.ToDo(), "Read again first: r.csv line 10 of A."},
		[2]string{Reserve(0.44) + "; " + Reserve(0) + "; " + Reserve(-0.44) + "; " + Reserve(-1.26), "0.4 mm to spare; 0.0 mm to spare; 0.4 mm short; 1.3 mm short"},
		[2]string{SequenceLabel("pitch", 1, 1), "Individuals chart of pitch: 1 value, 1 signal."},
		[2]string{RangesLabel("pitch", "deg", 1, 0.5), "Moving ranges of pitch: 1 step, limit 0.500 deg."},
		[2]string{HistogramLabel("pitch", "deg", 1, 1, 0.1), "Histogram of pitch over 1 kit, mean 1.00 deg; one kit is uncertain by ± 0.20."},
		[2]string{Adjusted(&fit.Result{Readings: 1}), "1 reading, 0 of them redundant."},
		[2]string{MorePlans(1, 4) + " " + MorePlans(3, 6), "1 more plan: --plans 4 shows all. 3 more plans: --plans 6 shows all."},
		[2]string{
			Reworked(&fit.Result{Verdict: fit.Fail}, &fit.Result{Kit: "K\x07", Verdict: fit.Pass}, &remedy.Plan{Actions: []remedy.Action{{Work: measure.Reseat}}, P: 0.9995}, 12, 14),
			"K<U+0007>: was fail, is now pass; 12 of 14 characteristics agree with the plan (re-seat the neck), which gave it >99.9 %.",
		},
		[2]string{TriedInVain("Read saddle-front."), "this cannot be worked out yet. Read saddle-front."},
		[2]string{NoRows.String() + ", " + NotLimited.String() + ", " + Coarse.String() + ", " + Decidable.String(), "no rows, no limit, too coarse, can be decided"},
		[2]string{PlanInShort(&remedy.Plan{Actions: []remedy.Action{{Work: measure.Reseat}}, P: 0.5, Minutes: 10, Level: remedy.Reversible}), "re-seat the neck: 50.0 % that all then passes, 10 minutes; reversible"},
		[2]string{PlanInShort(&remedy.Plan{Actions: []remedy.Action{{Work: measure.SendBack}}, Return: []measure.Part{measure.BridgePart}, Level: remedy.Returned}), "return the bridge; part returned"},
	)
	if got := Warnings(&fit.Result{Warnings: []fit.Warning{{Kind: fit.AlongNeck}}, Nonsense: []fit.Nonsense{{What: fit.FretOrder, Slip: fit.EndsSwapped, Place: measure.Place{File: "r.csv", Line: 4}}}}); len(got) != 2 ||
		got[0] != "r.csv:4: stations fall from the nut to the last fret: likely the straightedge lay from tail to head" || got[1] != Warning(fit.Warning{Kind: fit.AlongNeck}) {
		t.Errorf("%q", got)
	}
	for width, want := range map[int]string{TableWidth([][]string{{"ab", "c"}, {"d", "efgh"}, {"a heading that is wide"}}): "8"} {
		said(t, [2]string{fmt.Sprint(width), want})
	}
}
