package report

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/measure/csvtext"
	"neckfit/measure/workbook"
	"neckfit/report/words"
)

// record is CSV being written, cell by cell into one buffer. encoding/csv wants every cell as a string
// first: a kit's line of a hundred cells then takes 18 microseconds instead of 5, half as much again
// as reading, adjusting and judging the kit. The tests read it back by encoding/csv.
type record struct {
	to    []byte
	begun bool // the line has a cell
}

// row adds a line; nil is an empty cell, and so is a number that is none.
func (r *record) row(cells ...any) {
	for _, cell := range cells {
		switch cell := cell.(type) {
		case nil:
			r.comma()
		case string:
			r.text(cell)
		case bool:
			r.name(strconv.FormatBool(cell))
		case int:
			r.comma()
			r.to = strconv.AppendInt(r.to, int64(cell), 10)
		case float64:
			r.number(cell)
		case *float64:
			if cell == nil {
				cell = &none
			}
			r.number(*cell)
		default:
			panic(fmt.Sprintf("report: a cell of type %T", cell))
		}
	}
	r.end()
}

var none = math.NaN()

func (r *record) comma() {
	if r.begun {
		r.to = append(r.to, ',')
	}
	r.begun = true
}

func (r *record) end() { r.to, r.begun = append(r.to, '\n'), false }

// name adds a cell with one of the program's names, in which there is nothing to quote.
func (r *record) name(name string) {
	r.comma()
	r.to = append(r.to, name...)
}

// words adds cells of the program's own, which are no formulas.
func (r *record) words(list ...string) {
	for _, text := range list {
		r.comma()
		r.quoted(text)
	}
}

// text adds a cell with a text of the user's: one line that no spreadsheet takes for a formula.
func (r *record) text(text string) {
	r.comma()
	begins := strings.TrimLeft(text, " \t\r\n")
	text = words.Harmless(text)
	if begins != "" && strings.Contains("=+-@", begins[:1]) {
		text = "'" + text
	}
	r.quoted(text)
}

// quoted puts a text into quotes where RFC 4180 wants them, or where spaces before it would get lost.
func (r *record) quoted(text string) {
	if text == "" || text[0] != ' ' && !strings.ContainsAny(text, ",\"\n\r") {
		r.to = append(r.to, text...)
		return
	}
	r.to = append(r.to, '"')
	r.to = append(r.to, strings.ReplaceAll(text, `"`, `""`)...)
	r.to = append(r.to, '"')
}

// number adds the shortest decimal that reads back as the same float; nothing for what is no number
// or an open end.
func (r *record) number(x float64) {
	r.comma()
	if !math.IsNaN(x) && !math.IsInf(x, 0) {
		r.to = strconv.AppendFloat(r.to, x, 'g', -1, 64)
	}
}

// size adds a length in mm or an angle in degrees to nine decimals, without zeros at the end: a millionth of a micrometre, where no
// reading says anything, and half as many digits to look at as its float has.
func (r *record) size(x float64) {
	const one, most = 1e9, 1 << 53
	scaled := math.Round(math.Abs(x) * one)
	if !(scaled < most) { // or no number
		r.number(x)
		return
	}
	r.comma()
	if x < 0 && scaled > 0 {
		r.to = append(r.to, '-')
	}
	whole, rest := int64(scaled)/one, uint32(int64(scaled)%one)
	r.to = strconv.AppendInt(r.to, whole, 10)
	if rest == 0 {
		return
	}
	a, b, c := &threeDigits[rest/1e6], &threeDigits[rest/1e3%1e3], &threeDigits[rest%1e3]
	r.to = append(r.to, '.', a[0], a[1], a[2], b[0], b[1], b[2], c[0], c[1], c[2])
	for r.to[len(r.to)-1] == '0' {
		r.to = r.to[:len(r.to)-1]
	}
}

// threeDigits are the numbers below a thousand.
var threeDigits = func() (all [1000][3]byte) {
	for i := range all {
		all[i] = [3]byte{byte('0' + i/100), byte('0' + i/10%10), byte('0' + i%10)}
	}
	return all
}()

func (r *record) blank(n int) {
	for range n {
		r.comma()
	}
}

