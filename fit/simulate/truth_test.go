package simulate

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/measure"
)

// exact bounds the rounding of float64: coordinates up to 1000 mm carry about 1e-13 mm a step, and
// nothing here takes a thousand steps.
const exact = 1e-10

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.12g, want %.12g within %g", what, got, want, tolerance)
	}
}

// instruments are twenty random ones, in the pocket by the seat rule.
func instruments() []Instrument {
	rng := rand.New(rand.NewPCG(7, 11))
	var all []Instrument
	for range 20 {
		all = append(all, Random(rng))
	}
	return all
}

// distance is from p to the line through a and b, positive toward treble of it. By the cross
// product, which the package does not use.
func distance(p, a, b Point) float64 {
	ds, do := b.Station-a.Station, b.Offset-a.Offset
	return (ds*(p.Offset-a.Offset) - do*(p.Station-a.Station)) / math.Hypot(ds, do)
}

// line carries two points of a part's curve to the body's frame.
func line(f frame, c curve, s0, s1 float64) (Point, Point) { return f.out(c(s0)), f.out(c(s1)) }

func TestSeatedHeelTouchesThePocketsEndAndHasEqualSideGaps(t *testing.T) {
	for _, in := range instruments() {
		heel := in.heel().within(in.neck())
		a, b := line(frame{}, across(0, in.PocketEndAngle), -50, 50)
		least := math.Inf(1)
		for i := range 101 { // all along the heel's end, not just at its corners
			p := heel.out(across(0, in.HeelEndAngle)(in.HeelEnd * (float64(i)/100 - 0.5)))
			least = min(least, distance(p, a, b))
		}
		near(t, "least room before the pocket's end", least, 0, exact)
		truth := in.Truth()
		near(t, "side gaps at the mouth, bass", truth.GapBassMouth, truth.GapTrebleMouth, exact)
		near(t, "side gaps at the end, bass", truth.GapBassEnd, truth.GapTrebleEnd, exact)
		near(t, "the lesser end gap", min(truth.EndGapBass, truth.EndGapTreble), 0, exact)
	}
}

func TestCentreLineErrorIsHalfTheDifferenceOfTheDistancesFromTheEdges(t *testing.T) {
	for _, in := range instruments() {
		in.MouthShift, in.EndShift = 0.13, -0.08 // and when the neck is swung
		neck, bridge := in.neck(), in.bridge()
		a0, a1 := line(neck, in.edge(bass), 0, 500)
		b0, b1 := line(neck, in.edge(treble), 0, 500)
		taper := math.Atan2(a1.Offset-a0.Offset, a1.Station-a0.Station) - math.Atan2(b1.Offset-b0.Offset, b1.Station-b0.Station)
		sum := distance(bridge.origin, a0, a1) + distance(bridge.origin, b0, b1)
		near(t, "centre-line error", in.Truth().CentreLineError, sum/2/math.Cos(taper/2), exact)
	}
}

func TestSeatedTruthIsTheInstrumentsOwn(t *testing.T) {
	for _, in := range instruments() {
		truth := in.Truth()
		near(t, "centre-line error", truth.CentreLineError, in.CentreLineError, exact)
		near(t, "skew", truth.BridgeSkew, in.BridgeSkew, exact)
	}
}

func TestMarginsByDistances(t *testing.T) {
	for _, in := range instruments() {
		neck, bridge := in.neck(), in.bridge()
		truth, n := in.Truth(), in.Strings
		// Walk along each outer string to the point that is as far from the nut as the last fret.
		nut0, nut1 := neck.out(Point{0, -1}), neck.out(Point{0, 1})
		at := func(i int) Point {
			a, b := neck.out(in.slot(i)), bridge.out(in.contact(i, 0))
			low, high := 0.0, 1.0
			var p Point
			for range 60 { // halvings, down to the rounding of float64
				m := (low + high) / 2
				p = Point{a.Station + m*(b.Station-a.Station), a.Offset + m*(b.Offset-a.Offset)}
				if -distance(p, nut0, nut1) < in.lastFret() {
					low = m
				} else {
					high = m
				}
			}
			return p
		}
		bassEdge, trebleEdge := neck.out(in.edge(bass)(in.lastFret())), neck.out(in.edge(treble)(in.lastFret()))
		near(t, "bass margin", truth.MarginBass, apart(at(n), bassEdge), exact)
		near(t, "treble margin", truth.MarginTreble, apart(at(1), trebleEdge), exact)
		near(t, "sum of margins and strings", truth.MarginBass+truth.MarginTreble+apart(at(1), at(n)), in.LastFretWidth, exact)
	}
}

