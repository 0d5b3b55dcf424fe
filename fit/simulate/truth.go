package simulate

import (
	"math"

	"neckfit/measure"
)

// Truth is what a perfect measurement of an instrument would find, its neck lying as the
// instrument says (see Instrument.Seated). Lengths in millimetres, angles in degrees.
type Truth struct {
	CentreLineError, BridgeSkew             float64
	HeelSkew, HeelOffset                    float64 // of the heel's axis from the board's centre line; the offset abreast of the bridge
	BridgeOffPocket, BridgeTurn             float64 // of the bridge from the pocket's axis
	PocketOffCentre, BridgeOffCentre        float64 // of the pocket, halfway along, and of the bridge from the body's own middle line
	MarginBass, MarginTreble, MarginBalance float64 // at the last fret, to the edges as they are there, square to the centre line; strings to the saddles at their front stops
	ScaleLength                             float64 // by construction: errors of frets that a survey reads spread a part of themselves into its own
	FretError                               float64 // the largest of FretErrors, as a size
	SideBow                                 float64

	PocketGapMouth, PocketGapEnd     float64 // pocket's width less heel's, square to the pocket's bisector
	GapBassMouth, GapBassEnd         float64 // of it, on the bass side
	GapTrebleMouth, GapTrebleEnd     float64
	EndGapBass, EndGapTreble         float64 // from the heel's end corners to the pocket's end, along the heel
	PocketWidthMouth, PocketWidthEnd float64
	HeelWidthMouth, HeelWidthEnd     float64
	HeelSquareness, PocketSquareness float64 // of the ends
	CornerReserve                    float64 // heel's corner radius less the pocket's
	SaddleReserveFront               float64
	SaddleReserveBack                float64
	IntonationError                  float64 // how much too long or short the worst string is at its saddle's best place
	BridgeHoleMismatch               float64 // greatest distance of a hole in the body from the plate's, the plate lying at its best
	PlateHoleMismatch                float64 // greatest distance of a string hole from the plate's
	FerruleMismatch                  float64 // and from its ferrule
	NeckScrewReach                   float64
	PickupOffset                     float64
	StringHolePitch                  float64 // greatest distance of a string hole from an even row
	NeckScrewMismatch                float64 // greatest distance of a hole in the heel from the body's, the neck seated
	SwingLow, SwingHigh              float64 // range of the centre-line error that the clearance allows
	HasSwing                         bool    // false where a gap is negative

	FretPlaneHeight float64 // over the body's top at the bridge's origin
	Pitch           float64 // of the fret plane over the body's top, along the neck, positive when it rises toward tail
	Roll            float64 // and across the neck, positive when it rises toward treble
	PocketDepth     float64 // of the floor's plane, midway between mouth and end
}

// Named is what there is of it by the names of characteristics.
func (t Truth) Named() map[string]float64 {
	return map[string]float64{
		"centre-line-error": t.CentreLineError, "bridge-skew": t.BridgeSkew,
		"heel-skew": t.HeelSkew, "heel-offset": t.HeelOffset, "bridge-off-pocket": t.BridgeOffPocket, "bridge-turn": t.BridgeTurn, "pocket-off-centre": t.PocketOffCentre, "bridge-off-centre": t.BridgeOffCentre,
		"margin-bass": t.MarginBass, "margin-treble": t.MarginTreble, "margin-balance": t.MarginBalance,
		"scale-length": t.ScaleLength, "saddle-reserve-front": t.SaddleReserveFront, "saddle-reserve-back": t.SaddleReserveBack,
		"pocket-gap-mouth": t.PocketGapMouth, "pocket-gap-end": t.PocketGapEnd,
		"pocket-width-mouth": t.PocketWidthMouth, "pocket-width-end": t.PocketWidthEnd,
		"heel-end-squareness": t.HeelSquareness, "pocket-end-squareness": t.PocketSquareness,
		"end-gap":        math.Max(t.EndGapBass, t.EndGapTreble),
		"corner-reserve": t.CornerReserve, "bridge-hole-mismatch": t.BridgeHoleMismatch,
		"neck-screw-mismatch": t.NeckScrewMismatch, "string-hole-pitch": t.StringHolePitch, "neck-screw-reach": t.NeckScrewReach, "pickup-offset": t.PickupOffset, "plate-hole-mismatch": t.PlateHoleMismatch, "ferrule-mismatch": t.FerruleMismatch,
		"fret-plane-height": t.FretPlaneHeight, "pitch": t.Pitch, "roll": t.Roll, "pocket-depth": t.PocketDepth,
	}
}

