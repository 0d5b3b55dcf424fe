package words

import (
	"fmt"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

// What differs is told as it is here and as it was before, the built-in row where a table has none.
func TestOtherTerms(t *testing.T) {
	low, high := measure.Limit{Characteristic: "end-gap", Lower: 0.05, Upper: 0.4, Class: measure.Major}, measure.Limit{Characteristic: "end-gap", Lower: 0.1, Upper: open}
	cost := measure.Cost{Work: measure.Reseat, Minutes: 12.5, Price: 3, Worst: 0.2}
	own := &measure.Gauge{ID: "ver150", Resolution: 0.02, MaxError: 0.03, Repeatability: 0.01, Place: measure.Place{File: "gauges.csv", Line: 2}}
	edge := &measure.Gauge{ID: "straightedge", Repeatability: 0.05}
	said(t,
		[2]string{NoTerms("a.jsonl", "b"), "a.jsonl does not tell by which version, limits and gauges its kits were checked, b does: check them again by this version"},
		[2]string{OtherTerms("a", "b", OtherRule("simple", "guarded")), "a was checked otherwise than b, so that they are not one delivery: with --rule simple, not guarded"},
		[2]string{OtherVersion("v2", "v1"), "by v2, not by v1"},
		[2]string{OtherTable("stock.csv"), "with another stock.csv"},
		[2]string{OtherLimit(&low, &high), "limits.csv gives end-gap 0.05 to 0.4 major, not at least 0.1"},
		[2]string{OtherLimit(nil, &high), "limits.csv gives end-gap the built-in limit, not at least 0.1"},
		[2]string{OtherLimit(&low, nil), "limits.csv gives end-gap 0.05 to 0.4 major, not the built-in limit"},
		[2]string{OtherCost(&cost, nil), "costs.csv gives re-seat 12.5 minutes, a price of 3 and 0.2 mm at the worst, not the built-in cost"},
		[2]string{OtherCost(nil, &cost), "costs.csv gives re-seat the built-in cost, not 12.5 minutes, a price of 3 and 0.2 mm at the worst"},
		[2]string{GaugeLine(own), "ver150 (steps of 0.02 mm, at most 0.03 mm out, repeats to 0.01 mm)"},
		[2]string{OtherGauge(edge, own), "its gauge is straightedge (seats to 0.05 mm), taken for granted (common practice, no source), not ver150 (steps of 0.02 mm, at most 0.03 mm out, repeats to 0.01 mm)"},
		[2]string{OtherAim(nil, []string{"end-gap", "pitch"}), "kits of one lot are judged on everything, not on end-gap, pitch"},
		[2]string{OtherAim([]string{"pitch"}, nil), "kits of one lot are judged on pitch, not on everything"},
	)
	var twice [][3]string
	for i := range 7 {
		twice = append(twice, [3]string{fmt.Sprint("K", i), "a.csv", "b.csv"})
	}
	said(t,
		[2]string{Twice(twice[:1]), `kits are there twice, and would be judged twice: "K0" in a.csv and in b.csv`},
		[2]string{Twice(twice[3:]), `kits are there twice, and would be judged twice: "K3" in a.csv and in b.csv; "K4" in a.csv and in b.csv; "K5" in a.csv and in b.csv; "K6" in a.csv and in b.csv`},
	)
	if got := Twice(twice); !strings.HasSuffix(got, `"K4" in a.csv and in b.csv; and 2 more`) || strings.Contains(got, "K5") {
		t.Error(got)
	}
}

// What makes up an uncertainty is a reading, its place, the doubt about it, a gauge or the string.
func TestContribution(t *testing.T) {
	r := &measure.Reading{Feature: measure.Pocket, Kind: measure.Width, Datum: measure.DatumBody, Station: 40, HasStation: true}
	said(t,
		[2]string{Contribution(fit.Contribution{Reading: r}), "pocket width at station 40 mm (body)"},
		[2]string{Contribution(fit.Contribution{Reading: r, Form: true}), "what the place of pocket width at station 40 mm (body) may leave the ideal form by"},
		[2]string{Contribution(fit.Contribution{Reading: r, Doubt: true}), "doubt about pocket width at station 40 mm (body)"},
		[2]string{Contribution(fit.Contribution{Compensation: true}), "the string's compensation, by the built-in rule"},
		[2]string{Contribution(fit.Contribution{Gauge: &measure.Gauge{ID: "ver150"}}), "error common to all readings by ver150"},
	)
}

// A suspect has its place, what was read and what the others say; its rivals are named up to three.
func TestSuspectsInWords(t *testing.T) {
	at := func(line int) *measure.Reading {
		return &measure.Reading{Feature: measure.Fret, Mark: measure.Mark{Number: 7}, Kind: measure.Station, Datum: measure.DatumNeck, Place: measure.Place{File: "k/readings.csv", Line: line}}
	}
	s := fit.Suspect{Reading: at(12), Read: 250.5, Expected: 251.504, W: -4.25, Critical: 3.29}
	head := "k/readings.csv:12: fret 7 station (neck): read 250.5 mm, the others say 251.50 mm; residual -4.2 times its standard deviation, critical 3.3"
	said(t, [2]string{Suspect(&s), head}, [2]string{Disagrees(&s), "read 250.50 mm, the others say 251.50 mm; residual -4.2 times its standard deviation, critical 3.3"})
	s.Crooked = true
	said(t, [2]string{OrElse(&s), "; misread, or the part is off there: it is the part if it reads the same again"})
	s.Rivals = []*measure.Reading{at(9), at(31)}
	said(t, [2]string{OrElse(&s), "; misread, or the part is off there: it is the part if it reads the same again; or it is line 9 or 31, the readings cannot tell"})
	s.Crooked, s.Rivals = false, []*measure.Reading{at(9), at(31), at(33), at(40), at(41)}
	said(t, [2]string{Suspect(&s), head + "; or it is line 9 or 31 or 33 or 2 more, the readings cannot tell"})
	said(t,
		[2]string{OtherMissing(nil), ""},
		[2]string{OtherMissing([]string{"pitch", "roll"}), "Not measured either: pitch, roll. neckfit explain NAME says what to read for one."},
		[2]string{Class(measure.NoClass) + ", " + Class(measure.Critical), "of no class, critical"},
	)
}

// A glossary has the words that a page uses, each once and in the order in which they are listed, of the first meaning
// that is no feature's, kind's, datum's or work's.
func TestGlossary(t *testing.T) {
	var got []string
	for _, e := range Glossary("yield", "pitch", "height", "station", "pass", "no-such-word", "saddle") {
		got = append(got, e.Word+" ("+e.Group+")")
	}
	said(t, [2]string{strings.Join(got, ", "), "pitch (characteristic), pass (verdict), station (term), height (term), yield (lot and gauge)"})
	for _, list := range [][]string{KitTerms, LotTerms, GaugeTerms} {
		if n := len(Glossary(list...)); n != len(list) {
			t.Errorf("of %q %d are explained", list, n)
		}
	}
}
