package study

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

// published is the study of AIAG, Measurement Systems Analysis, chapter III section B: 10 parts, 3
// appraisers, 3 trials. The file says where its figures come from.
type published struct {
	A, B, C   [][]float64 // trial, part
	Published struct {
		AverageAndRange map[string]string `json:"average_and_range"`
	}
}

// The published readings, written into kits as a workshop would, give the published figures.
func TestPublishedStudyThroughReadings(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published-lot/aiag_msa_gauge_rr.json")
	if err != nil {
		t.Fatal(err)
	}
	var p published
	if err := json.Unmarshal(text, &p); err != nil {
		t.Fatal(err)
	}
	g := &measure.Gauge{ID: "cal"}
	var c Collection
	for part := range 10 {
		k := &measure.Kit{Name: fmt.Sprint("K", part)}
		for by, trials := range map[string][][]float64{"A": p.A, "B": p.B, "C": p.C} {
			for trial, values := range trials {
				k.Readings = append(k.Readings, measure.Reading{
					Datum: measure.DatumNeck, Feature: measure.Heel, Kind: measure.Width, Station: 20, HasStation: true,
					Size: 63.5 + values[part], Gauge: g, StationGauge: g, By: by, Trial: trial + 1,
				})
			}
		}
		c.Add(k)
	}
	studies := c.Judge(Tolerance{Width: 1, Of: "test"})
	if len(studies) != 1 || studies[0].Range == nil || studies[0].ANOVA == nil {
		t.Fatalf("studies %+v", studies)
	}
	s := studies[0]
	if s.Label != "heel width" || s.Places != 10 || s.People != 3 || s.Readings != 90 || s.Left != 0 {
		t.Errorf("study of %q: %d places, %d people, %d readings, %d left out", s.Label, s.Places, s.People, s.Readings, s.Left)
	}
	for name, got := range map[string]float64{"EV": s.Range.Equipment, "AV": s.Range.Appraiser, "GRR": s.Range.Gauge, "PV": s.Range.Part, "TV": s.Range.Total} {
		want, err := strconv.ParseFloat(p.Published.AverageAndRange[name], 64)
		if err != nil {
			t.Fatal(err)
		}
		// The manual's factors have four digits, so its results are good to about 2e-4 of them.
		if math.Abs(got-want) > 3e-4*want {
			t.Errorf("%s is %.5f, published %.5f", name, got, want)
		}
	}
}

// A gauge of known repeatability, persons of known bias: the study finds both.
func TestKnownTruthIsFound(t *testing.T) {
	const places, trials, repeat = 400, 3, 0.04
	rng := rand.New(rand.NewPCG(7, 1))
	g := &measure.Gauge{ID: "cal"}
	var c Collection
	for i := range places {
		k := &measure.Kit{Name: fmt.Sprint("K", i)}
		size := 60 + rng.NormFloat64()
		for _, by := range []string{"P", "Q"} {
			for trial := range trials {
				k.Readings = append(k.Readings, measure.Reading{
					Datum: measure.DatumBody, Feature: measure.Pocket, Kind: measure.Width, Station: 20, HasStation: true,
					Size: size + repeat*rng.NormFloat64(), Gauge: g, StationGauge: g, By: by, Trial: trial + 1,
				})
			}
		}
		c.Add(k)
	}
	s := c.Judge(Tolerance{Width: 1})[0]
	// 1600 degrees of freedom: a standard deviation is good to 1/sqrt(3200), 1.8 %; four times that.
	if got := s.Repeatability(); math.Abs(got-repeat) > 0.07*repeat {
		t.Errorf("repeatability %.4f, truly %.4f", got, repeat)
	}
	if math.Abs(s.Within-repeat) > 0.07*repeat || s.DOF != places*2*(trials-1) {
		t.Errorf("pooled %.4f from %d, truly %.4f from %d", s.Within, s.DOF, repeat, places*2*(trials-1))
	}
	if math.Abs(s.Share()-6*repeat) > 0.07*6*repeat { // of a tolerance of 1 mm
		t.Errorf("share %.3f, truly %.3f", s.Share(), 6*repeat)
	}
}

func reading(d measure.Datum, f measure.Feature, k measure.Kind, g, along *measure.Gauge, by string, trial int, station, offset, size float64) measure.Reading {
	return measure.Reading{
		Datum: d, Feature: f, Kind: k, Gauge: g, StationGauge: along, By: by, Trial: trial,
		Station: station, HasStation: true, Offset: offset, HasOffset: k == measure.Point || k == measure.Offset, Size: size,
	}
}

