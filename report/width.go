package report

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// columns is the width that no line of text exceeds, counted in runes.
const columns = 100

// width counts runes.
func width(text string) int { return utf8.RuneCountInString(text) }

// pad fills a text with spaces up to a width.
func pad(text string, to int) string {
	return text + strings.Repeat(" ", max(0, to-width(text)))
}

// padLeft puts the spaces before the text.
func padLeft(text string, to int) string {
	return strings.Repeat(" ", max(0, to-width(text))) + text
}

// clip shortens a text to a width; an ellipsis shows that something is gone.
func clip(text string, to int) string {
	if width(text) <= to {
		return text
	}
	return string([]rune(text)[:to-1]) + "…"
}

// longestName is the width that a kit's name may take in a line.
const longestName = 24

// shortName makes a kit's name fit into a line. A shortened name carries the kit's number in the
// batch, so that two long names that differ only in their middles stay apart.
func shortName(name string, number int) string {
	name = harmless(name)
	if width(name) <= longestName {
		return name
	}
	end := fmt.Sprintf("#%d", number)
	runes := []rune(name)
	const tail = 6
	head := longestName - 1 - tail - width(end)
	return string(runes[:head]) + "…" + string(runes[len(runes)-tail:]) + end
}

// wrap breaks a text at its spaces into lines of at most 100 columns. The first begins with first,
// the others with as many spaces. A word too long for a line is broken where the line ends.
func wrap(first, text string) []string {
	room := columns - width(first)
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && width(line)+1+width(word) <= room {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for width(word) > room {
			runes := []rune(word)
			lines, word = append(lines, string(runes[:room])), string(runes[room:])
		}
		line = word
	}
	lines = append(lines, line)
	for i := range lines {
		lines[i] = strings.TrimRight(first+lines[i], " ")
		if i == 0 {
			first = strings.Repeat(" ", width(first))
		}
	}
	return lines
}
