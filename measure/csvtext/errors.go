// Package csvtext reads tables as spreadsheets and people write them: their encodings, their
// delimiters, their quotes, numbers and units, and it says of whatever it cannot take where it stands
// and what was expected there. It knows no necks.
package csvtext

import (
	"fmt"
	"slices"
	"strings"
)

// Place is where something was written: a file (as the user named it) and a line, from 1.
type Place struct {
	File string
	Line int
}

// CellError is something in a table that cannot be taken, with its place and the cure.
type CellError struct {
	Place
	Column         int    // where the cell starts in its line, in characters from 1
	Cell           string // as a spreadsheet names it, such as G2; blank for what is no cell
	What, Expected string // What names the column and quotes the cell
	fault          string // What without the text that is quoted
}

// Error writes file:line:column: what, expected so and so.
func (e *CellError) Error() string {
	if e.Place == (Place{}) {
		return e.What
	}
	text := fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Column, e.What)
	if e.Expected != "" {
		text += ", expected " + e.Expected
	}
	return text
}

// Errors lists what is wrong with a batch: by file in the order they were read (the side tables,
// then the readings), then by line and column. Of more than a thousand the first thousand found are
// kept, and a last entry without a place says how many more there were.
type Errors []*CellError

// Error has a line for each.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, c := range e {
		lines[i] = c.Error()
	}
	return strings.Join(lines, "\n")
}

// Grouped has a line for each fault of each file, with the first of the cells that have it and how many
// there are: a wrong word in forty rows is one mistake, made forty times.
func (e Errors) Grouped() []string {
	type group struct {
		first *CellError
		cells []string
	}
	var groups []*group
	by := map[[3]string]*group{}
	for _, c := range e {
		key := [3]string{c.File, c.fault, c.Expected}
		g := by[key]
		if g == nil || c.fault == "" {
			g = &group{first: c}
			groups, by[key] = append(groups, g), g
		}
		if c.Cell != "" {
			g.cells = append(g.cells, c.Cell)
		}
	}
	lines := make([]string, len(groups))
	for i, g := range groups {
		const shown = 3
		lines[i] = g.first.Error()
		switch n := len(g.cells); {
		case n == 1:
			lines[i] += " (cell " + g.cells[0] + ")"
		case n > shown:
			lines[i] += fmt.Sprintf(" (%d cells: %s and %d more)", n, strings.Join(g.cells[:shown], ", "), n-shown)
		case n > 1:
			lines[i] += fmt.Sprintf(" (%d cells: %s)", n, strings.Join(g.cells, ", "))
		}
	}
	return lines
}

// maxErrors bounds the memory that a hopeless file can take; nobody reads further.
const maxErrors = 1000

// Collector gathers the errors of the files of a batch. The zero Collector is ready to use.
type Collector struct {
	list  Errors
	files []string // in the order in which they were begun
	more  int
	notes []Notice
	once  map[string]*mistake // those that are told once for all the rows that make them
}

// mistake is one that a word makes wherever it stands.
type mistake struct {
	first *CellError
	rows  int
	line  int // of the last row
}

// Add takes one more error.
func (c *Collector) Add(e *CellError) {
	if len(c.list) == maxErrors {
		c.more++
		return
	}
	c.list = append(c.list, e)
}

// addOnce adds the first error of a key, and counts the rows of later ones.
func (c *Collector) addOnce(key string, line int, first func() *CellError) {
	m, ok := c.once[key]
	if !ok && len(c.once) < maxErrors {
		m = &mistake{first: first()}
		if c.once == nil {
			c.once = map[string]*mistake{}
		}
		c.once[key] = m
		c.Add(m.first)
	}
	switch {
	case m == nil:
		c.more++
	case m.line != line:
		m.rows++
		m.line = line
	}
}

// Note takes a notice.
func (c *Collector) Note(n Notice) { c.notes = append(c.notes, n) }

// Notices are those that were noted, in order.
func (c *Collector) Notices() []Notice { return c.notes }

// Empty tells whether nothing is wrong so far.
func (c *Collector) Empty() bool { return len(c.list) == 0 }

// Clone lets one reading of a file add to what is there without keeping its own.
func (c *Collector) Clone() *Collector {
	return &Collector{list: slices.Clone(c.list), files: slices.Clone(c.files), more: c.more, notes: slices.Clone(c.notes)}
}

// Err is nil or a sorted Errors.
func (c *Collector) Err() error {
	if c.Empty() {
		return nil
	}
	sorted := slices.Clone(c.list)
	for _, m := range c.once {
		if i := slices.Index(sorted, m.first); i >= 0 && m.rows > 1 {
			counted := *m.first
			counted.What += fmt.Sprintf(" (%d rows have it)", m.rows)
			sorted[i] = &counted
		}
	}
	slices.SortStableFunc(sorted, func(a, b *CellError) int {
		if a.File != b.File {
			return slices.Index(c.files, a.File) - slices.Index(c.files, b.File)
		}
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return a.Column - b.Column
	})
	if c.more > 0 {
		sorted = append(sorted, &CellError{What: fmt.Sprintf("and %d more errors that are not listed", c.more)})
	}
	return sorted
}

// Notice is something in a table that is no mistake, but that whoever wrote it may not have meant.
type Notice struct {
	Place
	What string
}

// String writes file:line: what.
func (n Notice) String() string { return fmt.Sprintf("%s:%d: %s", n.File, n.Line, n.What) }

// Fault is what is wrong with a cell before anyone asks where it stands. What is to follow the
// quoted cell.
type Fault struct {
	What, Expected string
}
