package lot

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

type gaugeReference struct {
	A, B, C   [][]float64 // trial, part
	Constants struct {
		K1 string `json:"K1_3_trials"`
		K2 string `json:"K2_3_appraisers"`
		K3 string `json:"K3_10_parts"`
	}
	Published struct {
		AverageRange map[string]string `json:"average_and_range"`
		ANOVA        map[string]string `json:"anova"`
	}
}

func publishedStudy(t *testing.T) (gaugeReference, []GaugeReading) {
	t.Helper()
	var ref gaugeReference
	readPublished(t, "aiag_msa_gauge_rr.json", &ref)
	var readings []GaugeReading
	for i, person := range [][][]float64{ref.A, ref.B, ref.C} {
		for _, trial := range person {
			for part, v := range trial {
				readings = append(readings, GaugeReading{fmt.Sprint(part + 1), string(rune('A' + i)), v})
			}
		}
	}
	return ref, readings
}

// checkPrintedShare asserts a share against a printed percentage.
func checkPrintedShare(t *testing.T, what string, share float64, printed string) {
	t.Helper()
	checkPrinted(t, what, 100*share, printed)
}

// Source: AIAG, Measurement Systems Analysis, chapter III section B, analysis of variance table.
func TestGaugeANOVAPublished(t *testing.T) {
	ref, readings := publishedStudy(t)
	s, err := GaugeANOVA(readings, 0)
	if err != nil {
		t.Fatal(err)
	}
	p, a := ref.Published.ANOVA, s.ANOVA
	for name, got := range map[string]float64{
		"SS_appraiser": a.Appraiser.SumOfSquares, "SS_parts": a.Part.SumOfSquares,
		"SS_interaction": a.Interaction.SumOfSquares, "SS_equipment": a.Equipment.SumOfSquares,
		"SS_total":     a.Total.SumOfSquares,
		"MS_appraiser": a.Appraiser.MeanSquare, "MS_parts": a.Part.MeanSquare,
		"MS_interaction": a.Interaction.MeanSquare, "MS_equipment": a.Equipment.MeanSquare,
		"F_appraiser": a.Appraiser.F, "F_parts": a.Part.F, "F_interaction": a.Interaction.F,
		"EV": s.Equipment, "AV": s.Appraiser, "INT": s.Interaction, "PV": s.Part,
	} {
		checkPrinted(t, name, got, p[name])
	}
	// Printed GRR is the root of the squares of EV and AV as printed, so its last place is loose.
	if math.Abs(s.Gauge-number(t, p["GRR"])) > 2e-6 {
		t.Errorf("GRR %v, published %s", s.Gauge, p["GRR"])
	}
	for name, sd := range map[string]float64{
		"pct_EV": s.Equipment, "pct_AV": s.Appraiser, "pct_GRR": s.Gauge, "pct_PV": s.Part,
	} {
		checkPrintedShare(t, name, s.ShareOfTotal(sd), p[name])
	}
	checkPrintedShare(t, "contribution_GRR", square(s.ShareOfTotal(s.Gauge)), p["contribution_GRR"])
	checkPrintedShare(t, "contribution_PV", square(s.ShareOfTotal(s.Part)), p["contribution_PV"])
	if !a.Pooled {
		t.Error("the interaction was not pooled")
	}
}

