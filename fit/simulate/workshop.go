package simulate

import (
	"maps"
	"math"
)

// Workshop is an instrument that is being worked on: what a builder does to it, step by step, in the body's
// own frame, and what a perfect measurement finds afterwards. Every part is a set of points that is carried
// along; nothing is known here of readings or of plans.
type Workshop struct {
	in        Instrument
	bridge    frame         // where the bridge lies, in the body's frame
	heelHoles map[int]Point // in the neck's frame, by mark
	bodyHoles map[int]Point // for the bridge's screws, in the body's frame
	shims     [2][2]float64 // on the bass and treble wall, at mouth and end; scraped wood counts down
}

// NewWorkshop takes an instrument with its neck lying as it says.
func NewWorkshop(in Instrument) *Workshop {
	w := &Workshop{in: in, bridge: in.bridge(), heelHoles: map[int]Point{}, bodyHoles: map[int]Point{}}
	for k := range in.NeckScrews {
		w.heelHoles[k+1] = in.heelScrew(k + 1)
	}
	for k := range in.BridgeScrews {
		w.bodyHoles[k+1] = w.bridge.out(in.bridgeHole(k + 1))
	}
	return w
}

// Wall packs a wall, 0 the bass one and 1 the treble one, at the pocket's mouth and end; less than nothing
// scrapes it.
func (w *Workshop) Wall(wall int, mouth, end float64) {
	w.shims[wall][0] += mouth
	w.shims[wall][1] += end
}

// Seat sets the heel so far toward treble of the middle of the play that is left between the walls, as far
// as they let it, and pushes it home.
func (w *Workshop) Seat(mouth, end float64) {
	t := w.in.Seated().Truth()
	w.in.EndGap = 0
	to := [2]*float64{&w.in.MouthShift, &w.in.EndShift}
	for i, gap := range [2]float64{t.PocketGapMouth, t.PocketGapEnd} {
		bass, treble := w.shims[0][i], w.shims[1][i]
		half := max(0, (gap-bass-treble)/2)
		*to[i] = (bass-treble)/2 + max(-half, min(half, [2]float64{mouth, end}[i]))
	}
}

// TrimHeel saws so much off the heel's end, square to its axis or as the end was.
func (w *Workshop) TrimHeel(off float64) {
	heading := radians(w.in.HeelHeading)
	w.in.HeelEnd += (w.in.HeelMouth - w.in.HeelEnd) * off / w.in.HeelLength
	w.in.HeelLength -= off
	w.in.HeelStation -= off * math.Cos(heading)
	w.in.HeelSideways -= off * math.Sin(heading)
}

// RoundHeel makes its corners' radius larger.
func (w *Workshop) RoundHeel(by float64) { w.in.HeelRadius += by }

// SquarePocket cuts the pocket's corners out to a smaller radius.
func (w *Workshop) SquarePocket(radius float64) { w.in.PocketRadius = radius }

// Wedge lays a wedge under the heel, so thick at the pocket's end, or at its mouth, and nothing at the other.
func (w *Workshop) Wedge(thick float64, atEnd bool) {
	slope := thick / (w.in.MouthInset - w.in.EndInset)
	if atEnd {
		w.in.PocketDepth -= slope * w.in.MouthInset
	} else {
		w.in.PocketDepth += slope * w.in.EndInset
		slope = -slope
	}
	w.in.FloorPitch += degrees(math.Atan(slope))
}

// Raise lays a flat shim under the heel; less than nothing cuts the floor lower.
func (w *Workshop) Raise(thick float64) { w.in.PocketDepth -= thick }

// MoveBridge shifts the bridge tailward and toward treble, along and across the neck's centre line as it lay
// at first, and turns it about its middle, in degrees.
func (w *Workshop) MoveBridge(along, across, turn float64) {
	line := w.in.Seated().neck().turn
	sin, cos := math.Sincos(line)
	w.bridge.origin.Station += cos*along - sin*across
	w.bridge.origin.Offset += sin*along + cos*across
	w.bridge.turn += radians(turn)
}

