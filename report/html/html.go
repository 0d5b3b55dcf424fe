// Package html writes self-contained pages: a batch with what to do first, then each kit with its
// tolerance table, drawings and residuals; a judged delivery; matched necks and bodies; and plans.
// A page needs no network; without script it can be read whole, with script it can be filtered and
// sorted. Same input, same bytes.
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
	"regexp"
	"runtime"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report"
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

// writer keeps the kits' sections in a temporary file, for what is said of the batch stands above
// them.
type writer struct {
	out      io.Writer
	options  Options
	sections *report.Spool
	only     string // the section of the first kit, while it is the only one
	batch    batch
	queue    []chan laid // kits that are being laid out, in their order
	failed   bool
	closed   bool
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
	if len(w.batch.Rows) == 1 {
		w.only = l.section
		return nil
	}
	if w.sections == nil {
		if err := w.openSections(); err != nil {
			return err
		}
	}
	return fold(w.sections, w.batch.Rows[len(w.batch.Rows)-1], l.section)
}

// openSections begins the list of folded sections with the first kit's.
func (w *writer) openSections() error {
	spool, err := report.NewSpool("")
	if err != nil {
		return err
	}
	w.sections = spool
	return fold(w.sections, w.batch.Rows[0], w.only)
}

// fold writes a section that is shown when it is opened. With script the browser need not lay out
// a thousand kits at once: to it a noscript is text until the script makes it a section.
func fold(w io.Writer, r row, section string) error {
	return templates.ExecuteTemplate(w, "fold", struct {
		Row     row
		Section template.HTML
	}{r, template.HTML(section)}) //nolint:gosec // made by a template of ours, which escapes
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
	return needless.Replace(plainValue.ReplaceAllString(b.String(), "=$1$2"))
}

// needless are end tags that HTML lets one leave out before the next cell, row or item, and before
// the end of what holds them.
var needless = strings.NewReplacer("</td>", "", "</th>", "", "</tr>", "", "</li>", "")

// plainValue is a value that HTML allows without quotes. Quotes in texts are escaped, so that
// what it matches is always a value; one before a slash would swallow the slash.
var plainValue = regexp.MustCompile(`="([0-9A-Za-z.#-]+)"([ >])`)

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
	if w.sections != nil {
		err = errors.Join(err, w.sections.Close())
	}
	return err
}

func (w *writer) page() error {
	p := w.batch.page(w.options)
	if len(w.batch.Rows) == 1 {
		p.Only = template.HTML(w.only) //nolint:gosec // made by the template kit, which escapes
	}
	if err := templates.ExecuteTemplate(w.out, "head", p); err != nil {
		return err
	}
	if w.sections != nil {
		if err := w.sections.CopyTo(w.out); err != nil {
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
	return shell{title, report.Harmless(batch), template.CSS(asset("style.css")), template.JS(asset("script.js"))} //nolint:gosec // our own files
}

// asset is an embedded file; the style and the script are the program's own.
func asset(name string) string {
	data, err := files.ReadFile(name)
	if err != nil {
		panic("html: " + err.Error())
	}
	return string(data)
}