func TestSwingHoldsEveryShiftTheWallsAllow(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	some := 0
	for _, in := range instruments() {
		truth := in.Truth()
		if !truth.HasSwing {
			continue
		}
		some++
		low, high := math.Inf(1), math.Inf(-1)
		for range 2000 {
			in.MouthShift = truth.PocketGapMouth * (rng.Float64() - 0.5)
			in.EndShift = truth.PocketGapEnd * (rng.Float64() - 0.5)
			e := in.Truth().CentreLineError
			low, high = min(low, e), max(high, e)
		}
		if low < truth.SwingLow-exact || high > truth.SwingHigh+exact {
			t.Errorf("errors %g to %g, swing %g to %g", low, high, truth.SwingLow, truth.SwingHigh)
		}
		// 2000 draws leave a corner of one part in sqrt(2000) a side: a tenth of the range is ample.
		near(t, "least error drawn", low, truth.SwingLow, 0.1*(truth.SwingHigh-truth.SwingLow))
		near(t, "greatest error drawn", high, truth.SwingHigh, 0.1*(truth.SwingHigh-truth.SwingLow))
	}
	if some < 10 {
		t.Errorf("only %d of the instruments have a swing", some)
	}
}

func TestNoMoveOfThePlateFitsItsHolesBetter(t *testing.T) {
	for _, in := range instruments() {
		squares := func(f frame) (sum float64) {
			for k, p := range in.BridgeScrews {
				d := apart(f.out(p), in.bridgeHole(k+1))
				sum += d * d
			}
			return sum
		}
		best := squares(frame{})
		for _, f := range []frame{
			{origin: Point{Station: 0.01}}, {origin: Point{Station: -0.01}},
			{origin: Point{Offset: 0.01}}, {origin: Point{Offset: -0.01}},
			{turn: 1e-4}, {turn: -1e-4},
		} {
			if got := squares(f); got <= best {
				t.Errorf("moved by %+v: %g, not above %g", f, got, best)
			}
		}
	}
}

// An octave halves the string: definition of equal temperament.
func TestFretsHalveTheStringEveryTwelve(t *testing.T) {
	in := Instrument{Scale: 762, Frets: 24}
	near(t, "fret 12", in.fretStation(12), 381, exact)
	near(t, "fret 24", in.fretStation(24), 571.5, exact)
	near(t, "ratio of two neighbours", (762-in.fretStation(8))/(762-in.fretStation(7)), math.Exp2(-1.0/12), exact)
}

func TestBowKeepsItsSagittaAndItsStraightLine(t *testing.T) {
	in := ShortScaleBass()
	in.SideBow = 0.4
	end := in.lastFret()
	near(t, "sagitta", in.bow(end/2)-(in.bow(0)+in.bow(end))/2, 0.4, exact)
	var sum, moment float64
	const steps = 1000 // midpoints: the sums' error falls as 1/steps^2, times the sagitta
	for i := range steps {
		x := end * (float64(i) + 0.5) / steps
		sum += in.bow(x) / steps
		moment += in.bow(x) * (x/end - 0.5) / steps
	}
	near(t, "mean of the bow", sum, 0, 1e-6)
	near(t, "slope of the bow", moment, 0, exact)
}

func TestHolesMissByWhatTheyWereGiven(t *testing.T) {
	in := ShortScaleBass()
	in.HeelScrewErrors = map[int]Point{2: {0.3, -0.4}}
	in.StringHoleErrors = map[int]float64{1: 0.3, 2: 0.3, 3: 0.3, 4: 0.3} // a shifted row is even
	truth := in.Truth()
	near(t, "neck-screw mismatch", truth.NeckScrewMismatch, 0.5, exact)
	near(t, "pitch", truth.StringHolePitch, 0, exact)
	in.StringHoleErrors = map[int]float64{1: 0.1, 2: -0.1, 3: -0.1, 4: 0.1} // sums to zero, and so does its moment
	near(t, "pitch", in.Truth().StringHolePitch, 0.1, exact)
}

func TestReservesAddUpToTheTravel(t *testing.T) {
	in := ShortScaleBass()
	truth := in.Truth()
	near(t, "front: 762 + 1.5 - 759", truth.SaddleReserveFront, 4.5, exact)
	near(t, "back: 759 + 15 - 762 - 3.5", truth.SaddleReserveBack, 8.5, exact)
	near(t, "clearance at the mouth", truth.PocketGapMouth, 0.2, exact)
	near(t, "clearance at the end", truth.PocketGapEnd, 0.2, exact)
}

func TestFretPlaneOfALevelNeck(t *testing.T) {
	in := ShortScaleBass()
	truth := in.Truth()
	near(t, "height: 26.5 - 16", truth.FretPlaneHeight, 10.5, exact)
	near(t, "pitch", truth.Pitch, 0, exact)
	near(t, "depth", truth.PocketDepth, 16, exact)
	// 2 x 2.2 - 0.4 = 4 above the fret plane, so 14.5 over the top, of 11 to 18.
	low, high := in.SaddleHeightReserve(2.2, 0.4)
	near(t, "reserve below", low, 3.5, exact)
	near(t, "reserve above", high, 3.5, exact)
}

