package measure

import "bytes"

// The columns of readings.csv by number, in the order of readingsTable.
const (
	kitColumn = iota
	datumColumn
	featureColumn
	markColumn
	toColumn
	kindColumn
	stationColumn
	offsetColumn
	sizeColumn
	unitColumn
	gaugeColumn
	stationGaugeColumn
	trialColumn
	byColumn
	stageColumn
	noteColumn
	readingColumns
	ignoredColumn = readingColumns // where the cells of columns go that are passed over
	emptyColumn   = readingColumns + 1
)

// layout is what the beginning of a readings file tells about its rows.
type layout struct {
	comma   byte
	columns []uint8 // by place in the row; emptyColumn for one in which nothing may stand
	need    int     // cells that a row must have
	kit     int     // where the kit stands
}

// plainLayout reads a header. It is false for a header that is anything but good.
func plainLayout(comma byte, cells [][]byte) (*layout, bool) {
	names := make([]string, len(cells))
	for i, c := range cells {
		names[i] = string(c)
	}
	l := &layout{comma: comma}
	index := map[string]int{}
	for i, name := range readingsTable.canonical(names) {
		column := readingsTable.number(name)
		if _, twice := index[name]; name != "" && (twice || column < 0) {
			return nil, false
		}
		switch {
		case name != "":
			index[name] = i
		case len(bytes.TrimSpace(cells[i])) == 0:
			column = emptyColumn
		default:
			column = ignoredColumn
		}
		l.columns = append(l.columns, uint8(column))
	}
	for _, c := range readingsTable.columns {
		if _, ok := index[c.name]; !ok && c.required {
			return nil, false
		}
	}
	l.need, l.kit = readingsTable.cellsNeeded(index), index["kit"]
	return l, true
}

// number is the place of a column among the table's, or -1.
func (t *table) number(name string) int {
	for i, c := range t.columns {
		if c.name == name {
			return i
		}
	}
	return -1
}

// column is where the cell at a place of the row goes; cells beyond the header's must be blank.
func (l *layout) column(i int) uint8 {
	if i < len(l.columns) {
		return l.columns[i]
	}
	return emptyColumn
}
