package words

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Columns is the width that no line of text exceeds, counted in runes.
const Columns = 100

// Width counts runes.
func Width(text string) int { return utf8.RuneCountInString(text) }

// Pad fills a text with spaces up to a width.
func Pad(text string, to int) string {
	return text + strings.Repeat(" ", max(0, to-Width(text)))
}

// PadLeft puts the spaces before the text.
func PadLeft(text string, to int) string {
	return strings.Repeat(" ", max(0, to-Width(text))) + text
}

// Clip shortens a text to a width; an ellipsis shows that something is gone.
func Clip(text string, to int) string {
	if Width(text) <= to {
		return text
	}
	return string([]rune(text)[:to-1]) + "…"
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

// Wrap breaks a text at its spaces into lines of at most 100 Columns. The first begins with first,
// the others with as many spaces. A word too long for a line is broken where the line ends.
func Wrap(first, text string) []string {
	room := Columns - Width(first)
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
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

// Grid lays out rows of cells in Columns as wide as they must be, two spaces apart. Columns whose
// letter in align is r are set to the right. Lines are no longer than 100 columns: the last cell of
// a row is wrapped under itself.
func Grid(align string, rows [][]string) []string {
	wide := make([]int, len(align))
	for _, r := range rows {
		for i, cell := range r {
			wide[i] = max(wide[i], Width(cell))
		}
	}
	var lines []string
	for _, r := range rows {
		first := ""
		for i, cell := range r[:len(r)-1] {
			if align[i] == 'r' {
				cell = PadLeft(cell, wide[i])
			}
			first += Pad(cell, wide[i]) + "  "
		}
		last := r[len(r)-1]
		if align[len(r)-1] == 'r' {
			last = PadLeft(last, wide[len(r)-1])
			lines = append(lines, strings.TrimRight(Clip(first+last, Columns), " "))
			continue
		}
		lines = append(lines, Wrap(first, last)...)
	}
	return lines
}

// Indent sets lines in by two columns.
func Indent(lines []string) []string {
	for i, l := range lines {
		lines[i] = strings.TrimRight("  "+l, " ")
	}
	return lines
}

// Harmless makes a text of the user's one line that does nothing to a terminal: spaces of all kinds
// become a plain one, and what does not print, such as an escape or a turn of the writing
// direction, is written out as its code point.
func Harmless(text string) string {
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
