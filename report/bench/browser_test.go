package bench_test

import (
	"context"
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/bench"
)

// browser is started once for all tests of the package.
var browser struct {
	sync.Once
	ctx  context.Context
	stop []func()
	err  error
}

func TestMain(m *testing.M) {
	code := m.Run()
	for _, stop := range slices.Backward(browser.stop) {
		stop()
	}
	os.Exit(code)
}

func startBrowser() {
	dir, err := os.MkdirTemp("", "neckfit-browser-*")
	if err != nil {
		browser.err = err
		return
	}
	browser.stop = append(browser.stop, func() { _ = os.RemoveAll(dir) })
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.UserDataDir(dir), chromedp.NoSandbox, chromedp.DisableGPU)
	if path := os.Getenv("NECKFIT_BROWSER"); path != "" { // else chromedp looks in the usual places
		options = append(options, chromedp.ExecPath(path))
	}
	allocator, stopAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(allocator)
	browser.stop = append(browser.stop, stopAllocator, stop)
	browser.ctx, browser.err = ctx, chromedp.Do(ctx)
}

const token = "SECRET"

// serve answers for a folder as neckfit bench does, and gives the page's address.
func serve(t *testing.T, dir string) (f *bench.Folder, address string) {
	t.Helper()
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	var host string
	server := httptest.NewServer(bench.Handler(f, token, func(name string) bool { return name == host }))
	t.Cleanup(server.Close)
	host = strings.TrimPrefix(server.URL, "http://")
	return f, server.URL + "/" + token + "/"
}

// options are those of check.
func options(b *measure.Batch) fit.Options {
	return fit.Options{Limits: b.Limits, Specs: b.Specs, Compensation: b.Compensation()}
}

// emptyFolder has a readings.csv that is only a header.
func emptyFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	write(t, filepath.Join(dir, "readings.csv"), strings.Join(measure.Columns("readings.csv"), ",")+"\n")
	write(t, filepath.Join(dir, "kits.csv"), strings.Join(measure.Columns("kits.csv"), ",")+"\n")
	return dir
}

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// tab is the page in the browser, with what it complained of and asked for.
type tab struct {
	t   *testing.T
	ctx context.Context

	mu         sync.Mutex
	complaints []string
	requests   []string
}

// open shows the page. Without the browser the test fails: it must not be skipped.
func open(t *testing.T, address string, width int64, touch bool) *tab {
	t.Helper()
	browser.Do(startBrowser)
	if browser.err != nil {
		t.Fatalf("this test needs a browser of the Chromium family (bash .ci/test installs one): %v", browser.err)
	}
	ctx, cancel := chromedp.NewContext(browser.ctx)
	t.Cleanup(cancel)
	b := &tab{t: t, ctx: ctx}
	if err := chromedp.Listen(ctx, b.hear); err != nil {
		t.Fatal(err)
	}
	b.ctx, cancel = context.WithTimeout(ctx, time.Minute) // so that a hung browser does not hang the suite
	t.Cleanup(cancel)
	for _, err := range []error{callErr(b, network.Enable, network.EnableParams{}), callErr(b, log.Enable, cdp.Empty{})} {
		if err != nil {
			t.Fatal(err)
		}
	}
	const height = 740
	if touch {
		b.do(chromedp.EmulateViewport(width, height, chromedp.EmulateMobile, chromedp.EmulateTouch))
	} else {
		b.do(chromedp.EmulateViewport(width, height))
	}
	b.do(chromedp.Navigate(address))
	b.until(`document.getElementById("headline").textContent !== ""`)
	return b
}

func callErr[P, R any](b *tab, command cdp.Command[P, R], params P) error {
	_, err := chromedp.Call(b.ctx, command, params)
	return err
}

func (b *tab) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, e.Request.URL)
	case *log.EventEntryAdded:
		b.complaints = append(b.complaints, e.Entry.Text)
	case *runtime.EventExceptionThrown:
		b.complaints = append(b.complaints, e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		b.complaints = append(b.complaints, "console: "+string(e.Type))
	}
}

