package report

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/measure"
	"neckfit/measure/csvtext"
	"neckfit/report/words"
)

// longestLine is a hundred times what a kit's line takes with its remedy.
const longestLine = 4 << 20

// ReadKits reads what LinesOf wrote as jsonl and hands on each kit with the terms on which it was checked, which the
// merge takes up. Only what a delivery is judged by is read; fields that are not known are passed over. The error is
// fn's as it is, measure.Errors for a line that is no checked kit or was checked otherwise than those before it, or
// the file's own.
func ReadKits(in io.Reader, file string, m *Merge, fn func(delivery.Kit) error) error {
	text, _, err := csvtext.Text(in) // some shells write UTF-16, or a mark before UTF-8
	if err != nil {
		return fmt.Errorf("cannot read %s: %w", file, err)
	}
	lines, number := bufio.NewScanner(text), 1
	lines.Buffer(nil, longestLine)
	wrong := func(what string) error {
		place := measure.Place{File: file, Line: number}
		return measure.Errors{{Place: place, Column: 1, What: what, Expected: "a line as check --format jsonl writes it, whole"}}
	}
	terms := termsReader{tools: map[jsonTool]*measure.Gauge{}}
	for ; lines.Scan(); number++ {
		text := strings.TrimSpace(lines.Text())
		if text == "" {
			continue
		}
		k, what := terms.readKit(text)
		if what != "" {
			return wrong(what)
		}
		if what = m.Kit(file, terms.now, terms.gauges, k.Lot, k.Supplier, terms.aim); what != "" {
			return measure.Errors{{Place: measure.Place{File: file, Line: number}, Column: 1, What: what, Expected: words.CheckedAlike}}
		}
		if err := fn(k); err != nil {
			return err
		}
	}
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return wrong(fmt.Sprintf("the line is longer than %d bytes", longestLine))
	case err != nil:
		return fmt.Errorf("cannot read %s: %w", file, err)
	}
	return nil
}

// termsReader keeps the terms of the line before, which most lines share.
type termsReader struct {
	raw    string
	last   *Terms
	now    *Terms // nil where the line tells none
	gauges []*measure.Gauge
	aim    []string
	tools  map[jsonTool]*measure.Gauge
}

// take reads a line's terms.
func (r *termsReader) take(j *jsonKit) (what string) {
	r.now, r.gauges, r.aim = nil, r.gauges[:0], j.Aim
	if j.Terms == nil {
		return ""
	}
	if r.last == nil || r.raw != string(j.Terms) {
		var t jsonTerms
		if err := json.Unmarshal(j.Terms, &t); err != nil {
			return "its terms are not understood: " + err.Error()
		}
		if r.last, what = t.read(); what != "" {
			return what
		}
		r.raw = string(j.Terms)
	}
	r.now = r.last
	for _, g := range j.Gauges {
		if r.tools[g] == nil {
			r.tools[g] = g.read()
		}
		r.gauges = append(r.gauges, r.tools[g])
	}
	return ""
}

// readKit reads one line; what says why it cannot.
func (r *termsReader) readKit(line string) (k delivery.Kit, what string) {
	var j jsonKit
	if err := json.Unmarshal([]byte(line), &j); err != nil {
		return k, "the line is no object of JSON with a kit: " + err.Error()
	}
	if j.Kit == "" || j.Characteristics == nil {
		return k, "the line has no kit with characteristics"
	}
	names := slices.Concat(j.Assumed, j.People, []string{j.Kit, j.Lot, j.Supplier})
	for _, p := range j.Odd {
		names = append(names, p.File)
		k.Odd = append(k.Odd, measure.Place{File: p.File, Line: p.Line})
	}
	suspects := j.Suspects
	if j.Remedy != nil {
		suspects = nil
		for _, s := range j.Remedy.Suspect {
			suspects = append(suspects, jsonSuspect{File: s.File, Line: s.Line, Or: s.Or})
		}
	}
	for _, s := range suspects {
		names = append(names, s.File)
		k.Suspect = append(k.Suspect, delivery.Row{Place: measure.Place{File: s.File, Line: s.Line}, Or: s.Or})
	}
	if i := slices.IndexFunc(names, func(name string) bool { return strings.ContainsFunc(name, unicode.IsControl) }); i >= 0 {
		return k, fmt.Sprintf("the name %q has a line break or another control character", names[i])
	}
	k.Name, k.Lot, k.Supplier, k.Assumed, k.People = measure.Canonical(j.Kit), j.Lot, j.Supplier, j.Assumed, j.People
	var ok bool
	if k.Verdict, ok = verdictOf(j.Verdict); !ok {
		return k, fmt.Sprintf("verdict %q is unknown", j.Verdict)
	}
	for i := range j.Characteristics {
		c := &j.Characteristics[i]
		f, what := readFound(c)
		if what != "" {
			return k, fmt.Sprintf("%.40q: %s", c.Name, what)
		}
		switch {
		case slices.ContainsFunc(k.Found, func(o delivery.Found) bool { return o.Name == f.Name }):
			return k, fmt.Sprintf("%.40q is there twice", f.Name)
		case k.Verdict == fit.Pass && f.Verdict == fit.Fail:
			return k, fmt.Sprintf("the kit passes although %.40q fails", f.Name)
		case f.Verdict != fit.NotMeasured && f.Verdict != fit.Implausible:
			k.Found = append(k.Found, f)
		}
	}
	for _, g := range j.Gauges {
		k.Gauges = append(k.Gauges, g.Gauge)
	}
	if k.Work = readWork(j.Remedy); k.Work != nil && !possible(k.Work) {
		return k, fmt.Sprintf("a remedy of %g minutes that ends well with %g", k.Work.Minutes, k.Work.P)
	}
	return k, r.take(&j)
}

