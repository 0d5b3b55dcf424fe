package html

import (
	"cmp"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/remedy"
	"neckfit/report/words"
)

// batch is what is kept of all kits: a line each, and each characteristic's values.
type batch struct {
	kits   int // begun
	Rows   []row
	tally  [fit.Fail + 1]int
	series []*series
	again  []task
	todos  []work // by the works of the recommended plans, in order of first appearance
	unsure []task
}

// row is a kit's line in the list.
type row struct {
	Number               int
	Name, Lot            string
	Verdict, Word, Brief string
	Value                string
	Headline             string
}

// rows are the lines of the list.
type rows []row

// Bodies are the parts of the list's table that a browser lays out one by one, as they come into
// view: to lay a thousand rows out at once would take it most of the time of opening.
func (r rows) Bodies() []rows { return slices.Collect(slices.Chunk(r, listStep)) }

const listStep = 50 // about two screens

// Large tells whether the sections of the rows are packed.
func (r rows) Large() bool { return len(r) > mostWhole }

// series is one characteristic over the batch.
type series struct {
	name, unit   string
	class        string
	lower, upper float64
	sameLimits   bool
	kits         []int // numbers of the kits that have it
	values, u    []float64
	verdicts     []fit.Verdict
	texts        []string
	trend        *lot.Trend // nil where none is to be seen
}

// task is something to do to one kit.
type task struct {
	Number    int
	Kit, Text string
}

func (b *batch) add(r *fit.Result, k *kit) {
	w := row{Number: k.Number, Name: k.Name, Lot: words.Harmless(r.Info.Lot), Verdict: k.Verdict, Word: k.Word, Brief: words.Brief(r), Headline: k.Headline}
	if c := words.Worst(r); c != nil {
		v, u := words.Rounded(c.Value, c.StdUncertainty)
		w.Value = v + " ± " + u + " " + words.Unit(c)
		if r.Verdict == fit.Unsure {
			text := c.ID.String()
			if c.Advice.Kind != fit.NoAdvice {
				text += ": " + words.Advice(c)
			}
			b.unsure = append(b.unsure, task{k.Number, k.Name, text})
		}
	}
	b.Rows = append(b.Rows, w)
	b.tally[r.Verdict]++
	if k.ReadAgain != "" && k.Works != words.ReadGroup {
		b.again = append(b.again, task{k.Number, k.Name, strings.TrimPrefix(k.ReadAgain, "Read again first: ")})
	}
	if k.Works == "" {
		return
	}
	i := slices.IndexFunc(b.todos, func(w work) bool { return w.Title == k.Works })
	if i < 0 {
		i = len(b.todos)
		b.todos = append(b.todos, work{Title: k.Works, About: k.about, Long: true, level: k.level})
	}
	b.todos[i].Tasks = append(b.todos[i].Tasks, task{k.Number, k.Name, k.Remedy.Say})
}

// note adds a kit's value to its characteristic's series.
func (b *batch) note(i int, c *fit.Characteristic, number int) {
	for len(b.series) <= i {
		b.series = append(b.series, nil)
	}
	s := b.series[i]
	if s == nil {
		s = &series{name: c.ID.String(), unit: words.Unit(c), class: c.Class.String(), lower: c.Lower, upper: c.Upper, sameLimits: true}
		b.series[i] = s
	}
	if !c.Measured() {
		return
	}
	if len(s.values) == 0 {
		s.lower, s.upper = c.Lower, c.Upper
	} else if s.lower != c.Lower || s.upper != c.Upper {
		s.sameLimits = false
	}
	v, u := words.Rounded(c.Value, c.StdUncertainty)
	s.kits = append(s.kits, number)
	s.values, s.u = append(s.values, c.Value), append(s.u, c.StdUncertainty)
	s.verdicts, s.texts = append(s.verdicts, c.Verdict), append(s.texts, v+" ± "+u)
}

func (s *series) count(v fit.Verdict) int {
	n := 0
	for _, w := range s.verdicts {
		if w == v {
			n++
		}
	}
	return n
}

// mostListed tasks of a work are listed outright, more when they are asked for.
const mostListed = 12

// Folded tells whether the list of tasks is shown only when it is opened.
func (w work) Folded() bool { return len(w.Tasks) > mostListed }

// page is what the templates of the whole page take.
type page struct {
	shell
	Count      int
	Only       template.HTML
	Tally      []tally
	Todo       []work
	Rows       rows
	Cautions   []string // of a large page
	Charts     []chart
	MoreCharts []chart
	Names      []choice
	Data       pageData
	Note       string
}

type tally struct {
	Verdict, Word string
	N             int
	From, Percent string // of a bar, where this part begins and how long it is
}

// tallies gives each part its place in the bar, and leaves out those of which there is none.
func tallies(list []tally) []tally {
	list = slices.DeleteFunc(list, func(t tally) bool { return t.N == 0 })
	all, before := 0, 0
	for _, t := range list {
		all += t.N
	}
	for i := range list {
		t := &list[i]
		t.From, t.Percent = num(100*float64(before)/float64(all)), num(100*float64(t.N)/float64(all))
		before += t.N
	}
	return list
}

// worstFirst is every verdict in the order in which kits are counted by it.
var worstFirst = []fit.Verdict{fit.Fail, fit.Implausible, fit.Unsure, fit.TooCoarse, fit.Incomplete, fit.Pass, fit.NotJudged, fit.NotMeasured}

