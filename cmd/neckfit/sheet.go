package main

import (
	"bytes"
	"encoding/csv"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"neckfit/measure"
	"neckfit/report/draw"
	"neckfit/report/sheet"
)

// sheetOptions are sheet's flags.
type sheetOptions struct {
	way, format, paper, out string
	left                    bool
	kits                    []string
	sheet.Instrument
}

func (p *program) sheetCommand() *cobra.Command {
	var o sheetOptions
	c := &cobra.Command{
		Use:   "sheet",
		Short: "Write a blank measuring sheet",
		Long: `Sheet writes the rows of a readings.csv that is still to be filled in: which feature to read,
from which datum, where, and in the column note which cells to fill in. The ways of working:

  quick  neck in the pocket, a straightedge along each edge in turn: alignment, pocket, scale
  edge   the same with strings and saddles
  dry    neck in the pocket, everything from one straightedge beside the body
  loose  neck, body and bridge each by itself

The format pdf is the same on paper: a picture with the places numbered in the order of the walk, the
numbers of the column note, boxes to write in, and labels to stick on the parts.

Delete the rows that you do not read: a kit is judged by what is there.`,
		Example: `  neckfit sheet --kit A1 --kit A2 > readings.csv
  neckfit sheet --way edge --strings 5 > sheet.csv
  neckfit sheet --kit A1 --kit A2 --format pdf --out sheets.pdf
  neckfit sheet --way loose --strings 6 --frets 22 --bridge-screws 6 > sheet.csv`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return p.sheet(o) },
	}
	f := c.Flags()
	f.Var(newChoice(&o.way, sheet.Ways()...), "way", "how the readings will be taken")
	f.StringArrayVar(&o.kits, "kit", []string{"A1"}, "`name` of a kit; may be given several times")
	f.Var(newChoice(&o.format, "csv", "pdf"), "format", "csv: rows to fill in; pdf: sheets to print")
	f.StringVar(&o.paper, "paper", "a4", "a4 or letter")
	f.BoolVar(&o.left, "left-handed", false, "draw the pictures mirrored")
	f.StringVar(&o.out, "out", "", "write to this `file` instead of standard output")
	f.IntVar(&o.Strings, "strings", 4, "number of strings")
	f.IntVar(&o.Frets, "frets", 20, "number of the last fret")
	f.IntVar(&o.NeckScrews, "neck-screws", 4, "number of neck screws")
	f.IntVar(&o.BridgeScrews, "bridge-screws", 5, "number of bridge screws")
	return c
}

// sheet writes the rows of every kit.
func (p *program) sheet(o sheetOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	if o.format == "pdf" {
		size, err := draw.ParsePaper(o.paper)
		if err != nil {
			return misuse{err}
		}
		paper := sheet.Paper{Way: o.way, Kits: o.kits, Left: o.left, Size: size, Instrument: o.Instrument}
		return p.write(o.out, nil, paper.PDF)
	}
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	columns := measure.Columns("readings.csv")
	rows := [][]string{columns}
	for _, kit := range o.kits {
		for _, t := range sheet.Plan(o.way, o.Instrument) {
			rows = append(rows, t.Cells(kit, columns))
		}
	}
	if err := w.WriteAll(rows); err != nil {
		return err
	}
	return p.write(o.out, nil, func(w io.Writer) error {
		_, err := w.Write(text.Bytes())
		return err
	})
}

// check refuses names and numbers that no row can carry.
func (o sheetOptions) check() error {
	seen := map[string]bool{}
	for _, kit := range o.kits {
		kit = strings.TrimSpace(kit)
		switch {
		case kit == "" || kit[0] == '#':
			return misusef("--kit is %q, expected a name that is not blank and does not begin with #, the sign of a comment", kit)
		case strings.ContainsRune("=+-@", rune(kit[0])):
			return misusef("--kit is %q, which a spreadsheet would take for a formula: expected a name that does not begin with %c", kit, kit[0])
		case strings.ContainsFunc(kit, unicode.IsControl) || !utf8.ValidString(kit):
			return misusef("--kit is %q, expected a name of plain text in one line", kit)
		case seen[kit]:
			return misusef("--kit %q is there twice", kit)
		}
		seen[kit] = true
	}
	for _, b := range o.Bounds() {
		if b.Outside() {
			return misusef("--%s is %d, expected a number from %d to %d", b.What, b.Number, b.Least, b.Top)
		}
	}
	return nil
}
