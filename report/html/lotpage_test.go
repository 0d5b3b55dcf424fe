package html_test

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	gocmp "github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/pair"
	"neckfit/fit/remedy"
	"neckfit/report/html"
	"neckfit/report/internal/browser"
	"neckfit/report/words"
)

// binomial is the chance of at most c bad pieces among n, by its definition (NIST/SEMATECH
// e-Handbook of Statistical Methods, 6.2.3.2: the operating characteristic curve).
func binomial(n, c int, p float64) float64 {
	sum, term := 0.0, math.Pow(1-p, float64(n))
	for k := range c + 1 {
		sum += term
		term *= float64(n-k) / float64(k+1) * p / (1 - p)
	}
	return sum
}

// The curves are drawn where the binomial distribution has them.
func TestOperatingCurveIsDrawnRight(t *testing.T) {
	lots, err := judgedLots()
	must(t, lots, err)
	var page bytes.Buffer
	if err := html.Lot(&page, lots); err != nil {
		t.Fatal(err)
	}
	b := open(t, page.Bytes())
	got := browser.Ask[struct {
		X, Y string
		D    []string
	}](b.Tab, `(() => { const s = document.querySelector("svg.oc"); return { X: s.dataset.x, Y: s.dataset.y, D: [...s.querySelectorAll("path.oc")].map((e) => e.getAttribute("d")) }; })()`)
	drawn := 0
	for i := range lots.Lots[0].Acceptance.ByClass {
		c := &lots.Lots[0].Acceptance.ByClass[i]
		if !c.Judged {
			continue
		}
		for _, pairOf := range strings.Split(strings.TrimPrefix(got.D[2*drawn], "M"), "L") { // each curve has its sample in the legend after it
			x, y, _ := strings.Cut(pairOf, " ")
			px, err1 := strconv.ParseFloat(x, 64)
			py, err2 := strconv.ParseFloat(y, 64)
			if err1 != nil || err2 != nil {
				t.Fatalf("no point: %q", pairOf)
			}
			q, p := mm(t, got.X, px), mm(t, got.Y, py)
			want := binomial(c.Plan.Sample, c.Plan.Accept, math.Max(q, 0))
			// a pixel's worth along, times the steepest that the curve can be (its sample's size), and one up
			if math.Abs(p-want) > pixel(t, got.Y)+float64(c.Plan.Sample)*pixel(t, got.X) {
				t.Errorf("%s: at %.4f bad the curve is drawn at %.4f, want %.4f", c.Class, q, p, want)
			}
		}
		drawn++
	}
	if drawn < 2 || len(got.D) != 2*drawn {
		t.Errorf("%d classes are inspected, %d curves and samples are drawn", drawn, len(got.D))
	}
}

// The order of each process is drawn with what is odd in it: a diamond for each signal.
func TestSignalsAreMarked(t *testing.T) {
	lots, err := judgedLots()
	must(t, lots, err)
	var page bytes.Buffer
	if err := html.Lot(&page, lots); err != nil {
		t.Fatal(err)
	}
	b := open(t, page.Bytes())
	got := browser.Ask[map[string]int](b.Tab, `(() => {
		const found = {};
		for (const c of document.querySelectorAll("#lot2-detail .process")) {
			const s = c.querySelector("svg[aria-label^='Individuals'] path.signal");
			found[c.querySelector("h3").textContent] = s ? s.getAttribute("d").split("M").length - 1 : 0;
		}
		return found;
	})()`)
	marked := 0
	for _, p := range lots.Lots[1].Processes {
		want := map[string]bool{}
		for _, s := range p.Signals {
			want[s.Kits[len(s.Kits)-1]] = true
		}
		marked += len(want)
		if n, ok := got[p.Name]; !ok || n != len(want) {
			t.Errorf("%s: %d kits are marked, want %d (%v)", p.Name, n, len(want), ok)
		}
	}
	if marked == 0 {
		t.Error("nothing in the lot is odd, so the test shows nothing")
	}
}

