package report

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/report/words"
)

// One kit is told one thing: the headline, the first row of the table, the heading of plan 1 and its first step are the
// first plan's, and what check says of the kit names no other first step.
func TestHeadlineTableAndStepsAgree(t *testing.T) {
	results, advice := misfits(80)
	squeezed := func(text string) string { return strings.Join(strings.Fields(text), " ") }
	row := regexp.MustCompile(`(?m)^1\??  [^\n]*(\n {20,}[^\n]*)*`)
	headed := 0
	for i, r := range results {
		a := advice[i]
		p := &a.Plans[0]
		var out bytes.Buffer
		w, _ := NewRemedy("text", &out, 9, Options{Columns: 120})
		if err := w.Kit(r, a); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		text, name := out.String(), words.Plan(p)
		headline, _, _ := strings.Cut(text, "\nGauges taken")
		if headline = squeezed(headline); strings.Contains(headline, name) {
			headed++
		} else if !regexp.MustCompile("read|return|leave it").MatchString(headline) {
			t.Errorf("%s is told %q, its first plan is %q", r.Kit, headline, name)
		}
		if len(a.Plans) > 1 {
			if got := squeezed(row.FindString(text)); !strings.HasSuffix(got, name) {
				t.Errorf("%s: the first row is %q, the first plan %q", r.Kit, got, name)
			}
			steps := words.Steps(r, p)
			if whole := squeezed(text); !strings.Contains(whole, "Plan 1: "+name+" (") || !strings.Contains(whole, " 1. "+steps[0].Do) {
				t.Errorf("%s: plan 1 is not %q with %q first", r.Kit, name, steps[0].Do)
			}
		}
		if r.Verdict == fit.Unsure && strings.Contains(headline, "all passes as it is") {
			t.Errorf("%s is unsure and told %q", r.Kit, headline)
		}
		said := fmt.Sprint(words.Headline(r), words.First(r), words.Swing(r))
		if other := regexp.MustCompile(`(?i)(re-seat|shim|plug|scrape|move|return|drill) [^.]*first`).FindString(said); other != "" {
			t.Errorf("%s: check tells %q", r.Kit, other)
		}
	}
	if headed < 40 {
		t.Errorf("only %d headlines name a plan", headed)
	}
}
