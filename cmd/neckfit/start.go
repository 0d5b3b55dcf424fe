package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/measure/workbook"
	"neckfit/report/sheet"
	"neckfit/report/words"
)

// startOptions are start's flags, which say what rows there are to be, and its argument.
type startOptions struct {
	sheetOptions
	dir string
}

func (o *startOptions) command(p *program) *cobra.Command {
	c := &cobra.Command{
		Use:   "start DIR",
		Short: "Make a batch folder to fill in",
		Long: `Start makes a folder with the tables of a batch: readings.csv, gauges.csv, limits.csv, kits.csv
and strings.csv. Lines that begin with # explain them and are not read. Limits.csv lists the
built-in limits in such lines, so that they stay in force until one is made a row.

With --kit the rows of a sheet are in readings.csv, and kits.csv says what the kits have and, for the
quick sheet, what they are to be judged on.

A DIR that ends in .xlsx is a workbook instead, whose sheets are the tables.

Nothing is overwritten: the folder may be there, but none of these tables.`,
		Example: `  neckfit start delivery
  neckfit start both --kit A1 --kit A2
  neckfit start both.xlsx --kit A1 --kit A2`,
		Args: oneArgument("the DIR to make"),
		RunE: func(c *cobra.Command, args []string) error {
			o.dir = args[0]
			return o.run(p)
		},
	}
	o.flags(c)
	return c
}

// run writes all the tables or none.
func (o *startOptions) run(p *program) (err error) {
	if workbook.Is(o.dir) {
		return o.newWorkbook(p)
	}
	dir := o.dir
	tables, err := o.tables()
	if err != nil {
		return err
	}
	for _, name := range measure.Tables() {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			return misusef("%s is there already; start overwrites nothing", filepath.Join(dir, name))
		}
	}
	var made []string // what goes again when something fails
	defer func() {
		for _, name := range slices.Backward(made) {
			if err != nil {
				err = errors.Join(err, os.Remove(name))
			}
		}
	}()
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Lstat(d); !errors.Is(err, os.ErrNotExist) {
			break
		}
		made = append([]string{d}, made...)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		made = nil // nobody knows how far it came; an empty folder harms nobody
		return err
	}
	for _, name := range measure.Tables() {
		f, err := os.OpenFile(filepath.Join(dir, name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return err
		}
		made = append(made, f.Name())
		_, err = f.Write(tables[name])
		if err = errors.Join(err, f.Close()); err != nil {
			return err
		}
	}
	p.say("%s is ready. Fill in readings.csv; neckfit sheet gives the rows of a kit, neckfit check %s judges them.", dir, dir)
	return nil
}

// newWorkbook writes all the tables as the sheets of a new workbook.
func (o *startOptions) newWorkbook(p *program) error {
	file := o.dir
	if _, err := os.Lstat(file); err == nil {
		return misusef("%s is there already; start overwrites nothing", file)
	}
	texts, err := o.tables()
	if err != nil {
		return err
	}
	var tables []workbook.Table
	for _, name := range measure.Tables() {
		tables = append(tables, workbook.Table{Name: strings.TrimSuffix(name, ".csv"), Rows: func(yield func([]string, error) bool) {
			prose := true // above the header; below it stand rows, some of them commented out
			for line := range strings.Lines(string(texts[name])) {
				prose = prose && strings.HasPrefix(line, "#")
				cells, err := []string{strings.TrimSpace(line)}, error(nil)
				if !prose {
					cells, err = csv.NewReader(strings.NewReader(line)).Read()
				}
				if !yield(cells, err) || err != nil {
					return
				}
			}
		}})
	}
	if err := p.write(file, nil, func(w io.Writer) error { return workbook.Write(w, tables...) }); err != nil {
		return err
	}
	p.say("%s is ready. Fill in the sheet readings; neckfit check %s judges it.", file, file)
	return nil
}

// tables makes the text of each table, with the rows of a sheet if it has kits.
func (o *startOptions) tables() (map[string][]byte, error) {
	if len(o.kits) > 0 {
		if err := o.check(); err != nil {
			return nil, err
		}
	}
	var kits []measure.Info
	for _, name := range o.kits {
		kits = append(kits, measure.Info{Kit: strings.TrimSpace(name), Strings: o.Strings, Frets: o.Frets, LeftHanded: o.left, Aim: sheet.Aim(o.way)})
	}
	texts := map[string][]byte{}
	for name, write := range map[string]func(io.Writer) error{
		"readings.csv": o.readings,
		"gauges.csv":   func(w io.Writer) error { return measure.WriteGauges(w, measure.BuiltInGauges()) },
		"limits.csv":   writeLimitComments,
		"kits.csv":     func(w io.Writer) error { return measure.WriteKits(w, kits) },
		"strings.csv":  func(w io.Writer) error { return measure.WriteHeader(w, "strings.csv") },
		"stock.csv":    func(w io.Writer) error { return measure.WriteStock(w, measure.BuiltInStock()) },
		"costs.csv":    func(w io.Writer) error { return measure.WriteCosts(w, measure.BuiltInCosts()) },
	} {
		var text bytes.Buffer
		text.WriteString(tableComments[name])
		if err := write(&text); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		texts[name] = text.Bytes()
	}
	return texts, nil
}