// Source: NIST/SEMATECH e-Handbook, section 3.2.3.2: two operators on each of five machines. Operators within machines, of
// section 3.2.3.3, are operators and interaction together.
func TestGaugeANOVAOfTheEHandbook(t *testing.T) {
	var ref struct {
		Day, Night [][]float64
		Published  map[string]string
	}
	readPublished(t, "../published/nist_ehandbook_nested_pins.json", &ref)
	var readings []GaugeReading
	for o, operator := range [][][]float64{ref.Day, ref.Night} {
		for machine, pins := range operator {
			for _, pin := range pins {
				readings = append(readings, GaugeReading{fmt.Sprint(machine), fmt.Sprint(o), pin})
			}
		}
	}
	s, err := GaugeANOVA(readings, 0)
	if err != nil {
		t.Fatal(err)
	}
	a := s.ANOVA
	nested := a.Appraiser.SumOfSquares + a.Interaction.SumOfSquares
	for name, got := range map[string]float64{
		"SS_machine": a.Part.SumOfSquares, "SS_operator": a.Appraiser.SumOfSquares, "SS_interaction": a.Interaction.SumOfSquares,
		"SS_operator_within_machine": nested, "SS_residual": a.Equipment.SumOfSquares, "SS_total": a.Total.SumOfSquares,
		"MS_machine": a.Part.MeanSquare, "MS_operator_within_machine": nested / float64(a.Appraiser.DOF+a.Interaction.DOF), "MS_residual": a.Equipment.MeanSquare,
		"F_machine": a.Part.F, "F_operator": a.Appraiser.F, "F_interaction": a.Interaction.F,
	} {
		checkPrinted(t, name, got, ref.Published[name])
	}
	if !a.Pooled || s.Appraiser != 0 || a.Total.DOF != 49 {
		t.Errorf("operators who differ by less than their pins have components %+v", s.Variation)
	}
}

// Source: AIAG, Measurement Systems Analysis, chapter III section B, report. Printed EV, AV and PV
// are products of rounded figures; every figure before the rounding is asserted as printed, and the
// results within what that rounding can do.
func TestGaugeAverageRangePublished(t *testing.T) {
	ref, readings := publishedStudy(t)
	s, err := GaugeAverageRange(readings, 0)
	if err != nil {
		t.Fatal(err)
	}
	p := ref.Published.AverageRange
	table, err := newTable(readings, 0)
	if err != nil {
		t.Fatal(err)
	}
	checkPrinted(t, "K1", 1/rangeDivisor(3, 30), ref.Constants.K1)
	checkPrinted(t, "K2", 1/rangeDivisor(3, 1), ref.Constants.K2)
	checkPrinted(t, "K3", 1/rangeDivisor(10, 1), ref.Constants.K3)
	checkPrinted(t, "mean range", table.meanRange(), p["R_bar_bar"])
	checkPrinted(t, "range of parts", extent(table.partMeans()), p["R_p"])
	// The printed difference of persons' means comes from means printed to four places.
	if got := extent(table.personMeans()); math.Abs(got-number(t, p["x_bar_diff"])) > 1e-4 {
		t.Errorf("persons differ by %v, published %s", got, p["x_bar_diff"])
	}
	for name, got := range map[string]float64{
		"EV": s.Equipment, "AV": s.Appraiser, "GRR": s.Gauge, "PV": s.Part, "TV": s.Total,
	} {
		// Factors and ranges with four figures are within 1.5 parts in 10000 each.
		if want := number(t, p[name]); math.Abs(got/want-1) > 3e-4 {
			t.Errorf("%s = %v, published %v", name, got, want)
		}
	}
	for name, sd := range map[string]float64{
		"pct_EV": s.Equipment, "pct_AV": s.Appraiser, "pct_GRR": s.Gauge, "pct_PV": s.Part,
	} {
		// Percentages of the rounded results: one unit of the last printed place.
		if got := 100 * s.ShareOfTotal(sd); math.Abs(got-number(t, p[name])) > 0.01 {
			t.Errorf("%s = %v, published %s", name, got, p[name])
		}
	}
	if want := int(number(t, p["ndc"])); s.Categories != want {
		t.Errorf("ndc %d, published %d", s.Categories, want)
	}
}

// crossed simulates a study of 10 parts, 3 persons and 3 trials with these standard deviations.
func crossed(r *rand.Rand, part, person, interaction, equipment float64) []GaugeReading {
	persons := normalSample(r, 3, 0, person)
	var readings []GaugeReading
	for p := range 10 {
		size := 50 + part*r.NormFloat64()
		for a := range 3 {
			here := size + persons[a] + interaction*r.NormFloat64()
			for range 3 {
				readings = append(readings, GaugeReading{fmt.Sprint("part ", p), fmt.Sprint("person ", a), here + equipment*r.NormFloat64()})
			}
		}
	}
	return readings
}

