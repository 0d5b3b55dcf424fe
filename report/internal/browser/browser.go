// Package browser opens pages in a real browser of the Chromium family, for the tests of the pages: what
// they show, what they complain of, what they ask for, and whether everybody can use them.
package browser

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// one is the browser of all tests of a package, started by the first that needs it.
var one struct {
	sync.Once
	ctx  context.Context
	stop []func()
	err  error
}

// Main runs a package's tests and ends the browser after them.
func Main(m *testing.M) int {
	code := m.Run()
	for _, stop := range slices.Backward(one.stop) {
		stop()
	}
	return code
}

// Step is something to do in a page.
type Step = chromedp.Action[chromedp.Void]

// Tab is a page in the browser, with what it complained of and asked for.
type Tab struct {
	T       testing.TB
	Ctx     context.Context
	address string
	*heard
}

// heard is what a page said, which another goroutine notes.
type heard struct {
	mu         sync.Mutex
	complaints []string
	requests   []string
}

// Open shows the page at an address, after some steps, and gives up after so long, so that a hung browser
// does not hang the suite; the function closes it. Without a browser the test fails: it must not be skipped.
func Open(t testing.TB, address string, patience time.Duration, before ...Step) (*Tab, func()) {
	t.Helper()
	one.Do(func() {
		dir, err := os.MkdirTemp("", "neckfit-browser-*")
		if err != nil {
			one.err = err
			return
		}
		one.stop = append(one.stop, func() { _ = os.RemoveAll(dir) })
		options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.UserDataDir(dir), chromedp.NoSandbox, chromedp.DisableGPU,
			chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
		if path := os.Getenv("NECKFIT_BROWSER"); path != "" { // else chromedp looks in the usual places
			options = append(options, chromedp.ExecPath(path))
		}
		allocator, stopAllocator := chromedp.NewExecAllocator(context.Background(), options...)
		ctx, stop := chromedp.NewContext(allocator)
		one.stop = append(one.stop, stopAllocator, stop)
		one.ctx, one.err = ctx, chromedp.Do(ctx)
	})
	if one.err != nil {
		t.Fatalf("the tests of the pages need a browser of the Chromium family (bash .ci/test installs one, NECKFIT_BROWSER names one): %v", one.err)
	}
	ctx, closeTab := chromedp.NewContext(one.ctx)
	ctx, cancel := context.WithTimeout(ctx, patience)
	b := &Tab{T: t, Ctx: ctx, address: address, heard: &heard{}}
	if err := chromedp.Listen(ctx, b.hear); err != nil {
		t.Fatal(err)
	}
	Call(b, network.Enable, network.EnableParams{})
	Call(b, log.Enable, cdp.Empty{})
	b.Do(before...)
	b.Do(chromedp.Navigate(address))
	return b, func() { cancel(); closeTab() }
}

// For is the same page, looked at by another test.
func (b *Tab) For(t testing.TB) *Tab { return &Tab{t, b.Ctx, b.address, b.heard} }

// Call runs a command of the browser's protocol.
func Call[P, R any](b *Tab, command cdp.Command[P, R], params P) R {
	b.T.Helper()
	result, err := chromedp.Call(b.Ctx, command, params)
	if err != nil {
		b.T.Fatal(err)
	}
	return result
}

func (b *heard) hear(event any) {
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
	case *page.EventJavascriptDialogOpening:
		b.complaints = append(b.complaints, "dialog: "+e.Message)
	}
}

// Quiet fails when the page complained of anything, or asked for anything whose address does not begin as
// its own; an empty icon is nothing.
func (b *Tab) Quiet() {
	b.T.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, c := range b.complaints {
		b.T.Errorf("the page complains: %s", c)
	}
	for _, r := range b.requests {
		if !strings.HasPrefix(r, b.address) && r != "data:," {
			b.T.Errorf("the page asks for %.120s", r)
		}
	}
}

