package html

import (
	"compress/flate"
	"encoding/base64"
	"errors"
	"html/template"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"neckfit/report"
	"neckfit/report/words"
)

// Up to mostWhole sections a page is whole without script. Of more it has, group by group, what
// matters most of each as HTML, and the sections packed: a section with its drawings is 20,000
// bytes, and what a browser needs for 20 MiB of them, though it lays none of them out, is most of
// the second that a page may take to open. Packed together they are a sixth of it, for they repeat
// one another.
const (
	mostWhole = 100
	groupSize = 50 // some 150 KiB packed, which a browser unpacks within a tenth of a second
)

// fold is a section that is shown when it is opened.
type fold struct {
	Row     row
	Kit     *kit
	Section template.HTML
}

// folds writes the sections of a page. It holds those of a small page; those of a large one go to a
// temporary file, group by group, for what is said of all of them stands above them.
type folds struct {
	held    []fold
	groups  int
	written *report.Spool // nil while the page is small
}

// add takes a section, which a template of ours made and escaped.
func (f *folds) add(r row, k *kit, section string) error {
	f.held = append(f.held, fold{r, k, template.HTML(section)}) //nolint:gosec // escaped, see above
	if f.written == nil && len(f.held) <= mostWhole {
		return nil
	}
	if f.written == nil {
		spool, err := report.NewSpool("")
		if err != nil {
			return err
		}
		f.written = spool
	}
	for len(f.held) >= groupSize {
		if err := f.group(groupSize); err != nil {
			return err
		}
	}
	return nil
}

// packed is a run of sections on a large page.
type packed struct {
	Number        int
	First, Last   row
	Brief         string
	Short, Packed template.HTML
}

// group puts the first n of the held sections down.
func (f *folds) group(n int) error {
	f.groups++
	g := packed{Number: f.groups, First: f.held[0].Row, Last: f.held[n-1].Row, Brief: wordsOf(f.held[:n])}
	var short, whole, letters, out strings.Builder
	for _, s := range f.held[:n] {
		if err := templates.ExecuteTemplate(&short, "short", s); err != nil {
			return err
		}
		if err := templates.ExecuteTemplate(&whole, "fold", s); err != nil {
			return err
		}
	}
	if err := pack(&letters, whole.String()); err != nil {
		return err
	}
	g.Short = template.HTML(compact(short.String())) //nolint:gosec // made by the template short, which escapes
	g.Packed = template.HTML(letters.String())       //nolint:gosec // letters, digits, - and _ only
	f.held = f.held[n:]
	if err := templates.ExecuteTemplate(&out, "group", g); err != nil {
		return err
	}
	_, err := io.WriteString(f.written, ascii(out.String()))
	return err
}

// ascii writes every other character of an HTML text by its number: a browser decodes megabytes of
// plain ASCII several times faster, and holds them in half the memory.
func ascii(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for _, c := range s {
		if c < utf8.RuneSelf {
			b.WriteByte(byte(c))
		} else {
			b.WriteString("&#" + strconv.Itoa(int(c)) + ";")
		}
	}
	return b.String()
}

// wordsOf counts sections by their verdicts, the worst first.
func wordsOf(list []fold) string {
	var counts []string
	for _, v := range worstFirst {
		n := 0
		for _, s := range list {
			if s.Row.Verdict == words.Verdict(v) {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, strconv.Itoa(n)+"\u00a0"+strings.ReplaceAll(wordOf(v), " ", "\u00a0"))
		}
	}
	return strings.Join(counts, ", ")
}

// pack writes a text deflated (RFC 1951) and in base64url without padding (RFC 4648, section 5),
// whose alphabet is plain text to HTML and to its templates. One compressor of the standard library
// at one level: the same text gives the same bytes.
func pack(w io.Writer, text string) error {
	letters := base64.NewEncoder(base64.RawURLEncoding, w)
	z, err := flate.NewWriter(letters, flate.DefaultCompression)
	if err != nil {
		return err
	}
	_, err = io.WriteString(z, text)
	return errors.Join(err, z.Close(), letters.Close())
}

// copyTo writes all sections; none may be added after it.
func (f *folds) copyTo(w io.Writer) error {
	if f.written == nil {
		for _, s := range f.held {
			if err := templates.ExecuteTemplate(w, "fold", s); err != nil {
				return err
			}
		}
		return nil
	}
	if len(f.held) > 0 {
		if err := f.group(len(f.held)); err != nil {
			return err
		}
	}
	return f.written.CopyTo(w)
}

// close removes the temporary file.
func (f *folds) close() error {
	if f.written == nil {
		return nil
	}
	return f.written.Close()
}
