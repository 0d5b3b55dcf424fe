package bench

import (
	"context"
	"errors"
	"html/template"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/measure/csvtext"
	"neckfit/report/html"
	"neckfit/report/words"
)

// State is what the page shows.
type State struct {
	Foreign int       `json:"foreign"` // how often another program changed a table
	Undo    bool      `json:"undo"`    // there is an entry to take back
	Gauges  []string  `json:"gauges"`
	Kits    []KitLine `json:"kits"`
	Kit     *KitView  `json:"kit"` // the one that is worked on; null for none
}

// KitLine is a kit in the list.
type KitLine struct {
	Name    string `json:"name"`
	Verdict string `json:"verdict"`
	Word    string `json:"word"` // the verdict as people read it
	Left    int    `json:"left"` // rows still to be read
}

// KitView is a kit with its rows and what they say.
type KitView struct {
	Name       string        `json:"name"`
	Left       bool          `json:"left"` // left-handed
	Verdict    string        `json:"verdict"`
	Word       string        `json:"word"`   // the verdict as people read it
	Judged     bool          `json:"judged"` // something was, so that moves can be tried
	Headline   string        `json:"headline"`
	Next       int           `json:"next"` // the first row that was not read; -1 for none
	Todo       []Todo        `json:"todo"` // what would tell more, the most first
	Faults     []string      `json:"faults"`
	Rows       []RowView     `json:"rows"`
	Tolerances template.HTML `json:"tolerances"` // what was judged, as a table with strips; "" for nothing
}

// Todo is something that would tell more, and the row that it is of; -1 for none.
type Todo struct {
	Text string `json:"text"`
	Row  int    `json:"row"`
}

// RowView is a reading, taken or still to be taken.
type RowView struct {
	Row   int        `json:"row"`
	Line  int        `json:"line"` // of the file, as what is said of a reading names it
	Was   string     `json:"was"`
	Label string     `json:"label"`
	Where string     `json:"where"`
	Place Place      `json:"place"` // on the drawing
	Unit  string     `json:"unit"`
	Trial int        `json:"trial"` // which reading of its place, from 1
	Done  bool       `json:"done"`
	Cells []CellView `json:"cells"`
}

// CellView is a number of a row.
type CellView struct {
	Column string `json:"column"`
	Label  string `json:"label"`
	Text   string `json:"text"`
	Fault  string `json:"fault"`
}

// kit is what is known of a kit whose rows are those of its key.
type kit struct {
	result *fit.Result
	faults map[[2]int]string // by row of the kit and column
	others []string          // what is wrong elsewhere
	table  template.HTML     // what was judged; "" of kits that nobody has looked at
}

// State looks at the folder anew and tells how it stands, with the rows of one kit.
func (f *Folder) State(name string) (*State, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if _, err := f.refresh(); err != nil {
		return nil, err
	}
	s := &State{Foreign: f.foreign, Undo: len(f.undo) > 0, Kits: []KitLine{}}
	b, err := f.batch("")
	if err != nil {
		return nil, err
	}
	if err := b.Close(); err != nil {
		return nil, err
	}
	s.Gauges = slices.Sorted(maps.Keys(b.Gauges))
	rows := f.rowsOf()
	for _, one := range f.names() {
		key := f.key(one, rows[one])
		k := f.judged[key]
		if k == nil {
			if len(f.judged) > 10*(1+len(f.table.lines)) {
				f.judged = map[string]*kit{} // rows as they were long ago
			}
			k = f.judgeKit(rows[one])
			f.judged[key] = k
		}
		left := 0
		for _, i := range rows[one] {
			if missing, _ := f.missing(f.table.lines[i]); len(missing) > 0 {
				left++
			}
		}
		verdict, word := k.verdict()
		s.Kits = append(s.Kits, KitLine{Name: one, Verdict: verdict, Word: word, Left: left})
		if one == name {
			if s.Kit, err = f.view(one, rows[one], k); err != nil {
				return nil, err
			}
			s.Kit.Left = b.Infos[one].LeftHanded
		}
	}
	return s, nil
}

// rowsOf are the rows of each kit, as numbers of the table's lines.
func (f *Folder) rowsOf() map[string][]int {
	rows := map[string][]int{}
	for i, l := range f.table.lines {
		if name := f.table.cell(l, "kit"); l.cells != nil && name != "" {
			rows[name] = append(rows[name], i)
		}
	}
	return rows
}

