package report

import (
	"io"
	"slices"
	"strings"

	"neckfit/fit/pair"
	"neckfit/report/words"
)

// Pair writes a match of necks and bodies in a format that Formats lists: text, a table of one line
// a pair and a left-over part, or JSON Lines with one object each and one for the whole. Own are the names of the
// pairs that the builder wants, neck and body.
func Pair(format string, w io.Writer, m *pair.Match, own [][2]string, o Options) error {
	for i := range m.Pairs {
		if err := Check(m.Pairs[i].Result); err != nil {
			return err
		}
	}
	return write(format, w, match{m, own}, o)
}

type match struct {
	*pair.Match
	wanted [][2]string
}

// toText says first how many pairs need nothing, then what the match saves, then a line a pair.
func (of match) toText(t *text) {
	m := of.Match
	t.add("", words.PairHeadline(m))
	t.add("", words.PairSaving(m))
	t.add("", words.OwnPairs(m, of.wanted))
	t.opened()
	rows := [][]string{{"neck", "body", "verdict", "minutes", "swap", "what to do"}}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		rows = append(rows, []string{
			words.ShortName(p.Neck, i+1), words.ShortName(p.Body, i+1), t.verdict(p.Result.Verdict), words.Fixed(p.Price.Minutes, 0),
			words.SwapWords(p, func(name string) string { return words.ShortName(name, i+1) }), words.PairAdvice(p),
		})
	}
	if len(m.Pairs) > 0 {
		t.section("")
		t.table(0, "lllrrl", rows)
	}
	t.list(words.ReadAgainHeading, words.PairReadAgain(m))
	t.lone("Necks left over:", m.LoneNecks, true)
	t.lone("Bodies left over:", m.LoneBodies, false)
	if len(m.Pairs) == 0 {
		return
	}
	t.section("")
	t.add("", words.CommonBridge(m))
	t.add("", words.PairNote)
	t.add("", words.AssumedByName(words.PairAssumed(m)))
	if m.Work > 0 {
		t.cautions()
	}
}

// lone lists parts that are left over with what would suit them; many that are one too many together, by name.
func (t *text) lone(heading string, parts []pair.Lone, neck bool) {
	const many = 12
	var items, spare []string
	for i := range parts {
		l := &parts[i]
		name, suits := words.ShortName(l.Name, i+1), words.Suits(l, neck)
		switch {
		case len(l.Why) == 0 && (suits == "" || len(parts) > many):
			spare = append(spare, name)
		case suits == "":
			items = append(items, name+": "+words.WhyLone(*l))
		default:
			items = append(items, name+": "+words.WhyLone(*l)+"; it "+suits)
		}
	}
	if len(spare) > 0 {
		items = append(items, words.WhyLone(pair.Lone{})+": "+strings.Join(spare, ", "))
	}
	t.list(heading, items)
}

func (of match) toCSV(out *record) {
	m := of.Match
	out.row("neck", "body", "verdict", "minutes", "actions", "worst", "remedy", "left_over_because", "swap_neck", "swap_body", "swap_minutes", "wants", "assumed_gauges", "read_again")
	for i := range m.Pairs {
		p := &m.Pairs[i]
		worst, plan, swap := "", "", []any{nil, nil, nil}
		if c := words.Worst(p.Result); c != nil {
			worst = c.ID.String()
		}
		if p.Plan != nil {
			plan = words.Plan(p.Plan)
		}
		if p.Swap != nil {
			swap = []any{p.Swap.Neck, p.Swap.Body, p.Swap.More}
		}
		cells := []any{p.Neck, p.Body, words.Verdict(p.Result.Verdict), p.Price.Minutes, words.Actions(p.Price.Actions), worst, plan, nil}
		out.row(append(append(cells, swap...), nil, strings.Join(words.WithAssumed(nil, p.Result.Gauges), "; "), words.Accused(p.Result))...)
	}
	for i, l := range slices.Concat(m.LoneNecks, m.LoneBodies) {
		neck, body := l.Name, ""
		if i >= len(m.LoneNecks) {
			neck, body = "", l.Name
		}
		out.row(neck, body, nil, nil, nil, nil, nil, words.WhyLone(l), nil, nil, nil, words.Suits(&l, i < len(m.LoneNecks)), nil, words.Accused(&l.Alone))
	}
}

