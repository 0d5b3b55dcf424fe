package html_test

import (
	"bytes"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/fit/simulate"
	"neckfit/measure"
	"neckfit/report/internal/browser"
)

// hostile are texts that would do something if they were not escaped where they stand: in text, in
// an attribute, in a script, in JSON, in a noscript that a script lays out, or in an address.
var hostile = []string{
	`<script>window.hacked = 1</script>`,
	`"><img src=x onerror="window.hacked = 1">`,
	`' onmouseover='window.hacked = 1`,
	`</noscript><img src=x onerror=window.hacked=1>`,
	`</script><script>window.hacked = 1</script>`,
	`</title></style><svg onload=window.hacked=1>`,
	`javascript:window.hacked=1`,
	`&lt;img src=x onerror=window.hacked=1&gt;`,
	`{{.}} ${window.hacked = 1} ` + "`",
	"]]><!-- --><a href=//example.invalid>x</a>",
	"\u202egnp.exe\u0000\u2028",
	`=a-b.c# x="y z" a="b">`,
}

// hostileResult puts a text everywhere where a user's text can stand.
func hostileResult(text string, seed uint64) *fit.Result {
	r := simulated(text, seed)
	r.Info.Lot, r.Info.Supplier = text, text
	r.Warnings = append(r.Warnings, fit.Warning{Kind: fit.NoFit, Err: errors.New(text)})
	hostile := &measure.Reading{Mark: measure.Mark{Name: text}, Place: measure.Place{File: text, Line: 7}}
	r.Suspects = append(r.Suspects, fit.Suspect{Reading: hostile, W: 5, Critical: 4, Read: 1, Expected: 2})
	for i := range r.Residuals {
		hostile := *r.Residuals[i].Reading
		hostile.Mark.Name, hostile.Place.File = text, text
		r.Residuals[i].Reading = &hostile
		r.Residuals[i].Suspect = i%7 == 0
	}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		c.LimitSource = fit.LimitSource{Origin: fit.LimitTable, Text: text}
		if c.Verdict == fit.Pass {
			c.Verdict = fit.Unsure
		}
		c.Advice = fit.Advice{Kind: fit.Repeat, Times: 3}
		c.Advice.Readings[0] = hostile
		if i%5 == 0 {
			c.Missing, c.Verdict = fit.Missing{Want: fit.WantMore}, fit.NotMeasured
		}
	}
	for i := range r.Model.Geometry.Places {
		r.Model.Geometry.Places[i].Mark.Name = text
	}
	r.Model.Geometry.Places = append(r.Model.Geometry.Places, fit.Place{Feature: measure.Cavity, Mark: measure.Mark{Name: text}, X: 300, Y: 40})
	return r
}

// unharmed fails when a text did anything, or became anything but text.
func (b *tab) unharmed() {
	b.T.Helper()
	b.unfold()
	b.Quiet()
	if browser.Ask[bool](b.Tab, `"hacked" in window`) {
		b.T.Error("a text was run as a script")
	}
	if n := browser.Ask[int](b.Tab, `document.querySelectorAll("img, iframe, object, embed, link:not([rel=icon]), form:not(#filters), body [onerror], body [onload], body [onmouseover]").length`); n > 0 {
		b.T.Errorf("%d elements came out of texts", n)
	}
	links := browser.Ask[[]string](b.Tab, `[...document.querySelectorAll("a")].map((a) => a.getAttribute("href"))`)
	if i := slices.IndexFunc(links, func(s string) bool { return !strings.HasPrefix(s, "#") }); i >= 0 {
		b.T.Errorf("a link leads to %q", links[i])
	}
}

func TestHostileTextsDoNothing(t *testing.T) {
	t.Parallel()
	var all []*fit.Result
	for i, text := range hostile {
		all = append(all, hostileResult(text, uint64(i)))
	}
	check := func(list ...*fit.Result) {
		t.Helper()
		b := open(t, render(t, list...))
		b.unharmed()
	}
	check(all...)
	check(all[1]) // alone, a kit's name stands in the title too
	check(all[5])
	b := open(t, render(t, all...))
	names := browser.Ask[[]string](b.Tab, `[...document.querySelectorAll("#list th[scope=row]")].map((e) => e.textContent)`)
	for i, text := range hostile {
		if strings.ContainsAny(text, "\u202e\u0000") {
			continue // shown by their code points
		}
		if names[i] != text {
			t.Errorf("the kit %q is shown as %q", text, names[i])
		}
	}
}

// A kit whose edges lie 0.01 mm apart has a page like any other.
func TestEdgesAsGoodAsOne(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.NutWidth, in.LastFretWidth = 0.01, 0.01
	rng := rand.New(rand.NewPCG(1, 1))
	var list []*fit.Result
	for i, readings := range [][]measure.Reading{
		simulate.LooseParts(in, rng, simulate.Setup{Heights: true}), simulate.DryFit(in, rng, simulate.Setup{Heights: true}), simulate.EdgeCheck(in, rng, simulate.Setup{}),
	} {
		list = append(list, fit.Check(in.Kit(kitName(i), readings), fit.Options{Model: true}))
	}
	b := open(t, render(t, append(list, simulated("good", 1))...))
	b.unfold()
	b.Quiet()
	if n := browser.Ask[int](b.Tab, `document.querySelectorAll("details.kit table.tol").length`); n != 4 {
		t.Errorf("%d tables for four kits", n)
	}
}

// What fails on one kit's numbers is told at that kit, in words, and its table and the other kits are as
// they would be.
func TestAKitThatCannotBeDrawn(t *testing.T) {
	odd := func(spoil func(*fit.Geometry)) *fit.Result {
		r := *named(t, demo(t), "SSB-04")
		model, g := *r.Model, *r.Model.Geometry
		spoil(&g)
		model.Geometry, r.Model = &g, &model
		return &r
	}
	for name, r := range map[string]*fit.Result{
		"a pocket of one wall":  odd(func(g *fit.Geometry) { g.Pocket[1] = nil }),
		"a scale without edges": odd(func(g *fit.Geometry) { g.Edges = [2]*fit.Line{} }),
		"places that are none": odd(func(g *fit.Geometry) {
			g.Places = []fit.Place{{Feature: measure.Saddle, X: math.NaN(), Y: math.Inf(1)}}
		}),
		"play of no length":    odd(func(g *fit.Geometry) { g.Play = &fit.Play{Placed: true, Length: math.NaN()} }),
		"a bridge that is not": odd(func(g *fit.Geometry) { g.Bridge = nil }),
		"frets below none":     odd(func(g *fit.Geometry) { g.LastFret = -1 }),
	} {
		page := string(render(t, r, named(t, demo(t), "SSB-01")))
		if n := strings.Count(page, `<table class="tol">`); n != 2 {
			t.Errorf("%s: %d tolerance tables, want both kits'", name, n)
		}
		if strings.Contains(page, "goroutine") || strings.Contains(page, "runtime error") {
			t.Errorf("%s: a trace reached the page", name)
		}
	}
	r := named(t, demo(t), "SSB-04")
	broken := remedy.For(r, remedy.Options{})
	broken.Plans[0].Predicted[0].Index = 1 << 20
	list := append(advise(r), advised{r, broken})
	var page bytes.Buffer
	if err := remediesPage(&page, list, ""); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(page.String(), "Nothing can be advised for this kit"); n != 1 {
		t.Errorf("a plan that cannot be worded is told %d times", n)
	}
	if !strings.Contains(page.String(), "Remedies side by side") {
		t.Error("the other kit has no plans any more")
	}
}
