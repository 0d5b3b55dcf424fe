package html_test

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	gocmp "github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report/internal/browser"
)

func TestOpensQuietly(t *testing.T) {
	b := demoTab(t)
	b.Quiet()
	b.explains("check")
	if n := browser.Ask[int](b.Tab, `document.querySelectorAll("table.tol").length`); n != len(demo(t)) {
		t.Errorf("%d tolerance tables for %d kits", n, len(demo(t)))
	}
}

// Without script every kit's table is there.
func TestReadableWithoutScript(t *testing.T) {
	b := open(t, demoBytes(t), withoutScript)
	root := browser.Call(b.Tab, dom.GetDocument, dom.GetDocumentParams{}).Root
	tables := len(browser.Call(b.Tab, dom.QuerySelectorAll, dom.QuerySelectorAllParams{NodeID: root.NodeID, Selector: "details.kit table.tol"}).NodeIDs)
	if tables != len(demo(t)) {
		t.Errorf("%d tolerance tables for %d kits without script", tables, len(demo(t)))
	}
}

// tabTo presses the tab key until the element has the focus.
func (b *tab) tabTo(condition string) {
	b.T.Helper()
	const most = 400
	for range most {
		b.Do(chromedp.KeyEvent(kb.Tab))
		if browser.Ask[bool](b.Tab, `(() => { const e = document.activeElement; return `+condition+`; })()`) {
			return
		}
	}
	b.T.Fatalf("the tab key does not reach an element with %s", condition)
}

const shownKits = `[...document.querySelectorAll("#list tbody tr")].filter((r) => r.offsetParent !== null).map((r) => r.cells[0].textContent)`

func kits(list []*fit.Result, keep func(*fit.Result) bool) []string {
	names := []string{}
	for _, r := range list {
		if keep(r) {
			names = append(names, r.Kit)
		}
	}
	return names
}

func TestFiltersByKeyboard(t *testing.T) {
	t.Parallel()
	list := demo(t)
	b := open(t, demoBytes(t))
	b.tabTo(`e.id === "verdict"`)
	b.Do(chromedp.KeyEvent("uns")) // a list chooses what begins so
	want := kits(list, func(r *fit.Result) bool {
		return r.Verdict == fit.Unsure || r.Verdict == fit.TooCoarse || r.Verdict == fit.Incomplete || r.Verdict == fit.Implausible
	})
	if diff := gocmp.Diff(want, browser.Ask[[]string](b.Tab, shownKits)); diff != "" {
		t.Errorf("unsure kits (-want +got):\n%s", diff)
	}
	b.tabTo(`e.id === "find"`)
	b.Do(chromedp.KeyEvent(want[0]))
	if diff := gocmp.Diff(want[:1], browser.Ask[[]string](b.Tab, shownKits)); diff != "" {
		t.Errorf("after typing a name (-want +got):\n%s", diff)
	}
	if text := browser.Ask[string](b.Tab, `document.getElementById("shown").textContent`); text != fmt.Sprintf("1 of %d kits", len(list)) {
		t.Errorf("the count says %q", text)
	}
}

func TestFiltersByCharacteristic(t *testing.T) {
	list := demo(t)
	b := open(t, demoBytes(t))
	b.tabTo(`e.id === "by"`)
	b.Do(chromedp.KeyEvent("bridge-sk"))
	b.tabTo(`e.id === "verdict"`)
	b.Do(chromedp.KeyEvent("fail"))
	want := kits(list, func(r *fit.Result) bool { return characteristic(t, r, "bridge-skew").Verdict == fit.Fail })
	if diff := gocmp.Diff(want, browser.Ask[[]string](b.Tab, shownKits)); diff != "" {
		t.Errorf("kits that fail bridge-skew (-want +got):\n%s", diff)
	}
}

func TestSortsByKeyboard(t *testing.T) {
	t.Parallel()
	list := demo(t)
	b := open(t, demoBytes(t))
	b.tabTo(`e.id === "by"`)
	b.Do(chromedp.KeyEvent("centre"))
	b.tabTo(`e.textContent === "Value"`)
	b.Do(chromedp.KeyEvent(kb.Enter))
	value := func(r *fit.Result) float64 { return characteristic(t, r, "centre-line-error").Value }
	measured := func(r *fit.Result) bool { return r.Find(fit.CentreLineError).Measured() }
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(x, y *fit.Result) int {
		if measured(x) != measured(y) {
			return map[bool]int{true: -1, false: 1}[measured(x)]
		}
		return cmp.Compare(value(x), value(y))
	})
	want := kits(sorted, func(*fit.Result) bool { return true })
	if diff := gocmp.Diff(want, browser.Ask[[]string](b.Tab, shownKits)); diff != "" {
		t.Errorf("by centre-line-error (-want +got):\n%s", diff)
	}
	b.Do(chromedp.KeyEvent(" ")) // the button still has the focus
	got := browser.Ask[[]string](b.Tab, shownKits)
	n := len(kits(list, measured))
	slices.Reverse(want[:n])
	if diff := gocmp.Diff(want, got); diff != "" {
		t.Errorf("the other way round (-want +got):\n%s", diff)
	}
	if s := browser.Ask[string](b.Tab, `document.querySelector("th[aria-sort]").getAttribute("aria-sort")`); s != "descending" {
		t.Errorf("aria-sort is %q", s)
	}
}

