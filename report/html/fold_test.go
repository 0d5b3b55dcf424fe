package html_test

import (
	"testing"

	"github.com/chromedp/chromedp"
	"neckfit/report/internal/browser"
)

// Who opens a page for the first time finds what to do without scrolling: on a phone and at a desk, for
// one kit and for a batch.
func TestWhatToDoIsAboveTheFold(t *testing.T) {
	for name, page := range map[string][]byte{
		"kit": render(t, named(t, demo(t), "SSB-04")), "dry fit": render(t, named(t, demo(t), "DF-02")), "left-handed": render(t, named(t, demo(t), "SSB-13")),
		"batch": demoBytes(t), "remedy": otherPages(t)["remedy"], "lot": otherPages(t)["lot"], "pair": otherPages(t)["pair"],
	} {
		b := open(t, page)
		for _, window := range [][2]int64{{360, 740}, {1400, 900}} {
			b.Do(chromedp.EmulateViewport(window[0], window[1]))
			got := browser.Ask[struct {
				Text string
				Top  float64
			}](b.Tab, `(() => {
				const e = [".do .say", ".say", "#todo + .work h3", ".decision .v", ".headline"].map((s) => document.querySelector(s)).find((e) => e);
				return { Text: e.textContent, Top: e.getBoundingClientRect().top };
			})()`)
			if got.Top < 0 || got.Top > float64(window[1])-40 {
				t.Errorf("%s at %d by %d: %q stands at %.0f", name, window[0], window[1], got.Text, got.Top)
			}
			t.Logf("%s %v %.0f %.60s", name, window, got.Top, got.Text)
		}
	}
}
