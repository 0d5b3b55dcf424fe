package measure

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// limitRow is a row of limits.csv as it is written.
type limitRow struct {
	Characteristic string `csv:"characteristic"`
	Lower          string `csv:"lower"`
	Upper          string `csv:"upper"`
	Unit           string `csv:"unit"`
	Class          string `csv:"class"`
	Source         string `csv:"source"`
}

var limitsTable = &table{"limits.csv", []column{
	{"characteristic", true}, {"lower", false}, {"upper", false}, {"unit", false}, {"class", false}, {"source", false},
}}

// readLimits reads a limits.csv; known are the characteristics that it may name.
func readLimits(file string, in io.Reader, errs *collector, known map[string]Dimension) ([]Limit, error) {
	var limits []Limit
	lines := map[string]int{}
	err := readTable(limitsTable, file, in, errs, func(w *limitRow, r *row) error {
		l := w.decode(r, known)
		if line, ok := lines[l.Characteristic]; ok && l.Characteristic != "" {
			r.failCell("characteristic", l.Characteristic, fmt.Sprintf("is there already on line %d", line), "one row for each")
		}
		lines[l.Characteristic] = r.Line
		if !r.bad {
			limits = append(limits, l)
		}
		return nil
	})
	return limits, err
}

func (w *limitRow) decode(r *row, known map[string]Dimension) Limit {
	l := Limit{Characteristic: r.name("characteristic", w.Characteristic), Lower: math.Inf(-1), Upper: math.Inf(1), Place: r.Place}
	d, ok := known[l.Characteristic]
	if l.Characteristic != "" && !ok {
		r.failCell("characteristic", l.Characteristic, "is unknown", expectedOneOf(l.Characteristic, sortedKeys(known, nil)))
	}
	l.Class = Class(r.wordOrBlank("class", w.Class, classNames))
	l.Source = r.prose("source", w.Source)
	if !ok {
		return l // without its dimension nothing can be said of the numbers
	}
	u := limitUnit(w.Unit, d, r)
	if x, ok := r.number("lower", w.Lower, u); ok {
		l.Lower = x
	}
	if x, ok := r.number("upper", w.Upper, u); ok {
		l.Upper = x
	}
	if strings.TrimSpace(w.Lower) == "" && strings.TrimSpace(w.Upper) == "" {
		r.fail("lower", "lower and upper are both blank", "at least one of them")
	}
	if l.Lower > l.Upper {
		r.failCell("lower", strings.TrimSpace(w.Lower), "is above upper", "one that is not")
	}
	return l
}

// limitUnit reads the unit of a limit, which must suit the characteristic.
func limitUnit(cell string, d Dimension, r *row) *unit {
	cell = strings.TrimSpace(cell)
	u, ok := parseUnit(cell)
	if d == Angle {
		if cell == "" {
			u = degrees
		}
		if !ok || u != degrees {
			r.failCell("unit", cell, "is no unit for an angle", "deg, or blank for deg")
			return nil
		}
		return &u
	}
	return r.unit(cell)
}
