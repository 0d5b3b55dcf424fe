package bench_test

import (
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/bench"
	"neckfit/report/internal/browser"
)

func TestMain(m *testing.M) { os.Exit(browser.Main(m)) }

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

// tab is the page in the browser.
type tab struct{ *browser.Tab }

// open shows the page once it has asked for the folder's state.
func open(t *testing.T, address string, width int64, touch bool) *tab {
	t.Helper()
	const height = 740
	size := chromedp.EmulateViewport(width, height)
	if touch {
		size = chromedp.EmulateViewport(width, height, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	page, stop := browser.Open(t, address, time.Minute, size)
	t.Cleanup(stop)
	b := &tab{page}
	b.Until(`document.getElementById("headline").textContent !== ""`)
	return b
}

// text is what an element shows.
func (b *tab) text(id string) string {
	b.T.Helper()
	return browser.Ask[string](b.Tab, fmt.Sprintf("document.getElementById(%q).textContent", id))
}

// enter types a number and goes on, and waits until the page is at another number or has a complaint.
func (b *tab) enter(text string) {
	b.T.Helper()
	const where = `document.getElementById("step").textContent + document.getElementById("label").textContent + document.getElementById("notice").textContent`
	before := browser.Ask[string](b.Tab, where)
	b.Do(chromedp.KeyEvent(text), chromedp.KeyEvent(kb.Enter))
	b.Until(fmt.Sprintf("!busy && (%s !== %q || document.getElementById(\"fault\").textContent)", where, before))
}

// tap touches the middle of an element, which must be large enough for a finger and lie in the window.
func (b *tab) tap(selector string) {
	b.T.Helper()
	box := browser.Ask[[2]float64](b.Tab, fmt.Sprintf(`(() => { const e = document.querySelector(%q); const r = e.getBoundingClientRect(); return [r.width, r.height]; })()`, selector))
	if box[0] < 24 || box[1] < 24 { // WCAG 2.2, 2.5.8
		b.T.Errorf("%s is %.0f by %.0f px", selector, box[0], box[1])
	}
	b.touchAt(selector, 0.5)
}

// touchAt touches an element so far of its width from its left.
func (b *tab) touchAt(selector string, share float64) {
	b.T.Helper()
	box := browser.Ask[[4]float64](b.Tab, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: "center", behavior: "instant"}); const r = e.getBoundingClientRect(); return [r.left, r.top, r.width, r.height]; })()`, selector))
	at := []*input.TouchPoint{{X: box[0] + share*box[2], Y: box[1] + box[3]/2}}
	browser.Call(b.Tab, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: at})
	browser.Call(b.Tab, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}})
}
