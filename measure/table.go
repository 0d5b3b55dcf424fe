package measure

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/gocarina/gocsv"
)

// column is one column of a table.
type column struct {
	name     string
	required bool // the header must have it
}

// table is what the header of one of the files must look like.
type table struct {
	name    string // of the file
	columns []column
}

func (t *table) names() []string {
	names := make([]string, len(t.columns))
	for i, c := range t.columns {
		names[i] = c.name
	}
	return names
}

// row says where a row stands and takes what is wrong with its cells. The decoders know it and the
// strings of the row, and nothing of how those were parted.
type row struct {
	Place
	errs    *collector
	numbers *decimals
	locate  func(column string) (line, col int)
	bad     bool // something was wrong with this row
}

// fail reports a column of the row.
func (r *row) fail(column, what, expected string) {
	line, col := r.locate(column)
	r.errs.add(&CellError{Place{r.File, line}, col, what, expected})
	r.bad = true
}

// failOnce is failCell for a word that is wrong wherever it stands: its first row is reported, and
// how many there are.
func (r *row) failOnce(column, text, what, expected string) {
	line, col := r.locate(column)
	r.errs.addOnce(text+" "+what, &CellError{Place{r.File, line}, col, column + " " + quote(text) + " " + what, expected})
	r.bad = true
}

// failCell reports a cell of the row and quotes it.
func (r *row) failCell(column, text, what, expected string) {
	r.fail(column, column+" "+quote(text)+" "+what, expected)
}

// quote writes a cell so that it can stand in a line of a terminal.
func quote(text string) string {
	if runes := []rune(text); len(runes) > maxWord {
		text = string(runes[:maxWord]) + "..."
	}
	return fmt.Sprintf("%q", text)
}

// readTable reads a table and gives each row as an R, a struct of strings with csv tags: what a
// blank or a number is stays for the caller to judge. Cells that are wrong go to errs; the error is
// for a file that cannot be read, or comes from each.
//
// The cells may be parted by commas, semicolons or tabs, with a byte-order mark or not, and lines
// may end in either way, or all of them in carriage returns; UTF-16 with a byte-order mark will do as
// well as UTF-8. Blank lines, lines of delimiters and lines that start with # are skipped;
// so are columns whose header starts with #. Columns may stand in any order, and their names in any
// case. A row may have blank cells too many, and lack those at its end that the table does not
// require.
func readTable[R any](t *table, file string, in io.Reader, errs *collector, each func(*R, *row) error) error {
	clean, err := newRecords(in, file, errs)
	if clean == nil || err != nil {
		return err
	}
	before := len(errs.list) + errs.more
	rows, err := gocsv.NewUnmarshaller(csvReader(clean), new(R))
	if errors.Is(err, io.EOF) {
		if len(errs.list)+errs.more == before { // else it is said already why there is no header
			errs.add(&CellError{Place{file, 1}, 1, "the file has no header", "the columns " + strings.Join(t.names(), ", ")})
		}
		return nil
	}
	if err != nil {
		return err
	}
	index, ok := t.header(rows.Headers, clean)
	if !ok {
		return nil
	}
	clean.need, clean.nameless = t.cellsNeeded(index), nameless(rows.Headers)
	if err := rows.RenormalizeHeaders(func(h []string) []string { return t.canonical(h) }); err != nil {
		return err
	}
	return eachRow(rows, clean, index, each)
}

// csvReader parts the cells of records that are clean.
func csvReader(clean *records) *csv.Reader {
	reader := csv.NewReader(clean)
	reader.Comma = rune(clean.comma)
	reader.LazyQuotes = true // records has judged the quotes; an inch mark is none
	reader.TrimLeadingSpace = clean.comma != '\t'
	reader.FieldsPerRecord = -1
	return reader
}