// Truth works it out point by point in the assembled frame.
func (in Instrument) Truth() Truth {
	neck, bridge := in.neck(), in.bridge()
	t := Truth{
		CentreLineError:  neck.in(bridge.origin).Offset,
		BridgeSkew:       degrees(bridge.turn - neck.turn),
		ScaleLength:      in.Scale,
		SideBow:          in.SideBow,
		HeelSquareness:   in.HeelEndAngle,
		PocketSquareness: in.PocketEndAngle,
		CornerReserve:    in.HeelRadius - in.PocketRadius,
		HeelSkew:         in.HeelHeading,
		BridgeOffPocket:  bridge.origin.Offset, // the body's own frame is the pocket's
		BridgeTurn:       degrees(bridge.turn),
	}
	own := view(func(p Point) Point { return p })
	t.HeelOffset = own.through(in.heel()).atStation(axis, neck.in(bridge.origin).Station).Offset
	for _, e := range in.FretErrors {
		t.FretError = max(t.FretError, math.Abs(e))
	}
	in.margins(&t, neck, bridge)
	in.reserves(&t, neck, bridge)
	in.gaps(&t, neck)
	in.holes(&t)
	in.swing(&t)
	in.heights(&t, neck, bridge)
	t.NeckScrewReach = in.NeckScrewLength - (in.BodyThickness - t.PocketDepth)
	if in.Joint != nil {
		t.PocketOffCentre = in.Joint.frame().in(Point{Station: -(in.MouthInset + in.EndInset) / 2}).Offset
		t.BridgeOffCentre = in.Joint.frame().in(bridge.origin).Offset
	}
	if in.Pickup != nil {
		over := func(i int, w side) float64 {
			pole := neck.in(Point{in.Pickup.Station, in.Pickup.Offset + float64(w)*in.PickupSpread/2})
			slot, contact := in.slot(i), neck.in(bridge.out(in.contact(i, 0)))
			return slot.Offset + (contact.Offset-slot.Offset)*(pole.Station-slot.Station)/(contact.Station-slot.Station) - pole.Offset
		}
		t.PickupOffset = (over(1, treble) + over(in.Strings, bass)) / 2
	}
	return t
}

// margins meets the outer strings and the edges where each string crosses the last fret.
func (in Instrument) margins(t *Truth, neck, bridge frame) {
	errorFree := in
	errorFree.FretErrors = nil
	last := errorFree.wire(in.Frets)
	at := func(i int) Point {
		slot, contact := in.slot(i), neck.in(bridge.out(in.contact(i, 0)))
		string := func(s float64) Point {
			return Point{s, slot.Offset + (contact.Offset-slot.Offset)*(s-slot.Station)/(contact.Station-slot.Station)}
		}
		return string(solve(func(s float64) float64 { return s - last(string(s).Offset).Station }, 0, in.lastFret()))
	}
	on := at(1)
	t.MarginTreble = in.edge(treble)(on.Station).Offset - on.Offset
	on = at(in.Strings)
	t.MarginBass = on.Offset - in.edge(bass)(on.Station).Offset
	t.MarginBalance = t.MarginBass - t.MarginTreble
}

// reserves compares where each string must touch with the ends of its saddle's travel, and how far out the
// string is that comes off worst.
func (in Instrument) reserves(t *Truth, neck, bridge frame) {
	t.SaddleReserveFront, t.SaddleReserveBack = math.Inf(1), math.Inf(1)
	station := func(i int, back float64) float64 { return neck.in(bridge.out(in.contact(i, back))).Station }
	share := func(i int) float64 { return float64(i-1)/float64(in.Strings-1) - 0.5 } // -0.5 at treble, 0.5 at bass
	length := func(i int) float64 { return in.slot(i).Station + in.Scale + in.Fan*share(i) + in.Compensation[i] }
	cents := func(i int, at float64) float64 {
		return 1200 * math.Log2((station(i, at)-in.slot(i).Station)/(length(i)-in.slot(i).Station))
	}
	for i := 1; i <= in.Strings; i++ {
		at := solve(func(back float64) float64 { return station(i, back) }, length(i), 0)
		switch other := i + 1 - 2*((i+1)%2); {
		case in.Saddles == measure.SaddleFixed:
			at = 0
		case in.Saddles == measure.SaddlePairs && other <= in.Strings: // one as flat as the other is sharp
			at = solve(func(back float64) float64 { return cents(i, back) + cents(other, back) }, 0, 0)
		}
		t.IntonationError = max(t.IntonationError, math.Abs(station(i, at)-length(i)))
		t.SaddleReserveFront = min(t.SaddleReserveFront, station(i, at)-station(i, 0))
		t.SaddleReserveBack = min(t.SaddleReserveBack, station(i, in.SaddleTravel)-station(i, at))
	}
}

