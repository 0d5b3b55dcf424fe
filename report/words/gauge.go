package words

import (
	"fmt"
	"slices"

	"neckfit/fit/lot"
	"neckfit/fit/study"
	"neckfit/measure"
)

// GaugeVerdict is adequate, marginal or inadequate, by AIAG's 10 and 30 % of the tolerance.
func GaugeVerdict(s *study.Study) string {
	switch share := s.Share(); {
	case share > lot.GaugeInadequate:
		return "inadequate"
	case share > lot.GaugeAdequate:
		return "marginal"
	}
	return "adequate"
}

// StudyPlace names where a study was made.
func StudyPlace(s *study.Study) string {
	if s.One() {
		return s.Label
	}
	return "all places"
}

// GaugeHeadline names the worst gauge and whose the trouble is.
func GaugeHeadline(studies []*study.Study) string {
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
	name, share := Harmless(worst.Gauge), WholePercent(worst.Share())
	at := fmt.Sprintf("(%s of the tolerance at %s)", share, StudyPlace(worst))
	switch {
	case worst.Share() <= lot.GaugeAdequate:
		return fmt.Sprintf("Every gauge is good enough; the worst is %s %s.", name, at)
	case worst.Share() <= lot.GaugeInadequate:
		return fmt.Sprintf("No gauge must be mended, but %s is marginal %s: %s.", name, at, TroubleCure(worst))
	}
	text := fmt.Sprintf("Mend %s first %s: %s.", name, at, TroubleCure(worst))
	if others := len(bad) - 1; others > 0 {
		text += fmt.Sprintf(" %s as well.", Amount(others, "other gauge is inadequate", "other gauges are inadequate"))
	}
	return text
}

// TroubleCure says whose the trouble is and what helps.
func TroubleCure(s *study.Study) string {
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

// NotCrossed is why a gauge has no crossed study; "" where it has one.
func NotCrossed(s *study.Study) string {
	if s.ANOVA != nil {
		return ""
	}
	return "no two places were read twice or more by everybody"
}

// GaugeNote says what the shares of a gauge study are.
const GaugeNote = "Shares are six standard deviations of the measurement against the tolerance; below 10 % a gauge is adequate, " +
	"above 30 % it is not (AIAG, Measurement Systems Analysis)."

// GaugeEntries are what to write into gauges.csv, after the headings a line a gauge: of its first study, over all places.
func GaugeEntries(studies []*study.Study) [][]string {
	rows := [][]string{{"gauge", "repeatability", "until now", "reproducibility", ""}}
	seen := map[string]bool{}
	for _, s := range studies {
		if seen[s.Gauge] {
			continue
		}
		seen[s.Gauge] = true
		note := ""
		if s.Repeatability() == 0 {
			note = "all repeats equal: not taken over"
		}
		rows = append(rows, []string{ShortName(s.Gauge, len(rows)), Spread(s.Repeatability()), Spread(s.Given.Repeatability), Spread(s.Reproducibility()), note})
	}
	return rows
}

// StudyRows are the standard deviations of a crossed study by cause, after the headings.
func StudyRows(s *study.Study) [][]string {
	rows := [][]string{{"standard deviation", "variance analysis", "of tolerance", "average and range"}}
	of := func(name string, pick func(*lot.GaugeStudy) float64) {
		share, _ := s.ANOVA.ShareOfTolerance(pick(s.ANOVA))
		other := "-"
		if s.Range != nil {
			other = Spread(pick(s.Range))
		}
		rows = append(rows, []string{name, Spread(pick(s.ANOVA)), WholePercent(share), other})
	}
	of("repeatability", func(v *lot.GaugeStudy) float64 { return v.Equipment })
	of("reproducibility", func(v *lot.GaugeStudy) float64 { return v.Appraiser })
	of("interaction", func(v *lot.GaugeStudy) float64 { return v.Interaction })
	of("measurement", func(v *lot.GaugeStudy) float64 { return v.Gauge })
	if s.One() {
		of("parts", func(v *lot.GaugeStudy) float64 { return v.Part })
	}
	return rows
}

// StudyHeadline is a study's verdict.
func StudyHeadline(s *study.Study) string {
	return fmt.Sprintf("%s, %s: %s, %s of the tolerance (%s, %s mm wide)",
		Harmless(s.Gauge), StudyPlace(s), GaugeVerdict(s), WholePercent(s.Share()), Harmless(s.Tolerance.Of), Limit(s.Tolerance.Width))
}

// StudyReadings says how many readings a study has, and how many it had to leave out.
func StudyReadings(s *study.Study) string {
	text := fmt.Sprintf("%s of %s by %s", Amount(s.Readings, "reading", "readings"), Amount(s.Places, "place", "places"), Amount(s.People, "person", "persons"))
	if s.Left > 0 {
		text += fmt.Sprintf("; %d left out of the crossed study, which wants as many by everybody of every place", s.Left)
	}
	return text + "."
}

// NoStudy is the repeatability of a gauge by which not everybody read everything.
func NoStudy(s *study.Study) string {
	return fmt.Sprintf("Repeatability %s from %s. No crossed study: %s.", Spread(s.Within), Amount(s.DOF, "repeat", "repeats"), NotCrossed(s))
}

// VarianceShares says whose the measurement's variance is.
func VarianceShares(s *study.Study) string {
	gauge, person, feature := s.ANOVA.GaugeShares()
	return fmt.Sprintf("Of the measurement's variance %s is the gauge's, %s the persons', %s the feature's: %s.",
		WholePercent(gauge), WholePercent(person), WholePercent(feature), TroubleCure(s))
}

// Categories says how many classes of parts a gauge can tell apart; "" where that is not known.
func Categories(s *study.Study) string {
	if !s.One() || s.ANOVA.Categories == 0 {
		return ""
	}
	if s.ANOVA.Categories < 2 {
		return "It cannot tell these parts apart; 5 classes of them or more are wanted."
	}
	return fmt.Sprintf("It can tell %d classes of parts apart here (5 or more are wanted).", s.ANOVA.Categories)
}

// GaugesHint says how to take the figures over.
const GaugesHint = "neckfit gauge PATH --show gauges --out gauges.csv writes the table with these figures in it."

// StudiesAssumed names the gauges of the studies that gauges.csv does not have.
func StudiesAssumed(studies []*study.Study) string {
	var names []string
	for _, s := range studies {
		if s.Given.Place == (measure.Place{}) && !slices.Contains(names, s.Gauge) {
			names = append(names, s.Gauge)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "Not in gauges.csv, so that its step and greatest error are taken for granted: " + Harmless(Listed(names)) + "; common practice, no source."
}
