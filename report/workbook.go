package report

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"

	"neckfit/measure/workbook"
)

// Workbook makes a spreadsheet's own file (.xlsx) of a table that was written as CSV. A cell that a
// spreadsheet would have taken for a formula has an apostrophe before it there; here it is a text anyhow.
func Workbook(out io.Writer, sheet string, table io.Reader) error {
	in := csv.NewReader(table)
	in.FieldsPerRecord = -1
	return workbook.Write(out, workbook.Table{Name: sheet, Rows: func(yield func([]string, error) bool) {
		for {
			cells, err := in.Read()
			if errors.Is(err, io.EOF) {
				return
			}
			for i, cell := range cells {
				if bare, ok := strings.CutPrefix(cell, "'"); ok && strings.IndexAny(strings.TrimLeft(bare, " \t\r\n"), "=+-@") == 0 {
					cells[i] = bare
				}
			}
			if !yield(cells, err) || err != nil {
				return
			}
		}
	}})
}