// longestWork is more minutes than anybody spends on a kit.
const longestWork = 1e5

// possible tells whether a work takes a time that there is and ends well with a probability.
func possible(w *delivery.Work) bool {
	return w.Minutes >= 0 && w.Minutes <= longestWork && w.P >= 0 && w.P <= 1
}

// readWork reads the first plan that check --remedy wrote beside a kit; nil where it wrote none, or
// works that this version does not know.
func readWork(a *jsonAdvice) *delivery.Work {
	if a == nil || len(a.Plans) == 0 {
		return nil
	}
	p := &a.Plans[0]
	w := &delivery.Work{Minutes: p.Minutes, Waits: a.Waits, Asks: p.Waits}
	if p.P != nil {
		w.P = *p.P
	}
	for _, action := range p.Actions {
		work, ok := measure.ParseWork(action.Work)
		if !ok {
			return nil
		}
		w.Kinds = append(w.Kinds, work)
	}
	w.Spares = len(a.Untried) > 0 && w.Cuts()
	w.OneOf = p.OneOf
	for _, word := range p.Return {
		part, ok := measure.ParsePart(word)
		if !ok {
			return nil
		}
		w.Return = append(w.Return, part)
	}
	return w
}

func readFound(c *jsonCharacteristic) (f delivery.Found, what string) {
	f = delivery.Found{Name: c.Name, Dimension: measure.Length, Lower: math.Inf(-1), Upper: math.Inf(1), Common: c.UCommon}
	var ok bool
	if f.Verdict, ok = verdictOf(c.Verdict); !ok {
		return f, fmt.Sprintf("verdict %q is unknown", c.Verdict)
	}
	if f.Verdict == fit.NotMeasured || f.Verdict == fit.Implausible {
		return f, ""
	}
	if f.Class, ok = classOf(c.Class); !ok {
		return f, fmt.Sprintf("class %q is unknown", c.Class)
	}
	if c.Name == "" || c.Value == nil || c.U == nil || *c.U < 0 || c.UCommon < 0 || c.UCommon > *c.U {
		return f, "a measured characteristic without name, value or uncertainty"
	}
	f.Value, f.StdUncertainty = *c.Value, *c.U
	if c.Unit == "deg" {
		f.Dimension = measure.Angle
	}
	if c.Lower != nil {
		f.Lower = *c.Lower
	}
	if c.Upper != nil {
		f.Upper = *c.Upper
	}
	return f, unlikely(c, &f)
}

// unlikely says why a line that may come from anywhere is no result of a check; "" for one that may be.
func unlikely(c *jsonCharacteristic, f *delivery.Found) string {
	const most = 1e4 // mm or degrees: no instrument is as large, and it would only overflow later
	for _, x := range []*float64{c.Value, c.U, c.Lower, c.Upper} {
		if x != nil && !(math.Abs(*x) <= most) {
			return fmt.Sprintf("%g is out of range", *x)
		}
	}
	switch {
	case f.Lower > f.Upper:
		return fmt.Sprintf("its lower limit, %g, is above its upper, %g", f.Lower, f.Upper)
	case f.Verdict == fit.Pass && (f.Value < f.Lower || f.Value > f.Upper):
		return fmt.Sprintf("it passes with %g, which is not within its limits, %g to %g", f.Value, f.Lower, f.Upper)
	}
	return ""
}

// verdictOf is the reverse of verdictWord.
func verdictOf(word string) (fit.Verdict, bool) {
	for v := fit.NotMeasured; v <= fit.Fail; v++ {
		if words.Verdict(v) == word {
			return v, true
		}
	}
	return fit.NotMeasured, false
}

// classOf is the class of a word; "" is none.
func classOf(word string) (measure.Class, bool) {
	c, ok := measure.ParseClass(word)
	return c, ok || word == ""
}
