package report

import (
	"encoding/json"
	"math"
	"strconv"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/words"
)

// appendJSON writes what jsonl.Kit writes, without reflection: that is what takes most of the time
// of a big batch's JSON. A test holds the two against each other.
func appendJSON(to []byte, r *fit.Result) ([]byte, error) {
	j := jsonText{to}
	j.text(`{"kit":`, r.Kit)
	j.textIf(`,"lot":`, r.Info.Lot)
	j.textIf(`,"supplier":`, r.Info.Supplier)
	j.word(`,"verdict":"`, words.Verdict(r.Verdict))
	j.raw(`,"characteristics":[`)
	for i := range r.Characteristics {
		j.comma(i)
		j.characteristic(&r.Characteristics[i])
	}
	j.raw(`]`)
	if r.Swing != nil {
		j.number(`,"swing":{"low":`, r.Swing.Low)
		j.number(`,"high":`, r.Swing.High)
		j.raw(`}`)
	}
	j.raw(`,"suspects":[`)
	for i := range r.Suspects {
		j.comma(i)
		j.suspect(&r.Suspects[i])
	}
	j.raw(`],"warnings":[`)
	for i, w := range r.Warnings {
		j.comma(i)
		j.text("", w)
	}
	j.raw(`]`)
	if r.Way != fit.NoWay {
		j.word(`,"way":"`, words.Way(r.Way))
	}
	j.whole(`,"readings":`, r.Readings)
	j.whole(`,"dof":`, r.DOF)
	j.number(`,"chi_square":`, r.ChiSquare)
	j.number(`,"scale":`, r.Scale)
	j.raw("}\n")
	return j.to, nil
}

// jsonText is JSON being written. Each of its methods takes what stands before the value.
type jsonText struct{ to []byte }

func (j *jsonText) characteristic(c *fit.Characteristic) {
	j.text(`{"name":`, c.ID.String())
	if words.Measured(c) {
		j.number(`,"value":`, c.Value)
		j.number(`,"u":`, c.StdUncertainty)
		if c.Common != 0 {
			j.number(`,"u_common":`, c.Common)
		}
	}
	j.word(`,"unit":"`, words.Unit(c))
	limited := false
	if !math.IsInf(c.Lower, 0) {
		j.number(`,"lower":`, c.Lower)
		limited = true
	}
	if !math.IsInf(c.Upper, 0) {
		j.number(`,"upper":`, c.Upper)
		limited = true
	}
	if words.Judged(c) {
		j.number(`,"p":`, c.P)
	}
	j.word(`,"verdict":"`, words.Verdict(c.Verdict))
	if c.Class != measure.NoClass {
		j.word(`,"class":"`, c.Class.String())
	}
	if limited {
		j.textIf(`,"limit_source":`, c.LimitSource)
	}
	j.textIf(`,"basis":`, c.Basis)
	j.textIf(`,"advice":`, c.Advice)
	j.textIf(`,"missing":`, c.Missing)
	j.raw(`}`)
}

func (j *jsonText) suspect(s *fit.Suspect) {
	j.text(`{"file":`, s.Place.File)
	j.whole(`,"line":`, s.Place.Line)
	j.text(`,"what":`, s.What)
	j.number(`,"w":`, s.W)
	j.number(`,"critical":`, s.Critical)
	j.number(`,"read":`, s.Read)
	j.number(`,"expected":`, s.Expected)
	j.raw(`}`)
}

func (j *jsonText) raw(text string) { j.to = append(j.to, text...) }

// word writes one of the program's own words, which needs no escape; its first quote stands before it.
func (j *jsonText) word(before, word string) {
	j.to = append(append(append(j.to, before...), word...), '"')
}

func (j *jsonText) comma(i int) {
	if i > 0 {
		j.raw(`,`)
	}
}

func (j *jsonText) whole(before string, n int) {
	j.raw(before)
	j.to = strconv.AppendInt(j.to, int64(n), 10)
}

// number writes the shortest decimal, with an exponent where encoding/json has one.
func (j *jsonText) number(before string, x float64) {
	j.raw(before)
	if size := math.Abs(x); size == 0 || size >= 1e-6 && size < 1e21 {
		j.to = strconv.AppendFloat(j.to, x, 'f', -1, 64)
		return
	}
	j.to = strconv.AppendFloat(j.to, x, 'e', -1, 64)
	if n := len(j.to); j.to[n-4] == 'e' && j.to[n-2] == '0' { // encoding/json writes e-7 for e-07
		j.to[n-2] = j.to[n-1]
		j.to = j.to[:n-1]
	}
}

func (j *jsonText) textIf(before, text string) {
	if text != "" {
		j.text(before, text)
	}
}

// text leaves what may need an escape to encoding/json.
func (j *jsonText) text(before, text string) {
	j.raw(before)
	if !plain(text, '"') {
		j.escaped(text)
		return
	}
	j.to = append(append(append(j.to, '"'), text...), '"')
}

func (j *jsonText) escaped(text string) {
	var b jsonBuffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(text); err != nil {
		panic(err) // a text and a buffer have no errors
	}
	j.to = append(j.to, b[:len(b)-1]...) // without the line's end
}

type jsonBuffer []byte

func (b *jsonBuffer) Write(p []byte) (int, error) {
	*b = append(*b, p...)
	return len(p), nil
}
