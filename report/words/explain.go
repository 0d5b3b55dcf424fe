package words

import (
	_ "embed" // the dictionary
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/measure/csvtext"
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

// Entry explains a word of the tables and the reports.
type Entry struct {
	Word  string
	Group string // what sort of word it is, such as "characteristic"
	What  string // what it is, a sentence or more
	Facts []Fact // what else is to be known

	Sketch string // lines that show where it is; "" for none
}

// Fact is one thing to be known of a word, under its heading.
type Fact struct{ Heading, Text string }

// The groups of words, as the dictionary has them.
const (
	characteristicGroup = "characteristic"
	verdictGroup        = "verdict"
	termGroup           = "term"
	featureGroup        = "feature"
	workGroup           = "work"
	lotGroup            = "lot and gauge"
)

// Entries are all explanations, group by group.
func Entries() []Entry {
	var list []Entry
	for _, d := range definitions() {
		e := Entry{Word: d.word, Group: d.group, What: d.what}
		if id, ok := fit.Named(d.word); ok && d.group == characteristicGroup {
			e = characteristicEntry(id)
		} else if f, ok := measure.ParseFeature(d.word); ok && d.group == featureGroup {
			e.Facts = featureFacts(f)
		} else if d.word == "cautions" {
			e.What = strings.Join(WorkCautions(), " ")
		}
		list = append(list, e)
	}
	return list
}

// Explain finds what there is to say of a word: all entries of just that word, in any case and with
// spaces or hyphens; else none, and the words that were perhaps meant.
func Explain(word string) (found []Entry, near []string) {
	plain := strings.NewReplacer("_", "-", " ", "-").Replace(strings.TrimSpace(word))
	var known []string
	for _, e := range Entries() {
		if e.Word == plain || strings.EqualFold(e.Word, plain) && e.Word != "u" && e.Word != "U" { // those two differ by their case alone
			if e.Group == characteristicGroup || e.Group == termGroup {
				e.Sketch = sketches[e.Word]
			}
			found = append(found, e)
		}
		known = append(known, e.Word)
	}
	if len(found) > 0 || plain == "" {
		return found, nil
	}
	for _, k := range known {
		if strings.Contains(strings.ToLower(k), strings.ToLower(plain)) && !slices.Contains(near, k) {
			near = append(near, k)
		}
	}
	if n := csvtext.Nearest(plain, known); n != "" && !slices.Contains(near, n) {
		near = append([]string{n}, near...)
	}
	const most = 8
	return nil, near[:min(most, len(near))]
}

func characteristicEntry(id fit.ID) Entry {
	a := aboutOf(id)
	e := Entry{Word: id.String(), Group: characteristicGroup, What: sentenceOf(a.what)}
	add := func(heading, text string) {
		if text != "" {
			e.Facts = append(e.Facts, Fact{heading, text})
		}
	}
	unsigned := func(text string) string { return strings.Replace(text, "{v}", "so much", 1) }
	if a.minus != "" {
		add("positive", sentenceOf(unsigned(a.plus)))
		add("negative", sentenceOf(unsigned(a.minus)))
	}
	add("formula", sentenceOf(a.formula))
	add("to read", sentenceOf(a.read))
	add("limits", limitsOf(id))
	return e
}

// sentenceOf makes a sentence of a text without its capital and its stop.
func sentenceOf(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:] + "."
}

// limitsBeside is what else there is to say of where limits come from.
var limitsBeside = map[fit.ID]string{
	fit.BridgeHoleMismatch: "; where hole and screw are known, half of what the hole is wider than the screw",
	fit.NeckScrewMismatch:  "; where hole and screw are known, half of what the hole is wider than the screw",
	fit.BridgeSkew:         "; it is 0.8 mm over 57 mm of outer strings, what a rule can decide",
}

// limitsOf says which limits hold where nobody sets any.
func limitsOf(id fit.ID) string {
	for _, l := range fit.BuiltInLimits() {
		if l.Characteristic == id.String() {
			c := fit.Characteristic{ID: id, Lower: l.Lower, Upper: l.Upper, Dimension: fit.Characteristics()[id.String()]}
			return fmt.Sprintf("%s, %s (%s%s). limits.csv sets your own.", Allowed(&c), l.Class, CommonPractice, limitsBeside[id])
		}
	}
	switch id { // limits that the kit itself sets
	case fit.ScaleLength:
		return "1 mm either way of the scale in kits.csv, critical (" + CommonPractice + "). limits.csv sets your own."
	case fit.IntonationError:
		return "at most 5 cents of the string allowed, major (" + CommonPractice + "). limits.csv sets your own."
	}
	return "None, unless limits.csv sets them."
}

// markWords say what stands in the column mark.
var markWords = map[measure.MarkSort]string{
	measure.MarkHole:   "the hole's number, from 1",
	measure.MarkString: "the string's number, from 1, the thinnest",
	measure.MarkFret:   "the fret's number, from 1 at the nut",
	measure.MarkSide:   "bass or treble",
	measure.MarkName:   "a name of your own",
	measure.MarkNote:   "a name of your own, or nothing",
}

