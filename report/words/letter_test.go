package words

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
)

// The letter holds up what fails, part by part, and nothing that the readings cannot carry: no unsure kit, no part
// where two may be meant, no drift that one of our own people or gauges may have brought about.
func TestLetter(t *testing.T) {
	l := badLot()
	l.Verdicts[fit.Unsure], l.Verdicts[fit.Incomplete] = 1, 2
	l.Troubles[0].Off, l.Troubles[2].Off = []measure.Part{measure.BodyPart}, []measure.Part{measure.NeckPart, measure.BodyPart}
	l.Troubles[1].Suspect = []delivery.Row{{Place: measure.Place{File: "d/readings.csv", Line: 3}}} // which is not complained of
	l.Troubles[2].Suspect = []delivery.Row{{Place: measure.Place{File: "d/readings.csv", Line: 7}, Or: []int{9}}}
	l.Doubtful = slices.Clone(l.Troubles[1:3])
	l.Acceptance = &delivery.Acceptance{Decision: delivery.Reject, ByClass: []delivery.ClassAcceptance{
		{Class: measure.Critical, AQL: 0.65, Judged: true, Plan: sampling.Plan{Sample: 20}, Bad: 3, Outcome: sampling.Rejected},
	}}
	drift := &lot.Trend{Slope: 0.05, U: 0.005, First: 0, Last: 1.45}
	l.Processes = []*delivery.Process{
		{Name: "bridge-skew", Limited: true, Drifts: true, Trend: drift, N: 30, Dimension: measure.Angle},
		{Name: "pitch", Limited: true, Drifts: true, Trend: drift, N: 30, Split: &delivery.Split{Person: "Q", Kits: 12, Diff: 0.3, U: 0.1}, Dimension: measure.Length},
	}
	got := LetterTo(l, []string{"a calliper", "a rule"})
	want := &Letter{
		Hint: []string{
			"A draft: read it, change it, sign it. It claims no more than the gauges can carry.",
			"Before you send it: the 12 kits that Q read lie 0.30 ± 0.10 mm higher in pitch than the others: have a few of them read by somebody else with another gauge before the supplier is blamed.",
			"Before you send it, read again what does not agree with other readings, or leave out what rests on it: C (readings.csv line 7 or 9).",
		},
		Head: []string{"To the supplier of the parts: bodies A", "About lot May: 30 kits checked"},
		Opening: []string{
			"Good day,",
			"of 30 kits of lot May that we have checked 3 lie outside the limits that we work to, with at least 95 % certainty after our own measuring uncertainty is allowed for. What was found, kit by kit:",
		},
		Rows: [][]string{
			{"kit", "part", "characteristic", "found ± U", "limits"},
			{"A", "body", "centre-line-error", "1.500 ± 0.050 mm toward bass", "-1 to 1 mm"},
			{"C", "neck or body", "of another version", "2.000 ± 0.050 mm", "-1 to 1 mm"},
		},
		Closing: []string{
			"- centre-line-error: the distance of the bridge's middle from the neck's centre line",
			"Where two parts are named our readings do not tell which of them is off: together they are, and we claim no more than that.",
			"1 kit lies too near a limit for our gauges to say; we do not complain of it.",
			"2 kits were not measured in full; nothing is said of those.",
			"In the order in which we received the kits these are not steady, as a tool or a fixture that wears or moves would show:",
			"- bridge-skew: it drifts by 0.0500 ± 0.0050 deg a kit, up by 1.450 deg over the 30 kits",
			"By single sampling (MIL-STD-105E, normal inspection) the lot is not acceptable: 3 bad for critical characteristics among 20, 0 allowed.",
			"Measured with: a calliper; a rule. Figures are followed by their expanded uncertainty for 95 % (JCGM 100; verdicts after JCGM 106 and ISO 14253-1). " +
				"The limits are ours (common practice, no source) unless we have agreed on others.",
			"We ask you to say:", "- whether you find the same on parts that you kept;", "- whether you will replace the parts named, or prefer that we rework them at your cost;",
			"- what will be done so that the next lot holds.", "The parts are kept as they came until we hear from you.", "With kind regards",
		},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	l.Troubles = slices.DeleteFunc(l.Troubles, func(k *delivery.Trouble) bool { return k.Verdict == fit.Fail })
	l.Processes, l.Acceptance, l.Doubtful = nil, nil, nil
	good := LetterTo(l, nil)
	text := strings.Join(slices.Concat(good.Opening, good.Closing), " ")
	if good.Rows != nil || !strings.Contains(text, "none is known to lie outside") || !strings.Contains(text, "[name the gauges") || strings.Contains(text, "We ask") || len(good.Hint) != 1 {
		t.Errorf("%+v", good)
	}
}
