package simulate

import (
	"math"
	"testing"
)

// A workshop that does nothing leaves an instrument as it is, all but the way it lies.
func TestNothingDone(t *testing.T) {
	rng := seeded()
	for range 20 {
		in := Random(rng)
		want, w := in.Truth(), NewWorkshop(in)
		got := w.Truth()
		near(t, "centre-line error", w.Instrument().CentreLineError, in.CentreLineError, exact)
		for what, x := range map[string][2]float64{
			"gap at the mouth": {got.PocketGapMouth, want.PocketGapMouth}, "screws": {got.NeckScrewMismatch, want.NeckScrewMismatch}, "bridge": {got.BridgeHoleMismatch, want.BridgeHoleMismatch},
			"error": {got.CentreLineError, want.CentreLineError}, "skew": {got.BridgeSkew, want.BridgeSkew}, "front": {got.SaddleReserveFront, want.SaddleReserveFront},
		} {
			near(t, what, x[0], x[1], exact)
		}
	}
}

// Shims narrow a pocket and push the heel over by half of what one wall has more; a heel goes no farther than the play that is left. By hand: stations of gaps are
// 60 mm apart, the bridge stands 235 mm behind the latter.
func TestWallsAndSeats(t *testing.T) {
	in := ShortScaleBass() // a heel of 63.5
	in.PocketMouth, in.PocketEnd = 64.5, 64.5
	w := NewWorkshop(in)
	w.Wall(0, 0.4, 0.2)
	for _, c := range []struct{ toMouth, toEnd, mouth, end float64 }{{0, 0, 0.2, 0.1}, {0.1, -0.1, 0.3, 0}, {5, -5, 0.5, -0.3}, {-5, 5, -0.1, 0.5}} {
		w.Seat(c.toMouth, c.toEnd)
		got := w.Truth()
		near(t, "gap at the mouth", got.PocketGapMouth, 0.6, 0.01) // a turned heel is wider
		near(t, "gap at the end", got.PocketGapEnd, 0.8, 0.01)
		near(t, "pocket at the mouth", got.PocketWidthMouth, 64.1, exact)
		near(t, "pocket at the end", got.PocketWidthEnd, 64.3, exact)
		slope := (c.end - c.mouth) / 60
		near(t, "error at the bridge", got.CentreLineError, -(c.end+235*slope)/math.Hypot(1, slope), 1e-3) // of a heel that is laid by its middle
	}
	w.Wall(1, -0.3, -0.1) // wood off the treble wall
	w.Seat(0, 0)
	got := w.Truth()
	near(t, "scraped at the mouth", got.PocketGapMouth, 0.9, 0.01)
	near(t, "and at the end", got.PocketWidthEnd, 64.4, exact)
	near(t, "a pocket of", got.PocketWidthMouth, 64.4, exact)
	near(t, "and a gap of", got.PocketGapEnd, 0.9, 0.01)
	slope := (0.15 - 0.35) / 60
	near(t, "error at the bridge", got.CentreLineError, -(0.15 + 235*slope), 1e-3)
	lying := w.Lying(0.1, 0.1, 0.5)
	near(t, "aside", lying.CentreLineError-got.CentreLineError, -0.1, 1e-3)
	near(t, "off the end", lying.SaddleReserveFront-got.SaddleReserveFront, -0.5, 1e-3)
	near(t, "and back", w.Truth().CentreLineError, got.CentreLineError, exact)
	w.Seat(5, 5)
	near(t, "as far as it goes at the mouth", w.Instrument().MouthShift, 0.8, exact)
	near(t, "and at the end", w.Instrument().EndShift, 0.6, exact)
}

// A heel that is sawn off square slides in by as much, with the sides that it had there; its holes go with it.
func TestTrimmedHeels(t *testing.T) {
	in := ShortScaleBass()
	in.HeelEnd = 61.5
	before, w := in.Truth(), NewWorkshop(in)
	w.TrimHeel(2)
	got, is := w.Truth(), w.Instrument()
	width := func(in Instrument, d float64) float64 {
		return in.HeelEnd + (in.HeelMouth-in.HeelEnd)*d/in.HeelLength
	}
	for _, d := range []float64{0, 40, 74} {
		near(t, "width", width(is, d), width(in, d+2), exact)
	}
	near(t, "front", got.SaddleReserveFront-before.SaddleReserveFront, 2, exact)
	near(t, "back", got.SaddleReserveBack-before.SaddleReserveBack, -2, exact)
	near(t, "screws", got.NeckScrewMismatch, 2, exact)
	in.HeelHeading = 2
	w = NewWorkshop(in)
	w.TrimHeel(2)
	is = w.Instrument()
	near(t, "along", is.HeelStation-in.HeelStation, -2*math.Cos(2*math.Pi/180), exact)
	near(t, "aside", is.HeelSideways-in.HeelSideways, -2*math.Sin(2*math.Pi/180), exact)
	w.RoundHeel(1.5)
	w.SquarePocket(2)
	if is := w.Instrument(); is.HeelRadius != 7.5 || is.PocketRadius != 2 {
		t.Errorf("corners of %g and %g", is.HeelRadius, is.PocketRadius)
	}
}

