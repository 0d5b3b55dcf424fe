package simulate

import "math"

// neck is where the neck lies in the body's frame: the heel's bisector through the two shifts,
// then slid tailward until the first corner of the heel's end meets the pocket's end.
func (in Instrument) neck() frame {
	start := Point{-in.MouthInset, in.MouthShift}
	dir := math.Atan2(in.EndShift-in.MouthShift, in.MouthInset-in.EndInset)
	heel := frame{origin: start, turn: dir}
	slide := math.Inf(1)
	for _, w := range []side{bass, treble} {
		slide = min(slide, in.room(heel, w))
	}
	heel.origin = heel.out(Point{slide - in.EndGap, 0})
	return in.heel().undone().within(heel)
}

// room is how far the heel can slide along its bisector before the corner on that side meets the
// line of the pocket's end.
func (in Instrument) room(heel frame, w side) float64 {
	corner := across(0, in.HeelEndAngle)(float64(w) * in.HeelEnd / 2)
	end := across(0, in.PocketEndAngle)
	short := func(slide float64) float64 {
		p := heel.out(Point{corner.Station + slide, corner.Offset})
		return p.Station - end(p.Offset).Station
	}
	return solve(short, 0, 0)
}

// bridge is where the bridge lies in the body's frame. It is placed from the seated neck and
// stays where it is when the neck moves in the pocket.
func (in Instrument) bridge() frame {
	neck := in.Seated().neck()
	return frame{
		origin: neck.out(Point{in.BridgeStation, in.CentreLineError}),
		turn:   neck.turn + radians(in.BridgeSkew),
	}
}

// edgeDatum is the straightedge along a fingerboard edge, in the neck's frame: station tailward
// from EdgeZero, offset inward.
func (in Instrument) edgeDatum(w side) frame {
	edge := in.straightEdge(w)
	a, b := edge(in.EdgeZero), edge(in.EdgeZero+in.Scale)
	return frame{
		origin: a,
		turn:   math.Atan2(b.Offset-a.Offset, b.Station-a.Station),
		flip:   w == treble,
	}
}
