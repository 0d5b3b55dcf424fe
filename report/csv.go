package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/report/words"
)

// NewCSV writes a table of one line a kit, for a spreadsheet. Each characteristic has three
// words.Columns, such as bridge-skew_deg, bridge-skew_u_deg (standard uncertainty) and
// bridge-skew_verdict. Numbers are the shortest decimals that read back as the same floats; what is
// not measured is an empty cell.
//
// A text that a spreadsheet would take for a formula, because it begins with = + - @, gets an
// apostrophe before it, and control characters in texts are written out. Where names must be
// exact, use JSON Lines.
func NewCSV(w io.Writer) Writer { return &table{out: csv.NewWriter(w)} }

type table struct {
	out    *csv.Writer
	header []string // nil before it is written
}

func (t *table) Kit(r *fit.Result) error {
	if err := Check(r); err != nil {
		return err
	}
	header := headerOf(r)
	if t.header == nil {
		t.header = header
		t.write(header)
	}
	if strings.Join(header, ",") != strings.Join(t.header, ",") {
		return fmt.Errorf("kit %q: its characteristics are not those of the kits before it", r.Kit)
	}
	t.write(rowOf(r))
	return t.out.Error()
}

// Close flushes, and makes a table without kits a header at least.
func (t *table) Close() error {
	if t.header == nil {
		t.write(headerOf(&fit.Result{}))
	}
	t.out.Flush()
	return t.out.Error()
}

// write leaves the error to out.Error, which keeps the first.
func (t *table) write(cells []string) { _ = t.out.Write(cells) }

func headerOf(r *fit.Result) []string {
	header := []string{"kit", "lot", "supplier", "verdict", "way", "worst"}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		unit := words.Unit(c)
		header = append(header, c.ID.String()+"_"+unit, c.ID.String()+"_u_"+unit, c.ID.String()+"_verdict")
	}
	return append(header, "swing_low_mm", "swing_high_mm", "suspects", "warnings")
}

func rowOf(r *fit.Result) []string {
	name := ""
	if c := words.Worst(r); c != nil {
		name = c.ID.String()
	}
	row := []string{
		noFormula(r.Kit), noFormula(r.Info.Lot), noFormula(r.Info.Supplier),
		words.Verdict(r.Verdict), words.Way(r.Way), name,
	}
	for i := range r.Characteristics {
		row = append(row, cellsOf(&r.Characteristics[i])...)
	}
	swing := []string{"", ""}
	if r.Swing != nil {
		swing = []string{shortest(r.Swing.Low), shortest(r.Swing.High)}
	}
	return append(row, swing[0], swing[1], suspectsCell(r), noFormula(strings.Join(r.Warnings, "; ")))
}

func suspectsCell(r *fit.Result) string {
	suspects := make([]string, len(r.Suspects))
	for i, s := range r.Suspects {
		suspects[i] = words.Place(s.Place) + ": " + s.What
	}
	return noFormula(strings.Join(suspects, "; "))
}

func cellsOf(c *fit.Characteristic) []string {
	if !words.Measured(c) {
		return []string{"", "", words.Verdict(fit.NotMeasured)}
	}
	return []string{shortest(c.Value), shortest(c.StdUncertainty), words.Verdict(c.Verdict)}
}

// shortest is the shortest decimal of the same float.
func shortest(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// noFormula makes a text one line that no spreadsheet takes for a formula.
func noFormula(text string) string {
	begins := strings.TrimLeft(text, " \t\r\n")
	text = words.Harmless(text)
	if begins != "" && strings.Contains("=+-@", begins[:1]) {
		return "'" + text
	}
	return text
}
