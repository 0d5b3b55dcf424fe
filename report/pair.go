package report

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"neckfit/fit/pair"
	"neckfit/report/words"
)

// Pair writes a match of necks and bodies in a format that Formats lists: text, a table of one line
// a pair and a left-over part, or JSON Lines with one object each and one for the whole.
func Pair(format string, w io.Writer, m *pair.Match) error {
	for i := range m.Pairs {
		if err := Check(m.Pairs[i].Result); err != nil {
			return err
		}
	}
	switch format {
	case "text":
		return writeLines(w, pairText(m))
	case "csv":
		return pairCSV(w, m)
	case "jsonl":
		return pairJSONL(w, m)
	}
	return fmt.Errorf("format %q is unknown", format)
}

func pairCSV(w io.Writer, m *pair.Match) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"neck", "body", "verdict", "minutes", "actions", "worst", "remedy", "left_over_because"}}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		name := ""
		if c := words.Worst(p.Result); c != nil {
			name = c.ID.String()
		}
		rows = append(rows, []string{
			noFormula(p.Neck), noFormula(p.Body), words.Verdict(p.Result.Verdict), shortest(p.Price.Minutes), words.Actions(p.Price.Actions), name, planWords(p), "",
		})
	}
	for _, l := range m.LoneNecks {
		rows = append(rows, []string{noFormula(l.Name), "", "", "", "", "", "", noFormula(words.WhyLone(l))})
	}
	for _, l := range m.LoneBodies {
		rows = append(rows, []string{"", noFormula(l.Name), "", "", "", "", "", noFormula(words.WhyLone(l))})
	}
	return errors.Join(out.WriteAll(rows), out.Error())
}

// planWords is the recommended remedy, blank where none was worked out.
func planWords(p *pair.Pair) string {
	if p.Plan == nil {
		return ""
	}
	return words.Plan(p.Plan)
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
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	err := e.Encode(jsonMatch{
		m.Necks, m.Bodies, m.Bridge, len(m.Pairs), m.Ready, m.Work, m.Doubt, m.Minutes, m.Random.Minutes, m.Random.Impossible,
	})
	for i := range m.Pairs {
		p := &m.Pairs[i]
		j := jsonPair{
			Neck: p.Neck, Body: p.Body, Verdict: words.Verdict(p.Result.Verdict), Minutes: p.Price.Minutes,
			Actions: words.Actions(p.Price.Actions), Warnings: append([]string{}, p.Result.Warnings...),
		}
		if p.Plan != nil {
			j.Remedy, j.RemedyMinutes, j.RemedyP = words.Plan(p.Plan), &p.Plan.Minutes, &p.Plan.P
		}
		for k := range p.Result.Characteristics {
			j.Characteristics = append(j.Characteristics, jsonOf(&p.Result.Characteristics[k]))
		}
		err = errors.Join(err, e.Encode(&j))
	}
	for _, l := range m.LoneNecks {
		err = errors.Join(err, e.Encode(jsonLone{Neck: l.Name, Why: words.WhyLone(l)}))
	}
	for _, l := range m.LoneBodies {
		err = errors.Join(err, e.Encode(jsonLone{Body: l.Name, Why: words.WhyLone(l)}))
	}
	return err
}