// A wedge lifts the floor at one of the places where gaps are told and not at the other, a flat shim at both.
func TestWhatLiesUnderAHeel(t *testing.T) {
	floor := func(in Instrument, inset float64) float64 {
		return -in.PocketDepth - math.Tan(in.FloorPitch*math.Pi/180)*inset
	}
	for _, atEnd := range []bool{true, false} {
		in := ShortScaleBass()
		w := NewWorkshop(in)
		w.Wedge(0.6, atEnd)
		mouth, end := 0.6, 0.0
		if atEnd {
			mouth, end = end, mouth
		}
		near(t, "at the mouth", floor(w.Instrument(), 72)-floor(in, 72), mouth, exact)
		near(t, "at the end", floor(w.Instrument(), 12)-floor(in, 12), end, exact)
		w.Raise(0.3)
		near(t, "raised", floor(w.Instrument(), 72)-floor(in, 72), mouth+0.3, exact)
	}
}

// A bridge moves along and across the neck, however that lies, and leaves its holes; screwed to some of them again it lies where it was.
func TestMovedBridges(t *testing.T) {
	in := ShortScaleBass()
	in.HeelHeading, in.CentreLineError, in.BridgeSkew = 1, 0.2, 0.1
	before := NewWorkshop(in).Instrument()
	w := NewWorkshop(in)
	w.MoveBridge(1.5, -0.7, 0.5)
	is := w.Instrument()
	near(t, "along", is.BridgeStation-before.BridgeStation, 1.5, exact)
	near(t, "across", is.CentreLineError-before.CentreLineError, -0.7, exact)
	near(t, "turned", is.BridgeSkew-before.BridgeSkew, 0.5, exact)
	w.ShiftHole(2, 0.3, 0.4)
	w.ScrewBridge([]int{1, 3, 4, 5})
	is = w.Instrument()
	near(t, "back along", is.BridgeStation, before.BridgeStation, exact)
	near(t, "back across", is.CentreLineError, before.CentreLineError, exact)
	near(t, "turned back", is.BridgeSkew, before.BridgeSkew, exact)
	near(t, "a hole that wandered", w.Truth().BridgeHoleMismatch, 0.5, exact)
	// At its best on all five it pulls nowhere and turns nowhere.
	w.ScrewBridge([]int{1, 2, 3, 4, 5})
	var along, across, turn float64
	for mark, hole := range w.Holes() {
		at := w.bridge.out(in.BridgeScrews[mark-1])
		x, y := hole.Station-at.Station, hole.Offset-at.Offset
		along, across, turn = along+x, across+y, turn+at.Station*y-at.Offset*x
	}
	near(t, "pulled along", along, 0, exact)
	near(t, "pulled across", across, 0, exact)
	near(t, "turned by its holes", turn, 0, 1e-9)
	w.MoveBridge(3, 0, 0)
	w.BridgeHoles([]int{1, 2, 3, 4, 5})
	near(t, "drilled where it lies", w.Truth().BridgeHoleMismatch, 0, exact)
	w.MoveBridge(0, 3, 0)
	near(t, "moved off", w.Truth().BridgeHoleMismatch, 3, exact)
}

// Holes go where they are drilled: behind the pocket's end and beside the centre line, the straight bass's at (254, 26); through the body's into the heel.
func TestDrilledHoles(t *testing.T) {
	in := ShortScaleBass()
	w := NewWorkshop(in)
	w.ShiftHole(1, 5, 4)
	near(t, "wandered along", w.Holes()[1].Station, 259, exact)
	near(t, "wandered across", w.Holes()[1].Offset, 30, exact)
	w.DrillBridge(1, 254, 26)
	near(t, "drilled anew", w.Truth().BridgeHoleMismatch, 0, exact)
	near(t, "behind", w.Holes()[1].Station, 254, exact)
	near(t, "beside", w.Holes()[1].Offset, 26, exact)
	w.DrillHeel(3, 0.3, 0.4)
	near(t, "drilled off along", w.heelHoles[3].Station, 536-12+0.3, exact)
	near(t, "drilled off across", w.heelHoles[3].Offset, 19.4, exact)
	near(t, "drilled off by 0.5", w.Truth().NeckScrewMismatch, 0.5, exact)
	w.DrillHeel(3, 0, 0)
	near(t, "drilled through", w.Truth().NeckScrewMismatch, 0, exact)
	// An end askew lies farther ahead on the treble side, where the neck is pushed.
	in.PocketMouth, in.PocketEnd, in.PocketEndAngle, in.HeelEndAngle = 65.5, 65.5, 1, 1
	w = NewWorkshop(in)
	w.Seat(0.9, 0.9)
	w.DrillBridge(2, 100, -10)
	near(t, "behind an end askew", w.Holes()[2].Station, 100-0.9*math.Tan(math.Pi/180), exact)
	near(t, "beside a neck pushed aside", w.Holes()[2].Offset, -9.1, exact)
}
