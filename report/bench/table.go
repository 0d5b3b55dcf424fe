package bench

import (
	"bytes"
	"slices"
	"strings"
)

// table is a CSV file that is edited a row at a time: every line that is not touched stays as it is, to
// the byte, comments and a byte-order mark among them.
type table struct {
	lines   []line
	columns []string // of the header, in lower case; nil without one
	comma   byte
	returns bool // lines end as some systems end them, with a carriage return before the line feed
	point   byte // the decimal sign that its numbers have
}

// line is one row, or a comment, or nothing.
type line struct {
	text  string   // without its end
	end   string   // "" for a last line that has none
	cells []string // of a row; nil for the header, a comment and a blank line
	half  bool     // some of the row's numbers are still to be read, so that it stands as a comment
	at    int      // where it begins in the file, as a number of a line from 1
}

// halfRead stands before a row that is not yet whole. To whoever reads the table it is a comment.
const halfRead = "# half read: "

// parseTable takes a file apart. A table that is not in UTF-8 gives no columns.
func parseTable(text []byte) *table {
	t := &table{comma: ',', point: '.', returns: bytes.Contains(text, []byte("\r\n"))}
	for len(text) > 0 {
		end := endOfRow(text)
		row := string(bytes.TrimRight(text[:end], "\r\n"))
		ending := string(text[len(row):end])
		text = text[end:]
		bare := strings.TrimSpace(strings.TrimPrefix(row, "\ufeff"))
		switch half, isHalf := strings.CutPrefix(row, halfRead); {
		case isHalf && t.columns != nil:
			t.lines = append(t.lines, line{text: row, end: ending, cells: cut(half, t.comma), half: true})
		case bare == "" || bare[0] == '#' || len(bare) == 5 && strings.EqualFold(bare[:4], "sep="):
			t.lines = append(t.lines, line{text: row, end: ending})
		case t.columns == nil:
			for _, b := range []byte(";\t") { // the delimiter is the commonest, as measure has it
				if strings.Count(row, string(b)) > strings.Count(row, string(t.comma)) {
					t.comma = b
				}
			}
			for _, c := range cut(strings.TrimPrefix(row, "\ufeff"), t.comma) {
				t.columns = append(t.columns, strings.ToLower(strings.TrimSpace(c)))
			}
			t.lines = append(t.lines, line{text: row, end: ending})
		default:
			t.lines = append(t.lines, line{text: row, end: ending, cells: cut(strings.TrimPrefix(row, "\ufeff"), t.comma)})
		}
	}
	t.decimals()
	t.number()
	return t
}

// shown are a row's cells as they stand in a workbook; a comment and the header have one.
func (l line) shown() []string {
	if l.cells == nil {
		return []string{l.text}
	}
	cells := slices.Clone(l.cells)
	if l.half {
		cells[0] = halfRead + cells[0]
	}
	return cells
}

// number says anew where each line begins in the file.
func (t *table) number() {
	at := 1
	for i := range t.lines {
		t.lines[i].at = at
		at += strings.Count(t.lines[i].text+t.lines[i].end, "\n")
	}
}

// endOfRow is where a row ends, past its line feed; one in quotes does not count.
func endOfRow(text []byte) int {
	quoted := false
	for i, b := range text {
		switch {
		case b == '"':
			quoted = !quoted
		case b == '\n' && !quoted:
			return i + 1
		}
	}
	return len(text)
}

// decimals finds the sign of the numbers that are there. In a table cut by commas it is the point.
func (t *table) decimals() {
	if t.comma == ',' {
		return
	}
	for _, l := range t.lines {
		for _, name := range numberColumns {
			cell := t.cell(l, name)
			if i := strings.IndexAny(cell, ".,"); i >= 0 {
				t.point = cell[i]
				return
			}
		}
	}
}

// cut parts a row's cells and takes their quotes off.
func cut(row string, comma byte) []string {
	var cells []string
	for {
		if rest := strings.TrimLeft(row, " "); strings.HasPrefix(rest, `"`) {
			cell, after := unquote(rest[1:])
			cells = append(cells, cell)
			at := strings.IndexByte(after, comma)
			if at < 0 {
				return cells
			}
			row = after[at+1:]
			continue
		}
		cell, after, more := strings.Cut(row, string(comma))
		cells = append(cells, cell)
		if !more {
			return cells
		}
		row = after
	}
}

// unquote reads up to the quote that ends a cell; two stand for one.
func unquote(text string) (cell, after string) {
	for {
		before, rest, found := strings.Cut(text, `"`)
		cell += before
		if !found || !strings.HasPrefix(rest, `"`) {
			return cell, rest
		}
		cell, text = cell+`"`, rest[1:]
	}
}

// join writes cells as a row.
func (t *table) join(cells []string) string {
	quoted := make([]string, len(cells))
	for i, c := range cells {
		if strings.ContainsAny(c, string(t.comma)+"\"\r\n") || i == 0 && strings.HasPrefix(c, "#") || c != strings.TrimSpace(c) {
			c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
		}
		quoted[i] = c
	}
	return strings.Join(quoted, string(t.comma))
}

// bytes is the file.
func (t *table) bytes() []byte {
	var b bytes.Buffer
	for _, l := range t.lines {
		b.WriteString(l.text)
		b.WriteString(l.end)
	}
	return b.Bytes()
}

// add puts a row at the end.
func (t *table) add(change map[string]string) {
	end := "\n"
	if t.returns {
		end = "\r\n"
	}
	if n := len(t.lines); n > 0 && t.lines[n-1].end == "" {
		t.lines[n-1].end = end
	}
	l := t.set(line{cells: make([]string, len(t.columns))}, change, false) // at no line yet
	l.end = end
	t.lines = append(t.lines, l)
}

// column is where a column stands, -1 when the table has none of the name.
func (t *table) column(name string) int { return slices.Index(t.columns, name) }

// cell is a row's cell of a column, "" when there is none.
func (t *table) cell(l line, name string) string {
	if i := t.column(name); i >= 0 && i < len(l.cells) {
		return strings.TrimSpace(l.cells[i])
	}
	return ""
}

// set gives a row with some of its cells changed. Half is for one that is not yet whole.
func (t *table) set(l line, change map[string]string, half bool) line {
	cells := slices.Clone(l.cells)
	for name, text := range change {
		i := t.column(name)
		if i < 0 {
			continue
		}
		for len(cells) <= i {
			cells = append(cells, "")
		}
		cells[i] = text
	}
	text := t.join(cells)
	if half {
		text = halfRead + text
	}
	return line{text: text, end: l.end, cells: cells, half: half, at: l.at}
}
