package csvtext

import (
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"
)

// Table is what the header of one of the files must look like.
type Table struct {
	Name    string   // of the file
	Columns []string // in the order in which they are written

	required []string
}

// NewTable makes a table of a row type, a struct of strings with csv tags, and of the columns that its
// header must have.
func NewTable[R any](name string, required ...string) *Table {
	t := &Table{Name: name, required: required}
	for i, row := 0, reflect.TypeFor[R](); i < row.NumField(); i++ {
		t.Columns = append(t.Columns, row.Field(i).Tag.Get("csv"))
	}
	return t
}

// Rows are the rows of a table, one after another.
//
// The cells may be parted by commas, semicolons or tabs, with a byte-order mark or not, and lines
// may end in either way, or all of them in carriage returns; UTF-16 with a byte-order mark will do as
// well as UTF-8. Blank lines, lines of delimiters and lines that start with # are skipped;
// so are columns whose header starts with #. Columns may stand in any order, and their names in any
// case. A row may have blank cells too many, and lack those at its end that the table does not
// require.
type Rows struct {
	reader  *reader
	at      []int // where each column of the table stands in the file
	index   map[string]int
	numbers Decimals
	row     Row
}

// Open reads a table's header. It reports what is wrong with that to errs and gives nil for a file
// that is no such table; others are those for which it may be mistaken. The error is the stream's.
func (t *Table) Open(file string, in io.Reader, errs *Collector, others []*Table) (*Rows, error) {
	r, err := newReader(in, file, errs)
	if r == nil || err != nil {
		return nil, err
	}
	before := len(errs.list) + errs.more
	if !r.next() {
		if r.err == nil && len(errs.list)+errs.more == before { // else it is said already why there is no header
			errs.Add(&CellError{Place: Place{file, 1}, Column: 1, What: "the file has no header", Expected: "the columns " + strings.Join(t.Columns, ", ")})
		}
		return nil, r.err
	}
	index, ok := t.header(r, others)
	if !ok {
		return nil, nil
	}
	r.header = r.width
	for _, name := range t.required {
		r.need = max(r.need, index[name]+1)
		r.required = append(r.required, index[name])
	}
	for i := range r.width {
		if r.cell(i) == "" { // a spreadsheet leaves such columns at the end
			r.nameless = append(r.nameless, i)
		}
	}
	rows := &Rows{reader: r, index: index, numbers: Decimals{CommaAllowed: r.comma != ','}}
	rows.row = Row{Place: Place{File: file}, rows: rows, record: &r.record}
	for _, name := range t.Columns {
		i, ok := index[name]
		if !ok {
			i = noColumn
		}
		rows.at = append(rows.at, i)
	}
	return rows, nil
}

// Next reads on to the next row that is good as a row. It is false after the last one, and has then noted
// comments that look like rows: a name that begins with # makes one, unless it stands in quotes.
func (rows *Rows) Next() bool {
	r := rows.reader
	if r.next() {
		return true
	}
	if n := r.likeRows; n > 0 {
		what := "a line that looks like a row begins with # and is passed over as a comment; a name that begins with # wants quotes"
		if n > 1 {
			what = fmt.Sprintf("%d lines that look like rows begin with # and are passed over as comments, the first of them here; a name that begins with # wants quotes", n)
		}
		r.errs.Note(Notice{Place{r.file, r.firstLikeRow}, what})
		r.likeRows = 0
	}
	return false
}

// Err is the error that ended the stream early, or nil.
func (rows *Rows) Err() error { return rows.reader.err }

// noColumn is where a column stands that the file does not have.
const noColumn = math.MaxInt

// Cell is the text of a cell of the row that was read last, by its column's place among those of the
// table. It is a part of what was read of the file at once, some 64 KiB, which whoever keeps it keeps
// with it.
func (rows *Rows) Cell(column int) string { return rows.reader.cell(rows.at[column]) }

// Stretch is some columns that stand side by side in a file.
type Stretch struct{ from, to int } // their places in the file, without the last

// Besides gives the columns of the file but for some of the table's.
func (rows *Rows) Besides(columns ...int) (all []Stretch) {
	ends := []int{rows.reader.header}
	for _, c := range columns {
		ends = append(ends, min(rows.at[c], rows.reader.header))
	}
	slices.Sort(ends)
	from := 0
	for _, end := range ends {
		if from < end {
			all = append(all, Stretch{from, end})
		}
		from = end + 1
	}
	return all
}