// A link of the list opens its kit.
func TestLinkOpensKit(t *testing.T) {
	t.Parallel()
	b := open(t, demoBytes(t))
	b.seenFirst("check")
	b.tabTo(`e.hash === "#k3" && e.closest("#list") !== null`)
	b.Do(chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible("#k3 table.tol"))
	if !browser.Ask[bool](b.Tab, `document.getElementById("k3").open`) {
		t.Error("the kit is not open")
	}
}

// strays lists what reaches beyond the window without a box of its own to scroll in, and writing
// of a drawing that is cut off at its edge.
const strays = `(() => {
	for (const e of document.querySelectorAll("details.kit, .chart")) e.style.contentVisibility = "visible"; // else it may have its size from before
	const found = [], width = document.documentElement.clientWidth;
	if (document.documentElement.scrollWidth > width) found.push("the page is " + document.documentElement.scrollWidth + " px wide");
	for (const e of document.body.querySelectorAll("*")) {
		if (e.closest(".wide, svg, .skip, .quiet")) continue;
		const r = e.getBoundingClientRect();
		if (r.width && (r.right > width + 1 || r.left < -1)) found.push(e.tagName + "." + e.className + " " + e.textContent.slice(0, 40));
	}
	for (const e of document.querySelectorAll("svg.fig text")) {
		const box = e.getBBox(), view = e.ownerSVGElement.viewBox.baseVal;
		if (box.x < 0 || box.y < 0 || box.x + box.width > view.width || box.y + box.height > view.height) found.push("cut off: " + e.textContent);
	}
	return found.slice(0, 12);
})()`

func TestNothingOverflows(t *testing.T) {
	b := demoTab(t)
	b.fits() // and leaves it at its widest
	long := open(t, render(t, simulated(strings.Repeat("W", 300), 3), simulated("short", 3)))
	long.unfold()
	long.fits()
}

// fits fails when something reaches beyond a phone's, a tablet's or a desk's window.
func (b *tab) fits() {
	b.T.Helper()
	for _, width := range []int64{360, 768, 1400} {
		b.Look(width, false)
		for _, s := range browser.Ask[[]string](b.Tab, strays) {
			b.T.Errorf("at %d px: %s", width, s)
		}
	}
}

// What is wider than a phone can be scrolled to its end, by keyboard too, and the page says so; what the
// strip shows at its far end stands in its caption as well.
func TestWideDrawingsCanBeReached(t *testing.T) {
	t.Parallel()
	r := named(t, demo(t), "SSB-03")
	b := open(t, render(t, r))
	b.Look(360, false)
	got := browser.Ask[[]struct {
		Label               string
		Wide, Hint, Focused bool
		Left, Most          float64
	}](b.Tab, `[...document.querySelectorAll(".wide")].map((e) => {
		const hint = e.nextElementSibling;
		e.focus();
		const focused = document.activeElement === e;
		e.scrollLeft = 1e6;
		return { Label: e.getAttribute("aria-label"), Wide: e.scrollWidth > e.clientWidth, Hint: Boolean(hint) && hint.matches(".swipe") && hint.checkVisibility(),
			Focused: focused, Left: e.scrollLeft, Most: e.scrollWidth - e.clientWidth };
	})`)
	wide := 0
	for _, e := range got {
		if !e.Wide {
			continue
		}
		wide++
		if !e.Hint || !e.Focused || math.Abs(e.Left-e.Most) > 1 {
			t.Errorf("%s: the hint is seen %v, it takes the focus %v, scrolled to %.0f of %.0f", e.Label, e.Hint, e.Focused, e.Left, e.Most)
		}
	}
	if wide < 3 {
		t.Errorf("%d things are wider than a phone, expected plan, strip, side view and remedies", wide)
	}
	if inside := browser.Ask[bool](b.Tab, `(() => {
		const mark = document.querySelector("svg.strip .bridge-mark").getBoundingClientRect(), box = document.querySelector("svg.strip").parentNode.getBoundingClientRect();
		return box.left <= mark.left && mark.right <= box.right && mark.right <= innerWidth;
	})()`); !inside {
		t.Error("the strip's bridge cannot be scrolled into view")
	}
	e := characteristic(t, r, "centre-line-error")
	side := map[bool]string{true: "bass", false: "treble"}[e.Value < 0]
	caption := browser.Ask[string](b.Tab, `document.querySelector("figure:has(svg.strip) figcaption").textContent`)
	if want := strconv.FormatFloat(math.Abs(e.Value), 'f', 2, 64); !strings.Contains(caption, want) || !strings.Contains(caption, "toward "+side) {
		t.Errorf("the strip's caption is %q, want %s toward %s", caption, want, side)
	}
	b.Look(1400, false)
	if browser.Ask[bool](b.Tab, `[...document.querySelectorAll(".swipe")].some((e) => e.checkVisibility())`) {
		t.Error("the hint to swipe is seen at a desk")
	}
}

