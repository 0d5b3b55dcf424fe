package measure

import (
	"fmt"
	"io"
	"strings"
)

// StringSpec is what is known of a string itself, from which its compensation can be worked out.
type StringSpec struct {
	Core       float64 // diameter of the steel core, mm
	UnitWeight float64 // mass per length, g/m
	Pitch      float64 // of the open string, Hz
}

// stringRow is a row of strings.csv as it is written.
type stringRow struct {
	String       string `csv:"string"`
	Compensation string `csv:"compensation"`
	Core         string `csv:"core"`
	UnitWeight   string `csv:"unit_weight"`
	Pitch        string `csv:"pitch"`
	Unit         string `csv:"unit"`
}

var stringsTable = &table{"strings.csv", []column{
	{"string", true}, {"compensation", false}, {"core", false}, {"unit_weight", false}, {"pitch", false}, {"unit", false},
}}

const expectedString = "a string's number (1 is the highest pitched)"

// stringSet is strings.csv: compensations as given, and the strings that are described instead.
type stringSet struct {
	compensation Strings
	specs        map[int]StringSpec
}

// readStrings reads a strings.csv.
func readStrings(file string, in io.Reader, errs *collector) (stringSet, error) {
	all := stringSet{Strings{}, map[int]StringSpec{}}
	lines := map[int]int{}
	err := readTable(stringsTable, file, in, errs, func(w *stringRow, r *row) error {
		n := r.count("string", w.String, expectedString, maxString)
		if strings.TrimSpace(w.String) == "" {
			r.fail("string", "string is blank", expectedString)
		}
		if line, ok := lines[n]; ok && n > 0 {
			r.failCell("string", strings.TrimSpace(w.String), fmt.Sprintf("is there already on line %d", line), "one row for each string")
		}
		lines[n] = r.Line
		w.decode(n, r, &all)
		return nil
	})
	return all, err
}

// decode takes the compensation as given, or core, unit weight and pitch, all three.
func (w *stringRow) decode(n int, r *row, all *stringSet) {
	u := r.unit(w.Unit)
	x, given := r.number("compensation", w.Compensation, u)
	var s StringSpec
	var core, weight, pitch bool
	s.Core, core = r.positive("core", w.Core, u)
	s.UnitWeight, weight = r.plain("unit_weight", w.UnitWeight, "a mass in grams per metre such as 5.8")
	s.Pitch, pitch = r.plain("pitch", w.Pitch, "a frequency in hertz such as 41.2")
	switch {
	case given:
		all.compensation[n] = x
	case core && weight && pitch:
		all.specs[n] = s
	case strings.TrimSpace(w.Compensation) == "":
		r.fail("compensation", "compensation is blank", "a length, or core, unit_weight and pitch, from which it follows")
	}
}
