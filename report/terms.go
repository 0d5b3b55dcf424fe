package report

import (
	"cmp"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/words"
)

// Terms are what kits were checked on: each line of JSON tells them, so that kits checked apart are judged as one
// delivery only where they were checked alike.
type Terms struct {
	Version string
	Rule    fit.Rule
	Limits  []measure.Limit // of limits.csv
	Costs   []measure.Cost  // of costs.csv
	Strings string          // a mark of strings.csv, "" for none; the same for the same strings
	Stock   string          // likewise of stock.csv
}

// TermsOf are those of a batch and the options it is checked by.
func TermsOf(version string, batch *measure.Batch, o fit.Options) *Terms {
	t := &Terms{Version: version, Rule: o.Rule, Limits: slices.Clone(batch.Limits), Costs: slices.Clone(batch.Costs)}
	for i := range t.Limits { // where a row stands is no matter
		t.Limits[i].Source, t.Limits[i].Place = "", measure.Place{}
	}
	for i := range t.Costs {
		t.Costs[i].Place = measure.Place{}
	}
	mark := func(table any) string {
		text, err := json.Marshal(table) // sorts what is listed by a string's number
		if err != nil {
			panic(err) // the tables hold finite numbers only
		}
		return fmt.Sprintf("%08x", crc32.ChecksumIEEE(text))
	}
	if len(batch.Specs)+len(batch.Compensation()) > 0 {
		t.Strings = mark([]any{batch.Compensation(), batch.Specs})
	}
	if stock := slices.Clone(batch.Stock); stock != nil {
		for i := range stock {
			stock[i].Place = measure.Place{}
		}
		t.Stock = mark(stock)
	}
	return t
}

type jsonTerms struct {
	Version string       `json:"version"`
	Rule    string       `json:"rule"`
	Limits  []jsonLimits `json:"limits,omitempty"`
	Costs   []jsonCost   `json:"costs,omitempty"`
	Strings string       `json:"strings,omitempty"`
	Stock   string       `json:"stock,omitempty"`
}

type jsonLimits struct {
	Name  string   `json:"name"`
	Lower *float64 `json:"lower,omitempty"`
	Upper *float64 `json:"upper,omitempty"`
	Class string   `json:"class,omitempty"`
}

type jsonCost struct {
	Work    string  `json:"work"`
	Minutes float64 `json:"minutes"`
	Price   float64 `json:"price"`
	Worst   float64 `json:"worst"`
}

// jsonTool is a gauge that a kit was read with, lengths in mm.
type jsonTool struct {
	Gauge           string  `json:"gauge"`
	Kind            string  `json:"kind"`
	Resolution      float64 `json:"resolution"`
	MaxError        float64 `json:"max_error"`
	Repeatability   float64 `json:"repeatability"`
	Reproducibility float64 `json:"reproducibility,omitempty"`
	Assumed         bool    `json:"assumed,omitempty"`
}

var ruleWords = map[fit.Rule]string{fit.Guarded: "guarded", fit.Simple: "simple"}

// raw are the terms as each line has them, but for the gauges.
func (t *Terms) raw() json.RawMessage {
	j := jsonTerms{Version: t.Version, Rule: ruleWords[t.Rule], Strings: t.Strings, Stock: t.Stock}
	for i := range t.Limits {
		l := &t.Limits[i]
		j.Limits = append(j.Limits, jsonLimits{l.Characteristic, closed(&l.Lower), closed(&l.Upper), l.Class.String()})
	}
	for _, c := range t.Costs {
		j.Costs = append(j.Costs, jsonCost{c.Work.String(), c.Minutes, c.Price, c.Worst})
	}
	text, err := json.Marshal(j)
	if err != nil {
		panic(err) // as above
	}
	return text
}

// read takes terms up from a line; what says why it cannot.
func (j *jsonTerms) read() (t *Terms, what string) {
	t = &Terms{Version: j.Version, Strings: j.Strings, Stock: j.Stock}
	if j.Rule == ruleWords[fit.Simple] {
		t.Rule = fit.Simple
	}
	for _, l := range j.Limits {
		m := measure.Limit{Characteristic: l.Name, Lower: math.Inf(-1), Upper: math.Inf(1)}
		if l.Lower != nil {
			m.Lower = *l.Lower
		}
		if l.Upper != nil {
			m.Upper = *l.Upper
		}
		var ok bool
		if m.Class, ok = classOf(l.Class); !ok {
			return nil, fmt.Sprintf("class %q is unknown", l.Class)
		}
		t.Limits = append(t.Limits, m)
	}
	for _, c := range j.Costs {
		work, ok := measure.ParseCosted(c.Work)
		if !ok {
			return nil, fmt.Sprintf("work %q is unknown", c.Work)
		}
		t.Costs = append(t.Costs, measure.Cost{Work: work, Minutes: c.Minutes, Price: c.Price, Worst: c.Worst})
	}
	return t, ""
}

