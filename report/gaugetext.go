package report

import (
	"fmt"
	"math"
	"strings"

	"neckfit/fit/lot"
	"neckfit/fit/study"
)

// gaugeText says first which gauge to mend, then what to write into gauges.csv, then each study.
func gaugeText(studies []*study.Study) []string {
	s := &sheet{}
	s.add("", gaugeHeadline(studies))
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

// gaugeHeadline names the worst gauge and whose the trouble is.
func gaugeHeadline(studies []*study.Study) string {
	var worst *study.Study
	bad := map[string]bool{}
	for _, s := range studies {
		if worst == nil || s.Share() > worst.Share() {
			worst = s
		}
		if s.Share() > lot.GaugeInadequate {
			bad[s.Gauge] = true
		}
	}
	name, share := harmless(worst.Gauge), sharePercent(worst.Share())
	at := fmt.Sprintf("(%s of the tolerance at %s)", share, placeOf(worst))
	switch {
	case worst.Share() <= lot.GaugeAdequate:
		return fmt.Sprintf("Every gauge is good enough; the worst is %s %s.", name, at)
	case worst.Share() <= lot.GaugeInadequate:
		return fmt.Sprintf("No gauge must be mended, but %s is marginal %s: %s.", name, at, troubleCure(worst))
	}
	text := fmt.Sprintf("Mend %s first %s: %s.", name, at, troubleCure(worst))
	if others := len(bad) - 1; others > 0 {
		text += fmt.Sprintf(" %s as well.", amount(others, "other gauge is inadequate", "other gauges are inadequate"))
	}
	return text
}

// troubleCure says whose the trouble is and what helps.
func troubleCure(s *study.Study) string {
	if s.ANOVA == nil {
		return "one person's readings scatter; read every place by two people or more, as often each, to see whether they differ"
	}
	switch s.ANOVA.Trouble {
	case lot.GaugeTrouble:
		return "the trouble is the gauge, whose readings by one person scatter: a finer gauge, or the mean of several readings"
	case lot.PersonTrouble:
		return "the trouble is the persons, who read differently: agree on how to hold and read the gauge"
	case lot.FeatureTrouble:
		return "the trouble is the feature, on which persons differ place by place: say where exactly it is to be touched"
	case lot.NoTrouble, lot.TroubleUnknown:
	}
	return "there is no trouble to speak of"
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
		rows = append(rows, []string{shortName(s.Gauge, len(rows)), millimetres(s.Repeatability()), millimetres(s.Given.Repeatability), note})
	}
	return grid("lrrl", rows)
}

// millimetres writes a spread to three significant digits, at most to a tenth of a micrometre.
func millimetres(x float64) string {
	places := 3
	if x > 0 {
		places = min(finest, max(0, 2-int(math.Floor(math.Log10(x)))))
	}
	return fixed(x, places) + " mm"
}

func sharePercent(x float64) string { return fixed(100*x, 0) + " %" }

// gaugeStudy writes one study.
func (s *sheet) gaugeStudy(g *study.Study) {
	s.add("", fmt.Sprintf("%s, %s: %s, %s of the tolerance (%s, %s mm wide)",
		harmless(g.Gauge), placeOf(g), gaugeVerdict(g), sharePercent(g.Share()), harmless(g.Tolerance.Of), limit(g.Tolerance.Width)))
	read := fmt.Sprintf("%s of %s by %s", amount(g.Readings, "reading", "readings"), amount(g.Places, "place", "places"), amount(g.People, "person", "persons"))
	if g.Left > 0 {
		read += fmt.Sprintf("; %d left out of the crossed study, which wants as many by everybody of every place", g.Left)
	}
	s.add("  ", read+".")
	if g.ANOVA == nil {
		s.add("  ", fmt.Sprintf("Repeatability %s from %d repeats. No crossed study: %s.", millimetres(g.Within), g.DOF, g.Why))
		return
	}
	s.lines = append(s.lines, indent(gaugeTable(g))...)
	gauge, person, feature := g.ANOVA.GaugeShares()
	s.add("  ", fmt.Sprintf("Of the measurement's variance %s is the gauge's, %s the persons', %s the feature's: %s.",
		sharePercent(gauge), sharePercent(person), sharePercent(feature), troubleCure(g)))
	if g.One() && g.ANOVA.Categories > 0 {
		s.add("  ", fmt.Sprintf("It can tell %s of parts apart here (5 or more are wanted).", amount(g.ANOVA.Categories, "class", "classes")))
	}
	for _, w := range g.ANOVA.Warnings {
		s.add("  Note: ", w+".")
	}
}

// gaugeTable sets the two methods beside each other.
func gaugeTable(g *study.Study) []string {
	rows := [][]string{{"standard deviation", "variance analysis", "of tolerance", "average and range"}}
	of := func(name string, pick func(*lot.GaugeStudy) float64) {
		share, _ := g.ANOVA.ShareOfTolerance(pick(g.ANOVA))
		other := "-"
		if g.Range != nil {
			other = millimetres(pick(g.Range))
		}
		rows = append(rows, []string{name, millimetres(pick(g.ANOVA)), sharePercent(share), other})
	}
	of("repeatability", func(v *lot.GaugeStudy) float64 { return v.Equipment })
	of("reproducibility", func(v *lot.GaugeStudy) float64 { return v.Appraiser })
	of("interaction", func(v *lot.GaugeStudy) float64 { return v.Interaction })
	of("measurement", func(v *lot.GaugeStudy) float64 { return v.Gauge })
	if g.One() {
		of("parts", func(v *lot.GaugeStudy) float64 { return v.Part })
	}
	return grid("lrrr", rows)
}

func indent(lines []string) []string {
	for i, l := range lines {
		lines[i] = strings.TrimRight("  "+l, " ")
	}
	return lines
}
