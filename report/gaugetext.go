package report

import (
	"fmt"

	"neckfit/fit/lot"
	"neckfit/fit/study"
	"neckfit/report/words"
)

// gaugeText says first which gauge to mend, then what to write into gauges.csv, then each study.
func gaugeText(studies []*study.Study) []string {
	s := &sheet{}
	s.add("", words.GaugeHeadline(studies))
	s.section("To write into gauges.csv:")
	s.lines = append(s.lines, gaugeEntries(studies)...)
	for _, one := range studies {
		s.section("")
		s.gaugeStudy(one)
	}
	s.section("")
	s.add("", "Shares are six standard deviations of the measurement against the tolerance; below 10 % a gauge is adequate, "+
		"above 30 % it is not (AIAG, Measurement Systems Analysis).")
	return s.lines
}

// gaugeEntries are the repeatabilities, one line a gauge: those of its first study, over all places.
func gaugeEntries(studies []*study.Study) []string {
	rows := [][]string{{"gauge", "repeatability", "until now", ""}}
	seen := map[string]bool{}
	for _, s := range studies {
		if seen[s.Gauge] {
			continue
		}
		seen[s.Gauge] = true
		note := ""
		if s.Repeatability() == 0 {
			note = "all repeats are equal: a finer gauge is needed to see a spread"
		}
		rows = append(rows, []string{words.ShortName(s.Gauge, len(rows)), words.Spread(s.Repeatability()), words.Spread(s.Given.Repeatability), note})
	}
	return words.Grid("lrrl", rows)
}

// gaugeStudy writes one study.
func (s *sheet) gaugeStudy(g *study.Study) {
	s.add("", fmt.Sprintf("%s, %s: %s, %s of the tolerance (%s, %s mm wide)",
		words.Harmless(g.Gauge), words.StudyPlace(g), words.GaugeVerdict(g), words.WholePercent(g.Share()), words.Harmless(g.Tolerance.Of), words.Limit(g.Tolerance.Width)))
	read := fmt.Sprintf("%s of %s by %s", words.Amount(g.Readings, "reading", "readings"), words.Amount(g.Places, "place", "places"), words.Amount(g.People, "person", "persons"))
	if g.Left > 0 {
		read += fmt.Sprintf("; %d left out of the crossed study, which wants as many by everybody of every place", g.Left)
	}
	s.add("  ", read+".")
	if g.ANOVA == nil {
		s.add("  ", fmt.Sprintf("Repeatability %s from %d repeats. No crossed study: %s.", words.Spread(g.Within), g.DOF, words.NotCrossed(g)))
		return
	}
	s.lines = append(s.lines, words.Indent(gaugeTable(g))...)
	gauge, person, feature := g.ANOVA.GaugeShares()
	s.add("  ", fmt.Sprintf("Of the measurement's variance %s is the gauge's, %s the persons', %s the feature's: %s.",
		words.WholePercent(gauge), words.WholePercent(person), words.WholePercent(feature), words.TroubleCure(g)))
	if g.One() && g.ANOVA.Categories > 0 {
		s.add("  ", fmt.Sprintf("It can tell %s of parts apart here (5 or more are wanted).", words.Amount(g.ANOVA.Categories, "class", "classes")))
	}
	for _, w := range g.ANOVA.Warnings {
		s.add("  Note: ", words.LotWarning(w)+".")
	}
}

// gaugeTable sets the two methods beside each other.
func gaugeTable(g *study.Study) []string {
	rows := [][]string{{"standard deviation", "variance analysis", "of tolerance", "average and range"}}
	of := func(name string, pick func(*lot.GaugeStudy) float64) {
		share, _ := g.ANOVA.ShareOfTolerance(pick(g.ANOVA))
		other := "-"
		if g.Range != nil {
			other = words.Spread(pick(g.Range))
		}
		rows = append(rows, []string{name, words.Spread(pick(g.ANOVA)), words.WholePercent(share), other})
	}
	of("repeatability", func(v *lot.GaugeStudy) float64 { return v.Equipment })
	of("reproducibility", func(v *lot.GaugeStudy) float64 { return v.Appraiser })
	of("interaction", func(v *lot.GaugeStudy) float64 { return v.Interaction })
	of("measurement", func(v *lot.GaugeStudy) float64 { return v.Gauge })
	if g.One() {
		of("parts", func(v *lot.GaugeStudy) float64 { return v.Part })
	}
	return words.Grid("lrrr", rows)
}
