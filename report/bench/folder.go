// Package bench is a page on this computer to type readings into, one number after another. The
// folder's tables are the truth: they are written whole after every entry, and what another program
// changed in them meanwhile is never overwritten.
package bench

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/measure/workbook"
	"neckfit/report/sheet"
)

// numberColumns are those of readings.csv that hold what was read, in the order in which a person
// reads them.
var numberColumns = []string{"station", "offset", "size"}

// Options are how the kits of a batch are judged.
type Options func(*measure.Batch) fit.Options

// Folder is a batch whose readings are being taken: a folder of tables, or a workbook whose sheets they are.
// Its methods may be called from several goroutines.
type Folder struct {
	dir     string
	file    string // readings.csv or the workbook
	options Options

	mu      sync.Mutex
	text    []byte // of the file, as it was last read or written
	table   *table
	sheets  map[string]*workbook.Sheet // of a workbook; nil for a folder of tables
	side    string                     // of the other tables, what tells a change
	foreign int                        // how often another program changed a table
	undo    []change
	judged  map[string]*kit // by name and rows

	planning sync.Mutex // held before mu where both are
	planned  *modelled  // the kit that was last asked about
}

// change is what an entry did, to be taken back.
type change struct {
	row           int
	before, after line
}

// OpenFolder reads a folder's readings.csv, or where it has none the one workbook (.xlsx) that lies in it, or
// the workbook that is named.
func OpenFolder(path string, options Options) (*Folder, error) {
	f := &Folder{dir: path, file: filepath.Join(path, measure.Tables()[0]), options: options, judged: map[string]*kit{}}
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		f.dir, f.file = filepath.Dir(path), path
	} else if book := Workbook(path); book != "" {
		f.file = book
	}
	_, err := f.refresh()
	f.foreign = 0
	return f, err
}

// Workbook is the workbook that holds a folder's tables; "" where readings.csv does, or where it has none or
// several.
func Workbook(dir string) string {
	if _, err := os.Stat(filepath.Join(dir, measure.Tables()[0])); err == nil {
		return ""
	}
	found := ""
	entries, err := os.ReadDir(dir)
	for _, e := range entries {
		if name := e.Name(); workbook.Is(name) && !e.IsDir() && !strings.HasPrefix(name, "~$") { // which spreadsheets put beside an open one
			if found != "" {
				return ""
			}
			found = filepath.Join(dir, name)
		}
	}
	if err != nil {
		return ""
	}
	return found
}

// File is where the readings go.
func (f *Folder) File() string { return f.file }

// refresh reads again what another program may have changed, and tells whether one did.
func (f *Folder) refresh() (changed bool, err error) {
	text, err := os.ReadFile(f.file)
	if err != nil {
		return false, err
	}
	if f.table != nil && bytes.Equal(text, f.text) && (f.sheets != nil || f.sideTables() == f.side) {
		return false, nil
	}
	if err := f.load(text); err != nil {
		return false, err
	}
	f.foreign++
	return true, nil
}

// load takes up the file's text, with what lies beside it.
func (f *Folder) load(text []byte) error {
	csv, sheets := text, map[string]*workbook.Sheet(nil)
	if workbook.Is(f.file) {
		var err error
		if sheets, err = workbook.Parse(f.file, bytes.NewReader(text), int64(len(text)), measure.Tables()); err != nil {
			return err
		}
		csv = sheets[measure.Tables()[0]].Text
	}
	t := parseTable(csv)
	if t.column("kit") < 0 {
		return fmt.Errorf("%s has no header with a column kit in UTF-8", f.file)
	}
	f.text, f.table, f.sheets = text, t, sheets
	if side := f.sideTables(); side != f.side {
		f.side, f.judged = side, map[string]*kit{} // limits and gauges may be others
	}
	return nil
}

// sideTables tells by size and time how the other tables stand, or by their text where they are sheets.
func (f *Folder) sideTables() string {
	var b strings.Builder
	for _, name := range measure.Tables()[1:] {
		if sheet := f.sheets[name]; sheet != nil {
			fmt.Fprintf(&b, "%s %q\n", name, sheet.Text)
		} else if info, err := os.Stat(filepath.Join(f.dir, name)); err == nil && f.sheets == nil {
			fmt.Fprintln(&b, name, info.Size(), info.ModTime().UnixNano())
		}
	}
	return b.String()
}