// writeLimitComments writes the built-in limits as rows that are commented out.
func writeLimitComments(w io.Writer) error {
	known := fit.Characteristics()
	limits := fit.BuiltInLimits()
	for i := range limits {
		limits[i].Source = words.CommonPractice
	}
	var table bytes.Buffer
	if err := measure.WriteLimits(&table, limits, known); err != nil {
		return err
	}
	header, rows, _ := strings.Cut(table.String(), "\n")
	text := header + "\n"
	for _, row := range strings.Split(strings.TrimSuffix(rows, "\n"), "\n") {
		if row != "" {
			text += "# " + row + "\n"
		}
	}
	_, err := io.WriteString(w, text)
	return err
}

// tableComments explain the tables of a new batch, above their headers.
var tableComments = map[string]string{
	"readings.csv": `# Readings, one a row. Lines that begin with # are not read. A semicolon or a tab instead of the
# comma, and then a decimal comma, will do too.
# kit: name of the kit, the same in all its rows.
# datum: the straightedge that is read from: body, neck, bridge, edge-bass or edge-treble.
# feature, mark, to: what was touched, which of several, and the second one of a distance.
# kind: what the numbers are: point, offset, station, width, diameter, gap, height and so on.
# station: along the straightedge, growing from the headstock toward the tail. offset: square from
# it, growing from bass toward treble (from an edge: inward). size: width, diameter, gap or height.
# unit: mm (blank means mm) or in. gauge, station_gauge: blank for the built-in calliper and rule.
# trial: 1, 2, 3 for repeats of one reading. stage: received (or blank), or reworked for what is read
# again after work on the kit. by, note: free text.
# All rows of a kit that is to be filled in: neckfit sheet.
`,
	"gauges.csv": `# What the readings are taken with; these are the built-in gauges, change them to your own.
# resolution: smallest step shown. max_error: greatest error, the same in all readings of a kit.
# repeatability: standard deviation of one reading of yours. reproducibility: standard deviation from person
# to person, blank where one person reads; neckfit gauge finds both. All in the unit of the last column.
`,
	"limits.csv": `# Limits that differ from the built-in ones. Those are listed below as comments and are in force;
# to change one, take the # away and edit the row. A blank lower or upper means no limit there.
# class: critical, major or minor. source: whose limit it is; reports print it.
`,
	"kits.csv": `# What is known of the kits besides their readings; every column but kit may stay blank.
# hand: right or left. scale, nut_spread, neck_screw, bridge_screw (screw diameters), action (strings
# over fret 12) and nut_height (strings over the fret plane at the nut): in the unit.
# scale_bass, scale_treble: of fanned frets, the outer strings' scales; straight_fret: the fret that is
# square to the centre line (blank: the nut). zero_fret: yes or no. board_radius: of the fingerboard's
# crown across, or flat. saddles: each, pairs or fixed, as they can be set; slant: how much farther back than the outer
# treble saddle the bass one stands by the bridge's own design. body_thickness; neck_screw_length and
# bridge_screw_length under the head, neck_screw_core and bridge_screw_core: diameters inside the thread.
# aim: the characteristics that are wanted of this kit, with semicolons between; blank for all.
`,
	"strings.csv": `# Compensation: how much longer than the scale each string must be, string 1 the highest pitched. It
# may be left blank where core (diameter of the steel core, in the unit), unit_weight (g/m) and pitch
# (of the open string, Hz) are given: it is then worked out from these and the wanted action.
# Without rows the built-in values are used.
`,
	"stock.csv": `# What is on the shelf; remedies are made of these sizes only. These are the built-in ones, change
# them to your own. kind: side-shim (veneer and the like), wedge and floor-shim (under the heel),
# plug, drill. size: thickness or diameter; of a wedge its angle in deg, or its thick end.
`,
	"costs.csv": `# What a remedy's works take; these are the built-in ones, none of which has a source: change them
# to your own. minutes: each time. worst: how far off the work ends up at the worst (three standard
# deviations), in the unit. price: in minutes too, what it costs that the work cannot be undone; of
# send-back what waiting, freight and a kit that no work cures are worth, of scrap what a kit is worth that
# cannot be returned once its wood is cut, of snug that a pocket which fits is cut. hour: as price what an hour costs, in your money, 0 for not known.
`,
}