// gapAt is the free space between a side of the heel and the pocket's, square to the pocket's
// bisector, that far headstockward of the pocket's end.
func (in Instrument) gapAt(neck frame, w side, inset float64) float64 {
	body := view(func(p Point) Point { return p })
	heel := body.through(neck).through(in.heel()).atStation(in.heelSide(w), -inset)
	return float64(w) * (in.pocketSide(w)(-inset).Offset - heel.Offset)
}

func (in Instrument) gaps(t *Truth, neck frame) {
	t.GapBassMouth, t.GapTrebleMouth = in.gapAt(neck, bass, in.MouthInset), in.gapAt(neck, treble, in.MouthInset)
	t.GapBassEnd, t.GapTrebleEnd = in.gapAt(neck, bass, in.EndInset), in.gapAt(neck, treble, in.EndInset)
	t.PocketGapMouth = t.GapBassMouth + t.GapTrebleMouth
	t.PocketGapEnd = t.GapBassEnd + t.GapTrebleEnd
	t.PocketWidthMouth, t.PocketWidthEnd = 2*in.pocketSide(treble)(-in.MouthInset).Offset, 2*in.pocketSide(treble)(-in.EndInset).Offset
	t.HeelWidthMouth, t.HeelWidthEnd = t.PocketWidthMouth-t.PocketGapMouth, t.PocketWidthEnd-t.PocketGapEnd
	heel := in.heel().within(neck)
	t.EndGapBass, t.EndGapTreble = in.room(heel, bass), in.room(heel, treble)
}

func (in Instrument) holes(t *Truth) {
	for k := range in.BridgeScrews {
		plate, body := in.BridgeScrews[k], in.bridgeHole(k+1)
		t.BridgeHoleMismatch = max(t.BridgeHoleMismatch, apart(plate, body))
	}
	for i := 1; i <= in.Strings; i++ {
		t.PlateHoleMismatch = max(t.PlateHoleMismatch, apart(in.plateHole(i), in.stringHole(i)))
		t.FerruleMismatch = max(t.FerruleMismatch, apart(Point{}, in.FerruleErrors[i]))
	}
	in.StringHoleShift = Point{}
	for i := 1; i <= in.Strings; i++ {
		t.StringHolePitch = max(t.StringHolePitch, apart(in.plateHole(i), in.stringHole(i)))
	}
	seated := in.Seated().neck()
	for k, body := range in.NeckScrews {
		t.NeckScrewMismatch = max(t.NeckScrewMismatch, apart(body, seated.out(in.heelScrew(k+1))))
	}
}

func apart(p, q Point) float64 { return math.Hypot(p.Station-q.Station, p.Offset-q.Offset) }

// swing lays the neck against the four pairs of walls that bound its shifts. The error is a
// monotonic function of either shift, so that its extremes are among the four.
func (in Instrument) swing(t *Truth) {
	seat := in.Seated()
	seated := seat.neck()
	free := func(w side, inset float64) float64 { return float64(w) * seat.gapAt(seated, w, inset) }
	t.HasSwing = t.PocketGapMouth >= 0 && t.PocketGapEnd >= 0
	if !t.HasSwing {
		return
	}
	t.SwingLow, t.SwingHigh = math.Inf(1), math.Inf(-1)
	for _, m := range []side{bass, treble} {
		for _, e := range []side{bass, treble} {
			seat.MouthShift, seat.EndShift = free(m, in.MouthInset), free(e, in.EndInset)
			miss := seat.neck().in(in.bridge().origin).Offset
			t.SwingLow, t.SwingHigh = min(t.SwingLow, miss), max(t.SwingHigh, miss)
		}
	}
}

// SwingWithScrews is that range where screws of a diameter sit in the heel's holes, each off the middle of its
// hole in the body by half its clearance at the most; the heel may stand off the pocket's end. It tries every
// place of a grid; ok tells that there is one.
func (in Instrument) SwingWithScrews(screw float64) (low, high float64, ok bool) {
	const steps, slides, slide = 40, 30, 0.02
	seat := in.Seated()
	seated := seat.neck()
	low, high = math.Inf(1), math.Inf(-1)
	at := func(inset float64, share float64) float64 {
		toBass, toTreble := seat.gapAt(seated, bass, inset), seat.gapAt(seated, treble, inset)
		return -toBass + share*(toBass+toTreble)
	}
	bridge := in.bridge().origin
	heel := make([]Point, len(in.NeckScrews))
	for k := range heel {
		heel[k] = in.heelScrew(k + 1)
	}
	for i := range steps + 1 {
		for j := range steps + 1 {
			moved := in
			moved.MouthShift, moved.EndShift = at(in.MouthInset, float64(i)/steps), at(in.EndInset, float64(j)/steps)
			for back := range slides + 1 {
				moved.EndGap = slide * float64(back)
				neck, goesIn := moved.neck(), true
				for k, hole := range in.NeckScrews {
					goesIn = goesIn && apart(hole, neck.out(heel[k])) <= (in.NeckScrewSize-screw)/2
				}
				if goesIn {
					e := neck.in(bridge).Offset
					low, high, ok = min(low, e), max(high, e), true
				}
			}
		}
	}
	return low, high, ok
}

