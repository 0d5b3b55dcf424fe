package html_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/pair"
	"neckfit/fit/remedy"
	"neckfit/fit/simulate"
	"neckfit/fit/study"
	"neckfit/measure"
	"neckfit/report/html"
	"neckfit/report/internal/browser"
	"neckfit/report/words"
)

// readKits reads a batch's kits.
func readKits(dir string) (kits []*measure.Kit, o fit.Options, infos map[string]measure.Info, err error) {
	batch, err := measure.Open(dir, measure.Options{Characteristics: fit.Characteristics()})
	if err != nil {
		return nil, o, nil, err
	}
	kits, err = batch.All(context.Background())
	err = errors.Join(err, batch.Close())
	return kits, fit.Options{Limits: batch.Limits, Compensation: batch.Compensation()}, batch.Infos, err
}

// judgedLots is the delivery of testdata/lots: a lot to accept and one to reject. Tests only read it.
var judgedLots = sync.OnceValues(judgeLots)

func judgeLots() (*delivery.Report, error) {
	kits, o, _, err := readKits("../../testdata/lots")
	d := &delivery.Delivery{}
	for _, k := range kits {
		err = errors.Join(err, d.Add(delivery.Of(fit.Check(k, o))))
	}
	if err != nil {
		return nil, err
	}
	return d.Judge(delivery.Options{AQL: [measure.Minor + 1]float64{measure.Critical: 0.65, measure.Major: 2.5, measure.Minor: 4}, Seed: 1})
}

// matched is the match of testdata/pairs.
var matched = sync.OnceValues(findMatch)

func findMatch() (*pair.Match, error) {
	kits, o, _, err := readKits("../../testdata/pairs")
	if err != nil {
		return nil, err
	}
	parts, err := pair.Sort(kits)
	if err != nil {
		return nil, err
	}
	return pair.Find(parts, pair.Options{Check: o, Drawn: true})
}