// quiet fails when the page complained, or asked for anything that is not its own.
func (b *tab) quiet(address string) {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, c := range b.complaints {
		b.t.Errorf("the page complains: %s", c)
	}
	for _, r := range b.requests {
		if !strings.HasPrefix(r, address) && r != "data:," {
			b.t.Errorf("the page asks for %.120s", r)
		}
	}
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func ask[T any](b *tab, expression string) T {
	b.t.Helper()
	result, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatal(err)
	}
	return result
}

// until waits for an expression to become true.
func (b *tab) until(expression string) {
	b.t.Helper()
	const wait = `new Promise((done) => { const look = (n) => (%s) ? done(true) : n ? setTimeout(look, 10, n - 1) : done(false); look(1000); })`
	if !ask[bool](b, fmt.Sprintf(wait, expression)) {
		b.t.Fatalf("never true: %s; the page says\n%s", expression, ask[string](b, `document.body.innerText`))
	}
}

// text is what an element shows.
func (b *tab) text(id string) string {
	b.t.Helper()
	return ask[string](b, fmt.Sprintf("document.getElementById(%q).textContent", id))
}

// enter types a number and goes on, and waits until the page is at another number or has a complaint.
func (b *tab) enter(text string) {
	b.t.Helper()
	const where = `document.getElementById("step").textContent + document.getElementById("label").textContent + document.getElementById("notice").textContent`
	before := ask[string](b, where)
	b.do(chromedp.KeyEvent(text), chromedp.KeyEvent(kb.Enter))
	b.until(fmt.Sprintf("!busy && (%s !== %q || document.getElementById(\"fault\").textContent)", where, before))
}

// tap touches the middle of an element, which must be large enough for a finger and lie in the window.
func (b *tab) tap(selector string) {
	b.t.Helper()
	box := ask[[2]float64](b, fmt.Sprintf(`(() => { const e = document.querySelector(%q); const r = e.getBoundingClientRect(); return [r.width, r.height]; })()`, selector))
	if box[0] < 24 || box[1] < 24 { // WCAG 2.2, 2.5.8
		b.t.Errorf("%s is %.0f by %.0f px", selector, box[0], box[1])
	}
	b.touchAt(selector, 0.5)
}

// axeCore is axe-core's script, in the version that package-lock.json pins.
var axeCore = sync.OnceValues(func() ([]byte, error) {
	const dir = "../html/testdata/axe"
	if script, err := os.ReadFile(dir + "/node_modules/axe-core/axe.min.js"); err == nil {
		return script, nil
	}
	c := exec.Command("npm", "ci", "--ignore-scripts")
	c.Dir = dir
	if said, err := c.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%s: %w: %s", c, err, said)
	}
	return os.ReadFile(dir + "/node_modules/axe-core/axe.min.js")
})

// accessible holds the page against axe-core's rules, in either theme.
func (b *tab) accessible() {
	b.t.Helper()
	axe, err := axeCore()
	if err != nil {
		b.t.Fatalf("this test needs axe-core: %v", err)
	}
	b.do(chromedp.Evaluate[chromedp.Void](string(axe)))
	for _, theme := range []string{"light", "dark"} {
		if err := callErr(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}}}); err != nil {
			b.t.Fatal(err)
		}
		for _, f := range ask[[]string](b, `axe.run().then((r) => r.violations.flatMap((v) => v.nodes.slice(0, 4).map((n) => v.impact + " " + v.id + ": " + n.html.slice(0, 160) + " " + n.failureSummary)))`) {
			b.t.Errorf("%s: %s", theme, f)
		}
	}
}

// touchAt touches an element so far of its width from its left.
func (b *tab) touchAt(selector string, share float64) {
	b.t.Helper()
	box := ask[[4]float64](b, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: "center", behavior: "instant"}); const r = e.getBoundingClientRect(); return [r.left, r.top, r.width, r.height]; })()`, selector))
	at := []*input.TouchPoint{{X: box[0] + share*box[2], Y: box[1] + box[3]/2}}
	for _, e := range []error{
		callErr(b, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: at}),
		callErr(b, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}}),
	} {
		if e != nil {
			b.t.Fatal(e)
		}
	}
}