// A turn in space, against the plumb sum of two planes. Neck and floor are tilted by rotation
// matrices about the offset axis, and the fret plane is met with a plumb line at the bridge.
func TestPitchAgainstARotationInSpace(t *testing.T) {
	in := ShortScaleBass()
	in.FloorPitch, in.FretPitch = 0.6, -0.4
	truth := in.Truth()
	floor, frets := radians(in.FloorPitch), radians(in.FretPitch)
	// In the side view: over the heel's end, frets stand FretHeight square to the tilted underside.
	x, z := -math.Sin(floor)*in.FretHeight, -in.PocketDepth+math.Cos(floor)*in.FretHeight
	height := z + math.Tan(floor+frets)*(in.BridgeStation-in.HeelStation-x)
	near(t, "fret plane at the bridge", truth.FretPlaneHeight, height, 0.01) // the bound that fretPlane states
	near(t, "pitch", truth.Pitch, in.FloorPitch+in.FretPitch, 0.001)         // 0.01 mm over the neck's length
}

func TestHeightsReadAreThoseOfThePlanes(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 10 {
		in := Random(rng)
		in.FloorHump = 0.3
		in.MouthShift, in.EndShift = 0.05, -0.1
		datum, neck := in.BodyPose.frame(), in.neck()
		seen := map[measure.Feature]int{}
		middle := 0
		for _, r := range append(LooseParts(in, nil, Setup{Exact: true, Heights: true}), DryFit(in, nil, Setup{Exact: true, Heights: true})...) {
			if r.Kind != measure.Height {
				continue
			}
			seen[r.Feature]++
			p := Point{r.Station, r.Offset}
			switch {
			case r.Feature == measure.FretTop && r.Datum == measure.DatumBody:
				near(t, "fret top over the body", r.Size, in.fretPlane(neck, datum.out(p)), exact)
			case r.Feature == measure.FretTop:
				near(t, "fret top over the heel", r.Size, in.fretTop(in.NeckPose.frame().out(p)), exact)
			case r.Feature == measure.PocketFloor:
				above := r.Size - in.floorPlane(datum.out(p))
				if above > 0.15 {
					middle++
				} else {
					near(t, "floor near a corner", above, 0, exact)
				}
			}
		}
		if middle != 1 {
			t.Errorf("%d places of the floor are on the hump, want the middle alone", middle)
		}
		want := map[measure.Feature]int{
			measure.FretTop: 12, measure.PocketFloor: 5, measure.Top: 4, measure.SaddleLow: 8, measure.SaddleHigh: 8,
		}
		for f, n := range want {
			if seen[f] != n {
				t.Errorf("%d heights of %s, want %d", seen[f], f, n)
			}
		}
	}
}

// Fanned frets by hand: along each outer string the frets stand where its own scale has them, the straight
// fret stands square, and on the centre line they follow the mean scale.
func TestFannedWires(t *testing.T) {
	in := ShortScaleBass()
	in.Fan, in.StraightFret = 50, 7
	const exact = 1e-9
	for _, n := range []int{1, 5, 7, 12, 20} {
		share := 1 - math.Exp2(-float64(n)/12)
		for _, w := range []side{bass, treble} {
			scale := in.Scale - float64(w)*25
			nut, fret := in.wire(0)(float64(w)*in.NutSpread/2), in.wire(n)(float64(w)/2*(in.NutSpread+(in.BridgeSpread-in.NutSpread)*share))
			near(t, "way from the nut to a fret along an outer string", fret.Station-nut.Station, scale*share, exact)
		}
		near(t, "fret on the centre line", in.wire(n)(0).Station, in.Scale*share, exact)
	}
	near(t, "straight fret, bass and treble", in.wire(7)(-20).Station-in.wire(7)(20).Station, 0, exact)
	if lean := in.wire(0)(-20).Station - in.wire(0)(20).Station; lean >= 0 {
		t.Errorf("the bass end of the nut of a longer bass scale stands nearer the headstock, not %.3f mm tailward", lean)
	}
	in.Fan = 0
	near(t, "square nut", in.wire(0)(20).Station, 0, exact)
}

// What crown, hollow and slant do to a place, by hand.
func TestCrownHollowAndSlant(t *testing.T) {
	in := ShortScaleBass()
	in.BoardRadius, in.Relief, in.SaddleSlant = 250, 0.3, 2
	near(t, "crown 150 beside the middle, of 250", in.sag(150), 50, 1e-9) // 3-4-5: 250 - 200
	first, last := in.fretStation(1), in.fretStation(in.Frets)
	near(t, "hollow midway", in.hollow((first+last)/2), 0.3, 1e-12)
	near(t, "hollow at the last fret", in.hollow(last), 0, 1e-12)
	near(t, "slant of the outer saddles", in.contact(4, 0).Station-in.contact(1, 0).Station, 2, 1e-12)
	near(t, "middle of the outer saddles", in.contact(4, 0).Station+in.contact(1, 0).Station, 0, 1e-12)
}
