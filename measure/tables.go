package measure

import (
	"io"
	"slices"

	"neckfit/measure/csvtext"
)

// tables are those of a batch, the readings first.
func tables() []*csvtext.Table {
	return []*csvtext.Table{readingsTable, gaugesTable, limitsTable, kitsTable, stringsTable, stockTable, costsTable}
}

// Tables names the files of a batch, the readings first.
func Tables() []string {
	var names []string
	for _, t := range tables() {
		names = append(names, t.Name)
	}
	return names
}

// Columns lists the columns of one of the Tables, in the order in which they are written. It panics
// for any other name.
func Columns(name string) []string {
	for _, t := range tables() {
		if t.Name == name {
			return slices.Clone(t.Columns)
		}
	}
	panic("measure: no table " + name)
}

// WriteHeader writes the header line of one of the Tables: an empty table, ready to be filled in.
func WriteHeader(out io.Writer, name string) error {
	w := csvtext.NewWriter(out)
	w.Write(Columns(name))
	w.Flush()
	return w.Error()
}

// read reads one of the small tables whole.
func read[R any](t *csvtext.Table, file string, in io.Reader, errs *csvtext.Collector, each func(*R, *csvtext.Row)) error {
	return csvtext.Read(t, file, in, errs, tables(), each)
}

// write writes one of the small tables, whose numbers were made by n.
func write[R any](out io.Writer, rows []R, n csvtext.Numbers) error {
	if n.Err != nil {
		return n.Err
	}
	return csvtext.Write(out, rows)
}
