package measure

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"

	"neckfit/measure/csvtext"
)

// Limit is one row of limits.csv. An open end is an infinity.
type Limit struct {
	Characteristic string
	Lower, Upper   float64 // in millimetres or degrees, as the characteristic is
	Class          Class
	Source         string
	Place          Place // zero for a built-in limit
}

// limitRow is a row of limits.csv as it is written.
type limitRow struct {
	Characteristic string `csv:"characteristic"`
	Lower          string `csv:"lower"`
	Upper          string `csv:"upper"`
	Unit           string `csv:"unit"`
	Class          string `csv:"class"`
	Source         string `csv:"source"`
}

var limitsTable = csvtext.NewTable[limitRow]("limits.csv", "characteristic")

// readLimits reads a limits.csv; known are the characteristics that it may name.
func readLimits(file string, in io.Reader, errs *csvtext.Collector, known map[string]Dimension) ([]Limit, error) {
	var limits []Limit
	lines := map[string]int{}
	err := read(limitsTable, file, in, errs, func(w *limitRow, r *csvtext.Row) {
		l := w.decode(r, known)
		if line, ok := lines[l.Characteristic]; ok && l.Characteristic != "" {
			r.FailCell("characteristic", l.Characteristic, fmt.Sprintf("is there already on line %d", line), "one row for each")
		}
		lines[l.Characteristic] = r.Line
		if !r.Bad {
			limits = append(limits, l)
		}
	})
	return limits, err
}

func (w *limitRow) decode(r *csvtext.Row, known map[string]Dimension) Limit {
	l := Limit{Characteristic: r.Name("characteristic", w.Characteristic), Lower: math.Inf(-1), Upper: math.Inf(1), Place: r.Place}
	d, ok := known[l.Characteristic]
	if l.Characteristic != "" && !ok {
		r.FailCell("characteristic", l.Characteristic, "is unknown", csvtext.OneOf(l.Characteristic, slices.Sorted(maps.Keys(known))))
	}
	l.Class = Class(r.WordOrBlank("class", w.Class, classWords))
	l.Source = r.Prose("source", w.Source)
	if !ok {
		return l // without its dimension nothing can be said of the numbers
	}
	u := limitUnit(w.Unit, d, r)
	if x, ok := r.Number("lower", w.Lower, u); ok {
		l.Lower = x
	}
	if x, ok := r.Number("upper", w.Upper, u); ok {
		l.Upper = x
	}
	if w.Lower == "" && w.Upper == "" {
		r.Fail("lower", "lower and upper are both blank", "at least one of them")
	}
	if l.Lower > l.Upper {
		r.FailCell("lower", w.Lower, "is above upper", "one that is not")
	}
	return l
}

// limitUnit reads the unit of a limit, which must suit the characteristic.
func limitUnit(cell string, d Dimension, r *csvtext.Row) csvtext.Unit {
	if d != Angle {
		return r.Unit(cell)
	}
	if u, ok := csvtext.ParseUnit(cell); cell != "" && (!ok || u != csvtext.Degrees) {
		r.FailCell("unit", cell, "is no unit for an angle", "deg, or blank for deg")
		return csvtext.NoUnit
	}
	return csvtext.Degrees
}

// WriteLimits writes a limits.csv in mm and degrees; known gives the characteristics' dimensions.
func WriteLimits(out io.Writer, limits []Limit, known map[string]Dimension) error {
	var n csvtext.Numbers
	rows := make([]limitRow, len(limits))
	for i, l := range limits {
		unit := csvtext.Millimetres
		if known[l.Characteristic] == Angle {
			unit = csvtext.Degrees
		}
		rows[i] = limitRow{
			l.Characteristic, n.ExactIf(!math.IsInf(l.Lower, -1), l.Lower), n.ExactIf(!math.IsInf(l.Upper, 1), l.Upper),
			unit.String(), l.Class.String(), l.Source,
		}
	}
	return write(out, rows, n)
}