// Entry is a number that was typed into a row.
type Entry struct {
	Row    int    // its number in the file, from 0
	Was    string // its text, by which it is found when rows were added or taken away meanwhile
	Column string // station, offset or size
	Text   string // as it was typed; blank takes a number away
	Gauge  string // id of the gauge; blank leaves what the row has
}

// errMoved is for a row that another program changed while it was being typed into.
var errMoved = errors.New("another program has changed this row meanwhile: look at it again, nothing was overwritten")

// Refusal is the reader's complaint about what was typed.
type Refusal struct{ What, Expected string }

// Error is the complaint in a clause.
func (r *Refusal) Error() string {
	if r.Expected == "" {
		return r.What
	}
	return r.What + ", expected " + r.Expected
}

// Enter writes a number into its row. The error is a *Refusal for what the reader does not take, or
// says that another program was there; nothing is written then.
func (f *Folder) Enter(e Entry) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	at, typed, err := f.typed(e)
	if err != nil {
		return err
	}
	missing, there := f.missing(typed)
	before, after := f.table.lines[at], f.table.set(typed, nil, len(missing) > 0 && there)
	f.table.lines[at] = after
	if err := f.save(); err != nil {
		return err
	}
	f.undo = append(f.undo, change{at, before, after})
	return nil
}

// Try tells what Enter would say, and writes nothing.
func (f *Folder) Try(e Entry) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	_, _, err := f.typed(e)
	return err
}

// typed is the row that an entry would make, and where it goes.
func (f *Folder) typed(e Entry) (at int, row line, err error) {
	if !slices.Contains(numberColumns, e.Column) {
		return 0, line{}, &Refusal{What: "no number goes into " + strconv.Quote(e.Column)}
	}
	if _, err := f.refresh(); err != nil {
		return 0, line{}, err
	}
	if at = f.find(e.Row, e.Was); at < 0 {
		return 0, line{}, errMoved
	}
	row = f.table.lines[at]
	text, point, other := strings.TrimSpace(e.Text), string(f.table.point), ","
	if point == "," {
		other = "."
	}
	if strings.Count(text, other) == 1 && !strings.Contains(text, point) { // people type either decimal sign
		text = strings.Replace(text, other, point, 1)
	}
	cells := map[string]string{e.Column: text}
	f.inches(row, e, cells)
	gauge := "gauge"
	if e.Column == "station" {
		gauge = "station_gauge"
	}
	if e.Gauge != "" && strings.TrimSpace(e.Text) != "" {
		cells[gauge] = e.Gauge
	}
	row = f.table.set(row, cells, false)
	if refusal := f.read(row, e.Column, gauge); refusal != nil {
		return 0, line{}, refusal
	}
	return at, row, nil
}

// Undo takes the last entry back.
func (f *Folder) Undo() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.refresh(); err != nil {
		return err
	}
	n := len(f.undo) - 1
	if n < 0 {
		return &Refusal{What: "there is nothing to take back"}
	}
	c := f.undo[n]
	at := f.find(c.row, c.after.text)
	f.undo = f.undo[:n]
	if at < 0 {
		return errMoved
	}
	c.before.at = f.table.lines[at].at
	f.table.lines[at] = c.before
	return f.save()
}

// find is the row of that text: the one of that number if it may be, or else the only one.
func (f *Folder) find(number int, text string) int {
	is := func(i int) bool { return f.table.lines[i].cells != nil && f.table.lines[i].text == text }
	if number >= 0 && number < len(f.table.lines) && is(number) {
		return number
	}
	found := -1
	for i := range f.table.lines {
		if is(i) {
			if found >= 0 {
				return -1 // which of them?
			}
			found = i
		}
	}
	return found
}

