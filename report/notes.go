package report

import (
	"fmt"
	"strings"

	"neckfit/fit"
	"neckfit/report/words"
)

// missing groups what was not measured by the readings that would give it.
func (s *sheet) missing(r *fit.Result) {
	names := map[string][]string{}
	var cures []string
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if words.Measured(c) {
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
			s.add("      needs: ", words.Harmless(cure))
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
			words.Place(g.Place), words.Harmless(g.What), words.Limit(g.Read), words.Length(g.Expected), g.W, g.Critical))
	}
}

// notes lists one text of each characteristic that has it, those of the same text together.
func (s *sheet) notes(heading string, r *fit.Result, of func(*fit.Characteristic) string) {
	names := map[string][]string{}
	var texts []string
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		text := of(c)
		if text == "" || !words.Measured(c) {
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
		s.add("  ", strings.Join(names[text], ", ")+": "+words.Harmless(text))
	}
}

func (s *sheet) warnings(r *fit.Result) {
	if len(r.Warnings) > 0 {
		s.section("Warnings:")
	}
	for i, w := range r.Warnings {
		s.add(fmt.Sprintf("  [%d] ", i+1), words.Harmless(w))
	}
}

// legend says what the table's words.Columns mean and whose the limits are.
func (s *sheet) legend(sources []string) {
	s.section("")
	s.add("", words.UncertaintyNote+" Inside is the probability that the true value lies inside the limits.")
	for i, source := range sources {
		s.add("  "+letter(i)+"  ", words.Harmless(source))
	}
}

// cautions are printed where the next thing that somebody does may be to loosen, cut or drill.
func (s *sheet) cautions(r *fit.Result) {
	if !words.Mending(r) {
		return
	}
	s.section("Before anything is loosened, cut or drilled:")
	for _, line := range words.WorkCautions() {
		s.add("  - ", line)
	}
}
