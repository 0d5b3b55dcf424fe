package fit

import (
	"math"
	"slices"
	"testing"

	"neckfit/measure"
)

// How often to read a part of the variance for the rest to be small enough: what is left of the wanted variance beside the other parts
// holds the part so many times over; never less than twice, and ten times at the most.
func TestHowOftenToRead(t *testing.T) {
	for _, c := range []struct {
		part, variance, want float64
		times                int
	}{
		{8, 10, 2, 4}, {8, 10, math.Sqrt(3.9), 5}, {8, 10, 3, 2}, {8, 10, math.Sqrt2, 11}, {8, 10, 1.4, 11}, {8, 10, math.Sqrt(2.81), 10}, {8, 10, math.Sqrt(2.79), 11},
		{5, 5, 5, 2}, {5, 5, 1, 5}, {5, 5, 0.99, 6}, {0, 5, 1, 11},
	} {
		if got := repeats(c.part, c.variance, c.want); got != c.times {
			t.Errorf("%v of %v for %v: %d times, by hand %d", c.part, c.variance, c.want, got, c.times)
		}
	}
}

// What would decide a value: as few readings as will do, the largest first; what a gauge adds, a place's form and a doubt no repeating
// makes smaller. 0.1645 from the limit wants an uncertainty of a tenth.
func TestAdviceByHand(t *testing.T) {
	var r [6]*measure.Reading
	for i := range r {
		r[i] = &measure.Reading{Place: measure.Place{Line: i + 2}}
	}
	of := func(i int, std float64) Contribution { return Contribution{Reading: r[i], Std: std} }
	gauge, form, doubt := Contribution{Gauge: steel, Std: 0.05}, Contribution{Reading: r[5], Form: true, Std: 0.05}, Contribution{Reading: r[5], Doubt: true, Std: 0.05}
	sum := func(budget []Contribution) (std float64) {
		for _, line := range budget {
			std = math.Hypot(std, line.Std)
		}
		return std
	}
	for _, c := range []struct {
		what   string
		budget []Contribution
		want   Advice
	}{
		{"one line", []Contribution{of(0, 0.199)}, Advice{Kind: Repeat, Readings: [mostNamed]*measure.Reading{r[0]}, Times: 4}},
		{"with a gauge", []Contribution{of(0, 0.2), gauge}, Advice{Kind: Repeat, Readings: [mostNamed]*measure.Reading{r[0]}, Times: 6}},
		{"form first", []Contribution{form, of(0, 0.12)}, Advice{Kind: Repeat, Readings: [mostNamed]*measure.Reading{r[0]}, Times: 2}},
		{"a doubt", []Contribution{of(0, 0.12), doubt}, Advice{Kind: Repeat, Readings: [mostNamed]*measure.Reading{r[0]}, Times: 2}},
		{"two are wanted", []Contribution{of(0, 0.1), of(1, 0.099)}, Advice{Kind: Repeat, Readings: [mostNamed]*measure.Reading{r[0], r[1]}, Times: 2}},
		{"four", []Contribution{of(0, 0.099), of(1, 0.099), of(2, 0.099), of(3, 0.09)}, Advice{Kind: Repeat, Readings: [mostNamed]*measure.Reading{r[0], r[1], r[2], r[3]}, Times: 4}},
		{"five", []Contribution{of(0, 0.08), of(1, 0.08), of(2, 0.08), of(3, 0.08), of(4, 0.08)}, Advice{Kind: Repeat, Readings: [mostNamed]*measure.Reading{r[0], r[1], r[2], r[3]}, Times: 8}},
		{"more than can be named", []Contribution{of(0, 0.099), of(1, 0.099), of(2, 0.099), of(3, 0.099), of(4, 0.099)},
			Advice{Kind: RepeatMost, Count: 5, Readings: [mostNamed]*measure.Reading{r[0], r[1], r[2], r[3]}, Times: 5}},
		{"a gauge too coarse", []Contribution{{Gauge: steel, Std: 0.11}, of(0, 0.02)}, Advice{Kind: BetterGauge, Readings: [mostNamed]*measure.Reading{r[0]}, Times: 10, U: 0.1}},
		{"nothing to repeat", nil, Advice{Kind: SmallerU, U: 0.1}},
		{"a string's compensation", []Contribution{{Compensation: true, Std: 0.5}, of(0, 0.1)}, Advice{Kind: GiveCompensation}},
	} {
		for _, value := range []float64{1 - 0.1*guard, -1 + 0.1*guard, 1 + 0.1*guard} {
			ch := Characteristic{Value: value, StdUncertainty: sum(c.budget), Lower: -1, Upper: 1}
			got := advise(&ch, c.budget)
			if math.Abs(got.U-c.want.U) > 1e-12 {
				t.Errorf("%s: u of %v", c.what, got.U)
			}
			if got.U = c.want.U; got != c.want {
				t.Errorf("%s, at %v: %+v", c.what, value, got)
			}
		}
	}
	if got := advise(&Characteristic{Value: 1, StdUncertainty: 0.1, Lower: -1, Upper: 1}, []Contribution{of(0, 0.1)}); got.Kind != OnLimit {
		t.Errorf("on the limit: %+v", got)
	}
}