// slopes is the rise of a plane with that pitch and roll, in degrees, from the origin to p.
func slopes(pitch, roll float64, p Point) float64 {
	return math.Tan(radians(pitch))*p.Station + math.Tan(radians(roll))*p.Offset
}

// floorPlane is the height of the pocket's floor without its hump, in the body's frame: negative.
func (in Instrument) floorPlane(p Point) float64 {
	return slopes(in.FloorPitch, in.FloorRoll, p) - in.PocketDepth
}

// floor has the hump too: all of it in the pocket's middle, none at the places near its corners.
func (in Instrument) floor(p Point) float64 {
	reach := (in.MouthInset - in.EndInset) / 2
	x, y := (p.Station+in.EndInset+reach)/reach, p.Offset/floorReach
	return in.floorPlane(p) + in.FloorHump*(1-x*x)*(1-y*y)
}

// floorReach and fretReach are how far from the middle the floor and the frets are read, in mm.
const (
	floorReach = 20
	fretReach  = 15
)

// fretTop is the height of a fret over the heel's underside, in the neck's frame: on the plane that lies on
// the middle of the crown, less what the crown falls off.
func (in Instrument) fretTop(p Point) float64 {
	return in.crownTop(p) - in.sag(p.Offset) - in.hollow(p.Station)
}

// hollow is how far the fret tops lie below the straight from the first fret to the last.
func (in Instrument) hollow(station float64) float64 {
	first, last := in.fretStation(1), in.fretStation(in.Frets)
	u := (2*station - first - last) / (last - first)
	return in.Relief * (1 - u*u)
}

// sag is the height of a circle's top over the place that far beside it.
func (in Instrument) sag(across float64) float64 {
	if in.BoardRadius == 0 {
		return 0
	}
	return in.BoardRadius * (1 - math.Cos(math.Asin(across/in.BoardRadius)))
}

// crownTop is that plane.
func (in Instrument) crownTop(p Point) float64 {
	p.Station -= in.HeelStation
	return in.FretHeight + slopes(in.FretPitch, in.FretRoll, p)
}

// fretPlane is the height of the fret plane over the body's top at p in the body's frame, for a
// neck lying there. The heel's underside lies on the floor's plane, its hump shaved off, and heights
// are added plumb: for planes inclined by up to 1 degree against the floor and the floor by as
// much, that is off by less than the angle squared, 0.0003 of any height, so 0.01 mm of 30 mm.
func (in Instrument) fretPlane(neck frame, p Point) float64 {
	return in.floorPlane(p) + in.crownTop(neck.in(p))
}

// heights probes the fret plane at the bridge's origin and 1 mm tailward and trebleward of the nut.
func (in Instrument) heights(t *Truth, neck, bridge frame) {
	t.FretPlaneHeight = in.fretPlane(neck, bridge.origin)
	at := func(s, o float64) float64 { return in.fretPlane(neck, neck.out(Point{s, o})) }
	t.Pitch = degrees(math.Atan(at(1, 0) - at(0, 0)))
	t.Roll = degrees(math.Atan(at(0, 1) - at(0, 0)))
	t.PocketDepth = -in.floorPlane(Point{Station: -(in.MouthInset + in.EndInset) / 2})
}

// SaddleHeightReserve is how far the least and the greatest height of the saddles lie beyond what
// the strings need, the neck lying as the instrument says: action is the string's height over
// fret 12 and nut its height at the nut, both over the fret below the string, in mm. Each string is straight,
// so at twice fret 12's distance it stands as far above its height at fret 12 as that stands above
// the nut's; the saddles are at their front stops.
func (in Instrument) SaddleHeightReserve(action, nut float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(1)
	neck, bridge := in.neck(), in.bridge()
	for i := 1; i <= in.Strings; i++ {
		slot, contact := in.slot(i), neck.in(bridge.out(in.contact(i, 0)))
		scale := in.Scale + in.Fan*(float64(i-1)/float64(in.Strings-1)-0.5)
		at12 := slot.Offset + (contact.Offset-slot.Offset)*scale/2/(contact.Station-slot.Station)
		over12, overNut := action-in.sag(at12), nut-in.sag(slot.Offset) // over the plane
		needed := in.fretPlane(neck, bridge.out(in.contact(i, 0))) + over12 + (over12 - overNut)
		low, high = min(low, needed-in.SaddleLow), min(high, in.SaddleHigh-needed)
	}
	return low, high
}