// DrillBridge drills the body's hole for the bridge's screw where it is so far toward treble of the neck's
// centre line, as the neck lies now, and so far behind the place at which that line crosses the pocket's end.
func (w *Workshop) DrillBridge(mark int, behind, beside float64) {
	neck := w.in.neck()
	end := across(0, w.in.PocketEndAngle)
	start := solve(func(s float64) float64 {
		p := neck.out(Point{s, 0})
		return p.Station - end(p.Offset).Station
	}, 0, w.in.HeelStation)
	w.bodyHoles[mark] = neck.out(Point{start + behind, beside})
}

// ScrewBridge lays the plate's holes at their best on some of the body's.
func (w *Workshop) ScrewBridge(marks []int) {
	var plate, body []Point
	for _, m := range marks {
		plate, body = append(plate, w.in.BridgeScrews[m-1]), append(body, w.bodyHoles[m])
	}
	centre := func(ps []Point) (c Point) {
		for _, p := range ps {
			c.Station += p.Station / float64(len(ps))
			c.Offset += p.Offset / float64(len(ps))
		}
		return c
	}
	cp, cb := centre(plate), centre(body)
	var cross, dot float64
	for i := range plate {
		px, py := plate[i].Station-cp.Station, plate[i].Offset-cp.Offset
		bx, by := body[i].Station-cb.Station, body[i].Offset-cb.Offset
		cross += px*by - py*bx
		dot += px*bx + py*by
	}
	w.bridge.turn = math.Atan2(cross, dot)
	w.bridge.origin = Point{}
	at := w.bridge.out(cp)
	w.bridge.origin = Point{cb.Station - at.Station, cb.Offset - at.Offset}
}

// DrillHeel plugs a hole of the heel and drills it anew through the body's, the neck lying as it does, off by
// so much along and across.
func (w *Workshop) DrillHeel(mark int, along, across float64) {
	p := w.in.NeckScrews[mark-1]
	w.heelHoles[mark] = w.in.neck().in(Point{p.Station + along, p.Offset + across})
}

// Instrument is what has become of it, its neck lying as it was set; shims are not part of it.
func (w *Workshop) Instrument() Instrument {
	out := w.in
	neck := out.Seated().neck()
	at := neck.in(w.bridge.origin)
	out.BridgeStation, out.CentreLineError, out.BridgeSkew = at.Station, at.Offset, degrees(w.bridge.turn-neck.turn)
	return out
}

// Truth is what a perfect measurement finds: simulate's own truth with the pocket between its new walls and
// the holes where they are now.
func (w *Workshop) Truth() Truth {
	in := w.Instrument()
	t := in.Truth()
	t.PocketGapMouth -= w.shims[0][0] + w.shims[1][0]
	t.PocketGapEnd -= w.shims[0][1] + w.shims[1][1]
	t.PocketWidthMouth -= w.shims[0][0] + w.shims[1][0]
	t.PocketWidthEnd -= w.shims[0][1] + w.shims[1][1]
	t.NeckScrewMismatch, t.BridgeHoleMismatch = 0, 0
	neck := in.neck()
	for k, body := range in.NeckScrews {
		t.NeckScrewMismatch = max(t.NeckScrewMismatch, apart(body, neck.out(w.heelHoles[k+1])))
	}
	for k, plate := range in.BridgeScrews {
		t.BridgeHoleMismatch = max(t.BridgeHoleMismatch, apart(w.bridge.out(plate), w.bodyHoles[k+1]))
	}
	return t
}

// Lying is the truth with the neck so far toward treble of where it was set, at mouth and end, and so far off the pocket's
// end.
func (w *Workshop) Lying(mouth, end, gap float64) Truth {
	moved := *w
	moved.in.MouthShift, moved.in.EndShift, moved.in.EndGap = w.in.MouthShift+mouth, w.in.EndShift+end, gap
	return moved.Truth()
}

// ShiftHole moves a hole of the body for the bridge's screw, as a drill wanders.
func (w *Workshop) ShiftHole(mark int, along, across float64) {
	p := w.bodyHoles[mark]
	w.bodyHoles[mark] = Point{p.Station + along, p.Offset + across}
}

// BridgeHoles drills the body's holes under the plate's, the bridge lying where it does.
func (w *Workshop) BridgeHoles(marks []int) {
	for _, m := range marks {
		w.bodyHoles[m] = w.bridge.out(w.in.BridgeScrews[m-1])
	}
}

// Holes are the body's holes for the bridge's screws, in the body's frame, by mark.
func (w *Workshop) Holes() map[int]Point { return maps.Clone(w.bodyHoles) }
