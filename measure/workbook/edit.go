package workbook

import (
	"bytes"

	"github.com/xuri/excelize/v2"
)

// Cell is a cell with the text that is to stand in it; "" empties it.
type Cell struct {
	Column, Row int // from 0, and from 1
	Text        string
}

// Edit gives a workbook with blank rows put into one of its sheets, at the numbers that they then have, and
// after that with some of its cells changed. Everything else stays: other cells, sheets, formats.
func Edit(data []byte, sheet string, rows []int, cells []Cell) ([]byte, error) {
	f, err := open(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	for _, row := range rows {
		if err := f.InsertRows(sheet, row, 1); err != nil {
			return nil, err
		}
	}
	for _, c := range cells {
		name, err := excelize.CoordinatesToCellName(c.Column+1, c.Row)
		if err != nil {
			return nil, err
		}
		if err := f.SetCellValue(sheet, name, value(c.Text)); err != nil {
			return nil, err
		}
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
