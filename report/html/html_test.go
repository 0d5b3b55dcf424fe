package html_test

import (
	"bytes"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/report/html"
)

func TestSameInputSameBytes(t *testing.T) {
	again, err := check("../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(demoBytes(t), render(t, again...)) {
		t.Error("two pages of one batch differ")
	}
}

// Every template is executed with as little as there can be: no kit, a kit of which nothing is
// known, and kits without a model.
func TestLittleToShow(t *testing.T) {
	bare := fit.Check(&measureKit, fit.Options{Model: true})
	plain := *simulated("plain", 1)
	plain.Model, plain.Residuals = nil, nil
	for name, results := range map[string][]*fit.Result{
		"no kit": nil, "no reading": {bare}, "no model": {&plain}, "all": {bare, &plain, bare},
	} {
		page := string(render(t, results...))
		if !strings.HasPrefix(page, "<!doctype html>") || !strings.HasSuffix(strings.TrimSpace(page), "</html>") {
			t.Errorf("%s: the page is not whole", name)
		}
		if len(results) > 0 && !strings.Contains(page, "There is no drawing") {
			t.Errorf("%s: the page does not say why it has no drawing", name)
		}
	}
}

func TestRefusesNumbersThatAreNone(t *testing.T) {
	r := simulated("A", 1)
	r.Characteristics[0].Value = math.NaN()
	var b bytes.Buffer
	w := html.New(t.Context(), &b, html.Options{})
	if err := w.Kit(r); err == nil {
		t.Error("a value that is not a number was accepted")
	}
	if err := w.Close(); err != nil {
		t.Error(err)
	}
	if b.Len() > 0 {
		t.Error("a page was written although a kit had failed")
	}
}

type full struct{}

var errFull = errors.New("full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestSaysWhenItCannotWrite(t *testing.T) {
	w := html.New(t.Context(), full{}, html.Options{})
	for i := range 3 {
		if err := w.Kit(simulated(kitName(i), uint64(i))); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); !errors.Is(err, errFull) {
		t.Errorf("got %v, want that the output is full", err)
	}
}

func TestLeavesNothingBehind(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	page, err := largePage()
	if again := render(t, many(demo(t), large)...); !bytes.Equal(must(t, page, err), again) {
		t.Error("two large pages of one batch differ")
	}
	left, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(left) > 0 {
		t.Errorf("%s is left behind", left[0].Name())
	}
}

// The page must name no other file and no address: nothing that a browser could fetch.
func TestSelfContained(t *testing.T) {
	page := string(demoBytes(t))
	for _, word := range []string{"http:", "https:", "//cdn", "@import", "url(", "src=", "@font-face"} {
		if strings.Contains(page, word) {
			t.Errorf("the page contains %q", word)
		}
	}
}

// Text first: what is wrong and what to do stand above the drawings.
func TestTextFirst(t *testing.T) {
	for _, r := range demo(t) {
		page := string(render(t, r))
		verdict, drawing := strings.Index(page, "headline"), strings.Index(page, `aria-label="Plan">`)
		verdict += strings.Index(page[verdict:], `class="headline"`)
		if drawing >= 0 && (verdict < 0 || verdict > drawing) {
			t.Errorf("%s: the headline stands below the drawings", r.Kit)
		}
	}
}
