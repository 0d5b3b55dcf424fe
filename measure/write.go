package measure

import (
	"bufio"
	"fmt"
	"io"
	"iter"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Tables names the files of a batch, the readings first.
func Tables() []string {
	names := make([]string, 0, len(allTables))
	for _, t := range allTables {
		names = append(names, t.name)
	}
	return names
}

var allTables = []*table{readingsTable, gaugesTable, limitsTable, kitsTable, stringsTable, stockTable, costsTable}

// Columns lists the columns of one of the Tables, in the order in which they are written. It panics
// for any other name.
func Columns(name string) []string {
	for _, t := range allTables {
		if t.name == name {
			return t.names()
		}
	}
	panic("measure: no table " + name)
}

// WriteHeader writes the header line of one of the Tables: an empty table, ready to be filled in.
func WriteHeader(w io.Writer, name string) error {
	return writeTable(w, Columns(name), nil)
}

// WriteReadings writes kits as a readings.csv in mm. Each number is the shortest decimal that
// reads back as the same float, so Each gives the same readings again, but for their places and for
// spaces around texts. A nil gauge and the built-in one that stands for a blank are written as a
// blank. An error is w's, or names a reading that no table can hold.
func WriteReadings(w io.Writer, kits iter.Seq[*Kit]) error {
	return writeTable(w, readingsTable.names(), func(yield func([]string) bool) {
		for kit := range kits {
			for i := range kit.Readings {
				if !yield(readingCells(kit.Name, &kit.Readings[i])) {
					return
				}
			}
		}
	})
}

func readingCells(kit string, g *Reading) []string {
	n := g.Feature.rule().kinds[g.Kind]
	blank := Calliper
	if g.Kind == Gap {
		blank = Feeler
	}
	trial := ""
	if g.Trial > 0 {
		trial = strconv.Itoa(g.Trial)
	}
	stage := ""
	if g.Stage != Received {
		stage = g.Stage.String()
	}
	return []string{
		kit, g.Datum.String(), g.Feature.String(), g.Mark.String(), g.To.String(), g.Kind.String(),
		exactIf(g.HasStation, g.Station), exactIf(g.HasOffset, g.Offset), exactIf(n.size == Required, g.Size), "mm",
		gaugeCell(g.Gauge, blank), gaugeCell(g.StationGauge, Rule), trial, g.By, stage, g.Note,
	}
}

func gaugeCell(g *Gauge, blank string) string {
	if g == nil || g.ID == blank {
		return ""
	}
	return g.ID
}

// WriteGauges writes a gauges.csv in mm.
func WriteGauges(w io.Writer, gauges []Gauge) error {
	return writeTable(w, gaugesTable.names(), func(yield func([]string) bool) {
		for _, g := range gauges {
			if !yield([]string{g.ID, g.Kind, exact(g.Resolution), exact(g.MaxError), exact(g.Repeatability), "mm"}) {
				return
			}
		}
	})
}

// WriteLimits writes a limits.csv in mm and degrees; known gives the characteristics' dimensions.
func WriteLimits(w io.Writer, limits []Limit, known map[string]Dimension) error {
	return writeTable(w, limitsTable.names(), func(yield func([]string) bool) {
		for _, l := range limits {
			unit := unitNames[millimetres]
			if known[l.Characteristic] == Angle {
				unit = unitNames[degrees]
			}
			lower, upper := exactIf(!math.IsInf(l.Lower, -1), l.Lower), exactIf(!math.IsInf(l.Upper, 1), l.Upper)
			if !yield([]string{l.Characteristic, lower, upper, unit, l.Class.String(), l.Source}) {
				return
			}
		}
	})
}

// WriteKits writes a kits.csv in mm.
func WriteKits(w io.Writer, infos []Info) error {
	return writeTable(w, kitsTable.names(), func(yield func([]string) bool) {
		for _, k := range infos {
			hand := handNames[1]
			if k.LeftHanded {
				hand = handNames[2]
			}
			if !yield([]string{
				k.Kit, k.Lot, k.Supplier, hand, countCell(k.Strings), countCell(k.Frets),
				exactIf(k.Scale != 0, k.Scale), exactIf(k.NutSpread != 0, k.NutSpread), k.Wood,
				exactIf(k.NeckScrew != 0, k.NeckScrew), exactIf(k.BridgeScrew != 0, k.BridgeScrew),
				exactIf(k.Action != 0, k.Action), exactIf(k.NutHeight != 0, k.NutHeight), "mm",
			}) {
				return
			}
		}
	})
}

// WriteStrings writes a strings.csv in mm, string 1 first.
func WriteStrings(w io.Writer, s Strings) error {
	return writeTable(w, stringsTable.names(), func(yield func([]string) bool) {
		for _, n := range slices.Sorted(maps.Keys(s)) {
			if !yield([]string{strconv.Itoa(n), exact(s[n]), "", "", "", "mm"}) {
				return
			}
		}
	})
}

func countCell(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// exact is the shortest decimal of the same float. Exponents are left to numbers so small that
// they would be too long without.
func exact(x float64) string {
	format := byte('f')
	if x != 0 && math.Abs(x) < 1e-4 {
		format = 'e'
	}
	return strconv.FormatFloat(x, format, -1, 64)
}

func exactIf(there bool, x float64) string {
	if !there {
		return ""
	}
	return exact(x)
}

// writeTable writes a header and rows with commas and line feeds.
func writeTable(w io.Writer, header []string, rows iter.Seq[[]string]) error {
	out := bufio.NewWriter(w)
	writeLine(out, header)
	if rows != nil {
		for cells := range rows {
			if err := writable(header, cells); err != nil {
				return err
			}
			writeLine(out, cells)
		}
	}
	return out.Flush()
}

// numberColumns are the columns of lengths and angles in all tables.
var numberColumns = map[string]bool{
	"station": true, "offset": true, "size": true,
	"resolution": true, "max_error": true, "repeatability": true,
	"minutes": true, "worst": true,
	"lower": true, "upper": true, "compensation": true,
	"scale": true, "nut_spread": true, "neck_screw": true, "bridge_screw": true,
}

// writable refuses what the reader would refuse for being no number or no text.
func writable(header, cells []string) error {
	for i, cell := range cells {
		prose := header[i] == "note" || header[i] == "source"
		bad := strings.ContainsFunc(cell, func(c rune) bool {
			return unicode.IsControl(c) && !(prose && (c == '\n' || c == '\t'))
		})
		infinite := numberColumns[header[i]] && (cell == "NaN" || strings.HasSuffix(cell, "Inf"))
		if bad || infinite || !utf8.ValidString(cell) {
			return fmt.Errorf("cannot write %s %s of %q into a table", header[i], quote(cell), cells[0])
		}
	}
	return nil
}

// writeLine leaves errors to the writer's Flush.
func writeLine(out *bufio.Writer, cells []string) {
	for i, cell := range cells {
		if i > 0 {
			out.WriteByte(',')
		}
		if strings.ContainsAny(cell, ",;\t\n\"#") {
			cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
		}
		out.WriteString(cell)
	}
	out.WriteByte('\n')
}