// featureFacts tell what may be read of a feature.
func featureFacts(f measure.Feature) []Fact {
	var from []string
	for _, d := range f.Datums() {
		from = append(from, d.String())
	}
	facts := []Fact{{"part", f.Part().String()}, {"datum", strings.Join(from, ", ")}}
	if mark := markWords[f.Marks()]; mark != "" {
		facts = append(facts, Fact{"mark", mark})
	}
	var list []string
	for _, k := range f.Kinds() {
		station, offset, size, _ := f.Needs(k)
		var cells []string
		for i, need := range []measure.Need{station, offset, size} {
			if name := []string{"station", "offset", "size"}[i]; need == measure.Required {
				cells = append(cells, name)
			} else if need == measure.Optional {
				cells = append(cells, name+" if you like")
			}
		}
		list = append(list, k.String()+" ("+strings.Join(cells, " and ")+")")
	}
	return append(facts, Fact{"kinds", strings.Join(list, ", ")})
}

// ExplainNote stands above the list of the words that are explained.
const ExplainNote = "neckfit explain WORD tells what a word of the tables and reports means, how a value follows, what to read for it and whose its limits are."

// What is said to somebody who does not know yet what to do.
const (
	Greeting = "Neckfit tells whether a bolt-on neck fits its body and bridge, which way it is off, and what to do about it, " +
		"from what a calliper and a rule read."
	FurtherCommands = "neckfit help lists all commands, neckfit explain what their words mean."
)

// FirstCommands are what to begin with, each with what it does.
var FirstCommands = [][2]string{
	{"start my-kit", "makes a folder to fill in"},
	{"check my-kit", "says what fits, what does not, and which way"},
	{"remedy my-kit", "sets what can be done about it side by side"},
}

// The terms that pages use without saying what they are.
var (
	KitTerms   = []string{"pass", "fail", "unsure", "too-coarse", "incomplete", "implausible", "critical", "major", "minor", "U", "k", "inside", "limits", "redundant", "suspect", "swing", "odds", "reversible", "wood-left"}
	LotTerms   = []string{"pass", "fail", "unsure", "incomplete", "critical", "major", "minor", "AQL", "sample", "accept", "operating-curve", "severity", "yield", "Cp", "Cpk", "Pp", "Ppk", "tolerance-interval", "run-rule", "U"}
	GaugeTerms = []string{"gauge", "resolution", "max-error", "repeatability", "reproducibility", "gauge-study", "adequate", "categories", "interaction"}
)

// Glossary is the entries of words that a page uses, in the order of Entries. Of a word with several meanings it is
// the one of characteristics, verdicts, terms, lots and gauges.
func Glossary(words ...string) (list []Entry) {
	groups := []string{characteristicGroup, verdictGroup, termGroup, lotGroup}
	for _, e := range Entries() {
		if slices.Contains(groups, e.Group) && slices.Contains(words, e.Word) {
			list = append(list, e)
		}
	}
	return list
}

// The sketches show where things are, none to scale. A line has at most Narrowest columns less the indent of
// what stands below a word.
const (
	planSketch = `
 station ------------------------------------------> tail
      nut      fret 12    mouth     end   bridge
 o     +----------+---------+========+     o....  bass
 f     |          |         |        |     o....
 f - - | - - - - -|- - - - -| - heel | - - x - -  centre
 s     |          |         |        |     o....  line
 e     +----------+---------+========+     o....  treble
 t                          : pocket :
`
	pocketSketch = `
   mouth                     end
 ----+------------------------+    bass wall
     |   gap                  |
 ----+----------------------+ |
       heel                 | |<-- end gap
 ----+----------------------+ |
     |   gap                  |<-- corner: a radius
 ----+------------------------+    treble wall
`
	saddleSketch = `
 headstock           tail
    |<---- travel ---->|
    +--------o---------+     o  where the string wants
  front             back        its saddle
    |<------>|                  reserve-front
             |<------->|        reserve-back
 nut ------->|                  scale + compensation
`
	heightSketch = `
      fret 12: action
 nut_____________|________________________o  saddle
  |==========================  <- fret plane
  |   neck          |  heel  |
  +-----------------+~~~~~~~~|---------------- body's top:
                    | floor  |                 height 0
                    +--------+  pocket depth
`
)

// sketches are of characteristics by their names, and of terms.
var sketches = func() map[string]string {
	of := map[string]string{}
	for sketch, ids := range map[string][]fit.ID{
		planSketch: {fit.CentreLineError, fit.BridgeSkew, fit.HeelSkew, fit.HeelOffset, fit.BridgeOffPocket, fit.BridgeOffTurn, fit.PocketOffCentre, fit.BridgeOffCentre,
			fit.MarginBass, fit.MarginTreble, fit.MarginBalance, fit.ScaleLength},
		pocketSketch: {fit.PocketGapMouth, fit.PocketGapEnd, fit.EndGap, fit.HeelEndSquareness, fit.PocketEndSquareness, fit.CornerReserve},
		saddleSketch: {fit.SaddleReserveFront, fit.SaddleReserveBack, fit.IntonationError},
		heightSketch: {fit.FretPlaneHeight, fit.SaddleHeightReserveLow, fit.SaddleHeightReserveHigh, fit.Pitch},
	} {
		for _, id := range ids {
			of[id.String()] = sketch
		}
	}
	for sketch, terms := range map[string][]string{
		planSketch:   {"station", "offset", "centre-line", "scale", "heel"},
		pocketSketch: {"play", "swing", "seat", "mouth", "end"},
		saddleSketch: {"compensation"},
		heightSketch: {"height", "action"},
	} {
		for _, term := range terms {
			of[term] = sketch
		}
	}
	return of
}()
