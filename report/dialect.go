package report

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"

	"neckfit/measure/csvtext"
)

// named are the columns whose cells are names that people gave, and no numbers whatever they look like.
var named = []string{"kit", "lot", "supplier", "neck", "body", "gauge"}

// InDialect writes a table that was written as CSV with another delimiter and another decimal sign.
func InDialect(out io.Writer, table io.Reader, d csvtext.Dialect) error {
	in, to := csv.NewReader(table), csv.NewWriter(out)
	in.FieldsPerRecord, in.ReuseRecord = -1, true
	to.Comma = rune(d.Delimiter)
	var names []bool // by column
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			to.Flush()
			return to.Error()
		}
		if err != nil {
			return err
		}
		for i, cell := range cells {
			switch {
			case i >= len(names):
				names = append(names, slices.Contains(named, cell))
			case !names[i] && cell != "" && strings.Trim(cell, "0123456789.e+-") == "" && strings.Count(cell, ".") == 1: // a number that this program wrote
				cells[i] = strings.Replace(cell, ".", string(d.Decimal), 1)
			}
		}
		if err := to.Write(cells); err != nil {
			return err
		}
	}
}