func (r *record) write(w io.Writer) error {
	_, err := w.Write(r.to)
	return err
}

// csvHeader has three columns for each characteristic, such as bridge-skew_deg, bridge-skew_u_deg
// (standard uncertainty) and bridge-skew_verdict.
func csvHeader(r *fit.Result) []byte {
	var h record
	h.words("kit", "lot", "supplier", "verdict", "way", "worst")
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		name, unit := c.ID.String(), words.Unit(c)
		h.words(name+"_"+unit, name+"_u_"+unit, name+"_verdict")
	}
	h.words("swing_low_mm", "swing_high_mm", "suspects", "warnings", "assumed_gauges")
	h.end()
	return h.to
}

// csvLine is a kit. What is not measured is an empty cell.
func csvLine(to []byte, r *fit.Result) ([]byte, error) {
	l := record{to: to}
	l.text(r.Kit)
	l.text(r.Info.Lot)
	l.text(r.Info.Supplier)
	l.name(words.Verdict(r.Verdict))
	l.name(words.Way(r.Way))
	if c := words.Worst(r); c != nil {
		l.name(c.ID.String())
	} else {
		l.blank(1)
	}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if !c.Measured() {
			l.blank(2)
			l.name(words.Verdict(fit.NotMeasured))
			continue
		}
		l.size(c.Value)
		l.size(c.StdUncertainty)
		l.name(words.Verdict(c.Verdict))
	}
	if r.Swing != nil {
		l.size(r.Swing.Low)
		l.size(r.Swing.High)
	} else {
		l.blank(2)
	}
	suspects := ""
	for i, s := range r.Suspects {
		if i > 0 {
			suspects += "; "
		}
		suspects += words.Place(s.Reading.Place) + ": " + words.Reading(s.Reading)
	}
	l.text(suspects)
	l.text(strings.Join(words.Warnings(r), "; "))
	l.comma()
	between := ""
	for _, g := range r.Gauges {
		if g.Place == (measure.Place{}) {
			l.to = append(append(l.to, between...), g.ID...) // the built-in ones' ids need no quotes
			between = "; "
		}
	}
	l.end()
	return l.to, nil
}

// named are the columns whose cells are names that people gave, and no numbers whatever they look like.
var named = []string{"kit", "lot", "supplier", "neck", "body", "gauge"}

// InDialect writes a table that was written as CSV with another delimiter and another decimal sign.
func InDialect(out io.Writer, table io.Reader, d csvtext.Dialect) error {
	in, to := csv.NewReader(table), csv.NewWriter(out)
	in.FieldsPerRecord, in.ReuseRecord = -1, true
	to.Comma = rune(d.Delimiter)
	var names []bool // by column
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			to.Flush()
			return to.Error()
		}
		if err != nil {
			return err
		}
		for i, cell := range cells {
			switch {
			case i >= len(names):
				names = append(names, slices.Contains(named, cell))
			case !names[i] && cell != "" && strings.Trim(cell, "0123456789.e+-") == "" && strings.Count(cell, ".") == 1: // a number that this program wrote
				cells[i] = strings.Replace(cell, ".", string(d.Decimal), 1)
			}
		}
		if err := to.Write(cells); err != nil {
			return err
		}
	}
}

// Workbook makes a spreadsheet's own file (.xlsx) of a table that was written as CSV. A cell that a
// spreadsheet would have taken for a formula has an apostrophe before it there; here it is a text anyhow.
func Workbook(out io.Writer, sheet string, table io.Reader) error {
	in := csv.NewReader(table)
	in.FieldsPerRecord = -1
	return workbook.Write(out, workbook.Table{Name: sheet, Rows: func(yield func([]string, error) bool) {
		for {
			cells, err := in.Read()
			if errors.Is(err, io.EOF) {
				return
			}
			for i, cell := range cells {
				if bare, ok := strings.CutPrefix(cell, "'"); ok && strings.IndexAny(strings.TrimLeft(bare, " \t\r\n"), "=+-@") == 0 {
					cells[i] = bare
				}
			}
			if !yield(cells, err) || err != nil {
				return
			}
		}
	}})
}
