package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// Six kits whose bridges were to be moved 3 mm and did not move, in every format: all say the same of each, and the
// table of costs has the accuracy that follows, beside what the batch and the program know.
func TestRemedyAfter(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.CentreLineError = 3
	r := fit.Check(in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true})), fit.Options{Model: true, Compensation: in.Compensation})
	plan, untried := remedy.Try(r, []remedy.Action{{Work: measure.PlugBridge, Across: -3}}, remedy.Options{})
	if plan == nil {
		t.Fatal(untried)
	}
	var kits []remedy.Worked
	for range 6 {
		kits = append(kits, remedy.Worked{Before: r, After: r, Plan: plan})
	}
	again := *r // what was read after a work may be wrong too
	again.Suspects = []fit.Suspect{{Reading: &measure.Reading{Place: measure.Place{File: "again.csv", Line: 7}}}}
	if said, _, _ := Compared(&remedy.Worked{Before: r, After: &again, Plan: plan}); !strings.Contains(said, "%. Read again first, of what was read after the work: again.csv line 7, ") {
		t.Error(said)
	}
	written := func(format string) string {
		var out bytes.Buffer
		if err := RemedyAfter(format, &out, kits, Options{}); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	checkText(t, "after", written("text"), 100)
	table, lines := written("csv"), strings.Split(strings.TrimSpace(written("jsonl")), "\n")
	checkCSV(t, "csv", table)
	checkJSONL(t, "jsonl", strings.Join(lines[:6], "\n"))
	rows, _ := csv.NewReader(strings.NewReader(table)).ReadAll()
	var one jsonWorked
	if err := json.Unmarshal([]byte(lines[0]), &one); err != nil || len(rows) != 1+6*len(one.Compared) || len(lines) != 7 {
		t.Fatalf("%d rows, %d lines, %v: %v", len(rows), len(lines), one, err)
	}
	for i, c := range one.Compared {
		row := rows[1+i]
		if en, _ := strconv.ParseFloat(row[11], 64); row[5] != c.Name || en != c.En || row[12] != strconv.FormatBool(c.Agrees) {
			t.Errorf("row %q, object %+v", row, c)
		}
		u := math.Hypot(c.PlannedU, c.MeasuredU)
		if c.Name == fit.CentreLineError.String() && (c.Agrees || math.Abs(c.En-(c.Measured-c.Planned)/(1.96*u)) > 1e-3 || math.Abs(c.Measured-c.Planned-3) > 0.01) {
			t.Errorf("a bridge that stayed where it was: %+v", c)
		}
	}
	var costs bytes.Buffer
	learnt := remedy.Learn(kits)
	if err := LearntCosts(&costs, learnt, []measure.Cost{{Work: measure.Reseat, Minutes: 77}, {Work: measure.BridgeMove, Minutes: 12}}); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(costs.String(), "# bridge-move: worst ") || !strings.Contains(costs.String(), "from 6 kits\n") {
		t.Errorf("%s", costs.String())
	}
	reader := csv.NewReader(&costs)
	reader.Comment = '#'
	got, err := reader.ReadAll()
	if err != nil || len(got) != len(measure.BuiltInCosts())+1 {
		t.Fatal(got, err)
	}
	for _, row := range got[1:] {
		worst, _ := strconv.ParseFloat(row[2], 64)
		switch row[0] {
		case "re-seat":
			if row[1] != "77" {
				t.Errorf("the batch's own: %q", row)
			}
		case "bridge-move":
			if row[1] != "12" || worst != learnt[0].Worst || !(worst > 8) {
				t.Errorf("what was learnt, %v: %q", learnt, row)
			}
		}
	}
}
