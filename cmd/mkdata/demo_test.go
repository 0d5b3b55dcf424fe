package main

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

const demoFolder = "../../testdata/demo"

// readBatch reads the demoFolder batch as the program would.
func readBatch(t *testing.T) map[string]*measure.Kit {
	t.Helper()
	b, err := measure.Open(demoFolder, measure.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	all, err := b.All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	kits := map[string]*measure.Kit{}
	for _, k := range all {
		kits[k.Name] = k
	}
	return kits
}

func TestCommittedBatchIsReadWithoutAComplaint(t *testing.T) {
	kits := readBatch(t)
	if len(kits) != 28 {
		t.Errorf("%d kits, want 24 of loose parts, 2 edge checks and 2 dry fits", len(kits))
	}
	if !kits["SSB-13"].Info.LeftHanded || kits["SSB-12"].Info.LeftHanded {
		t.Error("SSB-13 alone is left-handed")
	}
	for _, r := range kits["SSB-23"].Readings {
		if r.Feature == measure.HeelEnd {
			t.Error("SSB-23 has a reading of its heel's end")
		}
	}
	for _, r := range kits["SSB-01"].Readings {
		if r.HasStation && r.StationGauge.Place.Line == 0 || (r.HasOffset || r.Size > 0) && r.Gauge.Place.Line == 0 {
			t.Errorf("line %d was not read with the workshop's own gauges", r.Place.Line)
		}
	}
}

func TestSlipIsOneOffsetWithItsDecimalsSwapped(t *testing.T) {
	at := func(o float64) measure.Reading {
		return measure.Reading{Feature: measure.EdgeTreble, Kind: measure.Offset, Offset: o}
	}
	got := withSwappedDigits([]measure.Reading{at(95.12), at(98.27), at(102.19)})
	want := []float64{95.12, 98.27, 102.91} // the first two have decimals one and five steps apart
	for i, r := range got {
		if r.Offset != want[i] { // both are the float64 nearest to two decimals
			t.Errorf("offset %d is %v, want %v", i, r.Offset, want[i])
		}
	}
}

// of is the story of one kit.
func of(t *testing.T, name string) story {
	t.Helper()
	for _, s := range stories {
		if s.name == name {
			return s
		}
	}
	t.Fatalf("no kit %s", name)
	return story{}
}

// shows is what a kit's parts have of a fault, of other random parts than the batch's.
func shows(t *testing.T, name string, fault func(simulate.Truth) float64) float64 {
	t.Helper()
	return fault(of(t, name).instrument(rand.New(rand.NewPCG(1, 1))).Truth())
}

func TestEachFaultIsWhatItsKitIsFor(t *testing.T) {
	for _, c := range []struct {
		kit   string
		fault func(simulate.Truth) float64
		least float64 // in mm or degrees
	}{
		{"SSB-03", func(t simulate.Truth) float64 { return t.CentreLineError }, 1.5},
		{"SSB-04", func(t simulate.Truth) float64 { return t.BridgeSkew }, 0.5},
		{"SSB-05", func(t simulate.Truth) float64 { return -t.PocketGapMouth }, 0.2},
		{"SSB-08", func(t simulate.Truth) float64 { return t.PocketGapEnd }, 0.7},
		{"SSB-08", func(t simulate.Truth) float64 { return t.PocketGapMouth - t.PocketGapEnd }, 0.5},
		{"SSB-09", func(t simulate.Truth) float64 { return -t.Pitch }, 0.8},
		{"SSB-10", func(t simulate.Truth) float64 { return -t.CornerReserve }, 1},
		{"SSB-11", func(t simulate.Truth) float64 { return 1 - t.SaddleReserveFront }, 0.5},
		{"SSB-14", func(t simulate.Truth) float64 { return t.ScaleLength - 762 }, 50},
		{"SSB-14", func(t simulate.Truth) float64 { return 1 - t.SaddleReserveBack }, 0.5},
		{"SSB-15", func(t simulate.Truth) float64 { return 2.5 - min(t.MarginBass, t.MarginTreble) }, 0.5},
		{"SSB-16", func(t simulate.Truth) float64 { return t.FretError }, 0.3},
		{"SSB-17", func(t simulate.Truth) float64 { return t.SideBow }, 0.4},
		{"SSB-18", func(t simulate.Truth) float64 { return t.BridgeHoleMismatch }, 0.5},
		{"SSB-18", func(t simulate.Truth) float64 { return t.StringHolePitch }, 0.5},
		{"SSB-19", func(t simulate.Truth) float64 { return t.NeckScrewMismatch }, 1},
		{"SSB-21", func(t simulate.Truth) float64 { return -t.CentreLineError }, 0.9},
		{"SSB-22", func(t simulate.Truth) float64 { return t.PocketGapMouth }, 0.45},
		{"EC-02", func(t simulate.Truth) float64 { return t.CentreLineError }, 1.5},
		{"DF-02", func(t simulate.Truth) float64 { return t.CentreLineError }, 1.5},
	} {
		if got := shows(t, c.kit, c.fault); got < c.least {
			t.Errorf("%s shows %.3f, want at least %g", c.kit, got, c.least)
		}
		if got := shows(t, "SSB-01", c.fault); got >= c.least {
			t.Errorf("an ordinary kit shows %.3f of what %s is for", got, c.kit)
		}
	}
}

func TestOrdinaryKitsAreGood(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for range 200 {
		// Half the trade's usual limits, so that a survey can tell: common practice, no source.
		v := ordinary(rng).Truth()
		if math.Abs(v.CentreLineError) > 0.5 || math.Abs(v.BridgeSkew) > 0.15 ||
			v.PocketGapMouth < 0.1 || v.PocketGapMouth > 0.45 || v.PocketGapEnd < 0.1 || v.PocketGapEnd > 0.45 ||
			v.MarginBass < 4 || v.MarginTreble < 4 || v.SaddleReserveFront < 2 || v.SaddleReserveBack < 4 ||
			math.Abs(v.FretPlaneHeight-10.5) > 1.5 || math.Abs(v.Pitch) > 0.25 {
			t.Errorf("an ordinary kit is off: %+v", v)
		}
	}
}
