package html_test

import (
	"context"
	"net/url"
	"os"
	"path/filepath"
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

// browser is started once for all tests of the package.
var browser struct {
	sync.Once
	ctx  context.Context
	stop []func()
	err  error
}

func TestMain(m *testing.M) {
	code := m.Run()
	for i := len(browser.stop) - 1; i >= 0; i-- {
		browser.stop[i]()
	}
	os.Exit(code)
}

func startBrowser() {
	dir, err := os.MkdirTemp("", "neckfit-chromium-*")
	if err != nil {
		browser.err = err
		return
	}
	browser.stop = append(browser.stop, func() { _ = os.RemoveAll(dir) })
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.UserDataDir(dir), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	if path := os.Getenv("NECKFIT_BROWSER"); path != "" { // else chromedp looks in the usual places
		options = append(options, chromedp.ExecPath(path))
	}
	allocator, stopAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(allocator)
	browser.stop = append(browser.stop, stopAllocator, stop)
	browser.ctx, browser.err = ctx, chromedp.Do(ctx)
}

// tab is a page in the browser, with what it complained of and asked for.
type tab struct {
	t   *testing.T
	ctx context.Context

	mu         sync.Mutex
	complaints []string
	requests   []string
}

// open shows a file. Without the browser the test fails: it must not be skipped.
func open(t *testing.T, file string, before ...step) *tab {
	t.Helper()
	browser.Do(startBrowser)
	if browser.err != nil {
		t.Fatalf("these tests need a browser of the Chromium family (bash .ci/test installs one): %v", browser.err)
	}
	ctx, cancel := chromedp.NewContext(browser.ctx)
	t.Cleanup(cancel)
	b := &tab{t: t, ctx: ctx}
	if err := chromedp.Listen(ctx, b.hear); err != nil {
		t.Fatal(err)
	}
	const patience = 2 * time.Minute // so that a hung browser does not hang the suite
	b.ctx, cancel = context.WithTimeout(ctx, patience)
	t.Cleanup(cancel)
	call(b, network.Enable, network.EnableParams{})
	call(b, log.Enable, cdp.Empty{})
	b.do(before...)
	b.do(chromedp.Navigate(fileURL(t, file)))
	return b
}

// step is something to do in a page.
type step = chromedp.Action[chromedp.Void]

// call runs a command of the browser's protocol.
func call[P, R any](b *tab, command cdp.Command[P, R], params P) R {
	b.t.Helper()
	result, err := chromedp.Call(b.ctx, command, params)
	if err != nil {
		b.t.Fatal(err)
	}
	return result
}

func fileURL(t *testing.T, file string) string {
	t.Helper()
	path, err := filepath.Abs(file)
	if err != nil {
		t.Fatal(err)
	}
	return (&url.URL{Scheme: "file", Path: path}).String()
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
	case *page.EventJavascriptDialogOpening:
		b.complaints = append(b.complaints, "dialog: "+e.Message)
	}
}

// quiet fails when the page complained of anything or asked for anything but itself.
func (b *tab) quiet() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, c := range b.complaints {
		b.t.Errorf("the page complains: %s", c)
	}
	for i, r := range b.requests {
		if i > 0 && r != "data:," { // the first is the file itself, the other its empty icon
			b.t.Errorf("the page asks for %.120s", r)
		}
	}
}

func (b *tab) do(steps ...step) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

// ask evaluates an expression, which may be a promise, in the page.
func ask[T any](b *tab, expression string) T {
	b.t.Helper()
	result, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatal(err)
	}
	return result
}

// unfold opens every group, every kit and everything else that opens, and lets the page settle.
func (b *tab) unfold() {
	b.t.Helper()
	const all = `(async () => {
		const closed = () => [...document.querySelectorAll("details:not([open])")], left = () => document.querySelectorAll("details noscript").length;
		for (let round = 0; round < 200 && closed().length + left(); round++) { // what is opened may hold more
			for (const d of closed()) d.open = true;
			await new Promise((r) => setTimeout(() => requestAnimationFrame(r), 20));
		}
		await new Promise((r) => setTimeout(r, 50));
		return left();
	})()`
	left := ask[int](b, all)
	if left > 0 {
		b.t.Fatalf("%d sections were not laid out when opened", left)
	}
}

// look sets the window's width; dark asks for the dark theme.
func (b *tab) look(width int64, dark bool) {
	b.t.Helper()
	const height = 900
	theme := "light"
	if dark {
		theme = "dark"
	}
	b.do(chromedp.EmulateViewport(width, height))
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}}})
}