// Every plan that has odds to speak of has its row among the remedies side by side, the recommended one first, with the
// odds, the minutes and what holds it down as the plan has them; leaving the kit and returning a part always have theirs.
func TestRemediesStandSideBySide(t *testing.T) {
	for _, name := range []string{"SSB-04", "SSB-08", "SSB-09"} {
		r := named(t, demo(t), name)
		plans := remedy.For(r, remedy.Options{}).Plans
		rows := browser.Ask[[][]string](demoTab(t).Tab, `[...document.querySelectorAll("`+section(t, name)+` .kinds tbody tr")].map((tr) => [...tr.cells].map((c) => c.textContent))`)
		var shown []int
		for i, p := range plans {
			if i == 0 || p.P >= 0.001 || p.Level == remedy.Returned || p.Level == remedy.Untouched {
				shown = append(shown, i)
			}
		}
		if len(rows) != len(shown) || len(rows) < 2 {
			t.Fatalf("%s: %d rows for %d plans of %d", name, len(rows), len(shown), len(plans))
		}
		for row, i := range shown {
			p := plans[i]
			odds := strconv.FormatFloat(100*p.P, 'f', 1, 64) + " %"
			switch {
			case p.Level == remedy.Returned:
				odds = "-"
			case p.P < 0.001:
				odds = "<0.1 %"
			case p.P > 0.999:
				odds = ">99.9 %"
			}
			if rows[row][1] != odds || rows[row][3] != strconv.FormatFloat(p.Minutes, 'f', 0, 64) || !strings.HasPrefix(rows[row][0], strconv.Itoa(i+1)+". ") || rows[row][4] != strconv.FormatFloat(p.Expected, 'f', 0, 64) {
				t.Errorf("%s, row %d: %q; want %s, %.0f and %.0f minutes", name, row+1, rows[row], odds, p.Minutes, p.Expected)
			}
			if low := p.Weakest.P < 0.95 && p.Level != remedy.Returned; low != strings.Contains(rows[row][2], p.Weakest.ID.String()) {
				t.Errorf("%s, row %d: held down by %q; %s passes with %.3f", name, row+1, rows[row][2], p.Weakest.ID, p.Weakest.P)
			}
		}
	}
}

func TestSingleKitFits(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"SSB-13", "EC-02"} {
		b := open(t, render(t, named(t, demo(t), name)))
		b.unfold()
		b.Quiet()
		b.fits()
	}
}

// On paper all colours are greys.
func TestPrintsInGrey(t *testing.T) {
	t.Parallel()
	b := open(t, render(t, named(t, demo(t), "SSB-03"), named(t, demo(t), "SSB-09")))
	b.unfold()
	pdf, err := chromedp.Run(b.Ctx, chromedp.PrintToPDF(chromedp.PDFPrintBackground()))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) || bytes.Count(pdf, []byte("/Type /Page\n")) < 2 {
		t.Errorf("no PDF of two pages or more: %d bytes", len(pdf))
	}
	b.grey()
}

// grey fails when a colour is left on paper.
func (b *tab) grey() {
	b.T.Helper()
	browser.Call(b.Tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	const coloured = `[...document.querySelectorAll("body, body *")].flatMap((e) => {
		const s = getComputedStyle(e);
		return [s.color, s.fill, s.stroke, s.backgroundColor, s.borderTopColor].filter((c) => {
			const m = /^rgba?\((\d+), (\d+), (\d+)/.exec(c);
			return m && (m[1] !== m[2] || m[2] !== m[3]);
		}).map((c) => e.tagName + "." + (e.getAttribute("class") || "") + " " + c);
	}).slice(0, 5)`
	for _, c := range browser.Ask[[]string](b.Tab, coloured) {
		b.T.Errorf("printed in colour: %s", c)
	}
}

func TestAccessible(t *testing.T) {
	t.Parallel()
	list := demo(t)
	b := open(t, render(t, named(t, list, "SSB-03"), named(t, list, "EC-02"), named(t, list, "SSB-22")))
	b.unfold()
	b.Accessible(1400)
}
