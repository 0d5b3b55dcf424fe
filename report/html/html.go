// Package html writes self-contained pages: a batch with what to do first, then each kit with its
// tolerance table, drawings and residuals; a judged delivery; matched necks and bodies; and plans.
// A page needs no network; without script it can be read whole (of more than a hundred kits, in
// short), with script it can be filtered and sorted. Same input, same bytes.
//
// Drawings are inline SVG whose colours come from the page's style, so that they follow the
// reader's light or dark theme and print in grey.
package html

import (
	"context"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"io"
	"runtime"
	"strings"
	"sync"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report"
	"neckfit/report/words"
)

//go:embed *.tmpl
var files embed.FS

var templates = template.Must(template.New("").Funcs(template.FuncMap{"term": term}).ParseFS(files, "*.tmpl"))

// explained are the words that a page's glossary can have.
var explained = sync.OnceValue(func() map[string]bool {
	all := map[string]bool{}
	for _, e := range words.Entries() {
		all[e.Word] = true
	}
	return all
})

// term links a word to its place in the page's glossary, where the script finds what to show beside it; shown is
// what stands on the page for it, if that is something else. What is not explained is text.
func term(word string, shown ...string) template.HTML {
	text := template.HTMLEscapeString(strings.Join(append(shown, word)[:1], ""))
	if !explained()[word] {
		return template.HTML(text) //nolint:gosec // escaped, as below
	}
	return template.HTML(`<a href="#w-` + word + `">` + text + `</a>`) //nolint:gosec // one of our own words
}

// The style and the script of every page.
var (
	//go:embed style.css
	styleCSS string
	//go:embed script.js
	scriptJS string
)

// Options steer the page.
type Options struct {
	Batch  string         // what was checked, such as the folder's name as the user gave it; may be ""
	Remedy remedy.Options // the shelf and the costs that plans are made from
}

// New gives a writer of one page, which satisfies report.Writer. Results should come from a Check
// with Options.Model; without it the page has no drawings and no residuals. Once the context has ended,
// nothing is waited for or written any more.
func New(ctx context.Context, w io.Writer, o Options) report.Writer {
	return &writer{ctx: ctx, out: w, options: o}
}

// writer keeps the kits' sections, for what is said of the batch stands above them.
type writer struct {
	ctx     context.Context
	out     io.Writer
	options Options
	folds   folds
	batch   batch
	queue   []chan laid // kits that are being laid out, in their order
	failed  bool
	closed  bool
}

// Kit makes the section of one kit. It hands the work on and takes up what others have finished,
// so the output's error may be that of an earlier kit. The result must not be changed after it.
func (w *writer) Kit(r *fit.Result) error {
	if err := report.Check(r); err != nil {
		w.failed = true
		return err
	}
	w.batch.kits++
	number, done := w.batch.kits, make(chan laid, 1)
	go func() {
		k := newKit(r, number, func(r *fit.Result) *remedy.Advice { return remedy.For(r, w.options.Remedy) })
		section, err := k.section("kit", k)
		done <- laid{r, k, section, err}
	}()
	w.queue = append(w.queue, done)
	if len(w.queue) < 2*runtime.GOMAXPROCS(0) {
		return nil
	}
	return w.take()
}

// laid is a kit whose section is ready.
type laid struct {
	result  *fit.Result
	kit     *kit
	section template.HTML
	err     error
}

// section executes a template of a kit's section, which escapes what it is given.
func (k *kit) section(name string, data any) (template.HTML, error) {
	var b strings.Builder
	if err := templates.ExecuteTemplate(&b, name, data); err != nil {
		return "", fmt.Errorf("cannot lay out kit %q: %w", k.Name, err)
	}
	return template.HTML(b.String()), nil //nolint:gosec // escaped, see above
}

// take waits for the first kit in the queue and puts it down.
func (w *writer) take() error {
	var l laid
	select {
	case l = <-w.queue[0]:
	case <-w.ctx.Done():
		l.err = w.ctx.Err()
	}
	w.queue = w.queue[1:]
	err := l.err
	if err == nil && !w.failed {
		w.batch.add(l.result, l.kit)
		for i := range l.result.Characteristics {
			w.batch.note(i, &l.result.Characteristics[i], l.kit.Number)
		}
		err = w.folds.add(w.batch.Rows[len(w.batch.Rows)-1], l.kit, l.section)
	}
	if err != nil {
		w.failed = true
	}
	return err
}

// Close writes the page, unless a kit could not be written, and removes the temporary file.
func (w *writer) Close() error {
	if w.closed {
		return nil
	}
	w.closed = true
	var err error
	for len(w.queue) > 0 {
		err = errors.Join(err, w.take())
	}
	w.failed = w.failed || w.ctx.Err() != nil
	if !w.failed {
		err = w.page()
	}
	return errors.Join(err, w.folds.close())
}

func (w *writer) page() error {
	p := w.batch.page(w.options)
	if len(w.batch.Rows) == 1 {
		p.Only = w.folds.held[0].Section
	}
	return w.folds.page(w.out, "head", "foot", p, p.Only != "")
}

// shell is what every page stands in.
type shell struct {
	Title, Batch string
	Glossary     []words.Entry
	Policy       string
	Style        template.CSS
	Script       template.JS
}

// policy lets a page have its own style and its own script, known by their hashes, and nothing from
// anywhere: no other script, no connection, no form that is sent (W3C, Content Security Policy Level 3).
var policy = "default-src 'none'; style-src " + hashOf(styleCSS) + "; script-src " + hashOf(scriptJS) +
	"; img-src data:; base-uri 'none'; form-action 'none'"

func hashOf(source string) string {
	sum := sha256.Sum256([]byte(source))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// newShell takes the page's title and the input as the user gave it, which may be "".
func newShell(title, batch string) shell {
	return shell{title, words.Harmless(batch), nil, policy, template.CSS(styleCSS), template.JS(scriptJS)} //nolint:gosec // our own files
}

// The parts below are for a page of another program's making: it must have the style, and the marks once.

// Style is that of every page.
func Style() string { return styleCSS }

// Marks are what the tolerance bars of a page are drawn with.
func Marks() (template.HTML, error) { return new(kit).section("defs", nil) }

// Tolerances is the table of what was judged of a kit, and what was measured besides.
func Tolerances(r *fit.Result) (template.HTML, error) {
	k := kitHead(r, 1)
	k.table(r)
	return k.section("so-far", k)
}

// Advice is what is recommended for a kit, with the plans side by side; "" where there is nothing to advise.
func Advice(r *fit.Result, a *remedy.Advice) (template.HTML, error) {
	k := kitHead(r, 1)
	if !advisable(r) {
		return "", nil
	}
	if !k.attempt(words.NotAdvised, func() { k.advised(r, a) }) {
		return k.section("not-advised", words.NotAdvised)
	}
	return k.section("advised", k)
}

// WhatIf is a plan of somebody's own: what it leaves, in words, numbers and drawings before and after. The
// result must have its model.
func WhatIf(r *fit.Result, own *remedy.Plan) (template.HTML, error) {
	k := kitHead(r, 1)
	k.plan, k.Verdict = own, words.Verdict(expected(own.P))
	k.Remedy = &advice{Say: words.PlanInShort(own) + "."}
	k.Remedy.spell(r, own, true)
	k.attempt(words.NotDrawn, func() { k.draw(r) })
	return k.section("what-if", k)
}
