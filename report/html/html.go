// Package html writes self-contained pages: a batch with what to do first, then each kit with its
// tolerance table, drawings and residuals; a judged delivery; matched necks and bodies; and plans.
// A page needs no network; without script it can be read whole (of more than a hundred kits, in
// short), with script it can be filtered and sorted. Same input, same bytes.
//
// Drawings are inline SVG whose colours come from the page's style, so that they follow the
// reader's light or dark theme and print in grey.
package html

import (
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"runtime"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report"
	"neckfit/report/words"
)

//go:embed *.tmpl style.css script.js
var files embed.FS

var templates = template.Must(template.ParseFS(files, "*.tmpl"))

// Options steer the page.
type Options struct {
	Batch  string         // what was checked, such as the folder's name as the user gave it; may be ""
	Remedy remedy.Options // the shelf and the costs that plans are made from
}

// New gives a writer of one page, which satisfies report.Writer. Results should come from a Check
// with Options.Model; without it the page has no drawings and no residuals.
func New(w io.Writer, o Options) report.Writer { return &writer{out: w, options: o} }

// writer keeps the kits' sections, for what is said of the batch stands above them.
type writer struct {
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
	go func() { done <- layOut(r, number, w.options.Remedy) }()
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
	section string
	err     error
}

func layOut(r *fit.Result, number int, o remedy.Options) laid {
	var b strings.Builder
	k := newKit(r, number, o)
	if err := templates.ExecuteTemplate(&b, "kit", k); err != nil {
		return laid{err: fmt.Errorf("cannot lay out kit %q: %w", r.Kit, err)}
	}
	return laid{r, k, compact(b.String()), nil}
}

// take waits for the first kit in the queue and puts it down.
func (w *writer) take() error {
	l := <-w.queue[0]
	w.queue = w.queue[1:]
	err := l.err
	if err == nil && !w.failed {
		err = w.put(l)
	}
	if err != nil {
		w.failed = true
	}
	return err
}

func (w *writer) put(l laid) error {
	w.batch.add(l.result, l.kit)
	return w.folds.add(w.batch.Rows[len(w.batch.Rows)-1], l.kit, l.section)
}

// compact takes line indentation and needless quotes away, which over a thousand kits is megabytes.
func compact(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for line := range strings.Lines(s) {
		if line = strings.TrimSpace(line); line != "" {
			b.WriteString(line)
			b.WriteByte('\n')
		}
	}
	return needless.Replace(unquote(b.String()))
}

// needless are end tags that HTML lets one leave out before the next cell, row or item, and before
// the end of what holds them.
var needless = strings.NewReplacer("</td>", "", "</th>", "", "</tr>", "", "</li>", "")

// unquote takes the quotes off values that HTML allows without. Quotes in texts are escaped, so that
// what it finds is always a value; one before a slash would swallow the slash.
func unquote(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for {
		before, after, found := strings.Cut(s, `="`)
		b.WriteString(before)
		if !found {
			return b.String()
		}
		n := strings.IndexFunc(after, func(c rune) bool { return !plain(c) })
		if n > 0 && (strings.HasPrefix(after[n:], `" `) || strings.HasPrefix(after[n:], `">`)) {
			b.WriteString("=" + after[:n])
			n++
		} else {
			b.WriteString(`="`)
			n = 0
		}
		s = after[n:]
	}
}

// plain tells whether a character may stand in a value without quotes; there are others.
func plain(c rune) bool {
	return c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c == '.' || c == '#' || c == '-'
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
	if err := templates.ExecuteTemplate(w.out, "head", p); err != nil {
		return err
	}
	if p.Only == "" {
		if err := w.folds.copyTo(w.out); err != nil {
			return err
		}
	}
	return templates.ExecuteTemplate(w.out, "foot", p)
}

// shell is what every page stands in.
type shell struct {
	Title, Batch string
	Style        template.CSS
	Script       template.JS
}

// newShell takes the page's title and the input as the user gave it, which may be "".
func newShell(title, batch string) shell {
	return shell{title, words.Harmless(batch), template.CSS(asset("style.css")), template.JS(asset("script.js"))} //nolint:gosec // our own files
}

// asset is an embedded file; the style and the script are the program's own.
func asset(name string) string {
	data, err := files.ReadFile(name)
	if err != nil {
		panic("html: " + err.Error())
	}
	return string(data)
}