type jsonPair struct {
	Neck            string               `json:"neck"`
	Body            string               `json:"body"`
	Verdict         string               `json:"verdict"`
	Minutes         float64              `json:"minutes"`
	Actions         string               `json:"actions"`
	Swap            *jsonSwap            `json:"swap,omitempty"`
	Remedy          string               `json:"remedy,omitempty"`
	RemedyMinutes   *float64             `json:"remedy_minutes,omitempty"`
	RemedyP         *float64             `json:"remedy_p,omitempty"`
	Characteristics []jsonCharacteristic `json:"characteristics"`
	Warnings        []string             `json:"warnings"`
	ReadAgain       string               `json:"read_again,omitempty"`
}

// jsonSwap is the cheapest exchange: with this pair, or with the one part of the two that is named.
type jsonSwap struct {
	Neck string  `json:"neck,omitempty"`
	Body string  `json:"body,omitempty"`
	More float64 `json:"more_minutes"`
}

type jsonLone struct {
	Neck  string     `json:"neck,omitempty"`
	Body  string     `json:"body,omitempty"`
	Why   string     `json:"left_over_because"`
	Wants string     `json:"wants,omitempty"`
	Sizes []jsonSize `json:"sizes,omitempty"`
	Read  string     `json:"read_again,omitempty"`
}

// jsonSize is the range of a partner's size.
type jsonSize struct {
	Of    string  `json:"of"`
	Lower float64 `json:"lower"`
	Upper float64 `json:"upper"`
}

func jsonOfLone(l *pair.Lone, neck bool) jsonLone {
	j := jsonLone{Why: words.WhyLone(*l), Wants: words.Suits(l, neck), Read: words.Accused(&l.Alone)}
	if j.Body = l.Name; neck {
		j.Neck, j.Body = l.Name, ""
	}
	for _, w := range l.Partner.Sizes {
		j.Sizes = append(j.Sizes, jsonSize{w.Size.String(), w.Lower, w.Upper})
	}
	return j
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

	OwnMinutes *float64 `json:"own_more_minutes,omitempty"` // of pairs that the builder wants, against the best match
	OwnFewer   int      `json:"own_fewer_pairs,omitempty"`
}

// toJSON has the object of the whole first.
func (of match) toJSON() []any {
	m := of.Match
	whole := &jsonMatch{
		m.Necks, m.Bodies, m.Bridge, len(m.Pairs), m.Ready, m.Work, m.Doubt, m.Minutes, m.Random.Minutes, m.Random.Impossible, nil, 0,
	}
	if m.Own != nil {
		whole.OwnMinutes, whole.OwnFewer = &m.Own.Minutes, m.Own.Fewer
	}
	objects := []any{whole}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		j := &jsonPair{
			Neck: p.Neck, Body: p.Body, Verdict: words.Verdict(p.Result.Verdict), Minutes: p.Price.Minutes,
			Actions: words.Actions(p.Price.Actions), Characteristics: jsonCharacteristics(p.Result), Warnings: words.Warnings(p.Result), ReadAgain: words.Accused(p.Result),
		}
		if p.Plan != nil {
			j.Remedy, j.RemedyMinutes, j.RemedyP = words.Plan(p.Plan), &p.Plan.Minutes, &p.Plan.P
		}
		if p.Swap != nil {
			j.Swap = &jsonSwap{p.Swap.Neck, p.Swap.Body, p.Swap.More}
		}
		objects = append(objects, j)
	}
	for i, l := range slices.Concat(m.LoneNecks, m.LoneBodies) {
		objects = append(objects, jsonOfLone(&l, i < len(m.LoneNecks)))
	}
	return objects
}