// tallyOf counts kits by verdict, the worst first; those that no kit has are left out.
func tallyOf(counts [fit.Fail + 1]int) (list []tally) {
	for _, v := range worstFirst {
		list = append(list, tally{Verdict: words.Verdict(v), Word: words.SignedVerdict(v), N: counts[v]})
	}
	return tallies(list)
}

// threeTallies counts what is bad, in question and good, in the colours of the verdicts.
func threeTallies(said [3]string, counts [3]int) (list []tally) {
	for i, v := range []fit.Verdict{fit.Fail, fit.Unsure, fit.Pass} {
		list = append(list, tally{Verdict: words.Verdict(v), Word: said[i], N: counts[i]})
	}
	return tallies(list)
}

type choice struct {
	Value int
	Name  string
}

// work is a group of things to do.
type work struct {
	Title, About string
	Long         bool // each task is a sentence
	Inert        bool // it is text to a browser with script until it is opened
	level        remedy.Level
	Tasks        []task
}

// pageData is what the script filters and sorts by, a list a characteristic.
type pageData struct {
	Names  []string    `json:"names"`
	Units  []string    `json:"units"`
	Kits   [][]int     `json:"kits"`   // the numbers of the kits that have it; null for all
	Values [][]float64 `json:"values"` // a value each
	Texts  [][]string  `json:"texts"`
	Codes  []string    `json:"codes"` // a letter each: p, u, f or n
}

func (b *batch) page(o Options) *page {
	p := &page{shell: newShell(fmt.Sprintf("Fit of %d kits", len(b.Rows)), o.Batch), Count: len(b.Rows), Rows: b.Rows, Note: words.UncertaintyNote}
	p.Glossary = b.glossary()
	if len(b.Rows) == 1 {
		p.Title = "Fit of " + b.Rows[0].Name
		return p
	}
	p.Tally = tallyOf(b.tally)
	p.Todo = b.todo()
	charts := 0
	for _, s := range b.series {
		if s != nil && len(s.values) >= leastSequence {
			charts++
		}
	}
	rate := (1 - fit.Confidence) / float64(max(1, charts)) // one page of steady deliveries in twenty is accused
	for i, s := range b.series {
		if s == nil || len(s.values) == 0 {
			continue
		}
		p.Names = append(p.Names, choice{i, s.name})
		if s.judged() {
			p.Charts = append(p.Charts, s.chart(rate))
		} else {
			p.MoreCharts = append(p.MoreCharts, s.chart(rate))
		}
	}
	p.Data = b.data()
	if p.Rows.Large() {
		p.Cautions = words.WorkCautions()
		for i := range p.Todo {
			p.Todo[i].Inert = p.Todo[i].Folded()
		}
	}
	return p
}

// glossary explains the characteristics that some kit has, and the terms of kits.
func (b *batch) glossary() []words.Entry {
	names := slices.Clone(words.KitTerms)
	for _, s := range b.series {
		if s != nil {
			names = append(names, s.name)
		}
	}
	return words.Glossary(names...)
}

// todo groups what there is to do: readings first, then the recommended works, the least drastic
// first.
func (b *batch) todo() []work {
	var list []work
	if len(b.again) > 0 {
		list = append(list, work{Title: "read again", About: words.ReadAgainFirst, Long: true, Tasks: b.again})
	}
	if len(b.todos) > 0 {
		plans := slices.Clone(b.todos)
		slices.SortStableFunc(plans, func(x, y work) int {
			return cmp.Or(cmp.Compare(x.level, y.level), cmp.Compare(len(y.Tasks), len(x.Tasks)))
		})
		return append(list, plans...)
	}
	// A batch without plans: by what fails, the commonest first.
	order := slices.Clone(b.series)
	slices.SortStableFunc(order, func(x, y *series) int { return cmp.Compare(y.count(fit.Fail), x.count(fit.Fail)) })
	for _, s := range order {
		w := work{Title: "put right: " + s.name}
		for i, v := range s.verdicts {
			if v == fit.Fail {
				n := s.kits[i]
				w.Tasks = append(w.Tasks, task{n, b.Rows[n-1].Name, s.texts[i] + " " + s.unit})
			}
		}
		if len(w.Tasks) > 0 {
			list = append(list, w)
		}
	}
	if len(b.unsure) > 0 {
		list = append(list, work{Title: "decide by reading better", About: words.TooNearToSay, Long: true, Tasks: b.unsure})
	}
	return list
}

func (b *batch) data() pageData {
	var d pageData
	letters := map[fit.Verdict]string{fit.Pass: "p", fit.Unsure: "u", fit.TooCoarse: "c", fit.Incomplete: "i", fit.Implausible: "m", fit.Fail: "f", fit.NotJudged: "n"}
	for _, s := range b.series {
		codes := ""
		for _, v := range s.verdicts {
			codes += letters[v]
		}
		rounded := make([]float64, len(s.values))
		for i, v := range s.values {
			rounded[i], _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 7, 64), 64) // enough to sort by
		}
		d.Names, d.Units = append(d.Names, s.name), append(d.Units, s.unit)
		kits := s.kits
		if len(kits) == len(b.Rows) {
			kits = nil
		}
		d.Kits, d.Values, d.Texts, d.Codes = append(d.Kits, kits), append(d.Values, rounded), append(d.Texts, s.texts), append(d.Codes, codes)
	}
	return d
}
