package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
)

// Lines is a format in which every kit stands by itself. Unlike a Writer it keeps nothing, so kits
// can be written on several goroutines at once; the bytes put together in order, after the header,
// are those of the Writer of that format.
type Lines struct {
	header func(r *fit.Result) []byte
	kit    func(to []byte, r *fit.Result) ([]byte, error)
}

// LinesOf gives the lines of a format; it is false for one that needs the batch as a whole.
func LinesOf(format string) (Lines, bool) {
	switch format {
	case "csv":
		return Lines{csvHeader, appendCSV}, true
	case "jsonl":
		return Lines{func(*fit.Result) []byte { return nil }, appendJSON}, true
	}
	return Lines{}, false
}

// JSONLWithRemedies is jsonl with one more field for every kit that does not pass: remedy, the
// object that the remedies' own jsonl has, with the recommended plan alone. Results must have been
// checked with Options.Model.
func JSONLWithRemedies(o remedy.Options) Lines {
	plain, _ := LinesOf("jsonl")
	return Lines{plain.header, func(to []byte, r *fit.Result) ([]byte, error) {
		to, err := plain.kit(to, r)
		if err != nil || r.Verdict == fit.Pass {
			return to, err
		}
		advice, err := json.Marshal(jsonAdviceOf(r, remedy.For(r, o), 1))
		if err != nil {
			return to, err
		}
		end := len(to) - len("}\n")
		to = append(append(to[:end], `,"remedy":`...), advice...)
		return append(to, "}\n"...), nil
	}}
}

// Header is what stands above the kits. Any kit's result has its characteristics.
func (l Lines) Header(r *fit.Result) []byte { return l.header(r) }

// Append adds a kit. Its error is that of a Writer's Kit.
func (l Lines) Append(to []byte, r *fit.Result) ([]byte, error) {
	if err := check(r); err != nil {
		return to, err
	}
	return l.kit(to, r)
}

func csvHeader(r *fit.Result) []byte {
	var b bytes.Buffer
	writeRecord(&b, headerOf(r))
	return b.Bytes()
}

// writeRecord cannot fail: a buffer takes everything.
func writeRecord(b *bytes.Buffer, cells []string) {
	w := csv.NewWriter(b)
	_ = w.Write(cells)
	w.Flush()
}

// appendCSV is rowOf without its strings.
func appendCSV(to []byte, r *fit.Result) ([]byte, error) {
	name := ""
	if c := worst(r); c != nil {
		name = c.Name
	}
	for i, text := range [...]string{noFormula(r.Kit), noFormula(r.Info.Lot), noFormula(r.Info.Supplier), verdictWord(r.Verdict), wayWord(r.Way), name} {
		if i > 0 {
			to = append(to, ',')
		}
		to = appendCell(to, text)
	}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if !measured(c) {
			to = append(append(to, ",,,"...), verdictWord(fit.NotMeasured)...)
			continue
		}
		to = appendShortest(append(to, ','), c.Value)
		to = appendShortest(append(to, ','), c.StdUncertainty)
		to = append(append(to, ','), verdictWord(c.Verdict)...)
	}
	if r.Swing != nil {
		to = appendShortest(append(to, ','), r.Swing.Low)
		to = appendShortest(append(to, ','), r.Swing.High)
	} else {
		to = append(to, ",,"...)
	}
	to = appendCell(append(to, ','), suspectsCell(r))
	to = appendCell(append(to, ','), noFormula(strings.Join(r.Warnings, "; ")))
	return append(to, '\n'), nil
}

// appendShortest is shortest without the string.
func appendShortest(to []byte, x float64) []byte { return strconv.AppendFloat(to, x, 'g', -1, 64) }

// appendCell quotes as the csv package does. What is letters and spaces within needs no quotes; the
// rest is left to that package.
func appendCell(to []byte, text string) []byte {
	if text == "" || plainText(text) {
		return append(to, text...)
	}
	var b bytes.Buffer
	writeRecord(&b, []string{text})
	return append(to, bytes.TrimSuffix(b.Bytes(), []byte("\n"))...)
}

// plainText tells whether a text is printable ASCII without what may have to be quoted.
func plainText(text string) bool {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > '~' || c == ',' || c == '"' || c == '\\' {
			return false
		}
	}
	return text[0] != ' '
}
