package simulate

import (
	"math"
	"math/rand/v2"
	"testing"

	"neckfit/measure"
)

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
