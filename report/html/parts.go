package html

import (
	"html/template"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report/words"
)

// The parts below are for a page of another program's making: it must have the style, and the marks once.

// Style is that of every page.
func Style() string { return styleCSS }

// Marks are what the tolerance bars of a page are drawn with.
func Marks() (template.HTML, error) { return new(kit).section("defs", nil) }

// Tolerances is the table of what was judged of a kit, and what was measured besides.
func Tolerances(r *fit.Result) (template.HTML, error) {
	k := kitHead(r, 1)
	k.table(r)
	return k.section("so-far", k)
}

// Advice is what is recommended for a kit, with the plans side by side; "" where there is nothing to advise.
func Advice(r *fit.Result, a *remedy.Advice) (template.HTML, error) {
	k := kitHead(r, 1)
	if !advisable(r) {
		return "", nil
	}
	if !k.attempt(words.NotAdvised, func() { k.advised(r, a) }) {
		return k.section("not-advised", words.NotAdvised)
	}
	return k.section("advised", k)
}

// WhatIf is a plan of somebody's own: what it leaves, in words, numbers and drawings before and after. The
// result must have its model.
func WhatIf(r *fit.Result, own *remedy.Plan) (template.HTML, error) {
	k := kitHead(r, 1)
	k.plan, k.Verdict = own, words.Verdict(expected(own.P))
	k.Remedy = &advice{Say: words.PlanInShort(own) + "."}
	k.Remedy.spell(r, own, true)
	k.attempt(words.NotDrawn, func() { k.draw(r) })
	return k.section("what-if", k)
}
