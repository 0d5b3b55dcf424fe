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
				if row[2] != strconv.Itoa(i+1) || row[3] != p.Brief || minutes != p.Minutes || row[8] != strconv.Itoa(k+1) || row[9] != s.Work || row[19] != s.Say {
					t.Errorf("row %d is %q, the object has plan %d, step %d: %+v", at, row, i+1, k+1, s)
				}
				if number, err := strconv.ParseFloat(row[16], 64); s.Size != nil && (err != nil || number != *s.Size) || s.Size == nil && row[16] != "" {
					t.Errorf("row %d: size %q of %v", at, row[16], s.Size)
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
