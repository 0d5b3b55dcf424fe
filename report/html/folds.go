package html

import (
	"compress/flate"
	"encoding/base64"
	"errors"
	"html/template"
	"io"
	"strconv"
	"strings"

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

// add takes a kit's section.
func (f *folds) add(r row, k *kit, section template.HTML) error {
	f.held = append(f.held, fold{r, k, section})
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
	g := packed{Number: f.groups, First: f.held[0].Row, Last: f.held[n-1].Row, Brief: counts(f.held[:n])}
	var short, whole strings.Builder
	for _, s := range f.held[:n] {
		err := errors.Join(templates.ExecuteTemplate(&short, "short", s), templates.ExecuteTemplate(&whole, "fold", s))
		if err != nil {
			return err
		}
	}
	// Deflated (RFC 1951) and in base64url without padding (RFC 4648, section 5), whose alphabet is
	// plain text to HTML and to its templates. One compressor of the standard library at one level:
	// the same text gives the same bytes.
	var packed strings.Builder
	letters := base64.NewEncoder(base64.RawURLEncoding, &packed)
	z, err := flate.NewWriter(letters, flate.DefaultCompression)
	if err != nil {
		return err
	}
	_, err = io.WriteString(z, whole.String())
	if err := errors.Join(err, z.Close(), letters.Close()); err != nil {
		return err
	}
	g.Short = template.HTML(short.String())   //nolint:gosec // made by the template short, which escapes
	g.Packed = template.HTML(packed.String()) //nolint:gosec // letters, digits, - and _ only
	f.held = f.held[n:]
	return templates.ExecuteTemplate(f.written, "group", g)
}

// counts says how many sections have which verdict, the worst first.
func counts(list []fold) string {
	var parts []string
	for _, v := range worstFirst {
		n := 0
		for _, s := range list {
			if s.Row.Verdict == words.Verdict(v) {
				n++
			}
		}
		if n > 0 {
			parts = append(parts, strconv.Itoa(n)+"\u00a0"+strings.ReplaceAll(words.SignedVerdict(v), " ", "\u00a0"))
		}
	}
	return strings.Join(parts, ", ")
}

// page writes what stands above the sections, all of them unless the one that there is stands above already, and what stands below.
func (f *folds) page(w io.Writer, above, below string, p any, one bool) error {
	if err := templates.ExecuteTemplate(w, above, p); err != nil {
		return err
	}
	switch {
	case one:
	case f.written == nil:
		for _, s := range f.held {
			if err := templates.ExecuteTemplate(w, "fold", s); err != nil {
				return err
			}
		}
	default:
		if len(f.held) > 0 {
			if err := f.group(len(f.held)); err != nil {
				return err
			}
		}
		if err := f.written.CopyTo(w); err != nil {
			return err
		}
	}
	return templates.ExecuteTemplate(w, below, p)
}

// close removes the temporary file.
func (f *folds) close() error {
	if f.written == nil {
		return nil
	}
	return f.written.Close()
}