// A point counts for both gauges; places of several kinds give a study each and one over all.
func TestGaugesAndPlacesAreKeptApart(t *testing.T) {
	cal, rule := &measure.Gauge{ID: "cal"}, &measure.Gauge{ID: "rule"}
	k := &measure.Kit{Name: "K"}
	for trial := 1; trial <= 2; trial++ {
		d := 0.01 * float64(trial)
		for m := 1; m <= 2; m++ {
			hole := reading(measure.DatumBody, measure.BridgeScrew, measure.Point, cal, rule, "P", trial, 700+d, 30+d, 0)
			hole.Mark.Number = m
			k.Readings = append(k.Readings, hole)
		}
		for _, station := range []float64{10, 80} {
			k.Readings = append(k.Readings, reading(measure.DatumBody, measure.PocketBass, measure.Offset, cal, rule, "P", trial, station, 20+d, 0))
		}
	}
	once := reading(measure.DatumBody, measure.PocketTreble, measure.Offset, &measure.Gauge{ID: "other"}, rule, "P", 1, 10, 84, 0)
	k.Readings = append(k.Readings, once)
	var c Collection
	c.Add(k)
	var got []string
	for _, s := range c.Judge(Tolerance{Width: 1}) {
		got = append(got, fmt.Sprintf("%s/%s/%d", s.Gauge, s.Label, s.Places))
	}
	want := []string{"cal//4", "cal/bridge-screw point, offset/2", "cal/pocket-bass offset/2", "rule/bridge-screw point, station/2"}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("studies %q, want %q", got, want)
	}
}

func TestUnbalancedReadings(t *testing.T) {
	g := &measure.Gauge{ID: "cal"}
	var c Collection
	for i, trials := range []int{3, 3, 2, 1} {
		k := &measure.Kit{Name: fmt.Sprint("K", i)}
		for trial := range trials {
			k.Readings = append(k.Readings, reading(measure.DatumNeck, measure.Heel, measure.Width, g, g, "", trial+1, 20, 0, 63+0.01*float64(trial)))
		}
		c.Add(k)
	}
	s := c.Judge(Tolerance{Width: 1})[0]
	// Of three places that were repeated, 3 and 3 trials, or 2 each of three: both leave six readings.
	if s.Places != 3 || s.Readings != 8 || s.Left != 2 || s.ANOVA == nil || s.DOF != 5 {
		t.Errorf("%d places, %d readings, %d left out, %d degrees of freedom", s.Places, s.Readings, s.Left, s.DOF)
	}
}

func TestNarrowest(t *testing.T) {
	got, ok := Narrowest(nil, fit.BuiltInLimits(), fit.Characteristics())
	if !ok || got.Of != "pocket-gap-mouth" || math.Abs(got.Width-0.45) > 1e-12 { // 0.05 to 0.50
		t.Errorf("narrowest built-in tolerance is %+v", got)
	}
	user := []measure.Limit{
		{Characteristic: "pocket-gap-mouth", Lower: 0, Upper: 3}, {Characteristic: "pocket-gap-end", Lower: 0, Upper: 3},
		{Characteristic: "fret-error", Lower: -0.01, Upper: 0.01, Class: measure.Minor},
		{Characteristic: "roll", Lower: 0, Upper: 0.01}, // an angle
	}
	if got, ok = Narrowest(user, fit.BuiltInLimits(), fit.Characteristics()); !ok || got.Of != "centre-line-error" || got.Width != 2 {
		t.Errorf("with wider gaps it is %+v", got)
	}
	slit := []measure.Limit{{Characteristic: "pocket-gap-mouth", Lower: 0, Upper: 1e-319, Class: measure.Major}}
	if got, ok = Narrowest(slit, fit.BuiltInLimits(), fit.Characteristics()); !ok || got.Of != "pocket-gap-end" {
		t.Errorf("beside a limit of no width it is %+v", got)
	}
	if _, ok = Narrowest(nil, []measure.Limit{{Characteristic: "margin-bass", Lower: 2.5, Upper: math.Inf(1)}}, fit.Characteristics()); ok {
		t.Error("an open limit has a width")
	}
}