// key tells a kit with these rows from what it was with others.
func (f *Folder) key(name string, rows []int) string {
	var key strings.Builder
	key.WriteString(name)
	for _, i := range rows {
		key.WriteString("\n" + f.table.lines[i].text)
	}
	return key.String()
}

// judgeKit reads the kit's whole rows as check would, and judges it.
func (f *Folder) judgeKit(rows []int) *kit {
	whole, of := f.whole(rows)
	k := &kit{faults: map[[2]int]string{}}
	if len(whole) == 0 {
		return k
	}
	err := f.readRows(whole, func(b *measure.Batch) func(*measure.Kit) {
		options := f.options(b)
		return func(one *measure.Kit) { k.result = fit.Check(one, options) }
	})
	var cells measure.Errors
	if !errors.As(err, &cells) {
		if err != nil {
			k.others = append(k.others, err.Error())
		}
		return k
	}
	for _, c := range cells {
		if n := slices.IndexFunc(whole, func(l line) bool { return l.at == c.Line }); c.File == typedFile && n >= 0 {
			k.faults[[2]int{of[n], f.columnAt(whole[n], c.Column)}] = (&Refusal{c.What, c.Expected}).Error()
		} else {
			k.others = append(k.others, c.Error())
		}
	}
	return k
}

// whole are those of a kit's rows that lack no number, each with its number among the kit's.
func (f *Folder) whole(rows []int) (whole []line, of []int) {
	for n, i := range rows {
		if missing, _ := f.missing(f.table.lines[i]); len(missing) == 0 && !f.table.lines[i].half {
			whole, of = append(whole, f.table.lines[i]), append(of, n)
		}
	}
	return whole, of
}

// typedFile is what measure calls the rows that it is given to read.
const typedFile = "stdin"

// readRows has measure read rows, in the order of the file and each on the line that it has there, below the
// table's header and with the folder's other tables.
func (f *Folder) readRows(rows []line, each func(*measure.Batch) func(*measure.Kit)) (err error) {
	var text strings.Builder
	text.WriteString(f.table.join(f.table.columns) + "\n")
	at := 2
	for _, l := range rows {
		row := f.table.join(l.cells) + "\n"
		text.WriteString(strings.Repeat("\n", max(0, l.at-at)) + row)
		at = max(at, l.at) + strings.Count(row, "\n")
	}
	b, err := f.batch(text.String())
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.Close()) }()
	kits, err := b.All(context.Background())
	if err != nil {
		return err
	}
	fn := each(b)
	for _, k := range kits {
		for i := range k.Readings {
			k.Readings[i].Place.File = f.file // where they stand, whoever has read them
		}
		fn(k)
	}
	return nil
}

// batch is readings with the folder's other tables.
func (f *Folder) batch(readings string) (*measure.Batch, error) {
	o := measure.Options{Characteristics: fit.Characteristics(), Stdin: strings.NewReader(readings), Tables: f.dir}
	if f.sheets != nil {
		o.Tables, o.Sheets = f.file, f.sheets
	}
	return measure.Open("-", o)
}

// read has measure read a row whose other numbers may be still to come, and gives its complaint about
// one of some columns; the first is the one that was typed into.
func (f *Folder) read(row line, columns ...string) *Refusal {
	missing, _ := f.missing(row)
	filled := map[string]string{}
	for _, c := range missing {
		if c != columns[0] {
			filled[c] = "10"
		} else if f.table.cell(row, c) == "" {
			return nil // a number was taken away
		}
	}
	row = f.table.set(row, filled, false)
	var cells measure.Errors
	if errors.As(f.readRows([]line{row}, func(*measure.Batch) func(*measure.Kit) { return func(*measure.Kit) {} }), &cells) {
		for _, c := range cells {
			if c.File == typedFile && slices.Contains(columns, f.table.columns[f.columnAt(row, c.Column)]) {
				return &Refusal{c.What, c.Expected}
			}
		}
	}
	return nil
}

