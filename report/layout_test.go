package report

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/fit/pair"
	"neckfit/fit/study"
	"neckfit/measure"
)

// laid is a text of 100 columns.
func laid(lay func(*text)) string {
	page := newText(Options{})
	lay(page)
	return strings.Join(page.lines, "\n")
}

// want compares with a text written by hand, which begins with the end of a line.
func want(t *testing.T, got, text string) {
	t.Helper()
	if diff := cmp.Diff(strings.Split(strings.TrimPrefix(text, "\n"), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("(- by hand, + laid out)\n%s", diff)
	}
}

func TestLotByHand(t *testing.T) {
	l := &delivery.Lot{
		Name: "first", Supplier: "A", Kits: 20, Verdicts: [fit.Fail + 1]int{fit.Pass: 15, fit.Fail: 4, fit.Unsure: 1},
		Failing: []delivery.Failing{{Name: "bridge-skew", Class: measure.Major, Fail: 3, Unsure: 1}, {Name: "roll", Class: measure.Minor, Fail: 1}, {Name: "pitch", Unsure: 2}},
		Bad:     []string{"K1", "K2"},
		Acceptance: &delivery.Acceptance{
			Decision: delivery.Accept, Severity: sampling.Normal, Size: 50, Drawn: []string{"K1", "K7"},
			ByClass: []delivery.ClassAcceptance{
				{Class: measure.Critical},
				{Class: measure.Major, AQL: 2.5, Judged: true, Plan: sampling.Plan{Sample: 20, Accept: 1, Reject: 2, All: true}, Bad: 1, Open: 3, UnsureKits: []string{"K9"}, Outcome: sampling.Accepted},
			},
		},
		Processes: []*delivery.Process{
			{Name: "bridge-skew", Dimension: measure.Angle, Class: measure.Major, N: 20, Mean: 0.1234, SD: 0.2, Spread: &lot.Parts{Measurement: 0.05, Product: 0.19}, Product: lot.Index{Value: 0.9, Low: 0.61, High: math.Inf(1), Known: true},
				Tolerance: &lot.Interval{Low: -0.4, High: 0.6}, Capability: &lot.Capability{Cp: lot.Index{Value: 1.234, Low: 0.96, High: 1.54, Known: true}, Ppk: lot.Index{Value: 0.8, Low: 0.55, High: 1.05, Known: true}}},
			{Name: "scale-length", Dimension: measure.Length, N: 1, Mean: 762.034},
		},
	}
	want(t, laid(deliveryTable{&delivery.Report{Lots: []*delivery.Lot{l}, Seed: 3}}.toText), `
accept  first of A: the sample has no more bad kits than the plan allows. Set aside 2 kits that
        fail: K1, K2.
20 of 50 kits checked: 15 pass, 4 fail, 1 unsure.

Inspection: normal.
  class     AQL %  sample  accept  reject  bad  open  outcome
  critical      -       -       -       -    -     -  not inspected
  major       2.5      20       1       2    1     3  accepted
  Drawn with seed 3: K1, K7.
  Open in major characteristics, unsure or not all measured, not counted as good: they keep the
  decision open where they matter: K9.
  Risk, major: the plan looks at every kit, so no bad kit escapes by not being drawn.

What fails most:
  class        characteristic  fail  unsure
  major        bridge-skew        3       1  75 % of all failures
  minor        roll               1       0  25 % of all failures
  of no class  pitch              0       2

  characteristic  kits    mean  spread  gauges  product     95 % of kits  unit
  bridge-skew       20   0.123   0.200   0.050    0.190  -0.400 to 0.600  deg
  scale-length       1  762.03                                            mm

Notes:
  - scale-length: one kit tells nothing of a spread.

  capability   process              Cp  Cpk            Ppk    product
  bridge-skew  few kits  1.23 1.0..1.5    -  0.80 0.6..1.1  0.90 >0.6

Intervals are for 95 %; 95 % of kits: a normal tolerance interval. Spread: standard deviation.
Gauges: what of it is our own measuring; product: what is left. Cp and Cpk rest on the spread from
one kit to the next, Ppk on that of all kits; product is Ppk with our own measuring taken out of the
spread, its limits widened by what all readings share. AQL: the share of bad kits with which a
supplier still has most of his lots accepted; no licence to deliver so many. Plans: MIL-STD-105E,
single sampling.`)
}

func TestPairsByHand(t *testing.T) {
	good := &fit.Result{Verdict: fit.Pass, Characteristics: []fit.Characteristic{{ID: fit.SideBow, Verdict: fit.Pass, Lower: -1, Upper: 1}}}
	m := &pair.Match{
		Pairs: []pair.Pair{{Neck: "N1", Body: "B2", Result: good, Swap: &pair.Swap{Neck: "N22", Body: "B1", More: 2.6}},
			{Neck: "N22", Body: "B1", Result: good, Price: pair.Price{Minutes: 12.6}, Swap: &pair.Swap{Neck: "N4"}}},
		Necks: 5, Bodies: 2, Ready: 2, Minutes: 12.6, Random: pair.Random{Minutes: 130, Impossible: 0.96}, Bridge: "BR",
		LoneNecks: []pair.Lone{{Name: "N3"}, {Name: "N4"}, {Name: "N5", Partner: pair.Partner{
			Strings: 4, Told: true, LeftHanded: true, Scale: 762, Sizes: []pair.Wanted{{Size: pair.PocketAtMouth, Lower: 63.55, Upper: 64}, {Size: pair.SaddlesFromEnd, Lower: 215.5, Upper: 226.456}},
		}}},
		Own: &pair.OwnPrice{Minutes: 25.7, Fewer: 1, Instead: []string{"B1", "B2", ""}, Obstacle: []pair.Obstacle{{}, {}, {Kind: pair.HeelTooWide}}},
	}
	want(t, laid(match{m, [][2]string{{"N1", "B2"}, {"N22", "B2"}, {"N3", "B1"}}}.toText), `
2 of 2 pairs need no work; 3 parts are left over. In all 13 min.
Matched by chance, the same parts would take 2 h 10 min on average and leave 1.0 pair that cannot be
made.
Your own: N1 with B2 in place of B1; N22 with B2 is what the best match has too; N3 with B1 cannot
be: the heel is too wide for the pocket. With that the whole takes 26 min more than the best match
and has 1 pair fewer.

neck  body  verdict  minutes      swap  what to do
N1    B2    pass           0  +3 (N22)  leave
N22   B1    pass          13   +0 (N4)  leave

Necks left over:
  - N5: one too many; it wants a left-handed body for 4 strings: pocket at its mouth 63.55 to 64.00
    mm; from the pocket's end to the outer saddles' front stops 215.50 to 226.46 mm (for a scale of
    762.0 mm)
  - one too many: N3, N4

The bridge BR stands for every body without one of its own.
Swap: the cheapest exchange with another pair or a part left over, and the minutes that both then
take more. Minutes are of bench work, as costs.csv or common practice has them, with 10 for each mm
beyond a limit and up to 15 for a value so near one that it is to be read again. Values: of each
pair the characteristic that matters most. ± U is the expanded uncertainty for 95 % (k = 1.96).`)
}

func TestGaugesByHand(t *testing.T) {
	anova := &lot.GaugeStudy{Variation: lot.Variation{Equipment: 0.01, Appraiser: 0.02, Interaction: 0.005, Gauge: 0.0229129, Part: 0.2}, Tolerance: 0.45, Categories: 9, Trouble: lot.PersonTrouble}
	byRange := &lot.GaugeStudy{Variation: lot.Variation{Equipment: 0.011, Appraiser: 0.021, Gauge: 0.031, Part: 0.21}, Tolerance: 0.45}
	width := study.Tolerance{Width: 0.45, Of: "pocket-gap-end"}
	studies := []*study.Study{
		{Gauge: "calliper", Given: measure.Gauge{Repeatability: 0.05, Place: measure.Place{File: "gauges.csv", Line: 2}}, Label: "heel width", Tolerance: width, Places: 5, People: 2, Readings: 32, Left: 2, Within: 0.0123, DOF: 20, ANOVA: anova, Range: byRange},
		{Gauge: "rule", Tolerance: study.Tolerance{Width: 6, Of: "end-gap"}, Places: 1, People: 1, Readings: 4, Within: 0.12, DOF: 3},
	}
	want(t, laid(gaugeStudies(studies).toText), `
Mend calliper first (31 % of the tolerance at heel width): the trouble is the persons, who read
differently: agree on how to hold and read the gauge.

To write into gauges.csv:
gauge     repeatability  until now  reproducibility
calliper      0.0100 mm  0.0500 mm        0.0206 mm
rule           0.120 mm   0.000 mm         0.000 mm
neckfit gauge PATH --show gauges --out gauges.csv writes the table with these figures in it.

calliper, heel width: inadequate, 31 % of the tolerance (pocket-gap-end, 0.45 mm wide)
  32 readings of 5 places by 2 persons; 2 left out of the crossed study, which wants as many by
  everybody of every place.
  standard deviation  variance analysis  of tolerance  average and range
  repeatability               0.0100 mm          13 %          0.0110 mm
  reproducibility             0.0200 mm          27 %          0.0210 mm
  interaction                 0.0050 mm           7 %           0.000 mm
  measurement                 0.0229 mm          31 %          0.0310 mm
  parts                        0.200 mm         267 %           0.210 mm
  Of the measurement's variance 19 % is the gauge's, 76 % the persons', 5 % the feature's: the
  trouble is the persons, who read differently: agree on how to hold and read the gauge.
  It can tell 9 classes of parts apart here (5 or more are wanted).

rule, all places: marginal, 12 % of the tolerance (end-gap, 6 mm wide)
  4 readings of 1 place by 1 person.
  Repeatability 0.120 mm from 3 repeats. No crossed study: no two places were read twice or more by
  everybody.

Shares are six standard deviations of the measurement against the tolerance; below 10 % a gauge is
adequate, above 30 % it is not (AIAG, Measurement Systems Analysis).
Not in gauges.csv, so that its step and greatest error are taken for granted: rule; common practice,
no source.`)
}
