package report

import (
	"fmt"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
)

// missing groups what was not measured by the readings that would give it.
func (s *sheet) missing(r *fit.Result) {
	names := map[string][]string{}
	var cures []string
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if measured(c) {
			continue
		}
		if _, ok := names[c.Missing]; !ok {
			cures = append(cures, c.Missing)
		}
		names[c.Missing] = append(names[c.Missing], c.ID.String())
	}
	if len(cures) > 0 {
		s.section("Not measured, so neither pass nor fail:")
	}
	for _, cure := range cures {
		s.add("  ", strings.Join(names[cure], ", "))
		if cure != "" {
			s.add("      needs: ", harmless(cure))
		}
	}
}

// suspects lists the readings that do not agree with the others.
func (s *sheet) suspects(r *fit.Result) {
	if len(r.Suspects) > 0 {
		s.section("Readings that do not agree with the others (none was left out):")
	}
	for _, g := range r.Suspects {
		s.add("  ", fmt.Sprintf("%s: %s: read %s mm, the others say %s mm; residual %.1f times its standard deviation, critical %.1f",
			placeWord(g.Place), harmless(g.What), limit(g.Read), fixed2(g.Expected), g.W, g.Critical))
	}
}

// fixed2 writes a length to 0.01 mm, what a calliper shows.
func fixed2(mm float64) string {
	if mm <= -longest || mm >= longest {
		return limit(mm)
	}
	return fixed(mm, 2)
}

// notes lists one text of each characteristic that has it, those of the same text together.
func (s *sheet) notes(heading string, r *fit.Result, of func(*fit.Characteristic) string) {
	names := map[string][]string{}
	var texts []string
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		text := of(c)
		if text == "" || !measured(c) {
			continue
		}
		if _, ok := names[text]; !ok {
			texts = append(texts, text)
		}
		names[text] = append(names[text], c.ID.String())
	}
	if len(texts) > 0 {
		s.section(heading)
	}
	for _, text := range texts {
		s.add("  ", strings.Join(names[text], ", ")+": "+harmless(text))
	}
}

func (s *sheet) warnings(r *fit.Result) {
	if len(r.Warnings) > 0 {
		s.section("Warnings:")
	}
	for i, w := range r.Warnings {
		s.add(fmt.Sprintf("  [%d] ", i+1), harmless(w))
	}
}

// legend says what the table's columns mean and whose the limits are.
func (s *sheet) legend(sources []string) {
	s.section("")
	s.add("", uncertaintyNote+" Inside is the probability that the true value lies inside the limits.")
	for i, source := range sources {
		s.add("  "+letter(i)+"  ", harmless(source))
	}
}

// uncertaintyNote says which uncertainty people are shown.
const uncertaintyNote = "± U is the expanded uncertainty for 95 % (k = 1.96)."

// mending tells whether a kit is to be re-seated, shimmed, cut or drilled, as far as is known.
func mending(r *fit.Result) bool {
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if c.Verdict == fit.Fail || c.Verdict == fit.Unsure && c.ID == centreLine && curable(r) {
			return true
		}
	}
	return false
}

// cautions are printed where the next thing that somebody does may be to loosen, cut or drill.
func (s *sheet) cautions(r *fit.Result) {
	if !mending(r) {
		return
	}
	s.section("Before anything is loosened, cut or drilled:")
	for _, line := range remedy.Cautions() {
		s.add("  - ", line)
	}
}
