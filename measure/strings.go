package measure

import (
	"fmt"
	"io"
	"strings"
)

// stringRow is a row of strings.csv as it is written.
type stringRow struct {
	String       string `csv:"string"`
	Compensation string `csv:"compensation"`
	Unit         string `csv:"unit"`
}

var stringsTable = &table{"strings.csv", []column{{"string", true}, {"compensation", true}, {"unit", false}}}

const expectedString = "a string's number (1 is the highest pitched)"

// readStrings reads a strings.csv.
func readStrings(file string, in io.Reader, errs *collector) (Strings, error) {
	all := Strings{}
	lines := map[int]int{}
	err := readTable(stringsTable, file, in, errs, func(w *stringRow, r *row) error {
		n := r.count("string", w.String, expectedString, maxString)
		if strings.TrimSpace(w.String) == "" {
			r.fail("string", "string is blank", expectedString)
		}
		u := r.unit(w.Unit)
		x, _ := r.number("compensation", w.Compensation, u)
		if strings.TrimSpace(w.Compensation) == "" {
			r.fail("compensation", "compensation is blank", "a length")
		}
		if line, ok := lines[n]; ok && n > 0 {
			r.failCell("string", strings.TrimSpace(w.String), fmt.Sprintf("is there already on line %d", line), "one row for each string")
		}
		all[n], lines[n] = x, r.Line
		return nil
	})
	return all, err
}