func eachRow[R any](rows *gocsv.Unmarshaller, clean *records, index map[string]int, each func(*R, *row) error) error {
	numbers := &decimals{commaAllowed: clean.comma != ','}
	place := func(column string) (int, int) {
		i, ok := index[column]
		if !ok {
			i = 0 // a column that the file does not have: the row's beginning
		}
		return clean.cellPlace(i)
	}
	for {
		value, err := rows.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		where := &row{Place: Place{clean.file, clean.first}, errs: clean.errs, numbers: numbers, locate: place}
		if err := each(value.(*R), where); err != nil {
			return err
		}
	}
}

// canonical turns headers as they are written into the columns' names; what is to be ignored
// becomes blank.
func (t *table) canonical(headers []string) []string {
	names := make([]string, len(headers))
	for i, h := range headers {
		if name := strings.ToLower(strings.TrimSpace(h)); !strings.HasPrefix(name, "#") {
			names[i] = name
		}
	}
	return names
}

// header checks the header and tells which column is where. An unknown column is refused, for it
// may be a needed one misspelt.
func (t *table) header(headers []string, at *records) (map[string]int, bool) {
	index := map[string]int{}
	good := true
	fail := func(i int, what, expected string) {
		line, col := at.cellPlace(i)
		at.errs.add(&CellError{Place{at.file, line}, col, what, expected})
		good = false
	}
	if f := t.strange(headers); f != nil {
		fail(0, f.what, f.expected)
		return nil, false
	}
	for i, name := range t.canonical(headers) {
		if name == "" {
			continue
		}
		if first, ok := index[name]; ok {
			fail(i, fmt.Sprintf("column %s is there twice, first as column %d", quote(name), first+1), "one column of that name")
			continue
		}
		if !t.has(name) {
			fail(i, "column "+quote(name)+" is unknown", expectedOneOf(name, t.names())+"; a header that starts with # is passed over")
			continue
		}
		index[name] = i
	}
	for _, c := range t.columns {
		if _, ok := index[c.name]; !ok && c.required {
			fail(0, fmt.Sprintf("column %q is missing", c.name), "a header with "+strings.Join(t.required(), ", "))
		}
	}
	return index, good
}

// strange is for a header that is another table's in every column, or none at all.
func (t *table) strange(headers []string) *fault {
	for _, other := range allTables {
		if !t.fits(headers) && other.fits(headers) {
			return &fault{what: "this is the header of a " + other.name, expected: "that of a " + t.name + ", with " + strings.Join(t.required(), ", ")}
		}
	}
	if !slices.ContainsFunc(t.canonical(headers), t.has) {
		return &fault{what: "the first line is no header", expected: "the columns " + strings.Join(t.names(), ", ") +
			", parted by commas, semicolons or tabs; lines above them begin with #"}
	}
	return nil
}

// fits tells whether a header has all the columns that the table needs, and no others.
func (t *table) fits(headers []string) bool {
	names := t.canonical(headers)
	for _, name := range names {
		if name != "" && !t.has(name) {
			return false
		}
	}
	for _, name := range t.required() {
		if !slices.Contains(names, name) {
			return false
		}
	}
	return true
}

// nameless lists the columns that have no name; a spreadsheet leaves such ones at the end.
func nameless(headers []string) []int {
	var list []int
	for i, h := range headers {
		if strings.TrimSpace(h) == "" {
			list = append(list, i)
		}
	}
	return list
}

func (t *table) required() []string {
	var names []string
	for _, c := range t.columns {
		if c.required {
			names = append(names, c.name)
		}
	}
	return names
}

func (t *table) has(name string) bool {
	for _, c := range t.columns {
		if c.name == name {
			return true
		}
	}
	return false
}

// cellsNeeded is how many cells a row must have at least: up to its last required one.
func (t *table) cellsNeeded(index map[string]int) int {
	need := 0
	for _, c := range t.columns {
		if i, ok := index[c.name]; ok && c.required {
			need = max(need, i+1)
		}
	}
	return need
}
