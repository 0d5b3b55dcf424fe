package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/draw"
	"neckfit/report/sheet"
	"neckfit/report/words"
)

// sheetOptions are sheet's flags.
type sheetOptions struct {
	way, format, paper, out string
	left                    bool
	kits                    []string
	sheet.Instrument
}

func (o *sheetOptions) command(p *program) *cobra.Command {
	c := &cobra.Command{
		Use:   "sheet",
		Short: "Write a blank measuring sheet",
		Long: `Sheet writes the rows of a readings.csv that is still to be filled in: which feature to read,
from which datum, where, and in the column note which cells to fill in. The ways of working:

  quick  neck in the pocket, a straightedge along each edge in turn; a kit read so is judged on
         alignment, pocket and scale, which its aim in kits.csv says: neckfit start --kit writes both
  edge   the same with strings and saddles
  dry    neck in the pocket, everything from one straightedge beside the body
  loose  neck, body and bridge each by itself

It says on standard error what the rows will be able to decide, read with the gauges of --tables or the
built-in ones.

The format pdf is the same on paper: a picture with the places numbered in the order of the walk, the
numbers of the column note, boxes to write in, and labels to stick on the parts.

Delete the rows that you do not read: a kit is judged by what is there.`,
		Example: `  neckfit sheet --kit A1 --kit A2 > readings.csv
  neckfit sheet --way edge --strings 5 > sheet.csv
  neckfit sheet --kit A1 --kit A2 --format pdf --out sheets.pdf
  neckfit sheet --way loose --strings 6 --frets 22 --bridge-screws 6 > sheet.csv`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return o.run(p) },
	}
	o.flags(c, "A1")
	p.tablesFlag(c)
	f := c.Flags()
	f.Var(newChoice(&o.format, "csv", "pdf", "xlsx"), "format", "csv, xlsx: rows to fill in; pdf: sheets to print")
	f.StringVar(&o.paper, "paper", "a4", "a4 or letter")
	f.StringVar(&o.out, "out", "", "write to this `file` instead of standard output")
	return c
}

// flags are those of a command that makes a sheet, of kits of these names unless others are given.
func (o *sheetOptions) flags(c *cobra.Command, kits ...string) {
	f := c.Flags()
	f.Var(newChoice(&o.way, sheet.Ways()...), "way", "how the readings will be taken")
	f.StringArrayVar(&o.kits, "kit", kits, "`name` of a kit; may be given several times")
	f.BoolVar(&o.left, "left-handed", false, "for left-handed kits, whose pictures are mirrored")
	f.IntVar(&o.Strings, "strings", 4, "number of strings")
	f.IntVar(&o.Frets, "frets", 20, "number of the last fret")
	f.IntVar(&o.NeckScrews, "neck-screws", 4, "number of neck screws")
	f.IntVar(&o.BridgeScrews, "bridge-screws", 5, "number of bridge screws")
}

// run writes the rows of every kit.
func (o *sheetOptions) run(p *program) error {
	if err := o.check(); err != nil {
		return err
	}
	rows := o.readings
	if o.format == "pdf" {
		size, err := draw.ParsePaper(o.paper)
		if err != nil {
			return misuse{err}
		}
		paper := sheet.Paper{Way: o.way, Kits: o.kits, Left: o.left, Size: size, Instrument: o.Instrument}
		rows = paper.PDF
	}
	if err := p.write(o.out, nil, rows); err != nil {
		return err
	}
	return o.sayPlan(p)
}

// sayPlan tells what the rows will be able to decide, read with the gauges of --tables or the built-in ones.
func (o *sheetOptions) sayPlan(p *program) (err error) {
	one := *o
	one.kits = o.kits[:1]
	var text bytes.Buffer
	if err := one.readings(&text); err != nil {
		return err
	}
	options := p.from()
	options.Stdin, options.Planned = strings.NewReader(text.String()), true
	batch, err := measure.Open("-", options)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	kits, err := batch.All(p.ctx)
	if err != nil {
		return err
	}
	info := measure.Info{Kit: one.kits[0], Strings: o.Strings, Frets: o.Frets, Aim: sheet.Aim(o.way)}
	info.BoardRadius = math.Inf(1) // kits.csv will say it, and heights are as sure over any
	forecast := fit.Plan(kits[0].Readings, info, checkOf(batch, "guarded"))
	forecast.Cures(kits[0].Readings, info, checkOf(batch, "guarded"))
	lines := words.Planned(forecast.Characteristics)
	if assumed := words.Assumed(forecast.Gauges); assumed != "" {
		lines = append(lines, assumed)
	}
	for _, line := range lines {
		p.say("%s", line)
	}
	return nil
}

// readings writes a readings.csv with the rows of every kit.
func (o *sheetOptions) readings(out io.Writer) error {
	columns := measure.Columns("readings.csv")
	rows := [][]string{columns}
	for _, kit := range o.kits {
		for _, t := range sheet.Plan(o.way, o.Instrument) {
			rows = append(rows, t.Cells(kit, columns))
		}
	}
	return csv.NewWriter(out).WriteAll(rows)
}

// check refuses names and numbers that no row can carry.
func (o *sheetOptions) check() error {
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