// A budget's lines fall by what they weigh, those alike in the order of the readings, and none below a ten-thousandth; a string's
// compensation finds its place among them and changes all shares.
func TestLinesOfABudget(t *testing.T) {
	var l ledger
	l.uncertainty.Std = 2
	stds := []float64{0.5, 1, -1.5, 1 + 1e-10, 0.0199, 0.0201}
	for i, std := range stds {
		l.add(Contribution{Reading: &measure.Reading{Place: measure.Place{Line: i}}}, std)
	}
	var lines []int
	for _, c := range l.lines {
		lines = append(lines, c.Reading.Place.Line)
		about(t, "share", c.Share, stds[c.Reading.Place.Line]*stds[c.Reading.Place.Line]/4, 1e-12)
		about(t, "line", c.Std, stds[c.Reading.Place.Line], 0)
	}
	if !slices.Equal(lines, []int{2, 1, 3, 0, 5}) {
		t.Errorf("lines %v", lines)
	}
	budget := withCompensation([]Contribution{{Gauge: steel, Std: 0.4}, {Gauge: long, Std: -0.2}}, 0.3)
	var stdsLeft []float64
	for _, c := range budget {
		stdsLeft = append(stdsLeft, c.Std)
		about(t, "share", c.Share, c.Std*c.Std/0.29, 1e-12)
	}
	if !slices.Equal(stdsLeft, []float64{0.4, 0.3, -0.2}) || !budget[1].Compensation || budget[0].Compensation {
		t.Errorf("lines %v", stdsLeft)
	}
}

// The numbers of common practice that README tells: heights of strings, compensations by the number of strings, what those are good to, and
// what of an instrument may differ from its like.
func TestNumbersOfCommonPractice(t *testing.T) {
	for what, c := range map[string][2]float64{
		"action at fret 12": {actionAt12, 2}, "height at the nut": {nutHeight, 0.5}, "formula's": {formulaWithin, 0.3}, "rule's": {ruleWithin, 0.5}, "steel": {steelModulus, 200e3},
		"holes alike": {alikeHole, 0.12}, "in a row": {alikeRow, 0.17}, "sizes": {alikeSize, 0.15}, "gaps": {alikeGap, 0.2}, "heels": {alikeHeel, 2.5},
		"ends": {alikeEnd, 0.005}, "widths": {alikeWidth, 0.06}, "places": {alikePlace, 9}, "middles": {alikeMiddle, 3}, "behind the stop": {saddleBehind, 7.5},
		"saddles": {alikeSaddle, 8}, "far off": {farHole, 1.5}, "at first sight": {atFirstSight, 4}, "accused for nothing": {falseMisfit, 0.015}, "of what is alike": {falseUnlike, 0.005},
	} {
		about(t, what, c[0], c[1], 0)
	}
	for strings, want := range map[int][]float64{4: {0, 1.65, 3.68, 6.35}, 5: {0, 1.65, 3.68, 6.35, 9.7}, 6: {0, 0.33, 0.76, 0.33, 1.24, 2.4}, 3: {0, 0, 0}} {
		for i, c := range want {
			about(t, "compensation", Options{}.compensation(strings, i+1, 762, 2), c, 0)
		}
	}
	spec := measure.StringSpec{Core: 0.9, UnitWeight: 21, Pitch: 41.2}
	o := Options{Compensation: measure.Strings{2: 1.1}, Specs: map[int]measure.StringSpec{2: spec, 3: spec}}
	for mark, want := range map[int]float64{1: 0, 2: 1.1, 3: Compensation(spec, 762, 2.5), 4: 6.35} {
		about(t, "whose compensation", o.compensation(4, mark, 762, 2.5), want, 0)
	}
	about(t, "without a scale, the rule's", o.compensation(4, 3, 0, 2.5), 3.68, 0)
}