// columnAt is the column in which a character of a row stands, from 1.
func (f *Folder) columnAt(row line, character int) int {
	at := 1
	for i := range row.cells {
		at += utf8.RuneCountInString(f.table.join(row.cells[i:i+1])) + 1
		if character < at {
			return min(i, len(f.table.columns)-1)
		}
	}
	return len(f.table.columns) - 1
}

// verdict is that of a kit, and as people read it; "" of one that nothing was read of.
func (k *kit) verdict() (verdict, word string) {
	if k.result == nil {
		return "", ""
	}
	return words.Verdict(k.result.Verdict), words.SignedVerdict(k.result.Verdict)
}

// view lays a kit out.
func (f *Folder) view(name string, rows []int, k *kit) (*KitView, error) {
	if k.table == "" && k.result != nil {
		var err error
		if k.table, err = html.Tolerances(k.result); err != nil {
			return nil, err
		}
	}
	verdict, word := k.verdict()
	v := &KitView{Name: name, Verdict: verdict, Word: word, Next: -1, Todo: []Todo{}, Faults: append([]string{}, k.others...), Rows: []RowView{}}
	for n, i := range rows {
		v.Rows = append(v.Rows, f.row(n, i, k))
		if last := v.Rows[n]; v.Next < 0 && !last.Done {
			v.Next = n
		}
	}
	if readings := f.sheets[measure.Tables()[0]]; readings != nil {
		for _, m := range readings.Mistakes {
			v.Faults = append(v.Faults, csvtext.CellName(m.Column, m.Row)+": "+(&Refusal{m.What, m.Expected}).Error())
		}
	}
	if r := k.result; r != nil {
		v.Headline, v.Judged = words.HeadlineInOne(r), r.Verdict != fit.NotMeasured
		for i, text := range words.Next(r) {
			todo := Todo{text, -1}
			if i < len(r.Suspects) {
				todo.Row = v.doubt(&r.Suspects[i], text)
			}
			v.Todo = append(v.Todo, todo)
		}
		v.Tolerances = k.table
	}
	return v, nil
}

// doubt marks the number of a suspect with what is said of it, and gives its row; -1 for none.
func (v *KitView) doubt(s *fit.Suspect, said string) (row int) {
	row = slices.IndexFunc(v.Rows, func(r RowView) bool { return r.Line == s.Reading.Place.Line })
	if row < 0 || len(v.Rows[row].Cells) == 0 {
		return -1
	}
	cells := v.Rows[row].Cells
	at := slices.IndexFunc(cells, func(c CellView) bool {
		x, err := strconv.ParseFloat(strings.Replace(c.Text, ",", ".", 1), 64)
		return err == nil && math.Abs(x-s.Read) < 1e-9 // the same digits
	})
	cells[max(0, at)].Fault = said
	return row
}

// row lays out the row of that number in the file, the nth of its kit.
func (f *Folder) row(n, number int, k *kit) RowView {
	l := f.table.lines[number]
	cell := func(name string) string { return f.table.cell(l, name) }
	feature, _ := measure.ParseFeature(cell("feature"))
	kind, _ := measure.ParseKind(cell("kind"))
	datum, _ := measure.ParseDatum(cell("datum"))
	where, _, _ := strings.Cut(cell("note"), ": fill in ")
	missing, _ := f.missing(l)
	v := RowView{
		Row: number, Line: l.at, Was: l.text, Where: where, Unit: cell("unit"), Done: len(missing) == 0, Cells: []CellView{},
		Label: words.TaskName(datum, feature, cell("mark"), kind, cell("trial")), Place: Place{X: along(feature, cell("mark"), where)},
	}
	v.Place.Y, v.Place.End = across(datum, feature, cell("mark"), where)
	switch datum {
	case measure.DatumEdgeBass:
		v.Place.Edge = "bass"
	case measure.DatumEdgeTreble:
		v.Place.Edge = "treble"
	}
	if v.Trial, _ = strconv.Atoi(cell("trial")); v.Trial < 1 {
		v.Trial = 1
	}
	if v.Unit == "" {
		v.Unit = "mm"
	}
	for _, column := range f.wanted(l) {
		v.Cells = append(v.Cells, CellView{
			Column: column, Label: words.NumberName(column, kind), Text: cell(column), Fault: k.faults[[2]int{n, f.table.column(column)}],
		})
	}
	return v
}