func must[T any](t testing.TB, x T, err error) T {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// studied are the gauge studies of testdata/gauge, and the table of gauges that comes of them.
func studied(t testing.TB) ([]*study.Study, []measure.Gauge) {
	t.Helper()
	kits, _, _, err := readKits("../../testdata/gauge")
	c := &study.Collection{}
	for _, k := range must(t, kits, err) {
		c.Add(k)
	}
	tolerance, _ := study.Narrowest(nil, fit.BuiltInLimits(), fit.Characteristics())
	studies := c.Judge(tolerance)
	return studies, study.Gauges(measure.BuiltInGauges(), studies)
}

const mostPlans = 3

// advised is a result with what is advised.
type advised struct {
	result *fit.Result
	advice *remedy.Advice
}

// advise asks for the remedies of results, which keep their models.
func advise(list ...*fit.Result) []advised {
	var all []advised
	for _, r := range list {
		all = append(all, advised{r, remedy.For(r, remedy.Options{})})
	}
	return all
}

// worked are kits whose recommended plan was not carried out, each four times, so that something comes out of how
// exactly works are done.
func worked(list []advised) (all []remedy.Worked) {
	for _, one := range list {
		for range 4 {
			all = append(all, remedy.Worked{Before: one.result, After: one.result, Plan: &one.advice.Plans[0]})
		}
	}
	return all
}

// remediesPage writes the page of remedies.
func remediesPage(w io.Writer, list []advised, source string) error {
	page := html.NewRemedies(w, source, mostPlans)
	for _, one := range list {
		if err := page.Kit(one.result, one.advice); err != nil {
			return errors.Join(err, page.Close())
		}
	}
	return page.Close()
}

// otherPages are the pages that are not the batch's, written once.
func otherPages(t testing.TB) map[string][]byte {
	t.Helper()
	others.Do(func() { others.pages = writeOthers(t) })
	return others.pages
}

var others struct {
	sync.Once
	pages map[string][]byte
}

func writeOthers(t testing.TB) map[string][]byte {
	t.Helper()
	lots, err := judgedLots()
	must(t, lots, err)
	match, err := matched()
	must(t, match, err)
	some := slices.DeleteFunc(demo(t), func(r *fit.Result) bool {
		return !slices.Contains([]string{"SSB-01", "SSB-03", "SSB-04", "SSB-09", "SSB-13", "SSB-22", "EC-02"}, r.Kit)
	})
	studies, gauges := studied(t)
	list := advise(some...)
	pages := map[string][]byte{}
	for name, write := range map[string]func(*bytes.Buffer) error{
		"lot":      func(b *bytes.Buffer) error { return html.Lot(b, lots) },
		"letter":   func(b *bytes.Buffer) error { return html.Letters(b, lots, []string{"a calliper"}) },
		"pair":     func(b *bytes.Buffer) error { return html.Pair(b, match, nil, "the parts") },
		"gauge":    func(b *bytes.Buffer) error { return html.Gauge(b, studies, gauges, "the study") },
		"remedies": func(b *bytes.Buffer) error { return remediesPage(b, list, "the batch") },
		"remedy":   func(b *bytes.Buffer) error { return remediesPage(b, list[1:2], "") },
		"after":    func(b *bytes.Buffer) error { return html.RemedyAfter(b, worked(list), "the batch", "again") },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		pages[name] = b.Bytes()
	}
	return pages
}

func TestOtherPagesBehave(t *testing.T) {
	t.Parallel()
	for name, page := range otherPages(t) {
		t.Run(name, func(t *testing.T) {
			b := open(t, page)
			b.seenFirst(name)
			b.unfold()
			b.Quiet()
			b.explains(name)
			for _, c := range b.Collisions("svg.fig", "section") {
				t.Error(c)
			}
			// three of the sections that open will do for what takes its time over each
			browser.Ask[bool](b.Tab, `[...document.querySelectorAll("details.kit")].slice(3).every((d) => !(d.open = false))`)
			b.fits()
			b.Accessible(1400)
			if name == "lot" || name == "pair" || name == "gauge" { // which a phone lays out otherwise
				b.Accessible(360)
			}
			b.grey()
		})
	}
}

func TestOtherPagesAreSelfContained(t *testing.T) {
	for name, page := range otherPages(t) {
		for _, word := range []string{"http:", "https:", "//cdn", "@import", "url(", "src=", "@font-face"} {
			if bytes.Contains(page, []byte(word)) {
				t.Errorf("%s contains %q", name, word)
			}
		}
	}
}

// Everything is judged, matched and laid out anew, in goroutines that take turns as they like.
func TestOtherPagesComeOutAlike(t *testing.T) {
	first := otherPages(t)
	lots, err := judgeLots()
	var b bytes.Buffer
	if err := html.Lot(&b, must(t, lots, err)); err != nil || !bytes.Equal(b.Bytes(), first["lot"]) {
		t.Errorf("the lots' page differs the second time (%v)", err)
	}
	b.Reset()
	match, err := findMatch()
	if err := html.Pair(&b, must(t, match, err), nil, "the parts"); err != nil || !bytes.Equal(b.Bytes(), first["pair"]) {
		t.Errorf("the match's page differs the second time (%v)", err)
	}
	if !bytes.Equal(writeOthers(t)["remedies"], first["remedies"]) {
		t.Error("the page of remedies differs the second time")
	}
}

func TestOtherPagesTakeHostileTexts(t *testing.T) {
	t.Parallel()
	var list []advised
	match := &pair.Match{Necks: len(hostile), Bodies: len(hostile), Work: len(hostile), Bridge: hostile[1]}
	lots := &delivery.Report{}
	for i, text := range hostile {
		r := hostileResult(text, uint64(i))
		a := remedy.For(r, remedy.Options{})
		for k := range a.Plans[0].Actions {
			a.Plans[0].Actions[k].Name = text
		}
		list = append(list, advised{r, a})
		match.Pairs = append(match.Pairs, pair.Pair{Neck: text, Body: text, Result: r})
		match.LoneNecks = append(match.LoneNecks, pair.Lone{Name: text, Why: []pair.Obstacle{{Kind: pair.NeckUnread, Missing: fit.Missing{Want: fit.WantMore}}}})
		lots.Lots = append(lots.Lots, hostileLot(t, text))
	}
	studies, gauges := studied(t)
	for _, s := range studies {
		s.Gauge, s.Label, s.Persons[0] = hostile[1], hostile[2], hostile[1]
	}
	gauges[0].ID = hostile[1]
	for name, one := range map[string]struct {
		shows string // as text
		write func(*bytes.Buffer) error
	}{
		"lots":    {hostile[1], func(b *bytes.Buffer) error { return html.Lot(b, lots) }},
		"one lot": {hostile[5], func(b *bytes.Buffer) error { return html.Lot(b, &delivery.Report{Lots: lots.Lots[5:6]}) }},
		"pair": {hostile[1], func(b *bytes.Buffer) error {
			return html.Pair(b, match, [][2]string{{hostile[1], hostile[2]}}, hostile[3])
		}},
		"gauge":    {hostile[1], func(b *bytes.Buffer) error { return html.Gauge(b, studies, gauges, hostile[0]) }},
		"remedies": {hostile[1], func(b *bytes.Buffer) error { return remediesPage(b, list, hostile[4]) }},
		"after":    {hostile[1], func(b *bytes.Buffer) error { return html.RemedyAfter(b, worked(list), hostile[3], hostile[4]) }},
		"remedy":   {hostile[5], func(b *bytes.Buffer) error { return remediesPage(b, list[5:6], hostile[3]) }},
	} {
		t.Run(name, func(t *testing.T) {
			var page bytes.Buffer
			if err := one.write(&page); err != nil {
				t.Fatal(err)
			}
			b := open(t, page.Bytes())
			b.unharmed()
			if text := browser.Ask[string](b.Tab, `document.getElementById("main").innerText`); !strings.Contains(text, one.shows) {
				t.Errorf("the page does not show %q as text", one.shows)
			}
		})
	}
}

// hostileLot is the lot to reject, with a text wherever a user's or a table's can stand.
func hostileLot(t *testing.T, text string) *delivery.Lot {
	t.Helper()
	lots, err := judgedLots()
	l := *must(t, lots, err).Lots[1]
	a := *l.Acceptance
	l.Name, l.Supplier, l.Bad = text, text, []string{text, text}
	a.Drawn, a.Unread = []string{text}, []string{text}
	a.ByClass = slices.Clone(a.ByClass)
	for i := range a.ByClass {
		a.ByClass[i].BadKits, a.ByClass[i].UnsureKits, a.ByClass[i].BlankKits = []string{text}, []string{text}, []string{text}
	}
	l.Acceptance = &a
	l.Processes = nil
	for _, p := range must(t, lots, err).Lots[1].Processes[:3] {
		q := *p
		q.Name = text
		q.Signals = append(slices.Clone(q.Signals), delivery.Signal{Rule: 1, Kits: []string{text}})
		l.Processes = append(l.Processes, &q)
	}
	return &l
}

// A kit with a reading that another contradicts is counted, grouped and listed as one to be read first, and not with those
// that are drilled.
func TestRemediesTellWhatIsReadFirst(t *testing.T) {
	in := simulate.ShortScaleBass()
	kit := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	for i := range kit.Readings {
		if r := &kit.Readings[i]; r.Feature == measure.BridgeScrew && r.Mark.Number == 3 {
			r.Offset += 2
		}
	}
	r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
	a := remedy.For(r, remedy.Options{})
	if len(a.Suspect) == 0 || a.Plans[0].Level != remedy.Redrilled {
		t.Fatalf("%d suspects, level %v", len(a.Suspect), a.Plans[0].Level)
	}
	var out bytes.Buffer
	if err := remediesPage(&out, []advised{{r, a}, {r, a}}, ""); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	for text, there := range map[string]bool{
		"? are read first": true, "◎ holes are plugged": false, "<h3>" + words.ReadGroup + "</h3>": true, "<h3>plug and re-drill the bridge</h3>": false,
		words.ReadGroup + ": plug and re-drill the bridge<": true,
	} {
		if strings.Contains(page, text) != there {
			t.Errorf("%q there: %v", text, !there)
		}
	}
}

// The page of remedies holds nothing of a kit but what is said of it: a million of them are laid out one by one.
func TestRemediesHoldNoResult(t *testing.T) {
	gone := make(chan struct{})
	page := html.NewRemedies(io.Discard, "", mostPlans)
	func() {
		in := simulate.ShortScaleBass()
		in.CentreLineError = 1.4
		r := fit.Check(in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true})), fit.Options{Model: true, Compensation: in.Compensation})
		runtime.AddCleanup(r, func(done chan struct{}) { close(done) }, gone)
		if err := page.Kit(r, remedy.For(r, remedy.Options{})); err != nil {
			t.Fatal(err)
		}
	}()
	for range 3 {
		runtime.GC()
	}
	select {
	case <-gone:
	case <-time.After(10 * time.Second):
		t.Error("the page holds on to a result")
	}
	if err := page.Close(); err != nil {
		t.Error(err)
	}
}