// Text is the text of the cells of a stretch as it stands in the row that was read last, delimiters and all. It is
// the same of two rows only if their cells are. There is none of rows with quotes or with space around cells.
func (rows *Rows) Text(s Stretch) (text string, ok bool) {
	r := &rows.reader.record
	to := min(s.to, r.width)
	if !r.plain || s.from >= to {
		return "", r.plain
	}
	return r.text[r.ends[s.from]+1 : r.ends[to]], true
}

// Row gives the row that was read last, for the readers of its cells, until the next one is read.
func (rows *Rows) Row() *Row {
	rows.row.Line, rows.row.Bad = rows.reader.line, false
	return &rows.row
}

// header checks the header and tells which column is where. An unknown column is refused, for it
// may be a needed one misspelt.
func (t *Table) header(r *reader, others []*Table) (map[string]int, bool) {
	index := map[string]int{}
	good := true
	fail := func(i int, what, expected string) {
		line, col := r.cellPlace(i)
		r.errs.Add(&CellError{Place: Place{r.file, line}, Column: col, What: what, Expected: expected})
		good = false
	}
	if f := t.strange(r.texts(), others); f != nil {
		fail(0, f.What, f.Expected)
		return nil, false
	}
	for i, name := range canonical(r.texts()) {
		if name == "" {
			continue
		}
		if first, ok := index[name]; ok {
			fail(i, fmt.Sprintf("column %s is there twice, first as column %d", Quote(name), first+1), "one column of that name")
			continue
		}
		if !slices.Contains(t.Columns, name) {
			fail(i, "column "+Quote(name)+" is unknown", OneOf(name, t.Columns)+"; a header that starts with # is passed over")
			continue
		}
		index[name] = i
	}
	for _, name := range t.required {
		if _, ok := index[name]; !ok {
			fail(0, fmt.Sprintf("column %q is missing", name), "a header with "+strings.Join(t.required, ", "))
		}
	}
	return index, good
}

// canonical turns headers as they are written into the columns' names; what is to be passed over
// becomes blank.
func canonical(headers []string) []string {
	names := make([]string, len(headers))
	for i, h := range headers {
		if !strings.HasPrefix(h, "#") {
			names[i] = strings.ToLower(h)
		}
	}
	return names
}

// strange is for a header that is another table's in every column, or none at all.
func (t *Table) strange(headers []string, others []*Table) *Fault {
	names := canonical(headers)
	for _, other := range others {
		if !t.fits(names) && other.fits(names) {
			return &Fault{"this is the header of a " + other.Name, "that of a " + t.Name + ", with " + strings.Join(t.required, ", ")}
		}
	}
	if !slices.ContainsFunc(names, func(name string) bool { return slices.Contains(t.Columns, name) }) {
		return &Fault{"the first line is no header", "the columns " + strings.Join(t.Columns, ", ") +
			", parted by commas, semicolons or tabs; lines above them begin with #"}
	}
	return nil
}

// fits tells whether a header has all the columns that the table needs, and no others.
func (t *Table) fits(names []string) bool {
	for _, name := range names {
		if name != "" && !slices.Contains(t.Columns, name) {
			return false
		}
	}
	for _, name := range t.required {
		if !slices.Contains(names, name) {
			return false
		}
	}
	return true
}

// Read reads a whole table into memory and hands on its rows, each as an R, a struct of strings with
// csv tags: what a blank or a number is stays for the caller to judge. Cells that are wrong go to errs;
// the error is for a file that cannot be read.
func Read[R any](t *Table, file string, in io.Reader, errs *Collector, others []*Table, each func(*R, *Row)) error {
	rows, err := t.Open(file, in, errs, others)
	if rows == nil || err != nil {
		return err
	}
	all := memory{canonical(rows.reader.texts())}
	var records []record
	for rows.Next() {
		r := rows.reader.record
		r.spans, r.unquoted = slices.Clone(r.spans), slices.Clone(r.unquoted)
		records = append(records, r)
		all = append(all, r.texts())
	}
	if rows.Err() != nil {
		return rows.Err()
	}
	var list []R
	if err := gocsv.UnmarshalDecoder(all, &list); err != nil {
		return err
	}
	for i := range list {
		each(&list[i], &Row{Place: Place{file, records[i].line}, rows: rows, record: &records[i]})
	}
	return nil
}

// memory hands records to gocsv.
type memory [][]string

// GetCSVRows gives all of them, the header first.
func (m memory) GetCSVRows() ([][]string, error) { return m, nil }