// Over many studies the mean variance components are the true variances: the estimators are
// unbiased but for the clipping at 0, which these sizes hardly reach.
func TestGaugeANOVAFindsTruth(t *testing.T) {
	const studies = 600
	r := rand.New(rand.NewPCG(4, 2))
	var got, sq [4]float64
	for range studies {
		s, err := GaugeANOVA(crossed(r, 1, 0.8, 0.6, 0.3), 0)
		if err != nil {
			t.Fatal(err)
		}
		for i, sd := range []float64{s.Part, s.Appraiser, s.Interaction, s.Equipment} {
			got[i] += sd * sd / studies
			sq[i] += square(sd*sd) / studies
		}
	}
	for i, sd := range []float64{1, 0.8, 0.6, 0.3} {
		// Four standard errors of the mean, and 2 % of the variance for the clipping.
		limit := 4*math.Sqrt((sq[i]-square(got[i]))/studies) + 0.02*sd*sd
		if math.Abs(got[i]-sd*sd) > limit {
			t.Errorf("component %d: mean variance %v, true %v, limit %v", i, got[i], sd*sd, limit)
		}
	}
}

func TestGaugeTroubleNamesTheCause(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	for _, c := range []struct {
		person, interaction, equipment float64
		want                           Trouble
	}{
		{0, 0, 0.02, NoTrouble}, {0.1, 0.1, 2, GaugeTrouble}, {5, 0.1, 0.2, PersonTrouble}, {0, 2, 0.2, FeatureTrouble},
	} {
		s, err := GaugeANOVA(crossed(r, 1, c.person, c.interaction, c.equipment), 0)
		if err != nil || s.Trouble != c.want {
			t.Errorf("%+v: trouble %v, %v", c, s.Trouble, err)
			continue
		}
		gauge, person, feature := s.GaugeShares()
		most := map[Trouble]float64{GaugeTrouble: gauge, PersonTrouble: person, FeatureTrouble: feature}
		if math.Abs(gauge+person+feature-1) > 1e-12 || c.want != NoTrouble && most[c.want] < 0.5 { // rounding
			t.Errorf("%+v: shares %v, %v, %v", c, gauge, person, feature)
		}
	}
}

// The largest cause gives the trouble its name, whatever the others add up to.
func TestGaugeJudge(t *testing.T) {
	for _, c := range []struct {
		equipment, person, interaction float64
		want                           Trouble
	}{
		{3, 2.9, 2.9, GaugeTrouble}, {2.9, 3, 2.9, PersonTrouble}, {2.9, 2.9, 3, FeatureTrouble},
	} {
		s := &GaugeStudy{Appraisers: 3, Variation: Variation{Equipment: c.equipment, Appraiser: c.person, Interaction: c.interaction, Part: 1}}
		s.combine()
		s.judge()
		if s.Trouble != c.want || s.Categories != 1 {
			t.Errorf("%+v: %v, %d categories", c, s.Trouble, s.Categories)
		}
	}
}