// The outcome stands first, in word, sign and colour.
func TestLotsSayOutcomeFirst(t *testing.T) {
	b := open(t, otherPages(t)["lot"])
	got := browser.Ask[[]string](b.Tab, `[...document.querySelectorAll("h2.decision .v")].map((e) => e.textContent)`)
	if diff := gocmp.Diff([]string{"✓ accept", "✕ reject"}, got); diff != "" {
		t.Errorf("decisions (-want +got):\n%s", diff)
	}
	colours := browser.Ask[[]string](b.Tab, `[...document.querySelectorAll("h2.decision .v")].map((e) => getComputedStyle(e).color)`)
	if len(colours) != 2 || colours[0] == colours[1] {
		t.Errorf("accept and reject have the colours %v", colours)
	}
	if !browser.Ask[bool](b.Tab, `[...document.querySelectorAll("section.lot")].every((s) => s.firstElementChild.matches(".decision"))`) {
		t.Error("a lot does not begin with its decision")
	}
}

func TestPairsSortAndFilterByKeyboard(t *testing.T) {
	match, err := matched()
	must(t, match, err)
	b := open(t, otherPages(t)["pair"])
	necks := func(list []pair.Pair) []string {
		names := []string{}
		for i := range list {
			names = append(names, list[i].Neck)
		}
		return names
	}
	b.tabTo(`e.textContent === "Minutes"`)
	b.Do(chromedp.KeyEvent(kb.Enter))
	sorted := slices.Clone(match.Pairs)
	slices.SortStableFunc(sorted, func(x, y pair.Pair) int {
		return cmp.Compare(math.Round(x.Price.Minutes), math.Round(y.Price.Minutes))
	})
	if diff := gocmp.Diff(necks(sorted), browser.Ask[[]string](b.Tab, shownKits)); diff != "" {
		t.Errorf("by minutes (-want +got):\n%s", diff)
	}
	b.tabTo(`e.id === "verdict"`)
	b.Do(chromedp.KeyEvent("uns"))
	unsure := slices.DeleteFunc(slices.Clone(sorted), func(p pair.Pair) bool { return p.Result.Verdict != fit.Unsure })
	if diff := gocmp.Diff(necks(unsure), browser.Ask[[]string](b.Tab, shownKits)); diff != "" {
		t.Errorf("unsure pairs (-want +got):\n%s", diff)
	}
	b.tabTo(`e.id === "find"`)
	b.Do(chromedp.KeyEvent(unsure[0].Body)) // the body's name finds it too
	if diff := gocmp.Diff(necks(unsure[:1]), browser.Ask[[]string](b.Tab, shownKits)); diff != "" {
		t.Errorf("after typing a body's name (-want +got):\n%s", diff)
	}
	if text := browser.Ask[string](b.Tab, `document.getElementById("shown").textContent`); text != fmt.Sprintf("1 of %d pairs", len(match.Pairs)) {
		t.Errorf("the count says %q", text)
	}
}

// Every pair is drawn, its bridge where its own check has it, with what an exchange would cost.
func TestPairsAreDrawn(t *testing.T) {
	match, err := matched()
	must(t, match, err)
	b := open(t, otherPages(t)["pair"])
	got := browser.Ask[[]struct{ Says, Y, Error, Text string }](b.Tab, `[...document.querySelectorAll(".views figure")].map((f) => { const s = f.querySelector("svg"); return {
		Says: f.querySelector("figcaption").textContent, Y: s.dataset.y, Error: s.querySelector("[data-error]").dataset.error, Text: s.textContent }; })`)
	if len(got) != len(match.Pairs) {
		t.Fatalf("%d drawings of %d pairs", len(got), len(match.Pairs))
	}
	for i, d := range got {
		p := &match.Pairs[i]
		y, err := strconv.ParseFloat(d.Error, 64)
		e := p.Result.Find(fit.CentreLineError)
		if got := mm(t, d.Y, must(t, y, err)); math.Abs(got-e.Value) > pixel(t, d.Y) {
			t.Errorf("%s + %s: the bridge is drawn at %.3f mm, is at %.3f", p.Neck, p.Body, got, e.Value)
		}
		if want := fmt.Sprintf("swap +%.0f (%s)", p.Swap.More, p.Swap.Neck); !strings.Contains(d.Says, p.Neck+" + "+p.Body) || !strings.Contains(d.Says, want) {
			t.Errorf("drawing %d says %q, want %s", i, d.Says, want)
		}
		mouth := p.Result.Find(fit.PocketGapMouth).Value / 2 // the seat rule has both sides alike
		if want := fmt.Sprintf("treble %.2f", mouth); !strings.Contains(d.Text, want) {
			t.Errorf("%s + %s: the drawing says %q, want %s", p.Neck, p.Body, d.Text, want)
		}
	}
}