// whatToDo is where each page says what to do.
var whatToDo = map[string]string{
	"lot": ".lot .headline", "pair": "#list tbody td.what", "gauge": ".headline", "remedies": "#todo + .work li", "remedy": ".do .say", "letter": ".letter p",
	"after": ".headline", "check": "#todo + .work li",
}

// seenFirst fails when whoever opens the page for the first time does not see what to do without scrolling, on a
// phone or at a desk.
func (b *tab) seenFirst(name string) {
	b.T.Helper()
	for _, width := range []int64{360, 1400} {
		b.Look(width, false)
		at := browser.Ask[struct {
			Seen bool
			Text string
		}](b.Tab, `(() => { const e = document.querySelector("`+whatToDo[name]+`"); if (!e) return { Text: "nothing" }; const r = e.getBoundingClientRect();
			return { Seen: e.checkVisibility() && r.height > 0 && r.bottom <= innerHeight && r.right <= innerWidth, Text: r.top + " to " + r.bottom + ": " + e.textContent }; })()`)
		if !at.Seen {
			b.T.Errorf("%s at %d px: what to do is not seen at first: %.120s", name, width, at.Text)
		}
	}
}

// What is said at a kit's head is said once, and where nothing can be advised it is told what to do first.
func TestAnImplausibleKitIsToldOnce(t *testing.T) {
	in := simulate.ShortScaleBass()
	kit := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	for i := range kit.Readings {
		if r := &kit.Readings[i]; r.Feature == measure.Heel {
			r.Size /= 10
		}
	}
	r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
	var out bytes.Buffer
	page := html.New(t.Context(), &out, html.Options{})
	if err := errors.Join(page.Kit(r), page.Close()); err != nil {
		t.Fatal(err)
	}
	if said := "likely centimetres written as millimetres"; r.Verdict != fit.Implausible || strings.Count(out.String(), said) != 1 || !strings.Contains(out.String(), "<p>To do first: look again at what was read there") {
		t.Errorf("%v, said %d times", r.Verdict, strings.Count(out.String(), said))
	}
}
