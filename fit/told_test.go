package fit

import (
	"math"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// Numbers of kits.csv are lengths that people know in inches, or count wrongly by a digit. Each is named with its row, and what rests on it
// is not judged; all else is as it was.
func TestWhatKitsTellIsComparedToo(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.BoardRadius = 241.3
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true}))
	k.Info.Place = measure.Place{File: "kits.csv", Line: 7}
	k.Info.BodyThickness, k.Info.NeckScrewLength, k.Info.Action, k.Info.NutHeight = 42, 35, 2, 0.5
	for i := range k.Readings {
		k.Readings[i].Place = measure.Place{File: "readings.csv", Line: i + 2}
	}
	sound := Check(k, Options{})
	if len(sound.Nonsense) > 0 || sound.Find(NeckScrewReach).Verdict == NotMeasured {
		t.Fatalf("%+v, and the screws' reach is %s", sound.Nonsense, sound.Find(NeckScrewReach).Verdict)
	}
	heights := []ID{SaddleHeightReserveLow, SaddleHeightReserveHigh}
	for _, c := range []struct {
		name string
		set  func(*measure.Info)
		slip Slip
		of   float64
		what Sense
		rest []ID // what rests on it
	}{
		{"scale in inches", func(i *measure.Info) { i.Scale = 30 }, Inches, 30, ScaleOfFrets, []ID{ScaleLength}},
		{"scale in centimetres", func(i *measure.Info) { i.Scale = 76.2 }, Centimetres, 76.2, ScaleOfFrets, []ID{ScaleLength}},
		{"radius in inches", func(i *measure.Info) { i.BoardRadius = 9.5 }, Inches, 9.5, RadiusOfBoard, append([]ID{FretPlaneHeight, HeelThickness, NeckScrewReach}, heights...)},
		{"action, a digit too many", func(i *measure.Info) { i.Action = 20 }, DecimalPoint, 20, ActionWanted, heights},
		{"nut height", func(i *measure.Info) { i.NutHeight = 3.5 }, DecimalPoint, 3.5, HeightAtNut, heights},
		{"thickness in inches", func(i *measure.Info) { i.BodyThickness = 1.75 }, Inches, 1.75, ThicknessOfBody, []ID{NeckScrewReach}},
		{"thickness in centimetres", func(i *measure.Info) { i.BodyThickness = 4.2 }, Centimetres, 4.2, ThicknessOfBody, []ID{NeckScrewReach}},
		{"screws' length", func(i *measure.Info) { i.NeckScrewLength = 450 }, DecimalPoint, 450, ScrewLength, []ID{NeckScrewReach}},
		{"neck screws in inches", func(i *measure.Info) { i.NeckScrew = 0.177 }, OutOfRange, 0.177, ScrewDiameter, []ID{NeckScrewMismatch}},
		{"bridge screws, a digit too many", func(i *measure.Info) { i.BridgeScrew = 29 }, DecimalPoint, 29, ScrewDiameter, nil},
		{"spread in inches", func(i *measure.Info) { i.NutSpread = 1.34 }, Inches, 1.34, StringSpread, nil}, // the slots were read
		{"slant", func(i *measure.Info) { i.Slant = 200 }, DecimalPoint, 200, SlantOfSaddles, []ID{BridgeSkew}},
		{"a blank", func(i *measure.Info) { i.NutHeight = 0 }, 0, 0, 0, nil},
		{"a flat board", func(i *measure.Info) { i.BoardRadius = math.Inf(1) }, 0, 0, 0, nil},
	} {
		told := *k
		c.set(&told.Info)
		r := Check(&told, Options{})
		if c.of == 0 {
			if len(r.Nonsense) > 0 {
				t.Errorf("%s: %+v", c.name, r.Nonsense)
			}
			continue
		}
		if len(r.Nonsense) != 1 || r.Nonsense[0].What != c.what || r.Nonsense[0].Slip != c.slip || r.Nonsense[0].Value != c.of || r.Nonsense[0].Row() != k.Info.Place || r.Verdict < Implausible {
			t.Errorf("%s: %s with %+v", c.name, r.Verdict, r.Nonsense)
		}
		for id := range characteristics {
			was, is := sound.Find(id), r.Find(id)
			switch rests := slices.Contains(c.rest, id); {
			case rests && is.Verdict != Implausible:
				t.Errorf("%s: %s is %s, %.3f from %v to %v", c.name, id, is.Verdict, is.Value, is.Lower, is.Upper)
			case !rests && id != BridgeSkew && id != BridgeHoleMismatch && id != BridgeOffTurn && (is.Verdict != was.Verdict || math.Abs(is.Value-was.Value) > 1e-9 || is.Upper != was.Upper):
				t.Errorf("%s: %s is %s, %.3f, and was %s, %.3f", c.name, id, is.Verdict, is.Value, was.Verdict, was.Value)
			}
		}
	}
}

// The ends of what is plausible, and both scales of a fan where one of them cannot be so.
func TestEndsOfWhatKitsTell(t *testing.T) {
	for _, c := range []struct {
		what      Sense
		low, high float64
		set       func(*measure.Info, float64)
	}{
		{ScaleOfFrets, 400, 1000, func(i *measure.Info, v float64) { i.Scale = v }}, {RadiusOfBoard, 120, 1500, func(i *measure.Info, v float64) { i.BoardRadius = v }},
		{ActionWanted, 0.5, 6, func(i *measure.Info, v float64) { i.Action = v }}, {HeightAtNut, 0.1, 3, func(i *measure.Info, v float64) { i.NutHeight = v }},
		{SlantOfSaddles, -100, 100, func(i *measure.Info, v float64) { i.Slant = v }}, {ThicknessOfBody, 25, 70, func(i *measure.Info, v float64) { i.BodyThickness = v }},
		{ScrewDiameter, 1, 8, func(i *measure.Info, v float64) { i.NeckScrew = v }}, {ScrewDiameter, 1, 8, func(i *measure.Info, v float64) { i.BridgeCore = v }},
		{ScrewLength, 6, 120, func(i *measure.Info, v float64) { i.BridgeScrewLength = v }}, {StringSpread, 15, 130, func(i *measure.Info, v float64) { i.NutSpread = v }},
	} {
		for v, sound := range map[float64]bool{c.low: true, c.low - 0.01: false, c.high: true, c.high + 0.01: false} {
			k := &measure.Kit{}
			c.set(&k.Info, v)
			if list := new(sense).nonsense(k); (len(list) == 0) != sound || !sound && list[0].What != c.what {
				t.Errorf("%v of %v: %+v", v, c.what, list)
			}
		}
	}
	k := &measure.Kit{Info: measure.Info{ScaleBass: 34, ScaleTreble: 762}}
	sound, touched := apart(k, new(sense).nonsense(k))
	if i := sound.Info; i.ScaleBass != 0 || i.ScaleTreble != 0 {
		t.Errorf("of a fan whose one scale cannot be so the other is left: %v and %v", i.ScaleBass, i.ScaleTreble)
	}
	if i := touched.Info; i.ScaleBass < 400 || i.ScaleTreble != 762 {
		t.Errorf("with something else in its place: %v and %v", i.ScaleBass, i.ScaleTreble)
	}
	k.Info.ScaleBass = 800
	if sound, _ := apart(k, nil); sound.Info.ScaleBass != 800 || sound.Info.ScaleTreble != 762 {
		t.Errorf("a fan that can be so is left out: %+v", sound.Info)
	}
}
