package workbook

import (
	"fmt"
	"io"
	"iter"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// maxRows is how many rows a sheet can have at most, by its format.
const maxRows = 1 << 20

// Table is a sheet to be written.
type Table struct {
	Name string
	Rows iter.Seq2[[]string, error]
}

// Write writes a workbook. Texts that are numbers and written as this program writes them
// become numbers, of which a workbook keeps fifteen digits; all others stay texts, whatever they look like:
// none is a formula.
func Write(out io.Writer, tables ...Table) error {
	f := excelize.NewFile()
	defer f.Close()
	for i, t := range tables {
		var err error
		if i == 0 {
			err = f.SetSheetName("Sheet1", t.Name) // which a new workbook has
		} else {
			_, err = f.NewSheet(t.Name)
		}
		if err == nil {
			err = t.write(f)
		}
		if err != nil {
			return err
		}
	}
	return f.Write(out)
}

func (t *Table) write(f *excelize.File) error {
	w, err := f.NewStreamWriter(t.Name)
	if err != nil {
		return err
	}
	n := 0
	for cells, err := range t.Rows {
		if err != nil {
			return err
		}
		if n++; n > maxRows {
			return fmt.Errorf("a sheet has room for %d rows and no more: write csv", maxRows)
		}
		values := make([]any, len(cells))
		for i, text := range cells {
			values[i] = value(text)
		}
		if err := w.SetRow("A"+strconv.Itoa(n), values); err != nil {
			return err
		}
	}
	return w.Flush()
}

// value is a number where writing it again gives the same text; a name such as 007 or 1e5 is none.
func value(text string) any {
	if text == "" {
		return nil
	}
	x, err := strconv.ParseFloat(text, 64)
	if err == nil && (strconv.FormatFloat(x, 'f', -1, 64) == text || strings.Contains(text, "e-")) {
		return x
	}
	return text
}