// inches turns a row without a number yet into one of inches when a fraction or an inch mark is typed,
// and one into millimetres when a decimal is.
func (f *Folder) inches(row line, e Entry, cells map[string]string) {
	for _, c := range numberColumns {
		if text := f.table.cell(row, c); c != e.Column && text != "" && text != "0" {
			return
		}
	}
	if strings.ContainsAny(e.Text, `/"″`) {
		cells["unit"] = "in"
	} else if f.table.cell(row, "unit") == "in" && strings.ContainsAny(e.Text, ".,") {
		cells["unit"] = "mm"
	}
}

// missing are the numbers that a row still wants, and there tells whether it has some of those that
// it wants.
func (f *Folder) missing(row line) (missing []string, there bool) {
	for _, c := range f.wanted(row) {
		if f.table.cell(row, c) == "" {
			missing = append(missing, c)
		} else {
			there = true
		}
	}
	return missing, there
}

// wanted are the numbers that a row's kind of reading needs.
func (f *Folder) wanted(row line) []string {
	feature, _ := measure.ParseFeature(f.table.cell(row, "feature"))
	kind, ok := measure.ParseKind(f.table.cell(row, "kind"))
	if feature == measure.NoFeature || !ok {
		return nil
	}
	var all []string
	station, offset, size, _ := feature.Needs(kind)
	for i, need := range []measure.Need{station, offset, size} {
		if need == measure.Required {
			all = append(all, numberColumns[i])
		}
	}
	return all
}

// NewKit adds the rows of a sheet for a kit.
func (f *Folder) NewKit(name, way string, in sheet.Instrument, leftHanded bool) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.refresh(); err != nil {
		return err
	}
	switch name = strings.TrimSpace(name); {
	case name == "" || name[0] == '#':
		return &Refusal{What: "a kit needs a name", Expected: "one that does not begin with #"}
	case slices.Contains(f.names(), name):
		return &Refusal{What: fmt.Sprintf("there is a kit %q already", name)}
	case !slices.Contains(sheet.Ways(), way):
		return &Refusal{What: fmt.Sprintf("there is no way of working %q", way)}
	}
	for _, b := range in.Bounds() {
		if b.Outside() {
			return &Refusal{What: fmt.Sprintf("%s: %d", b.What, b.Number), Expected: fmt.Sprintf("a number from %d to %d", b.Least, b.Top)}
		}
	}
	before := len(f.table.lines)
	for _, t := range sheet.Plan(way, in) {
		cells := map[string]string{}
		for i, text := range t.Cells(name, f.table.columns) {
			cells[f.table.columns[i]] = text
		}
		f.table.add(cells)
	}
	if refusal := f.read(f.table.lines[before], "kit"); refusal != nil {
		return errors.Join(refusal, f.load(f.text))
	}
	if err := f.save(); err != nil {
		return err
	}
	return f.describe(name, way, in, leftHanded)
}

// Repeat adds a row for reading a place once more.
func (f *Folder) Repeat(number int, was string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.refresh(); err != nil {
		return err
	}
	at := f.find(number, was)
	if at < 0 {
		return errMoved
	}
	row := f.table.lines[at]
	blank := map[string]string{"trial": ""}
	for _, c := range f.wanted(row) {
		blank[c] = ""
	}
	place := f.table.set(row, blank, false).text // the row but for what was read
	first, _ := strconv.Atoi(f.table.cell(row, "trial"))
	first = max(1, first)
	trial, last := first, at
	for i, l := range f.table.lines {
		if l.cells != nil && f.table.set(l, blank, false).text == place {
			n, _ := strconv.Atoi(f.table.cell(l, "trial"))
			trial, last = max(trial, n), i
		}
	}
	blank["trial"] = strconv.Itoa(trial + 1)
	lines := slices.Clone(f.table.lines)
	lines[at] = f.table.set(row, map[string]string{"trial": strconv.Itoa(first)}, row.half)
	again := f.table.set(row, blank, false)
	again.at = 0
	f.table.lines = slices.Insert(lines, last+1, again)
	return f.save()
}

// names lists the kits in the order of the file.
func (f *Folder) names() []string {
	var all []string
	seen := map[string]bool{}
	for _, l := range f.table.lines {
		if name := f.table.cell(l, "kit"); l.cells != nil && name != "" && !seen[name] {
			seen[name] = true
			all = append(all, name)
		}
	}
	return all
}