// tool is a gauge as a line has it.
func tool(g *measure.Gauge) jsonTool {
	return jsonTool{g.ID, g.Kind, cmp.Or(g.Claimed, g.Resolution), g.MaxError, g.Repeatability, g.Reproducibility, g.Place == measure.Place{}}
}

func (j *jsonTool) read() *measure.Gauge {
	g := &measure.Gauge{ID: j.Gauge, Kind: j.Kind, Resolution: j.Resolution, MaxError: j.MaxError, Repeatability: j.Repeatability, Reproducibility: j.Reproducibility}
	if !j.Assumed {
		g.Place = measure.Place{File: "gauges.csv"}
	}
	return g
}

// Merge gathers the terms of all that is to be judged as one delivery, and tells what differs from what came first.
// The zero Merge is ready to use.
type Merge struct {
	Gauges map[string]*measure.Gauge // that kits were read with
	first  *Terms
	from   string            // whose they are
	gauge  map[string]string // where each gauge came from
	aims   map[lotOf]*aims
	plain  string // the first source that does not tell its terms
}

// lotOf is a lot of a supplier.
type lotOf struct{ supplier, lot string }

// aims are what the kits of a lot are judged on: that of each that the first source has.
type aims struct {
	from   string
	wanted [][]string
}

// Kit takes in how a kit was checked: its terms, nil where they are not told, and the gauges and the aim that are its
// own. It gives what differs from what came before, in words; "" for nothing.
func (m *Merge) Kit(source string, t *Terms, gauges []*measure.Gauge, lot, supplier string, aim []string) string {
	switch {
	case t == nil && m.first != nil:
		return words.NoTerms(source, m.from)
	case t == nil:
		m.plain = cmp.Or(m.plain, source)
		return ""
	case m.plain != "":
		return words.NoTerms(m.plain, source)
	case m.first == nil:
		m.first, m.from, m.Gauges, m.gauge, m.aims = t, source, map[string]*measure.Gauge{}, map[string]string{}, map[lotOf]*aims{}
	case t != m.first:
		if text := m.differ(t); text != "" {
			return words.OtherTerms(source, m.from, text)
		}
	}
	for _, g := range gauges {
		switch before := m.Gauges[g.ID]; {
		case before == nil:
			m.Gauges[g.ID], m.gauge[g.ID] = g, source
		case before != g && tool(before) != tool(g):
			return words.OtherTerms(source, m.gauge[g.ID], words.OtherGauge(g, before))
		}
	}
	key := lotOf{supplier, lot}
	switch a := m.aims[key]; {
	case a == nil:
		m.aims[key] = &aims{source, [][]string{aim}}
	case slices.ContainsFunc(a.wanted, func(w []string) bool { return slices.Equal(w, aim) }):
	case a.from == source:
		a.wanted = append(a.wanted, aim)
	default:
		return words.OtherTerms(source, a.from, words.OtherAim(aim, a.wanted[0]))
	}
	return ""
}

// Costs are what the delivery's works cost, as costs.csv had it.
func (m *Merge) Costs() []measure.Cost {
	if m.first == nil {
		return nil
	}
	return m.first.Costs
}

// differ is what terms differ in from the first; "" for nothing.
func (m *Merge) differ(t *Terms) string {
	f := m.first
	switch {
	case t.Version != f.Version:
		return words.OtherVersion(t.Version, f.Version)
	case t.Rule != f.Rule:
		return words.OtherRule(ruleWords[t.Rule], ruleWords[f.Rule])
	case t.Strings != f.Strings:
		return words.OtherTable("strings.csv")
	case t.Stock != f.Stock:
		return words.OtherTable("stock.csv")
	}
	if a, b, ok := unlike(t.Limits, f.Limits, func(l measure.Limit) string { return l.Characteristic }); ok {
		return words.OtherLimit(a, b)
	}
	if a, b, ok := unlike(t.Costs, f.Costs, func(c measure.Cost) measure.Work { return c.Work }); ok {
		return words.OtherCost(a, b)
	}
	return ""
}

// unlike finds the first row that two tables do not have alike, as the one and the other has it, nil where it has not.
func unlike[T, K comparable](a, b []T, key func(T) K) (inA, inB *T, found bool) {
	for _, row := range slices.Concat(a, b) {
		find := func(list []T) *T {
			if i := slices.IndexFunc(list, func(x T) bool { return key(x) == key(row) }); i >= 0 {
				return &list[i]
			}
			return nil
		}
		if inA, inB = find(a), find(b); inA == nil || inB == nil || *inA != *inB {
			return inA, inB, true
		}
	}
	return nil, nil, false
}
