package html

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"neckfit/fit"
	"neckfit/fit/pair"
	"neckfit/fit/remedy"
	"neckfit/report"
	"neckfit/report/words"
)

// Pair writes matched necks and bodies as a page: how many pairs need no work, each pair with its
// verdict and what to do, the parts that are left over, and each pair's table. Batch is the input
// as the user gave it; it may be "".
func Pair(w io.Writer, m *pair.Match, batch string) error {
	p := &matchPage{
		shell: newShell(fmt.Sprintf("Match of %s and %s", count(m.Necks, "neck", "necks"), count(m.Bodies, "body", "bodies")), batch), Headline: words.PairHeadline(m),
		Saving: words.PairSaving(m), Note: words.PairNote, Bridge: words.CommonBridge(m), Tally: matchTally(m),
	}
	if m.Work > 0 {
		p.Cautions = remedy.Cautions()
	}
	for i := range m.Pairs {
		if err := report.Check(m.Pairs[i].Result); err != nil {
			return err
		}
		p.Rows = append(p.Rows, pairRow(&m.Pairs[i], i+1))
	}
	p.lone("Necks", m.LoneNecks)
	p.lone("Bodies", m.LoneBodies)
	if err := templates.ExecuteTemplate(w, "match", p); err != nil {
		return err
	}
	if err := foldPairs(w, m, p.Rows); err != nil {
		return err
	}
	return templates.ExecuteTemplate(w, "match-end", p)
}

// matchPage is what the template match takes.
type matchPage struct {
	shell
	Headline, Saving, Note, Bridge string
	Tally                          []tally
	Cautions                       []string
	Rows                           rows // the neck is the kit, the body the lot
	Lone                           []loneGroup
}

// loneGroup is the parts of a kind that are left over, each with the reason.
type loneGroup struct {
	Title string
	Parts []note
}

func matchTally(m *pair.Match) (list []tally) {
	for _, t := range []struct {
		verdict fit.Verdict
		words   string
		n       int
	}{{fit.Fail, "✕ want work", m.Work}, {fit.Unsure, "? want another reading", m.Doubt}, {fit.Pass, "✓ need nothing", m.Ready}} {
		if t.n > 0 {
			list = append(list, tally{words.Verdict(t.verdict), t.words, t.n, num(100 * float64(t.n) / float64(len(m.Pairs)))})
		}
	}
	return list
}

func pairRow(p *pair.Pair, number int) row {
	return row{
		Number: number, Name: shown(p.Neck, number), Lot: shown(p.Body, number), Verdict: words.Verdict(p.Result.Verdict),
		Word: wordOf(p.Result.Verdict), Brief: words.Harmless(words.PairAdvice(p)), Value: fmt.Sprintf("%.0f", p.Price.Minutes),
	}
}

func (p *matchPage) lone(title string, parts []pair.Lone) {
	if len(parts) == 0 {
		return
	}
	g := loneGroup{Title: title}
	for i, l := range parts {
		g.Parts = append(g.Parts, note{shown(l.Name, i+1), words.Harmless(words.WhyLone(l))})
	}
	p.Lone = append(p.Lone, g)
}

// foldPairs writes the pairs' sections, which have no drawings: the match does not keep the geometry.
func foldPairs(w io.Writer, m *pair.Match, rows []row) (err error) {
	var f folds
	defer func() { err = errors.Join(err, f.close()) }()
	for i, r := range rows {
		k := newKit(m.Pairs[i].Result, r.Number, remedy.Options{})
		k.Name, k.NoDrawing = r.Name+" + "+r.Lot, ""
		r.Name = k.Name
		var b strings.Builder
		if err := templates.ExecuteTemplate(&b, "kit", k); err != nil {
			return err
		}
		if err := f.add(r, k, compact(b.String())); err != nil {
			return err
		}
	}
	return f.copyTo(w)
}

// count is a number with its noun.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
