package report

import (
	"io"
	"strings"

	"neckfit/fit/pair"
	"neckfit/report/words"
)

// Pair writes a match of necks and bodies in a format that Formats lists: text, a table of one line
// a pair and a left-over part, or JSON Lines with one object each and one for the whole.
func Pair(format string, w io.Writer, m *pair.Match, o Options) error {
	for i := range m.Pairs {
		if err := Check(m.Pairs[i].Result); err != nil {
			return err
		}
	}
	switch format {
	case "text":
		t := newText(o)
		t.pairs(m)
		return t.write(w)
	case "csv":
		return pairCSV(w, m)
	case "jsonl":
		return pairJSONL(w, m)
	}
	return unknown(format)
}

// pairs says first how many pairs need nothing, then what the match saves, then a line a pair.
func (t *text) pairs(m *pair.Match) {
	t.add("", words.PairHeadline(m))
	t.add("", words.PairSaving(m))
	t.opened()
	rows := [][]string{{"neck", "body", "verdict", "minutes", "what to do"}}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		rows = append(rows, []string{
			words.ShortName(p.Neck, i+1), words.ShortName(p.Body, i+1), t.verdict(p.Result.Verdict), words.Fixed(p.Price.Minutes, 0), words.PairAdvice(p),
		})
	}
	if len(m.Pairs) > 0 {
		t.section("")
		t.table(0, "lllrl", rows)
	}
	t.lone("Necks left over:", m.LoneNecks)
	t.lone("Bodies left over:", m.LoneBodies)
	if len(m.Pairs) == 0 {
		return
	}
	t.section("")
	t.add("", words.CommonBridge(m))
	t.add("", words.PairNote)
	if m.Work > 0 {
		t.cautions()
	}
}

// lone lists parts that are left over, those that are one too many together.
func (t *text) lone(heading string, parts []pair.Lone) {
	var items, spare []string
	for i, l := range parts {
		if name := words.ShortName(l.Name, i+1); len(l.Why) == 0 {
			spare = append(spare, name)
		} else {
			items = append(items, name+": "+words.WhyLone(l))
		}
	}
	if len(spare) > 0 {
		items = append(items, words.WhyLone(pair.Lone{})+": "+strings.Join(spare, ", "))
	}
	t.list(heading, items)
}

func pairCSV(w io.Writer, m *pair.Match) error {
	out := newRecord("neck", "body", "verdict", "minutes", "actions", "worst", "remedy", "left_over_because")
	for i := range m.Pairs {
		p := &m.Pairs[i]
		out.text(p.Neck)
		out.text(p.Body)
		out.words(words.Verdict(p.Result.Verdict))
		out.number(p.Price.Minutes)
		out.words(words.Actions(p.Price.Actions))
		if c := words.Worst(p.Result); c != nil {
			out.words(c.ID.String())
		} else {
			out.blank(1)
		}
		if p.Plan != nil {
			out.words(words.Plan(p.Plan))
		} else {
			out.blank(1)
		}
		out.blank(1)
		out.end()
	}
	for i, l := range append(m.LoneNecks[:len(m.LoneNecks):len(m.LoneNecks)], m.LoneBodies...) {
		neck, body := l.Name, ""
		if i >= len(m.LoneNecks) {
			neck, body = "", l.Name
		}
		out.text(neck)
		out.text(body)
		out.blank(5)
		out.text(words.WhyLone(l))
		out.end()
	}
	return out.write(w)
}

type jsonPair struct {
	Neck            string               `json:"neck"`
	Body            string               `json:"body"`
	Verdict         string               `json:"verdict"`
	Minutes         float64              `json:"minutes"`
	Actions         string               `json:"actions"`
	Remedy          string               `json:"remedy,omitempty"`
	RemedyMinutes   *float64             `json:"remedy_minutes,omitempty"`
	RemedyP         *float64             `json:"remedy_p,omitempty"`
	Characteristics []jsonCharacteristic `json:"characteristics"`
	Warnings        []string             `json:"warnings"`
}

type jsonLone struct {
	Neck string `json:"neck,omitempty"`
	Body string `json:"body,omitempty"`
	Why  string `json:"left_over_because"`
}

type jsonMatch struct {
	Necks            int     `json:"necks"`
	Bodies           int     `json:"bodies"`
	Bridge           string  `json:"common_bridge,omitempty"`
	Pairs            int     `json:"pairs"`
	Ready            int     `json:"ready"`
	Work             int     `json:"work"`
	Doubt            int     `json:"doubt"`
	Minutes          float64 `json:"minutes"`
	RandomMinutes    float64 `json:"random_minutes"`
	RandomImpossible float64 `json:"random_impossible"`
}

// pairJSONL writes the object of the whole first.
func pairJSONL(w io.Writer, m *pair.Match) error {
	objects := []any{jsonMatch{
		m.Necks, m.Bodies, m.Bridge, len(m.Pairs), m.Ready, m.Work, m.Doubt, m.Minutes, m.Random.Minutes, m.Random.Impossible,
	}}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		j := &jsonPair{
			Neck: p.Neck, Body: p.Body, Verdict: words.Verdict(p.Result.Verdict), Minutes: p.Price.Minutes,
			Actions: words.Actions(p.Price.Actions), Characteristics: jsonCharacteristics(p.Result), Warnings: words.Warnings(p.Result),
		}
		if p.Plan != nil {
			j.Remedy, j.RemedyMinutes, j.RemedyP = words.Plan(p.Plan), &p.Plan.Minutes, &p.Plan.P
		}
		objects = append(objects, j)
	}
	for _, l := range m.LoneNecks {
		objects = append(objects, jsonLone{Neck: l.Name, Why: words.WhyLone(l)})
	}
	for _, l := range m.LoneBodies {
		objects = append(objects, jsonLone{Body: l.Name, Why: words.WhyLone(l)})
	}
	return writeJSON(w, objects...)
}
