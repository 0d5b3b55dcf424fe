package main

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"neckfit/fit"
	"neckfit/measure"
)

// checked is the committed batch as the program checks it.
func checked(t *testing.T) map[string]*fit.Result {
	t.Helper()
	b, err := measure.Open(demoFolder, measure.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	kits, err := b.All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	results := map[string]*fit.Result{}
	for _, k := range kits {
		results[k.Name] = fit.Check(k, fit.Options{Limits: b.Limits, Compensation: b.Compensation()})
	}
	return results
}

// verdict is the kit's: its worst characteristic.
func (s story) verdict() fit.Verdict {
	switch {
	case len(s.fail) > 0:
		return fit.Fail
	case len(s.unsure) > 0:
		return fit.Unsure
	case slices.Contains(s.missing, "centre-line-error"):
		return fit.Incomplete
	}
	return fit.Pass
}

// with lists the characteristics that have the verdict, in the report's order.
func with(r *fit.Result, v fit.Verdict) []string {
	var names []string
	for _, c := range r.Characteristics {
		if c.Verdict == v {
			names = append(names, c.ID.String())
		}
	}
	return names
}

func TestDeliveryHasGoodFaultyAndDoubtfulKits(t *testing.T) {
	count := map[fit.Verdict]int{}
	for _, s := range stories[:24] {
		// A kit that lacks readings is no example of a good one.
		if s.plan == nil && s.missing == nil {
			count[s.verdict()]++
		}
	}
	if count[fit.Pass] < 7 || count[fit.Fail] < 12 || count[fit.Unsure] < 2 {
		t.Errorf("%v", count)
	}
	for _, name := range []string{"EC-01", "DF-01"} {
		if of(t, name).verdict() != fit.Pass {
			t.Errorf("%s is to be good", name)
		}
	}
}

func TestEachKitTellsItsStory(t *testing.T) {
	results := checked(t)
	if len(results) != len(stories) {
		t.Errorf("%d kits, want %d", len(results), len(stories))
	}
	for _, s := range stories {
		r := results[s.name]
		if r == nil {
			t.Errorf("%s is not in the batch", s.name)
			continue
		}
		if r.Verdict != s.verdict() {
			t.Errorf("%s: %v, want %v", s.name, r.Verdict, s.verdict())
		}
		if diff := cmp.Diff(s.fail, with(r, fit.Fail), cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s fails in\n%s", s.name, diff)
		}
		if diff := cmp.Diff(s.unsure, with(r, fit.Unsure), cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s is unsure in\n%s", s.name, diff)
		}
		// Edge checks and dry fits do not measure everything; what they do is package fit's to test. In these
		// kits every string has a saddle of its own, so nothing is left out of tune for want of one, and their
		// bodies have neither ferrules nor pickups nor a joint, their screws no length.
		if s.plan == nil {
			missing := slices.DeleteFunc(with(r, fit.NotMeasured), func(name string) bool {
				return slices.Contains([]string{"intonation-error", "ferrule-mismatch", "neck-screw-reach", "pickup-offset", "pocket-off-centre", "bridge-off-centre"}, name)
			})
			if diff := cmp.Diff(s.missing, missing, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("%s does not measure\n%s", s.name, diff)
			}
		}
		if named := len(r.Suspects) > 0; named != s.suspect {
			t.Errorf("%s: suspects %+v, want some: %v", s.name, r.Suspects, s.suspect)
		}
	}
}

// The kit of the slip, written again without it, says which line is wrong and what it should be.
func TestSlipIsNamedWithItsLineAndNearlyItsNumber(t *testing.T) {
	const name = "SSB-24"
	right := of(t, name)
	right.slip = nil
	at := slices.IndexFunc(stories, func(s story) bool { return s.name == name })
	meant := right.kit(rand.New(rand.NewPCG(seed, uint64(at)))).Readings
	var wrong []measure.Reading
	var truth float64
	for i, r := range readBatch(t)[name].Readings {
		if r.Offset != meant[i].Offset {
			wrong, truth = append(wrong, r), meant[i].Offset
		}
	}
	suspects := checked(t)[name].Suspects
	if len(wrong) != 1 || len(suspects) != 1 {
		t.Fatalf("%d wrong readings, suspects %+v, want one of each", len(wrong), suspects)
	}
	s := suspects[0]
	if s.Reading.Place != wrong[0].Place || s.Read != wrong[0].Offset {
		t.Errorf("suspect %+v, want line %d, read as %g", s, wrong[0].Place.Line, wrong[0].Offset)
	}
	// The calliper's repeatability is 0.03 mm, of the reading and again of those it is held against.
	if math.Abs(s.Expected-truth) > 0.1 {
		t.Errorf("expected %g, was meant to be %g", s.Expected, truth)
	}
}
