package html_test

import (
	"net/url"
	"os"
	"path/filepath"
	"testing"
	"time"

	"neckfit/report/internal/browser"
)

// folder is removed after all tests.
var folder string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "neckfit-pages-*")
	if err != nil {
		panic(err)
	}
	folder = dir
	code := browser.Main(m)
	_ = os.RemoveAll(dir)
	os.Exit(code)
}

// tab is a page in the browser.
type tab struct{ *browser.Tab }

// open shows a page until the test is over.
func open(t testing.TB, page []byte, before ...browser.Step) *tab {
	t.Helper()
	file := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(file, page, 0o600); err != nil {
		t.Fatal(err)
	}
	b, cancel := openFile(t, file, 2*time.Minute, before...)
	t.Cleanup(cancel)
	return b
}

func openFile(t testing.TB, file string, patience time.Duration, before ...browser.Step) (*tab, func()) {
	t.Helper()
	b, cancel := browser.Open(t, (&url.URL{Scheme: "file", Path: file}).String(), patience, before...)
	return &tab{b}, cancel
}

// unfold opens every group, every kit and everything else that opens, and lets the page settle.
func (b *tab) unfold() {
	b.T.Helper()
	const all = `(async () => {
		const closed = () => [...document.querySelectorAll("details:not([open])")], left = () => document.querySelectorAll("details noscript").length;
		for (let round = 0; round < 200 && closed().length + left(); round++) { // what is opened may hold more
			for (const d of closed()) d.open = true;
			await new Promise((r) => setTimeout(() => requestAnimationFrame(r), 20));
		}
		await new Promise((r) => setTimeout(r, 50));
		return left();
	})()`
	left := browser.Ask[int](b.Tab, all)
	if left > 0 {
		b.T.Fatalf("%d sections were not laid out when opened", left)
	}
}