// Do takes steps in the page.
func (b *Tab) Do(steps ...Step) {
	b.T.Helper()
	if err := chromedp.Do(b.Ctx, steps...); err != nil {
		b.T.Fatal(err)
	}
}

// Ask evaluates an expression, which may be a promise, in the page.
func Ask[T any](b *Tab, expression string) T {
	b.T.Helper()
	result, err := chromedp.Run(b.Ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.T.Fatal(err)
	}
	return result
}

// Until waits for an expression to become true.
func (b *Tab) Until(expression string) {
	b.T.Helper()
	const wait = `new Promise((done) => { const look = (n) => (%s) ? done(true) : n ? setTimeout(look, 10, n - 1) : done(false); look(1000); })`
	if !Ask[bool](b, fmt.Sprintf(wait, expression)) {
		b.T.Fatalf("never true: %s; the page says\n%s", expression, Ask[string](b, `document.body.innerText`))
	}
}

// Look sets the window's width; dark asks for the dark theme.
func (b *Tab) Look(width int64, dark bool) {
	b.T.Helper()
	const height = 900
	theme := "light"
	if dark {
		theme = "dark"
	}
	b.Do(chromedp.EmulateViewport(width, height))
	Call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}}})
}

// axeCore is axe-core's script, in the version that package-lock.json pins. Where it is not there yet, npm
// puts it there.
var axeCore = sync.OnceValues(func() ([]byte, error) {
	const dir = "../html/testdata/axe" // from report/html as from its neighbours
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

// Accessible holds the page against the rules of axe-core, of every level: no finding that it calls serious
// or critical, in either theme. Contrast (WCAG 2, AA) is one of them, and the one that the theme can change.
func (b *Tab) Accessible(width int64) {
	b.T.Helper()
	axe, err := axeCore()
	if err != nil {
		b.T.Fatalf("this test needs axe-core: %v", err)
	}
	b.Do(chromedp.Evaluate[chromedp.Void](string(axe)))
	for _, dark := range []bool{false, true} {
		b.Look(width, dark)
		rules := `{ resultTypes: ["violations"] }`
		if dark {
			rules = `{ resultTypes: ["violations"], runOnly: ["color-contrast"] }`
		}
		for _, f := range Ask[[]string](b, `axe.run(`+rules+`).then((r) => r.violations.filter((v) => v.impact === "serious" || v.impact === "critical")
			.flatMap((v) => v.nodes.slice(0, 4).map((n) => v.id + ": " + n.html.slice(0, 160) + " " + n.failureSummary)))`) {
			b.T.Errorf("%d px, dark %v: %s", width, dark, f)
		}
	}
}

// Collisions lists the writings of the drawings that a selector finds which lie on each other or are cut
// off, by their boxes in the drawing's own units; within names, of a drawing, the ancestor that it is called by.
func (b *Tab) Collisions(drawings, within string) []string {
	b.T.Helper()
	return Ask[[]string](b, fmt.Sprintf(`[...document.querySelectorAll(%q)].flatMap((s) => {
	const texts = [...s.querySelectorAll("text")].filter((e) => e.textContent).map((e) => ({ box: e.getBBox(), text: e.textContent }));
	const where = (s.closest(%q) || {}).id + " " + (s.getAttribute("aria-label") || "").slice(0, 12) + ": ", found = [];
	for (let i = 0; i < texts.length; i++) {
		const a = texts[i].box, view = s.viewBox.baseVal;
		if (!a.width) found.push(where + texts[i].text + " has no box");
		if (a.x < view.x || a.y < view.y || a.x + a.width > view.x + view.width || a.y + a.height > view.y + view.height) found.push(where + texts[i].text + " is cut off");
		for (let j = 0; j < i; j++) {
			const b = texts[j].box, slack = 1; // px: a line's box is taller than its letters
			if (a.x + slack < b.x + b.width && b.x + slack < a.x + a.width && a.y + slack < b.y + b.height && b.y + slack < a.y + a.height)
				found.push(where + texts[j].text + " | " + texts[i].text);
		}
	}
	return found;
})`, drawings, within))
}
