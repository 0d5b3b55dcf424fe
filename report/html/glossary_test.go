package html_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"neckfit/fit"
	"neckfit/report/internal/browser"
	"neckfit/report/words"
)

// explained are some of the words that each page has to explain.
var explained = map[string][]string{
	"check": {"centre-line-error", "pocket-gap-mouth", "unsure", "U"}, "pair": {"centre-line-error", "swing"}, "remedies": {"odds"}, "remedy": {"reversible"},
	"lot": {"AQL", "Cpk", "bridge-skew"}, "gauge": {"repeatability", "interaction"},
}

// explains fails when an unfolded page does not explain words that it uses as neckfit explain does, links one that is
// not there, or has a tolerance table with a row that is not linked.
func (b *tab) explains(name string) {
	b.T.Helper()
	got := browser.Ask[struct {
		Words        map[string]string
		Dead, Unsaid []string
	}](b.Tab, `({ Words: Object.fromEntries([...document.querySelectorAll("#words dt")].map((e) => [e.textContent, e.nextElementSibling.textContent])),
		Dead: [...document.querySelectorAll('a[href^="#w-"]')].filter((a) => !document.getElementById(a.hash.slice(1))).map((a) => a.hash),
		Unsaid: [...document.querySelectorAll("table.tol tbody tr:not(.class) th")].filter((e) => !e.querySelector("a")).map((e) => e.textContent) })`)
	if len(got.Dead)+len(got.Unsaid) > 0 {
		b.T.Errorf("%s: links without an end %v, names without a link %v", name, got.Dead, got.Unsaid)
	}
	for _, word := range explained[name] {
		found, _ := words.Explain(word)
		if !slices.ContainsFunc(found, func(e words.Entry) bool { return strings.HasPrefix(got.Words[word], e.What) }) || got.Words[word] == "" {
			b.T.Errorf("%s: %s is explained as %q", name, word, got.Words[word])
		}
	}
}

// By keyboard the explanation is shown beside the word that has the focus, told to who cannot see it, and goes with
// Escape; Enter leads to the whole of it.
func TestWordsAreExplainedByKeyboard(t *testing.T) {
	t.Parallel()
	b := open(t, render(t, named(t, demo(t), "SSB-03")))
	b.Look(360, false)
	b.tabTo(`e.hash === "#w-bridge-skew"`)
	b.Until(`(() => { const r = document.activeElement.getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight; })()`) // the page moves there
	found, _ := words.Explain(fit.BridgeSkew.String())
	shown := browser.Ask[struct {
		Text, By string
		Inside   bool
	}](b.Tab, `(() => { const tip = document.getElementById("tip"), r = tip.getBoundingClientRect();
		return { Text: tip.hidden ? "" : tip.textContent, By: document.activeElement.getAttribute("aria-describedby"), Inside: r.left >= 0 && r.right <= innerWidth && r.top >= 0 && r.bottom <= innerHeight }; })()`)
	if shown.Text != found[0].What || shown.By != "tip" || !shown.Inside {
		t.Errorf("beside bridge-skew stands %+v, want %q", shown, found[0].What)
	}
	b.Do(chromedp.KeyEvent(kb.Escape))
	if !browser.Ask[bool](b.Tab, `document.getElementById("tip").hidden`) {
		t.Error("Escape does not put it away")
	}
	b.Do(chromedp.KeyEvent(kb.Enter))
	b.Until(`document.getElementById("words").open && Math.abs(document.getElementById("w-bridge-skew").getBoundingClientRect().top) < innerHeight`)
	b.Quiet()
}
