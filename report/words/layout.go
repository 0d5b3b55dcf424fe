package words

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Columns is the width of text that goes to no terminal; Narrowest and Widest are what a line is at
// least and at most laid out for, counted in runes.
const (
	Columns   = 100
	Narrowest = 60
	Widest    = 120
)

// colours are the escapes by which a terminal is told the colour of what follows.
var colours = regexp.MustCompile("\x1b\\[[0-9;]*m")

// Width counts the runes that are seen.
func Width(text string) int {
	if strings.Contains(text, "\x1b") {
		text = colours.ReplaceAllString(text, "")
	}
	return utf8.RuneCountInString(text)
}

// Pad fills a text with spaces up to a width.
func Pad(text string, to int) string {
	return text + strings.Repeat(" ", max(0, to-Width(text)))
}

// PadLeft puts the spaces before the text.
func PadLeft(text string, to int) string {
	return strings.Repeat(" ", max(0, to-Width(text))) + text
}

// LongestName is the width that a kit's name may take in a line.
const LongestName = 24

// ShortName makes a kit's name fit into a line. A shortened name carries the kit's number in the
// batch, so that two long names that differ only in their middles stay apart.
func ShortName(name string, number int) string {
	name = Harmless(name)
	if Width(name) <= LongestName {
		return name
	}
	end := fmt.Sprintf("#%d", number)
	runes := []rune(name)
	const tail = 6
	head := LongestName - 1 - tail - Width(end)
	return string(runes[:head]) + "…" + string(runes[len(runes)-tail:]) + end
}

// Wrap breaks a text at its spaces into lines of so many columns at most. The first begins with
// first, the others with as many spaces. A word too long for a line is broken where the line ends; a percentage does
// not part from its sign.
func Wrap(columns int, first, text string) []string {
	room := columns - Width(first)
	var lines []string
	line := ""
	words := strings.Fields(text)
	for i := 0; i < len(words); i++ {
		word := words[i]
		if i+1 < len(words) && words[i+1][0] == '%' {
			i++
			word += " " + words[i]
		}
		if line != "" && Width(line)+1+Width(word) <= room {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for Width(word) > room {
			runes := []rune(word)
			lines, word = append(lines, string(runes[:room])), string(runes[room:])
		}
		line = word
	}
	lines = append(lines, line)
	for i := range lines {
		lines[i] = strings.TrimRight(first+lines[i], " ")
		if i == 0 {
			first = strings.Repeat(" ", Width(first))
		}
	}
	return lines
}

// TableWidth is how many columns a table of those rows takes where nothing is wrapped.
func TableWidth(rows [][]string) int {
	width := 0
	for _, w := range widths(rows) {
		width += w + len("  ")
	}
	return width - len("  ")
}

// widths are those of the columns; a row of one cell has none.
func widths(rows [][]string) []int {
	wide := make([]int, len(rows[0]))
	for _, row := range rows {
		if len(row) == 1 {
			continue
		}
		for i, cell := range row {
			wide[i] = max(wide[i], Width(cell))
		}
	}
	return wide
}

// Table lays out rows of cells, of which the first row heads the columns, in lines of so many columns
// at most. Each column is as wide as it must be and two spaces from the next; one whose letter in
// align is r is set to the right. The last cell of a row is wrapped under itself. A row of one cell
// is a heading within the table. Where there is too little room for all that, a row becomes its first
// cell with the others below it, each after the heading of its column.
func Table(columns int, align string, rows [][]string) []string {
	wide, end := widths(rows), len(align)-1
	before := 0
	for _, w := range wide[:end] {
		before += w + len("  ")
	}
	const enough = 24 // to wrap a text in
	if before+wide[end] > columns && (align[end] == 'r' || before+enough > columns) {
		return entries(columns, rows)
	}
	var lines []string
	for _, row := range rows {
		first, last := "", len(row)-1
		for i, cell := range row[:last] {
			if align[i] == 'r' {
				cell = PadLeft(cell, wide[i])
			}
			first += Pad(cell, wide[i]) + "  "
		}
		cell := row[last]
		if align[last] == 'r' {
			lines = append(lines, first+PadLeft(cell, wide[last]))
		} else {
			lines = append(lines, Wrap(columns, first, cell)...)
		}
	}
	return lines
}

// entries are the rows of a table one below the other.
func entries(columns int, rows [][]string) (lines []string) {
	head := rows[0]
	for _, row := range rows[1:] {
		lines = append(lines, Wrap(columns, "", row[0])...)
		var list []string
		for i, cell := range row[1:] {
			if cell != "" && cell != "-" {
				list = append(list, strings.TrimSpace(head[i+1]+" "+cell))
			}
		}
		if len(list) > 0 {
			lines = append(lines, Wrap(columns, "    ", strings.Join(list, "; "))...)
		}
	}
	return lines
}

// Harmless makes a text of the user's one line that does nothing to a terminal: spaces of all kinds
// become a plain one, and what does not print, such as an escape or a turn of the writing
// direction, is written out as its code point.
func Harmless(text string) string {
	odd := func(c rune) bool { return c < ' ' || c > '~' }
	if !strings.ContainsFunc(text, odd) {
		return text
	}
	var b strings.Builder
	for _, c := range text {
		switch {
		case unicode.IsPrint(c):
			b.WriteRune(c)
		case unicode.IsSpace(c):
			b.WriteByte(' ')
		default:
			fmt.Fprintf(&b, "<U+%04X>", c)
		}
	}
	return b.String()
}

// Groups are lists by key, the keys in order of first appearance. The zero Groups is ready to use.
type Groups[K comparable, V comparable] struct {
	Keys []K
	Of   map[K][]V
}

// Add puts a value on a key's list, once.
func (g *Groups[K, V]) Add(key K, value V) {
	if g.Of == nil {
		g.Of = map[K][]V{}
	}
	list, there := g.Of[key]
	if !there {
		g.Keys = append(g.Keys, key)
	}
	if !slices.Contains(list, value) {
		g.Of[key] = append(list, value)
	}
}

// FirstNames lists the first few names.
func FirstNames(names []string) string {
	const most = 12
	shown := make([]string, 0, most)
	for i, n := range names[:min(most, len(names))] {
		shown = append(shown, ShortName(n, i+1))
	}
	text := strings.Join(shown, ", ")
	if more := len(names) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// AllNames lists names without leaving any out: somebody is to fetch these kits.
func AllNames(names []string) string {
	shown := make([]string, len(names))
	for i, n := range names {
		shown[i] = Harmless(n)
	}
	return strings.Join(shown, ", ")
}
