package words

import (
	"strings"
	"testing"

	"neckfit/fit/lot"
	"neckfit/fit/study"
)

// studied is a study by one person, six standard deviations of which are that share of the tolerance.
func studied(gauge string, share float64) *study.Study {
	return &study.Study{Gauge: gauge, Tolerance: study.Tolerance{Width: 6, Of: "end-gap"}, Within: share, DOF: 3}
}

// A gauge is adequate up to 10 % of the tolerance and inadequate above 30 % (AIAG).
func TestGaugeVerdict(t *testing.T) {
	for share, want := range map[float64]string{0.05: "adequate", 0.0999: "adequate", 0.1001: "marginal", 0.2999: "marginal", 0.3001: "inadequate", 2: "inadequate"} {
		if got := GaugeVerdict(studied("g", share)); got != want {
			t.Errorf("%v of the tolerance is %s, want %s", share, got, want)
		}
	}
}

// The worst gauge is named, and how many others are inadequate, each once.
func TestGaugeHeadline(t *testing.T) {
	for _, c := range []struct {
		studies []*study.Study
		want    string
	}{
		{[]*study.Study{studied("a", 0.02), studied("b", 0.0999), studied("c", 0.05)}, "Every gauge is good enough; the worst is b (10 % of the tolerance at all places)."},
		{[]*study.Study{studied("a", 0.3), studied("b", 0.1)}, "No gauge must be mended, but a is marginal (30 % of the tolerance at all places): one person's readings scatter;"},
		{[]*study.Study{studied("a", 0.31), studied("b", 0.1)}, "Mend a first (31 % of the tolerance at all places): one person's readings scatter;"},
		{[]*study.Study{studied("a", 0.4), studied("b", 0.6), studied("b", 0.5), studied("a", 0.02)}, "Mend b first (60 % of the tolerance at all places): "},
	} {
		if got := GaugeHeadline(c.studies); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	two, three := []*study.Study{studied("a", 0.4), studied("b", 0.6), studied("b", 0.5)}, []*study.Study{studied("a", 0.4), studied("b", 0.6), studied("c", 0.5)}
	if got := GaugeHeadline(two); !strings.HasSuffix(got, " 1 other gauge is inadequate as well.") {
		t.Error(got)
	}
	if got := GaugeHeadline(three); !strings.HasSuffix(got, " 2 other gauges are inadequate as well.") {
		t.Error(got)
	}
	if got := GaugeHeadline(two[:1]); strings.Contains(got, "as well") {
		t.Error(got)
	}
}

func TestTroubles(t *testing.T) {
	for trouble, want := range map[lot.Trouble]string{
		lot.GaugeTrouble: "the trouble is the gauge", lot.PersonTrouble: "the trouble is the persons", lot.FeatureTrouble: "the trouble is the feature",
		lot.NoTrouble: "there is no trouble", lot.TroubleUnknown: "there is no trouble",
	} {
		s := studied("g", 0.2)
		s.ANOVA = &lot.GaugeStudy{Trouble: trouble, Tolerance: 6}
		if got := TroubleCure(s); !strings.HasPrefix(got, want) {
			t.Errorf("%v: %q, want %q", trouble, got, want)
		}
	}
}
