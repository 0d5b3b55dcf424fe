package words

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit/lot"
	"neckfit/fit/study"
	"neckfit/measure"
)

// crossedStudy has standard deviations of 0.03, 0.04 and 0 mm, so that the measurement's is 0.05 and its six are a quarter
// of a tolerance of 1.2 mm; the variances are as 9 to 16.
func crossedStudy() *study.Study {
	v := lot.Variation{Equipment: 0.03, Appraiser: 0.04, Gauge: 0.05, Part: 0.12, Total: 0.13}
	return &study.Study{
		Gauge: "ver150", Given: measure.Gauge{ID: "ver150", Repeatability: 0.02, Place: measure.Place{File: "gauges.csv", Line: 3}}, Label: "pocket width",
		Tolerance: study.Tolerance{Width: 1.2, Of: "pocket-gap-end"}, Places: 5, People: 2, Readings: 23, Left: 3, Persons: []string{"Ann", ""},
		Deviations: make([]study.Deviation, 23), Within: 0.031, DOF: 12,
		ANOVA: &lot.GaugeStudy{Variation: v, Tolerance: 1.2, Categories: 3, Trouble: lot.PersonTrouble},
		Range: &lot.GaugeStudy{Variation: lot.Variation{Equipment: 0.028, Appraiser: 0.041, Gauge: 0.0496, Part: 0.11}},
	}
}

func TestStudyInWords(t *testing.T) {
	s := crossedStudy()
	alone := &study.Study{Gauge: "rule", Within: 0.1234, DOF: 1, Readings: 1, Places: 1, People: 1, Tolerance: study.Tolerance{Width: 2.5, Of: "--tolerance"}}
	said(t,
		[2]string{StudyHeadline(s), "ver150, pocket width: marginal, 25 % of the tolerance (pocket-gap-end, 1.2 mm wide)"},
		[2]string{StudyHeadline(alone), "rule, all places: marginal, 30 % of the tolerance (--tolerance, 2.5 mm wide)"},
		[2]string{StudyReadings(s), "23 readings of 5 places by 2 persons; 3 left out of the crossed study, which wants as many by everybody of every place."},
		[2]string{StudyReadings(alone), "1 reading of 1 place by 1 person."},
		[2]string{NoStudy(alone), "Repeatability 0.123 mm from 1 repeat. No crossed study: no two places were read twice or more by everybody."},
		[2]string{NotCrossed(s), ""},
		[2]string{VarianceShares(s), "Of the measurement's variance 36 % is the gauge's, 64 % the persons', 0 % the feature's: the trouble is the persons, who read differently: agree on how to hold and read the gauge."},
		[2]string{Categories(s), "It can tell 3 classes of parts apart here (5 or more are wanted)."},
		[2]string{DeviationsLabel(s), "Readings of ver150 at pocket width, each less the mean of its place, by person: 23 readings; one person's readings scatter by 0.0300 mm, the persons differ by 0.0400 mm."},
		[2]string{Person("") + ", " + Person("Ann"), "(not named), Ann"},
	)
	s.ANOVA.Categories = 1
	said(t, [2]string{Categories(s), "It cannot tell these parts apart; 5 classes of them or more are wanted."})
	whole := *s
	whole.Label = "" // over places of several kinds parts mean nothing
	said(t, [2]string{Categories(&whole), ""}, [2]string{StudyPlace(&whole), "all places"})
}

// The table has each cause by both methods, with its six standard deviations against the tolerance.
func TestStudyRows(t *testing.T) {
	s := crossedStudy()
	want := [][]string{
		{"standard deviation", "variance analysis", "of tolerance", "average and range"},
		{"repeatability", "0.0300 mm", "15 %", "0.0280 mm"},
		{"reproducibility", "0.0400 mm", "20 %", "0.0410 mm"},
		{"interaction", "0.000 mm", "0 %", "0.000 mm"},
		{"measurement", "0.0500 mm", "25 %", "0.0496 mm"},
		{"parts", "0.120 mm", "60 %", "0.110 mm"},
	}
	if diff := cmp.Diff(want, StudyRows(s)); diff != "" {
		t.Error(diff)
	}
	s.Label, s.Range = "", nil
	for i := range want {
		want[i][3] = "-"
	}
	want[0][3] = "average and range"
	if diff := cmp.Diff(want[:5], StudyRows(s)); diff != "" {
		t.Error(diff)
	}
}

// What to write into gauges.csv is a row a gauge, of its first study; repeats that are all alike are no spread.
func TestGaugeEntries(t *testing.T) {
	s, again, still := crossedStudy(), crossedStudy(), &study.Study{Gauge: "rule", Given: measure.Gauge{Repeatability: 0.1}}
	again.Within, again.ANOVA = 9, nil
	got := GaugeEntries([]*study.Study{s, again, still})
	want := [][]string{
		{"gauge", "repeatability", "until now", "reproducibility", ""},
		{"ver150", "0.0300 mm", "0.0200 mm", "0.0400 mm", ""},
		{"rule", "0.000 mm", "0.100 mm", "0.000 mm", "all repeats equal: not taken over"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	said(t,
		[2]string{StudiesAssumed([]*study.Study{s}), ""},
		[2]string{StudiesAssumed([]*study.Study{still, s, still}), "Not in gauges.csv, so that its step and greatest error are taken for granted: rule; common practice, no source."},
	)
}
