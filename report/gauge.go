package report

import (
	"io"
	"slices"

	"neckfit/fit/lot"
	"neckfit/fit/study"
	"neckfit/measure"
	"neckfit/report/words"
)

// Gauge writes gauge studies in a format that Formats lists; csv has a line a study, jsonl an
// object. Lengths are in mm, shares from 0 to 1.
func Gauge(format string, w io.Writer, studies []*study.Study, o Options) error {
	return write(format, w, gaugeStudies(studies), o)
}

type gaugeStudies []*study.Study

func (studies gaugeStudies) toJSON() (lines []any) {
	for _, s := range studies {
		lines = append(lines, jsonOfStudy(s))
	}
	return lines
}

// toText says first which gauge to mend, then what to write into gauges.csv, then each study.
func (studies gaugeStudies) toText(t *text) {
	t.add("", words.GaugeHeadline(studies))
	t.opened()
	t.section("To write into gauges.csv:")
	t.table(0, "lrrrl", words.GaugeEntries(studies))
	t.add("", words.GaugesHint)
	for _, s := range studies {
		t.section("")
		t.add("", words.StudyHeadline(s))
		t.add("  ", words.StudyReadings(s))
		if s.ANOVA == nil {
			t.add("  ", words.NoStudy(s))
			continue
		}
		t.table(2, "lrrr", words.StudyRows(s))
		t.add("  ", words.VarianceShares(s))
		t.add("  ", words.Categories(s))
		for _, w := range s.ANOVA.Warnings {
			t.add("  Note: ", words.LotWarning(w)+".")
		}
	}
	t.section("")
	t.add("", words.GaugeNote)
	t.add("", words.StudiesAssumed(studies))
}

// jsonStudy is a study as the formats for programs have it. What a method does not give is left out.
type jsonStudy struct {
	Gauge         string     `json:"gauge"`
	Place         string     `json:"place"`
	Verdict       string     `json:"verdict"`
	Repeatability float64    `json:"repeatability_mm"`
	Persons       float64    `json:"reproducibility_mm"`
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
	Assumed       bool       `json:"assumed_gauge,omitempty"` // gauges.csv does not have it
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
		Gauge: s.Gauge, Place: words.StudyPlace(s), Verdict: words.GaugeVerdict(s), Repeatability: s.Repeatability(), Persons: s.Reproducibility(), Share: s.Share(),
		Tolerance: s.Tolerance.Width, ToleranceOf: s.Tolerance.Of, Places: s.Places, People: s.People,
		Readings: s.Readings, Left: s.Left, Within: s.Within, DOF: s.DOF, Why: words.NotCrossed(s), Warnings: []string{}, Assumed: s.Given.Place == (measure.Place{}),
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

func (studies gaugeStudies) toCSV(out *record) {
	out.row("gauge", "place", "verdict", "repeatability_mm", "share_of_tolerance", "tolerance_mm", "tolerance_of", "places", "people", "readings",
		"left_out", "within_mm", "within_dof", "anova_repeatability_mm", "anova_reproducibility_mm", "anova_interaction_mm", "anova_gauge_mm",
		"anova_part_mm", "anova_categories", "anova_trouble", "range_repeatability_mm", "range_reproducibility_mm", "range_gauge_mm", "range_part_mm", "note", "assumed_gauge")
	for _, s := range studies {
		j := jsonOfStudy(s)
		anova, ranges := make([]any, 7), make([]any, 4)
		if a := j.ANOVA; a != nil {
			anova = []any{a.Equipment, a.Appraiser, a.Interaction, a.Gauge, a.Part, nil, a.Trouble}
			if a.Categories > 0 {
				anova[5] = a.Categories
			}
		}
		if r := j.Range; r != nil {
			ranges = []any{r.Equipment, r.Appraiser, r.Gauge, r.Part}
		}
		out.row(slices.Concat(
			[]any{j.Gauge, j.Place, j.Verdict, j.Repeatability, j.Share, j.Tolerance, j.ToleranceOf, j.Places, j.People, j.Readings, j.Left, j.Within, j.DOF},
			anova, ranges, []any{j.Why, map[bool]string{true: "yes"}[j.Assumed]})...)
	}
}
