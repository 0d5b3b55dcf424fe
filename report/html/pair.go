package html

import (
	"errors"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/fit/pair"
	"neckfit/report"
	"neckfit/report/words"
)

// Pair writes matched necks and bodies as a page: how many pairs need no work, each pair with its
// verdict, what to do and what an exchange would cost, the parts that are left over with what would suit them,
// drawings of the pairs, and each pair's table. Own are the names of the pairs that the builder wants; batch is
// the input as the user gave it, which may be "".
func Pair(w io.Writer, m *pair.Match, own [][2]string, batch string) (err error) {
	p := &matchPage{
		shell: newShell(fmt.Sprintf("Match of %s and %s", words.Amount(m.Necks, "neck", "necks"), words.Amount(m.Bodies, "body", "bodies")), batch), Headline: words.PairHeadline(m),
		Saving: words.PairSaving(m), Own: words.OwnPairs(m, own), Note: words.PairNote, Assumed: words.AssumedByName(words.PairAssumed(m)), Bridge: words.CommonBridge(m),
	}
	names := slices.Clone(words.KitTerms)
	if m.Work > 0 {
		p.Cautions = words.WorkCautions()
	}
	for i := range m.Pairs {
		one := &m.Pairs[i]
		if err := report.Check(one.Result); err != nil {
			return err
		}
		for k := range one.Result.Characteristics {
			if c := &one.Result.Characteristics[k]; c.Measured() && !slices.Contains(names, c.ID.String()) {
				names = append(names, c.ID.String())
			}
		}
		p.Swaps = append(p.Swaps, words.SwapWords(one, func(name string) string { return words.KitName(name, 0) }))
		if view := pairView(newScene(one.Result)); view != "" && len(m.Pairs) <= mostWhole {
			p.Views = append(p.Views, pairDrawn{i + 1, words.KitName(one.Neck, i+1), words.KitName(one.Body, i+1), words.Verdict(one.Result.Verdict), words.SignedVerdict(one.Result.Verdict), view})
		}
		p.Rows = append(p.Rows, row{
			Number: i + 1, Name: words.KitName(one.Neck, i+1), Lot: words.KitName(one.Body, i+1), Verdict: words.Verdict(one.Result.Verdict),
			Word: words.SignedVerdict(one.Result.Verdict), Brief: words.Harmless(words.PairAdvice(one)), Value: fmt.Sprintf("%.0f", one.Price.Minutes),
		})
	}
	p.Tally, p.Glossary = threeTallies([3]string{"✕ want work", "? want another reading", "✓ need nothing"}, [3]int{m.Work, m.Doubt, m.Ready}), words.Glossary(names...)
	for _, text := range words.PairReadAgain(m) {
		p.ReadAgain = append(p.ReadAgain, words.Harmless(text))
	}
	p.lone("Necks", m.LoneNecks, true)
	p.lone("Bodies", m.LoneBodies, false)
	var f folds
	defer func() { err = errors.Join(err, f.close()) }()
	for i, r := range p.Rows {
		k := newKit(m.Pairs[i].Result, r.Number, nil)
		k.Name = r.Name + " + " + r.Lot
		r.Name = k.Name
		section, err := k.section("kit", k)
		if err == nil {
			err = f.add(r, k, section)
		}
		if err != nil {
			return err
		}
	}
	return f.page(w, "match", "match-end", p, false)
}

// matchPage is what the template match takes.
type matchPage struct {
	shell
	Headline, Saving, Own, Note, Assumed, Bridge string
	Tally                                        []tally
	Cautions, ReadAgain                          []string
	Rows                                         rows        // the neck is the kit, the body the lot
	Swaps                                        []string    // of the rows
	Views                                        []pairDrawn // of no more pairs than are shown whole
	Lone                                         []loneGroup
}

// Swap is the cheapest exchange of the pair of a number.
func (p *matchPage) Swap(number int) string { return p.Swaps[number-1] }

// pairDrawn is a pair as it would lie.
type pairDrawn struct {
	Number                    int
	Neck, Body, Verdict, Word string
	View                      template.HTML
}

// pairView draws a pair from above, the neck to the left: the heel in the pocket with its gaps, and behind it where
// the bridge lies beside the neck's centre line, each magnified by itself. It is "" where the gaps are not known.
func pairView(s *scene) template.HTML {
	if s == nil || s.g.Play == nil {
		return ""
	}
	const width, height, middle, half, bridge = 600.0, 330.0, 150.0, 100.0, 560.0
	p, e := s.g.Play, s.named(fit.CentreLineError)
	widest := 0.05
	for i := range p.Bass {
		widest = max(widest, math.Abs(p.Bass[i]), math.Abs(p.Treble[i]))
	}
	d := &drawing{scene: s, figure: figure{width: width, height: height}}
	d.rect("wood", 460, 0, width-470, 300)
	s.pocketWith(&d.figure, widestGap/widest, p.Bass, p.Treble, nil)
	d.line("centre", point{20, middle}, point{width - 20, middle})
	if e != nil {
		d.y = s.across(middle, half/s.farthest(e))
		d.error(bridge, e, "bridge-mark")
		d.text("note m", point{bridge, 268}, "bridge")
	}
	top, bottom := s.up()
	d.text("side e", point{width - 16, 18}, top+" side")
	d.text("side e", point{width - 16, 292}, bottom+" side")
	d.text("note", point{14, height - 10}, "from above, the neck to the left; gaps and bridge magnified, in mm")
	return d.svg("fig", words.PairLabel(p.Bass, p.Treble, e), "data-y", d.y.data())
}

// loneGroup is the parts of a kind that are left over, each with the reason.
type loneGroup struct {
	Title string
	Parts []note
}

func (p *matchPage) lone(title string, parts []pair.Lone, neck bool) {
	if len(parts) == 0 {
		return
	}
	g := loneGroup{Title: title}
	for i := range parts {
		text := words.WhyLone(parts[i])
		if suits := words.Suits(&parts[i], neck); suits != "" {
			text += "; it " + suits
		}
		g.Parts = append(g.Parts, note{words.KitName(parts[i].Name, i+1), words.Harmless(text)})
	}
	p.Lone = append(p.Lone, g)
}