func TestGaugeShareOfTolerance(t *testing.T) {
	_, readings := publishedStudy(t)
	without, err := GaugeANOVA(readings, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := without.ShareOfTolerance(1); ok || without.Trouble != PersonTrouble {
		t.Errorf("no tolerance: %+v", without)
	}
	wide, err := GaugeANOVA(readings, 100)
	if err != nil {
		t.Fatal(err)
	}
	share, ok := wide.ShareOfTolerance(wide.Gauge)
	if want := 6 * 0.302373 / 100; !ok || math.Abs(share-want) > 1e-6 || wide.Trouble != NoTrouble { // published GRR, six places
		t.Errorf("share %v, want %v; trouble %v", share, want, wide.Trouble)
	}
}

func TestGaugeStudyDoesNotMindOrder(t *testing.T) {
	_, readings := publishedStudy(t)
	for _, f := range []func([]GaugeReading, float64) (*GaugeStudy, error){GaugeANOVA, GaugeAverageRange} {
		a, errA := f(readings, 0)
		moved := make([]GaugeReading, len(readings))
		for i, j := range rand.New(rand.NewPCG(1, 1)).Perm(len(readings)) {
			moved[i] = readings[j]
			moved[i].Value += 30
		}
		b, errB := f(moved, 0)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		// Roundings at the size of 30, squared and summed.
		if math.Abs(a.Gauge-b.Gauge) > 1e-10 || math.Abs(a.Part-b.Part) > 1e-10 {
			t.Errorf("%+v became %+v", a.Variation, b.Variation)
		}
	}
}

func TestGaugeOnePerson(t *testing.T) {
	_, readings := publishedStudy(t)
	var alone []GaugeReading
	for _, r := range readings {
		if r.Appraiser == "A" {
			alone = append(alone, r)
		}
	}
	anova, err := GaugeANOVA(alone, 0)
	if err != nil {
		t.Fatal(err)
	}
	ranges, err := GaugeAverageRange(alone, 0)
	if err != nil {
		t.Fatal(err)
	}
	// Published mean range of this person, three places, over d2* of ten ranges of three.
	if want := 0.184 / math.Hypot(1.693, 0.888/math.Sqrt(10)); math.Abs(ranges.Equipment-want) > 5e-4 {
		t.Errorf("EV %v, want %v", ranges.Equipment, want)
	}
	for _, s := range []*GaugeStudy{anova, ranges} {
		if s.Appraiser != 0 || s.Interaction != 0 || len(s.Warnings) != 1 || s.Equipment <= 0 || s.Part <= 0.5 {
			t.Errorf("%+v", s)
		}
	}
	if math.Abs(anova.Equipment/ranges.Equipment-1) > 0.2 { // two estimates from the same 20 degrees of freedom
		t.Errorf("EV %v by variance, %v by range", anova.Equipment, ranges.Equipment)
	}
}

// A gauge too coarse to scatter, with persons alike, leaves the parts alone.
func TestGaugeWithoutSpread(t *testing.T) {
	var readings []GaugeReading
	for p, size := range []float64{50.13, 50.37, 50.41, 50.97, 51.03, 49.89, 50.7} {
		for _, person := range []string{"A", "B", "C"} {
			for range 3 {
				readings = append(readings, GaugeReading{fmt.Sprint(p), person, size})
			}
		}
	}
	for _, f := range []func([]GaugeReading, float64) (*GaugeStudy, error){GaugeANOVA, GaugeAverageRange} {
		s, err := f(readings, 0)
		if err != nil || s.Trouble != NoTrouble || s.Gauge != 0 || s.Part == 0 || s.Categories != 0 {
			t.Errorf("%+v, %v", s, err)
		}
	}
}

func TestGaugeEdges(t *testing.T) {
	_, good := publishedStudy(t)
	for name, bad := range map[string][]GaugeReading{
		"none":        nil,
		"one":         good[:1],
		"one trial":   good[:10],
		"one short":   good[:len(good)-1],
		"one over":    append([]GaugeReading{good[0]}, append(good[1:len(good):len(good)], GaugeReading{"2", "B", 1})...),
		"extra part":  append([]GaugeReading{{"11", "A", 1}, {"11", "A", 2}, {"11", "A", 1}}, good...),
		"not numbers": append([]GaugeReading{{"1", "A", math.NaN()}}, good[1:]...),
	} {
		for _, f := range []func([]GaugeReading, float64) (*GaugeStudy, error){GaugeANOVA, GaugeAverageRange} {
			if _, err := f(bad, 0); err == nil {
				t.Errorf("%s: no error", name)
			}
		}
	}
	if _, err := GaugeANOVA(good[:len(good)-1], 0); err == nil || !strings.Contains(err.Error(), "unbalanced") {
		t.Errorf("one reading short: %v", err)
	}
	if _, err := GaugeANOVA(good, -1); err == nil {
		t.Error("no error for a negative tolerance")
	}
	equal := make([]GaugeReading, len(good))
	for i, r := range good {
		r.Value = 0.1
		equal[i] = r
	}
	for _, f := range []func([]GaugeReading, float64) (*GaugeStudy, error){GaugeANOVA, GaugeAverageRange} {
		s, err := f(equal, 0)
		if err != nil || s.Trouble != TroubleUnknown || s.Total != 0 || s.Categories != 0 || len(s.Warnings) != 1 {
			t.Errorf("all equal: %+v, %v", s, err)
		}
	}
}
