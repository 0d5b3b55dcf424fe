package report

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"

	"neckfit/fit/lot"
	"neckfit/fit/study"
	"neckfit/report/words"
)

// Gauge writes gauge studies in a format that Formats lists; csv has a line a study, jsonl an
// object. Lengths are in mm, shares from 0 to 1.
func Gauge(format string, w io.Writer, studies []*study.Study) error {
	switch format {
	case "text":
		return writeLines(w, gaugeText(studies))
	case "csv":
		return gaugeCSV(w, studies)
	case "jsonl":
		return gaugeJSONL(w, studies)
	}
	return fmt.Errorf("format %q is unknown", format)
}

// jsonStudy is a study as the formats for programs have it. What a method does not give is left out.
type jsonStudy struct {
	Gauge         string     `json:"gauge"`
	Place         string     `json:"place"`
	Verdict       string     `json:"verdict"`
	Repeatability float64    `json:"repeatability_mm"`
	Share         float64    `json:"share_of_tolerance"`
	Tolerance     float64    `json:"tolerance_mm"`
	ToleranceOf   string     `json:"tolerance_of"`
	Places        int        `json:"places"`
	People        int        `json:"people"`
	Readings      int        `json:"readings"`
	Left          int        `json:"left_out"`
	Within        float64    `json:"within_mm"`
	DOF           int        `json:"within_dof"`
	ANOVA         *jsonGauge `json:"anova,omitempty"`
	Range         *jsonGauge `json:"average_and_range,omitempty"`
	Why           string     `json:"not_crossed_because,omitempty"`
	Warnings      []string   `json:"warnings"`
}

type jsonGauge struct {
	Equipment   float64 `json:"repeatability_mm"`
	Appraiser   float64 `json:"reproducibility_mm"`
	Interaction float64 `json:"interaction_mm"`
	Gauge       float64 `json:"gauge_mm"`
	Part        float64 `json:"part_mm"`
	Total       float64 `json:"total_mm"`
	Tolerance   float64 `json:"share_of_tolerance"`
	ShareTotal  float64 `json:"share_of_total"`
	Categories  int     `json:"categories,omitempty"`
	Trials      int     `json:"trials"`
	Trouble     string  `json:"trouble"`
}

func jsonOfStudy(s *study.Study) jsonStudy {
	j := jsonStudy{
		Gauge: s.Gauge, Place: words.StudyPlace(s), Verdict: words.GaugeVerdict(s), Repeatability: s.Repeatability(), Share: s.Share(),
		Tolerance: s.Tolerance.Width, ToleranceOf: s.Tolerance.Of, Places: s.Places, People: s.People,
		Readings: s.Readings, Left: s.Left, Within: s.Within, DOF: s.DOF, Why: words.NotCrossed(s), Warnings: []string{},
		ANOVA: jsonOfGauge(s, s.ANOVA), Range: jsonOfGauge(s, s.Range),
	}
	if s.ANOVA != nil {
		j.Warnings = append(j.Warnings, words.LotWarnings(s.ANOVA.Warnings)...)
	}
	return j
}

func jsonOfGauge(s *study.Study, g *lot.GaugeStudy) *jsonGauge {
	if g == nil {
		return nil
	}
	share, _ := g.ShareOfTolerance(g.Gauge)
	j := &jsonGauge{
		g.Equipment, g.Appraiser, g.Interaction, g.Gauge, g.Part, g.Total, share, g.ShareOfTotal(g.Gauge), g.Categories, g.Trials, g.Trouble.String(),
	}
	if !s.One() {
		j.Categories = 0
	}
	return j
}

func gaugeJSONL(w io.Writer, studies []*study.Study) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	for _, s := range studies {
		if err := e.Encode(jsonOfStudy(s)); err != nil {
			return err
		}
	}
	return nil
}

func gaugeCSV(w io.Writer, studies []*study.Study) error {
	rows := [][]string{{
		"gauge", "place", "verdict", "repeatability_mm", "share_of_tolerance", "tolerance_mm", "tolerance_of", "places", "people", "readings",
		"left_out", "within_mm", "within_dof", "anova_repeatability_mm", "anova_reproducibility_mm", "anova_interaction_mm", "anova_gauge_mm",
		"anova_part_mm", "anova_categories", "anova_trouble", "range_repeatability_mm", "range_reproducibility_mm", "range_gauge_mm", "range_part_mm", "note",
	}}
	for _, s := range studies {
		rows = append(rows, gaugeRow(s))
	}
	out := csv.NewWriter(w)
	return errors.Join(out.WriteAll(rows), out.Error())
}

func gaugeRow(s *study.Study) []string {
	j := jsonOfStudy(s)
	row := []string{
		noFormula(j.Gauge), j.Place, j.Verdict, shortest(j.Repeatability), shortest(j.Share), shortest(j.Tolerance), noFormula(j.ToleranceOf),
		strconv.Itoa(j.Places), strconv.Itoa(j.People), strconv.Itoa(j.Readings), strconv.Itoa(j.Left), shortest(j.Within), strconv.Itoa(j.DOF),
	}
	if a := j.ANOVA; a != nil {
		categories := ""
		if a.Categories > 0 {
			categories = strconv.Itoa(a.Categories)
		}
		row = append(row, shortest(a.Equipment), shortest(a.Appraiser), shortest(a.Interaction), shortest(a.Gauge), shortest(a.Part), categories, a.Trouble)
	} else {
		row = append(row, "", "", "", "", "", "", "")
	}
	if r := j.Range; r != nil {
		row = append(row, shortest(r.Equipment), shortest(r.Appraiser), shortest(r.Gauge), shortest(r.Part))
	} else {
		row = append(row, "", "", "", "")
	}
	return append(row, noFormula(j.Why))
}
