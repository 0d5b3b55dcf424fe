package words

import (
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/pair"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// said holds sentences against those that a person would write: got, want.
func said(t *testing.T, cases ...[2]string) {
	t.Helper()
	for _, c := range cases {
		if c[0] != c[1] {
			t.Errorf("\n  said   %q\n  wanted %q", c[0], c[1])
		}
	}
}

// A match is told by its pairs: one is one, several are several, and what is not there is not told of.
func TestPairHeadline(t *testing.T) {
	lone := []pair.Lone{{Name: "N9"}}
	said(t,
		[2]string{PairHeadline(&pair.Match{Necks: 2, Bodies: 1}), "No pair can be made of 2 necks and 1 body."},
		[2]string{PairHeadline(&pair.Match{Necks: 1}), "No pair can be made of 1 neck and 0 bodies."},
		[2]string{PairHeadline(&pair.Match{Pairs: make([]pair.Pair, 1), Ready: 1}), "1 of 1 pair needs no work. In all 0 min."},
		[2]string{
			PairHeadline(&pair.Match{Pairs: make([]pair.Pair, 3), Ready: 1, Work: 1, Doubt: 1, LoneNecks: lone, Minutes: 75.4}),
			"1 of 3 pairs needs no work, 1 wants work, 1 wants another reading; 1 part is left over. In all 1 h 15 min.",
		},
		[2]string{
			PairHeadline(&pair.Match{Pairs: make([]pair.Pair, 7), Ready: 3, Work: 2, Doubt: 2, LoneNecks: lone, LoneBodies: lone, Minutes: 59.6}),
			"3 of 7 pairs need no work, 2 want work, 2 want another reading; 2 parts are left over. In all 1 h 00 min.",
		},
		[2]string{PairHeadline(&pair.Match{Pairs: make([]pair.Pair, 2), Work: 2, Minutes: 30}), "0 of 2 pairs need no work, 2 want work. In all 30 min."},
		[2]string{PairSaving(&pair.Match{Random: pair.Random{Minutes: 9}}), ""},
		[2]string{PairSaving(&pair.Match{Pairs: make([]pair.Pair, 2), Random: pair.Random{Minutes: 130.4}}), "Matched by chance, the same parts would take 2 h 10 min on average."},
		[2]string{
			PairSaving(&pair.Match{Pairs: make([]pair.Pair, 2), Random: pair.Random{Minutes: 45, Impossible: 1.04}}),
			"Matched by chance, the same parts would take 45 min on average and leave 1.0 pair that cannot be made.",
		},
		[2]string{
			PairSaving(&pair.Match{Pairs: make([]pair.Pair, 2), Random: pair.Random{Minutes: 45, Impossible: 2.46}}),
			"Matched by chance, the same parts would take 45 min on average and leave 2.5 pairs that cannot be made.",
		},
		[2]string{CommonBridge(&pair.Match{}), ""},
		[2]string{CommonBridge(&pair.Match{Bridge: "BR"}), "The bridge BR stands for every body without one of its own."},
	)
}

// What to do with a pair, and the value that it is about with its side; where a reading cannot be so no work is named.
func TestPairAdvice(t *testing.T) {
	off := found(fit.CentreLineError, -1.5, -1, 1, fit.Fail, measure.Critical)
	near := found(fit.PocketGapEnd, 0.49, 0.05, 0.5, fit.Unsure, measure.Critical)
	odd := kitWith(off)
	odd.Verdict = fit.Implausible
	doubtful := kitWith(off)
	doubtful.Suspects = []fit.Suspect{{Reading: &measure.Reading{Place: measure.Place{File: "readings.csv", Line: 9}}}}
	reseat := &remedy.Plan{Actions: []remedy.Action{{Work: measure.Reseat}}, Minutes: 10, P: 0.9, Level: remedy.Reversible}
	for _, c := range []struct {
		pair pair.Pair
		want string
	}{
		{pair.Pair{Result: kitWith(found(fit.CentreLineError, 0.1, -1, 1, fit.Pass, measure.Critical))}, "leave"},
		{pair.Pair{Result: kitWith(off), Price: pair.Price{Actions: pair.Reseat}}, "re-seat the neck: centre-line-error 1.50 ± 0.20 mm toward bass"},
		{pair.Pair{Result: kitWith(off), Price: pair.Price{Actions: pair.Shim}, Plan: reseat}, "re-seat the neck (10 min, passes with 90.0 %): centre-line-error 1.50 ± 0.20 mm toward bass"},
		{pair.Pair{Result: doubtful, Price: pair.Price{Actions: pair.Drill}}, "read again first what does not agree; if that holds: plug and re-drill the neck screws: centre-line-error 1.50 ± 0.20 mm toward bass"},
		{pair.Pair{Result: doubtful, Plan: reseat}, "read again first what does not agree; if that holds: re-seat the neck (10 min, passes with 90.0 %): centre-line-error 1.50 ± 0.20 mm toward bass"},
		{pair.Pair{Result: doubtful, Price: pair.Price{Actions: pair.Read}}, "read again: centre-line-error 1.50 ± 0.20 mm toward bass"},
		{pair.Pair{Result: kitWith(near)}, "read again: pocket-gap-end 0.49 ± 0.20 mm"},
		{pair.Pair{Result: kitWith(near), Price: pair.Price{Actions: pair.Relieve}}, "read again before any wood is cut; if it holds, relieve a wall: pocket-gap-end 0.49 ± 0.20 mm"},
		{pair.Pair{Result: kitWith(near), Price: pair.Price{Actions: pair.Relieve}, Plan: reseat}, "re-seat the neck (10 min, passes with 90.0 %): pocket-gap-end 0.49 ± 0.20 mm"},
		{pair.Pair{Result: kitWith(near), Price: pair.Price{Actions: pair.Shim}}, "shim both walls: pocket-gap-end 0.49 ± 0.20 mm"},
		{pair.Pair{Result: kitWith(near), Plan: &remedy.Plan{Actions: []remedy.Action{{Work: measure.LevelFloor}}, Level: remedy.Trimmed, P: 0.9}}, "read again before any wood is cut; if it holds, level the pocket's floor (0 min, passes with 90.0 %): pocket-gap-end 0.49 ± 0.20 mm"},
		{pair.Pair{Result: kitWith(near), Plan: &remedy.Plan{P: 0.713}}, "read again (passes as it is with 71.3 %): pocket-gap-end 0.49 ± 0.20 mm"},
		{pair.Pair{Result: odd, Price: pair.Price{Actions: pair.Drill}, Plan: reseat}, "read again"},
		{pair.Pair{Result: kitWith(found(fit.CentreLineError, 0.1, -1, 1, fit.Pass, measure.Critical)), Price: pair.Price{Actions: pair.Ream}}, "open the neck screws' holes"},
	} {
		if got := PairAdvice(&c.pair); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	upper := strings.ToUpper
	said(t,
		[2]string{SwapWords(&pair.Pair{}, upper), ""},
		[2]string{SwapWords(&pair.Pair{Swap: &pair.Swap{Neck: "n2", Body: "b2", More: 7.6}}, upper), "+8 (N2)"},
		[2]string{SwapWords(&pair.Pair{Swap: &pair.Swap{Body: "b3"}}, upper), "+0 (B3)"},
	)
	line := func(n int) *measure.Reading {
		return &measure.Reading{Feature: measure.Nut, Kind: measure.Point, Datum: measure.DatumNeck, Place: measure.Place{File: "a/readings.csv", Line: n}}
	}
	accused := func(n int) fit.Result { return fit.Result{Suspects: []fit.Suspect{{Reading: line(n)}}} }
	one, two, three := accused(7), accused(9), accused(11)
	m := &pair.Match{
		Pairs:     []pair.Pair{{Neck: "N1", Body: "B2", Result: &one}, {Neck: "N2", Body: "B1", Result: kitWith(off)}},
		LoneNecks: []pair.Lone{{Name: "N3", Alone: two}}, LoneBodies: []pair.Lone{{Name: "", Alone: three}},
	}
	want := "N1 + B2: readings.csv line 7, nut point (neck)|N3: readings.csv line 9, nut point (neck)|(kit 2, without a name): readings.csv line 11, nut point (neck)"
	said(t, [2]string{strings.Join(PairReadAgain(m), "|"), want})
}

// The builder's own pairs cost what the whole then takes more, or less where fewer pairs are left.
func TestOwnPairs(t *testing.T) {
	own := [][2]string{{"N1", "B2"}, {"N2", "B5"}, {"N3", "B3"}, {"N4", "B7"}}
	m := &pair.Match{Own: &pair.OwnPrice{
		Minutes: 72.2, Fewer: 1, Instead: []string{"B1", "", "B3", "B9"},
		Obstacle: []pair.Obstacle{{}, {}, {}, {Kind: pair.HeelTooWide}},
	}}
	said(t,
		[2]string{OwnPairs(&pair.Match{}, own), ""},
		[2]string{OwnPairs(m, own), "Your own: N1 with B2 in place of B1; N2 with B5; N3 with B3 is what the best match has too; N4 with B7 cannot be: the heel is too wide for the pocket. " +
			"With that the whole takes 1 h 12 min more than the best match and has 1 pair fewer."},
	)
	less := &pair.Match{Own: &pair.OwnPrice{Minutes: -20, Fewer: 2, Instead: []string{"B1"}, Obstacle: make([]pair.Obstacle, 1)}}
	said(t, [2]string{OwnPairs(less, own[:1]), "Your own: N1 with B2 in place of B1. With that the whole takes 20 min less than the best match and has 2 pairs fewer."})
	less.Own.Minutes, less.Own.Fewer = -0.4, 0
	said(t, [2]string{OwnPairs(less, own[:1]), "Your own: N1 with B2 in place of B1. With that the whole takes 0 min more than the best match."})
}

// A part that is left over wants a partner of its hand, its strings and sizes that leave the gaps inside their limits.
func TestSuits(t *testing.T) {
	neck, body := pair.Lone{}, pair.Lone{}
	said(t, [2]string{Suits(&neck, true), ""}, [2]string{Suits(&body, false), ""})
	neck.Partner = pair.Partner{Strings: 4, Told: true}
	body.Partner = pair.Partner{Told: true, LeftHanded: true}
	said(t, [2]string{Suits(&neck, true), "wants a right-handed body for 4 strings"}, [2]string{Suits(&body, false), "wants a left-handed neck"})
	neck.Partner = pair.Partner{Sizes: []pair.Wanted{{Size: pair.PocketAtMouth, Lower: 62.251, Upper: 62.7}, {Size: pair.PocketAtEnd, Lower: 62, Upper: 62.456}}}
	body.Partner = pair.Partner{Strings: 5, Scale: 863.56, Sizes: []pair.Wanted{{Size: pair.NutFromEnd, Lower: 600, Upper: 601.5}}}
	said(t,
		[2]string{Suits(&neck, true), "wants a body: pocket at its mouth 62.25 to 62.70 mm; at its end 62.00 to 62.46 mm"},
		[2]string{Suits(&body, false), "wants a neck for 5 strings: from nut to heel's end 600.00 to 601.50 mm (for a scale of 863.6 mm)"},
	)
}

// Who cannot see the drawing of a pair is told its gaps, bass before treble, and on which side the bridge lies.
func TestPairLabel(t *testing.T) {
	e := found(fit.CentreLineError, -0.75, -1, 1, fit.Pass, measure.Critical)
	gaps := "Pocket with the heel in it, gaps magnified. At the mouth 0.10 mm on the bass side and 0.30 on the treble side; at the end 0.20 and 0.40."
	said(t,
		[2]string{PairLabel([2]float64{0.1, 0.2}, [2]float64{0.3, 0.4}, nil), gaps},
		[2]string{PairLabel([2]float64{0.1, 0.2}, [2]float64{0.3, 0.4}, &e), gaps + " Behind it the bridge lies 0.75 ± 0.20 mm toward bass of the neck's centre line."},
	)
	built, own := &measure.Gauge{ID: "rule"}, &measure.Gauge{ID: "ver150", Place: measure.Place{File: "gauges.csv", Line: 2}}
	m := &pair.Match{Pairs: []pair.Pair{{Result: &fit.Result{Gauges: []*measure.Gauge{built, own}}}, {Result: &fit.Result{Gauges: []*measure.Gauge{{ID: "feeler"}, built}}}}}
	said(t,
		[2]string{AssumedByName(PairAssumed(m)), "Gauges taken for granted in some kits, since gauges.csv has none: rule and feeler; common practice, no source."},
		[2]string{AssumedByName(nil), ""},
	)
}
