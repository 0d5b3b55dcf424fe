package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// advised are kits of random instruments, whose names are odd, with what to do about them.
func advised(t *testing.T, n int) (results []*fit.Result, advice []*remedy.Advice) {
	t.Helper()
	for _, r := range surveysFor(n, fit.Options{Model: true}) {
		results, advice = append(results, r), append(advice, remedy.For(r, remedy.Options{}))
	}
	return results, advice
}

// Every format of the remedies, at every width; CSV and JSON Lines say the same of each step.
func TestRemedies(t *testing.T) {
	results, advice := advised(t, 4)
	written := func(format string, plans int, o Options, from, to int) string {
		var out bytes.Buffer
		w, err := NewRemedy(format, &out, plans, o)
		if err != nil {
			t.Fatal(err)
		}
		for i := from; i < to; i++ {
			if err := w.Kit(results[i], advice[i]); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	for _, columns := range []int{60, 80, 100, 120} {
		checkText(t, "many", written("text", 3, Options{Columns: columns}, 0, len(results)), columns)
		for i := range results {
			checkText(t, "one", written("text", 9, Options{Columns: columns}, i, i+1), columns)
		}
	}
	table := written("csv", 9, Options{}, 0, len(results))
	checkCSV(t, "csv", table)
	rows, _ := csv.NewReader(strings.NewReader(table)).ReadAll()
	lines := written("jsonl", 9, Options{}, 0, len(results))
	checkJSONL(t, "jsonl", lines)
	at := 1
	for _, line := range strings.Split(strings.TrimSpace(lines), "\n") {
		var a jsonAdvice
		if err := json.Unmarshal([]byte(line), &a); err != nil {
			t.Fatal(err)
		}
		for i, p := range a.Plans {
			for k, s := range p.Actions {
				row := rows[at]
				at++
				minutes, _ := strconv.ParseFloat(row[5], 64)
				if row[2] != strconv.Itoa(i+1) || row[3] != p.Brief || minutes != p.Minutes || row[14] != strconv.Itoa(k+1) || row[15] != s.Work || row[25] != s.Say || row[26] != s.Check {
					t.Errorf("row %d is %q, the object has plan %d, step %d: %+v", at, row, i+1, k+1, s)
				}
				if number, err := strconv.ParseFloat(row[22], 64); s.Size != nil && (err != nil || number != *s.Size) || s.Size == nil && row[22] != "" {
					t.Errorf("row %d: size %q of %v", at, row[22], s.Size)
				}
			}
		}
	}
	if at != len(rows) {
		t.Errorf("%d rows, %d steps", len(rows)-1, at-1)
	}
	if got := written("csv", 1, Options{}, 0, 0); strings.Count(got, "\n") != 1 || !strings.HasPrefix(got, "kit,verdict,plan,") {
		t.Errorf("no kits: %q", got)
	}
	if _, err := NewRemedy("pdf", nil, 1, Options{}); err == nil || !strings.Contains(err.Error(), "text, csv, jsonl") {
		t.Errorf("pdf: %v", err)
	}
}

// What is said of one kit: what to do, the plans side by side, then as many as are wanted, step by step.
func TestPlansByHand(t *testing.T) {
	r := &fit.Result{Kit: "K", Verdict: fit.Fail, Characteristics: []fit.Characteristic{
		{ID: fit.CentreLineError, Value: 1.9, StdUncertainty: 0.1, Lower: -1, Upper: 1, Verdict: fit.Fail, Class: measure.Critical},
		{ID: fit.SideBow, Value: 0.1, StdUncertainty: 0.1, Lower: -1, Upper: 1, Verdict: fit.Pass},
	}}
	a := &remedy.Advice{Why: remedy.Cheaper, Plans: []remedy.Plan{
		{Actions: []remedy.Action{{Work: measure.BridgeMove, Across: -1.5}, {Work: measure.ReamScrews, Size: 5}}, Level: remedy.Reversible, P: 0.9, Minutes: 25, Expected: 40,
			Weakest: remedy.Weakest{ID: fit.CentreLineError, P: 0.95}, Swing: &fit.Swing{Low: -0.4, High: 0.3}, After: &remedy.After{},
			Predicted: []remedy.Predicted{{Index: 0, Value: -0.4, StdUncertainty: 0.2, Lower: -1, Upper: 1, Judged: true, P: 0.95, Changed: true}, {Index: 1, Value: 0.1, Judged: true, P: 1}}},
		{Actions: []remedy.Action{{Work: measure.Leave}}, P: 0.001, Expected: 60},
		{Actions: []remedy.Action{{Work: measure.SendBack}}, Return: []measure.Part{measure.BodyPart}, Level: remedy.Returned, Minutes: 30, Expected: 300},
	}}
	got := laid(func(page *text) { page.plans(r, a, 2) })
	got, _, _ = strings.Cut(got, "\n\n± U is")
	want(t, got, `
K: move the bridge in its clearance, open the neck-screw holes to 5.00 mm: 90.0 % that all then
passes; 25 minutes, reversible.
It comes before the next plan (leave it) because it is expected to cost less, 40 against 60 minutes
with measuring again, what cannot be undone and what comes next where it fails; 90.0 % against 0.1 %
that all then passes.

     odds  min  cost  undone        after a slip  plan
1  90.0 %   25    40  yes     0.4 mm toward bass  move the bridge in its clearance, open the
                                                  neck-screw holes to 5.00 mm
2   0.1 %    0    60  -                        -  leave it
3       -   30   300  -                        -  return the body

Odds: that everything judged then passes. Cost: minutes expected, with measuring again, what cannot
be undone, and what comes next where it fails. Undone: whether it can be. After a slip: the farthest
that the bridge may lie off, if the heel moves in the play that is left.

Plan 1: move the bridge in its clearance, open the neck-screw holes to 5.00 mm (reversible; 25
minutes; 90.0 % that all then passes)
  1. Slacken the strings, ease the bridge's screws and move it within their clearance: it goes 1.50
     mm toward bass (the thick strings); tighten the screws in turns. Check: every screw is tight,
     and its head lies flat; then read the bridge from both edges of the fingerboard again: half of
     what the two differ by must be at most 1 mm; 0.4 mm toward bass is expected.
  2. Slacken the strings and take the neck off. Lay the heel where it is to stay and try the screws.
     Where one does not fall through, open the body's neck-screw hole, not the heel's, with a bit of
     5.00 mm: clamp the body on a backing board, drill square and right through. Leave those that
     fit as they are. Check: each screw falls through, in holes that measure 5.00 mm at the most.
  Least sure after it: the bridge lies 0.40 ± 0.39 mm toward bass (the thick strings), inside its
  limits with 95.0 % (centre-line-error).
  Play that remains: at the mouth 0.00 mm on the bass side and 0.00 on the treble side, at the end
  0.00 and 0.00. If the heel slips in it, the bridge may lie anywhere from 0.4 mm toward bass to 0.3
  mm toward treble of the neck's centre line.

  characteristic      now  then ± U         which way    inside
  centre-line-error  1.90  -0.40 ± 0.39 mm  toward bass  95.0 %

Plan 2: leave it (nothing is done; 0 minutes; 0.1 % that all then passes)
  1. Leave the kit as it is.

1 more plan: --plans 3 shows all.`)
}
