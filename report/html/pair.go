package html

import (
	"fmt"
	"io"

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
		shell: newShell(fmt.Sprintf("Match of %s and %s", words.Amount(m.Necks, "neck", "necks"), words.Amount(m.Bodies, "body", "bodies")), batch), Headline: words.PairHeadline(m),
		Saving: words.PairSaving(m), Note: words.PairNote, Bridge: words.CommonBridge(m),
	}
	if m.Work > 0 {
		p.Cautions = words.WorkCautions()
	}
	for i := range m.Pairs {
		one := &m.Pairs[i]
		if err := report.Check(one.Result); err != nil {
			return err
		}
		p.Rows = append(p.Rows, row{
			Number: i + 1, Name: words.KitName(one.Neck, i+1), Lot: words.KitName(one.Body, i+1), Verdict: words.Verdict(one.Result.Verdict),
			Word: words.SignedVerdict(one.Result.Verdict), Brief: words.Harmless(words.PairAdvice(one)), Value: fmt.Sprintf("%.0f", one.Price.Minutes),
		})
	}
	for _, t := range []struct {
		verdict fit.Verdict
		words   string
		n       int
	}{{fit.Fail, "✕ want work", m.Work}, {fit.Unsure, "? want another reading", m.Doubt}, {fit.Pass, "✓ need nothing", m.Ready}} {
		if t.n > 0 {
			p.Tally = append(p.Tally, tally{Verdict: words.Verdict(t.verdict), Word: t.words, N: t.n})
		}
	}
	p.Tally = tallies(p.Tally)
	p.lone("Necks", m.LoneNecks)
	p.lone("Bodies", m.LoneBodies)
	// The pairs' sections have no drawings: the match does not keep the geometry.
	return foldedPage(w, "match", p, func(f *folds) error {
		for i, r := range p.Rows {
			k := newKit(m.Pairs[i].Result, r.Number, remedy.Options{})
			k.Name, k.NoDrawing = r.Name+" + "+r.Lot, ""
			r.Name = k.Name
			section, err := k.section("kit", k)
			if err != nil {
				return err
			}
			if err := f.add(r, k, section); err != nil {
				return err
			}
		}
		return nil
	})
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

func (p *matchPage) lone(title string, parts []pair.Lone) {
	if len(parts) == 0 {
		return
	}
	g := loneGroup{Title: title}
	for i, l := range parts {
		g.Parts = append(g.Parts, note{words.KitName(l.Name, i+1), words.Harmless(words.WhyLone(l))})
	}
	p.Lone = append(p.Lone, g)
}
