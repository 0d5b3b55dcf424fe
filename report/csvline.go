package report

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/report/words"
)

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

// appendCSV is rowOf without its strings, and without allocation where no text is out of the
// ordinary. A test holds the two against each other.
func appendCSV(to []byte, r *fit.Result) ([]byte, error) {
	to = appendText(to, r.Kit)
	to = appendText(append(to, ','), r.Info.Lot)
	to = appendText(append(to, ','), r.Info.Supplier)
	to = append(append(to, ','), words.Verdict(r.Verdict)...)
	to = append(append(to, ','), words.Way(r.Way)...)
	to = append(to, ',')
	if c := words.Worst(r); c != nil {
		to = appendCell(to, c.ID.String())
	}
	for i := range r.Characteristics {
		to = appendCharacteristic(to, &r.Characteristics[i])
	}
	if r.Swing != nil {
		to = strconv.AppendFloat(append(to, ','), r.Swing.Low, 'g', -1, 64)
		to = strconv.AppendFloat(append(to, ','), r.Swing.High, 'g', -1, 64)
	} else {
		to = append(to, ",,"...)
	}
	to = appendSuspects(append(to, ','), r)
	to = append(to, ',')
	if len(r.Warnings) > 0 {
		to = appendText(to, strings.Join(r.Warnings, "; "))
	}
	return append(to, '\n'), nil
}

func appendCharacteristic(to []byte, c *fit.Characteristic) []byte {
	if !words.Measured(c) {
		return append(to, ",,,not-measured"...)
	}
	to = strconv.AppendFloat(append(to, ','), c.Value, 'g', -1, 64)
	to = strconv.AppendFloat(append(to, ','), c.StdUncertainty, 'g', -1, 64)
	return append(append(to, ','), words.Verdict(c.Verdict)...)
}

// appendSuspects writes suspectsCell's text, and when that comes out plain, as it mostly does, it is
// the cell.
func appendSuspects(to []byte, r *fit.Result) []byte {
	begun := len(to)
	for i := range r.Suspects {
		if i > 0 {
			to = append(to, "; "...)
		}
		s := &r.Suspects[i]
		to = append(append(to, s.Place.File...), ':')
		to = strconv.AppendInt(to, int64(s.Place.Line), 10)
		to = append(append(to, ": "...), s.What...)
	}
	if ordinary(to[begun:]) {
		return to
	}
	return appendCell(to[:begun], suspectsCell(r))
}

// appendText writes a text of the user's.
func appendText(to []byte, text string) []byte {
	if ordinary(text) {
		return append(to, text...)
	}
	return appendCell(to, noFormula(text))
}

// appendCell quotes as the csv package does; where that may be needed it is left to that package.
func appendCell(to []byte, text string) []byte {
	if text == "" || plain(text, ',') && text[0] != ' ' {
		return append(to, text...)
	}
	var b bytes.Buffer
	writeRecord(&b, []string{text})
	return append(to, bytes.TrimSuffix(b.Bytes(), []byte("\n"))...)
}

// ordinary tells whether noFormula and the csv package leave a text as it is.
func ordinary[T string | []byte](text T) bool {
	if len(text) == 0 {
		return true
	}
	switch text[0] {
	case ' ', '=', '+', '-', '@':
		return false
	}
	return plain(text, ',')
}