// What a study finds of one gauge goes into the table, and nothing else changes: three persons whose
// means lie at 0 and 0.2 mm either side read ten parts twice, a hundredth to and fro.
func TestGaugesTakeOverWhatWasFound(t *testing.T) {
	g := &measure.Gauge{ID: "cal", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.05}
	var c Collection
	for part := range 10 {
		k := &measure.Kit{Name: fmt.Sprint("K", part)}
		for i, by := range []string{"A", "B", "C"} {
			for trial := range 2 {
				size := 63 + 0.1*float64(part) + 0.2*float64(i-1) + 0.01*float64(2*trial-1)
				k.Readings = append(k.Readings, reading(measure.DatumNeck, measure.Heel, measure.Width, g, g, by, trial+1, 20, 0, size))
			}
		}
		c.Add(k)
	}
	other := measure.Gauge{ID: "rule", Repeatability: 0.1}
	list := Gauges([]measure.Gauge{*g, other}, c.Judge(Tolerance{Width: 1}))
	// Within: 0.01 either side of the mean of two, so 0.0002 with 30 degrees of freedom, pooled with the 18 of
	// an interaction that is nothing: sqrt(30 0.0002/48) = 0.0112. Between: the variance of three
	// means 0.2 apart is 0.04, less what repeats add to each mean of twenty, 0.0002/20.
	if list[0].Repeatability != 0.0112 || math.Abs(list[0].Reproducibility-0.2) > 1e-4 || list[0].MaxError != 0.03 {
		t.Errorf("%+v", list[0])
	}
	if list[1] != other {
		t.Errorf("%+v", list[1])
	}
}

// Ranges are for 25 parts at the most; with more the analysis of variance stands alone.
func TestMorePartsThanRangesAreGoodFor(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	g := &measure.Gauge{ID: "cal"}
	for _, parts := range []int{25, 26} {
		var c Collection
		for part := range parts {
			k := &measure.Kit{Name: fmt.Sprint("K", part)}
			for trial := range 2 {
				k.Readings = append(k.Readings, measure.Reading{
					Datum: measure.DatumNeck, Feature: measure.Heel, Kind: measure.Width, Size: 63 + rng.Float64(), Gauge: g, StationGauge: g, Trial: trial + 1,
				})
			}
			c.Add(k)
		}
		s := c.Judge(Tolerance{Width: 1})[0]
		if s.ANOVA == nil || (s.Range != nil) != (parts <= 25) {
			t.Errorf("%d parts: %+v", parts, s)
		}
	}
}

// repeats gives kits whose places were read so often by P and by Q.
func repeats(counts ...[2]int) *Collection {
	rng := rand.New(rand.NewPCG(3, 9))
	g := &measure.Gauge{ID: "cal"}
	var c Collection
	for i, n := range counts {
		k := &measure.Kit{Name: fmt.Sprint("K", i)}
		for at, by := range []string{"P", "Q"} {
			for trial := range n[at] {
				k.Readings = append(k.Readings, reading(measure.DatumBody, measure.Pocket, measure.Width, g, g, by, trial+1, 20, 0, 63+rng.NormFloat64()))
			}
		}
		c.Add(k)
	}
	return &c
}

// Of readings that are not balanced those take part that leave the most: as many trials of as many places as give the
// largest study, of two places at the least, read twice or more by everybody.
func TestTheLargestBalancedStudy(t *testing.T) {
	for _, c := range []struct {
		name    string
		counts  [][2]int
		used    int // readings
		readTwo bool
	}{
		{"as many trials as all have", [][2]int{{3, 3}, {3, 3}}, 12, true},
		{"three of five trials beat six of two", [][2]int{{5, 5}, {5, 5}, {5, 5}, {2, 2}, {2, 2}, {2, 2}}, 30, true},
		{"six of two beat two of five", [][2]int{{5, 5}, {5, 5}, {2, 2}, {2, 2}, {2, 2}, {2, 2}}, 24, true},
		{"whoever read least counts", [][2]int{{5, 2}, {5, 2}, {2, 9}}, 12, true},
		{"one place by itself is no study", [][2]int{{5, 5}, {5, 1}}, 0, true},
		{"read once", [][2]int{{1, 1}, {1, 1}}, 0, false},
	} {
		all := repeats(c.counts...).Judge(Tolerance{Width: 1})
		if len(all) > 0 != c.readTwo {
			t.Errorf("%s: %d studies", c.name, len(all))
			continue
		}
		if !c.readTwo {
			continue
		}
		s := all[0]
		if used := s.Readings - s.Left; (s.ANOVA != nil) != (c.used > 0) || s.ANOVA != nil && used != c.used {
			t.Errorf("%s: %d readings of %d, want %d", c.name, used, s.Readings, c.used)
		}
	}
}