// Every part that is left over is named.
func TestLonePartsAreNamed(t *testing.T) {
	match, err := matched()
	must(t, match, err)
	b := open(t, otherPages(t)["pair"])
	want := []string{}
	for _, l := range append(slices.Clone(match.LoneNecks), match.LoneBodies...) {
		want = append(want, l.Name)
	}
	if got := browser.Ask[[]string](b.Tab, `[...document.querySelectorAll("section[aria-labelledby=lone] li b")].map((e) => e.textContent)`); len(want) == 0 || !slices.Equal(got, want) {
		t.Errorf("left over are %v, want %v", got, want)
	}
}

// Each kit that does not pass stands once among the works, and its section has its plans, the
// recommended one first.
func TestRemediesAreListed(t *testing.T) {
	list := slices.DeleteFunc(demo(t), func(r *fit.Result) bool {
		return !slices.Contains([]string{"SSB-01", "SSB-03", "SSB-04", "SSB-13"}, r.Kit)
	})
	var page bytes.Buffer
	if err := remediesPage(&page, advise(list...), ""); err != nil {
		t.Fatal(err)
	}
	b := open(t, page.Bytes())
	b.unfold()
	tasks := browser.Ask[[]string](b.Tab, `[...document.querySelectorAll("section[aria-labelledby=todo] .work")].filter((w) => w.querySelector("h3").textContent !== "read again").flatMap((w) => [...w.querySelectorAll("li a")].map((a) => a.textContent))`)
	slices.Sort(tasks)
	want := kits(list, func(r *fit.Result) bool { return r.Verdict == fit.Fail || r.Verdict == fit.Unsure })
	if diff := gocmp.Diff(want, tasks); diff != "" {
		t.Errorf("kits with something to do (-want +got):\n%s", diff)
	}
	steps := browser.Ask[[][][]string](b.Tab, `[...document.querySelectorAll("details.kit")].map((d) => [...d.querySelectorAll("section.do")].map((s) => [...s.querySelectorAll("ol > li")].map((e) => e.textContent.trim())))`)
	heads := browser.Ask[[][]string](b.Tab, `[...document.querySelectorAll("details.kit")].map((d) => [".say", ".kinds tbody th"].map((s) => (d.querySelector(s) || d).textContent.trim()))`)
	for i, r := range list {
		plans := [][]string{}
		if slices.Contains(want, r.Kit) {
			all := remedy.For(r, remedy.Options{}).Plans
			// the box and the first row of the table are the first plan's too
			if name := words.Plan(&all[0]); !strings.Contains(heads[i][0], name) || len(all) > 1 && heads[i][1] != "1. "+name {
				t.Errorf("%s: the first plan is %q, the page says %q", r.Kit, name, heads[i])
			}
			for _, p := range all[:min(mostPlans, len(all))] {
				steps := []string{}
				for _, s := range words.Steps(r, &p) {
					steps = append(steps, s.String())
				}
				plans = append(plans, steps)
			}
		}
		if diff := gocmp.Diff(plans, steps[i]); diff != "" {
			t.Errorf("%s: plans (-want +got):\n%s", r.Kit, diff)
		}
	}
}

// What a lot's page costs grows as its kits do: four times the kits take about four times the memory that
// is allocated on the way.
func TestLotPageGrowsWithItsKits(t *testing.T) {
	lots, err := judgedLots()
	must(t, lots, err)
	cost := func(n int) float64 {
		l := *lots.Lots[0]
		l.Processes = nil
		for _, p := range lots.Lots[0].Processes[:2] {
			q := *p
			values := make([]float64, n)
			for i := range values {
				values[i] = p.Chart.Values[i%len(p.Chart.Values)]
			}
			chart, err := lot.IndividualsChart(values, 0.05)
			q.Chart, q.N, q.Signals = must(t, chart, err), n, nil
			l.Processes = append(l.Processes, &q)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if err := html.Lot(io.Discard, &delivery.Report{Lots: []*delivery.Lot{&l}}); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	const few, times = 4000, 4
	cost(few) // what is made once
	if one, four := cost(few), cost(few*times); four > 1.5*times*one {
		t.Errorf("%d kits allocate %.1f MiB, %d kits %.1f", few, one/(1<<20), few*times, four/(1<<20))
	}
}
