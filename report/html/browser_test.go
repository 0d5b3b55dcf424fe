package html_test

import (
	"context"
	"fmt"
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

// browser is one for all tests of the package, started before any of them; folder is removed after them.
var (
	browser context.Context
	folder  string
)

func TestMain(m *testing.M) { os.Exit(runInBrowser(m)) }

// runInBrowser runs the tests with a browser, or tells in one line that there is none: none of them may
// be skipped.
func runInBrowser(m *testing.M) int {
	dir, err := os.MkdirTemp("", "neckfit-browser-*")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer func() { _ = os.RemoveAll(dir) }()
	folder = dir
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.UserDataDir(dir), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	if path := os.Getenv("NECKFIT_BROWSER"); path != "" { // else chromedp looks in the usual places
		options = append(options, chromedp.ExecPath(path))
	}
	allocator, stopAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	defer stopAllocator()
	ctx, stop := chromedp.NewContext(allocator)
	defer stop()
	if err := chromedp.Do(ctx); err != nil {
		fmt.Fprintf(os.Stderr, "the tests of the pages need a browser of the Chromium family (bash .ci/test installs one, NECKFIT_BROWSER names one): %v\n", err)
		return 1
	}
	browser = ctx
	return m.Run()
}

// tab is a page in the browser, with what it complained of and asked for.
type tab struct {
	t   testing.TB
	ctx context.Context
	*heard
}

// heard is what a page said, which another goroutine notes.
type heard struct {
	mu         sync.Mutex
	complaints []string
	requests   []string
}

// open shows a page until the test is over.
func open(t testing.TB, page []byte, before ...step) *tab {
	t.Helper()
	file := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(file, page, 0o600); err != nil {
		t.Fatal(err)
	}
	b, cancel := openFile(t, file, 2*time.Minute, before...)
	t.Cleanup(cancel)
	return b
}

// openFile gives up after so long, so that a hung browser does not hang the suite.
func openFile(t testing.TB, file string, patience time.Duration, before ...step) (*tab, func()) {
	t.Helper()
	ctx, closeTab := chromedp.NewContext(browser)
	ctx, cancel := context.WithTimeout(ctx, patience)
	b := &tab{t: t, ctx: ctx, heard: &heard{}}
	if err := chromedp.Listen(ctx, b.hear); err != nil {
		t.Fatal(err)
	}
	call(b, network.Enable, network.EnableParams{})
	call(b, log.Enable, cdp.Empty{})
	b.do(before...)
	b.do(chromedp.Navigate((&url.URL{Scheme: "file", Path: file}).String()))
	return b, func() { cancel(); closeTab() }
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
