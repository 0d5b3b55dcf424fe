package words

import (
	_ "embed" // the dictionary
	"math"
	"strings"
	"sync"

	"neckfit/fit"
)

//go:embed dictionary.txt
var dictionary string

// definition is a word of the dictionary with what it is, or with further lines by their headings.
type definition struct {
	group, word, what string
	lines             map[string]string
}

var definitions = sync.OnceValue(func() (list []definition) {
	group := ""
	for line := range strings.Lines(dictionary) {
		line = strings.TrimSuffix(line, "\n")
		heading, text, _ := strings.Cut(line, ": ")
		switch {
		case line == "" || line[0] == '#':
		case line[0] == '[':
			group = strings.Trim(line, "[]")
		case line[0] == '\t':
			list[len(list)-1].lines[heading[1:]] = text
		default:
			list = append(list, definition{group, heading, text, map[string]string{}})
		}
	}
	return list
})

// about is what is known of a characteristic. {v} is its value without the sign.
type about struct {
	what        string    // what it is, after "the"
	formula     string    // how it follows from what was read
	read        string    // what to read for it
	plus, minus string    // what a value of that sign means; minus is "" for sizes, which have none
	side        [2]string // the same for a table, in a word or two: plus, minus; "" where the name says it
}

// abouts has every characteristic.
var abouts = sync.OnceValue(func() []about {
	list := make([]about, len(fit.IDs()))
	for _, d := range definitions() {
		if id, ok := fit.Named(d.word); ok && d.group == characteristicGroup {
			plus, minus, _ := strings.Cut(d.lines["aside"], " / ")
			list[id] = about{d.lines["what"], d.lines["formula"], d.lines["read"], d.lines["positive"], d.lines["negative"], [2]string{plus, minus}}
		}
	}
	return list
})

// aboutOf is empty for a characteristic of which nothing is said.
func aboutOf(id fit.ID) about {
	if all := abouts(); int(id) < len(all) {
		return all[id]
	}
	return about{}
}

// Which says which way a value lies, in a word or two, such as "toward treble"; "" where it has but one
// way, or none.
func Which(c *fit.Characteristic) string {
	v, _ := Rounded(c.Value, c.StdUncertainty)
	side := aboutOf(c.ID).side
	switch {
	case strings.Trim(v, "-0.") == "":
		return ""
	case c.Value < 0:
		return side[1]
	}
	return side[0]
}

// ValueAside is a value as a line in a list has it: "1.92 ± 0.20 mm toward treble".
func ValueAside(c *fit.Characteristic) string {
	side, size := Which(c), *c
	if side == "" {
		return Value(c)
	}
	size.Value = math.Abs(c.Value)
	return Value(&size) + " " + side
}

// Meaning is a value with its uncertainty as a sentence says it: "the bridge lies 1.92 ± 0.20 mm toward
// treble (the thin strings)".
func Meaning(c *fit.Characteristic) string {
	a := aboutOf(c.ID)
	text, size := a.plus, *c
	if c.Value < 0 && a.minus != "" {
		text = a.minus
	}
	size.Value = math.Abs(c.Value)
	v, _ := Rounded(size.Value, c.StdUncertainty)
	if text == "" || a.minus != "" && strings.Trim(v, "0.") == "" { // of nothing there is no side
		return c.ID.String() + " is " + Value(&size)
	}
	return strings.Replace(text, "{v}", Value(&size), 1)
}
