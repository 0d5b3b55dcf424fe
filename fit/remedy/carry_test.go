package remedy

import (
	"math"
	"math/rand/v2"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// workshop carries a plan out on a true instrument, with errors of the size that the costs state.
// It knows the geometry of package simulate and none of the search's formulas.
type workshop struct {
	rng   *rand.Rand
	costs map[measure.Work]measure.Cost
	span  float64
}

func (w *workshop) off(work measure.Work) float64 {
	return w.rng.NormFloat64() * w.costs[work].Worst / worst
}

// worked is the instrument afterwards and what simulate's own truth does not follow.
type worked struct {
	in              simulate.Instrument
	truth           map[string]float64
	walls           [2][2]float64 // what was truly put on bass and treble wall, at mouth and end
	neck, bridge    float64       // mismatches
	stringPitch     float64
	floorFlat       float64
	turn            float64 // of the bridge, degrees, and its shifts
	along, across   float64
	neckNew, bigNew bool
	stringsNew      bool
}

// largest of n drilled holes' errors.
func (w *workshop) drill(n int, work measure.Work) float64 {
	far := 0.0
	for range n {
		far = max(far, math.Hypot(w.off(work), w.off(work)))
	}
	return far
}

func (w *workshop) carryOut(in simulate.Instrument, p *Plan) *worked {
	in = in.Seated()
	out := &worked{in: in}
	seatAt, seated := [2]float64{}, false
	for _, a := range p.Actions {
		switch a.Work {
		case measure.Leave, measure.ReamScrews, measure.NoWork, measure.SendBack:
		case measure.SideShim, measure.RelieveWall:
			seated = true
			w.wall(out, a)
		case measure.Reseat:
			seated, seatAt = true, [2]float64{a.Mouth, a.End}
		case measure.BridgeMove, measure.PlugBridge:
			out.across = a.Across + w.off(measure.BridgeMove)
			out.along = a.Along + w.off(measure.BridgeMove)
			out.turn = a.Turn + w.off(measure.BridgeMove)*math.Sqrt2/w.span*180/math.Pi
			if a.Work == measure.PlugBridge {
				out.bigNew, out.stringsNew = true, true
				out.bridge = w.drill(len(in.BridgeScrews), a.Work)
				out.stringPitch = w.drill(in.Strings, measure.PlugStrings)
			}
		case measure.PlugNeck:
			out.neckNew, out.neck = true, w.drill(len(in.NeckScrews), a.Work)
		case measure.PlugStrings:
			out.stringsNew, out.stringPitch = true, w.drill(in.Strings, a.Work)
		case measure.EaseCorner:
			out.in.HeelRadius += a.Size + w.off(a.Work)
		case measure.PitchShim:
			thick := a.Size + w.off(a.Work)
			length := in.MouthInset - in.EndInset
			// Nothing at the thin end: the floor, whose depth is counted at the pocket's end, comes up.
			slope := thick / length
			if a.Turn > 0 {
				out.in.PocketDepth -= slope * in.MouthInset
			} else {
				out.in.PocketDepth += slope * in.EndInset
				slope = -slope
			}
			out.in.FloorPitch += math.Atan(slope) * 180 / math.Pi
		case measure.RiseShim:
			out.in.PocketDepth -= a.Size + w.off(a.Work)
		case measure.LevelFloor:
			out.floorFlat = w.costs[a.Work].Worst/2 + w.off(a.Work)/2
		}
	}
	if seated {
		w.seat(out, seatAt)
	}
	out.in.CentreLineError += out.across
	out.in.BridgeStation += out.along
	out.in.BridgeSkew += out.turn
	out.measure()
	return out
}

// wall puts a shim on, or takes wood off.
func (w *workshop) wall(out *worked, a Action) {
	side := int(a.Wall - Bass)
	if a.Work == measure.RelieveWall {
		for i, depth := range [2]float64{a.Mouth, a.End} {
			if depth > 0 {
				out.walls[side][i] -= depth + w.off(a.Work)
			}
		}
		return
	}
	common := w.off(a.Work)
	for i, thick := range [2]float64{a.Mouth, a.End} {
		if thick > 0 {
			if a.Mouth != a.End {
				common = w.off(a.Work)
			}
			out.walls[side][i] += thick + common
		}
	}
}

// seat sets the heel from the middle of the true play; the walls stop it.
func (w *workshop) seat(out *worked, at [2]float64) {
	t := out.in.Truth()
	shift := [2]*float64{&out.in.MouthShift, &out.in.EndShift}
	for i, gap := range [2]float64{t.PocketGapMouth, t.PocketGapEnd} {
		bass, treble := out.walls[0][i], out.walls[1][i]
		half := max(0, (gap-bass-treble)/2)
		s := max(-half, min(half, at[i]+w.off(measure.Reseat)))
		*shift[i] = (bass-treble)/2 + s
	}
}

// measure takes the truth and adds what simulate does not follow: the pocket's gaps between the new
// walls, the screws' mismatches with neck and bridge where they now are.
func (o *worked) measure() {
	t := o.in.Truth()
	in := o.in
	if !o.neckNew {
		length := in.MouthInset - in.EndInset
		for k, p := range in.NeckScrews {
			e := in.HeelScrewErrors[k+1]
			turn := (in.EndShift - in.MouthShift) / length
			ds, do := e.Station-turn*p.Offset, e.Offset+in.MouthShift+turn*(p.Station+in.MouthInset)
			o.neck = max(o.neck, math.Hypot(ds, do))
		}
	}
	if !o.bigNew {
		turn := o.turn * math.Pi / 180
		for k, p := range in.BridgeScrews {
			e := in.Misfit()[k]
			o.bridge = max(o.bridge, math.Hypot(e.Station-o.along+turn*p.Offset, e.Offset-o.across-turn*p.Station))
		}
	}
	if !o.stringsNew {
		o.stringPitch = t.StringHolePitch
	}
	o.truth = map[string]float64{
		"centre-line-error": t.CentreLineError, "bridge-skew": t.BridgeSkew,
		"margin-bass": t.MarginBass, "margin-treble": t.MarginTreble, "margin-balance": t.MarginBalance,
		"scale-length": t.ScaleLength, "fret-error": t.FretError, "side-bow": t.SideBow,
		"saddle-reserve-front": t.SaddleReserveFront, "saddle-reserve-back": t.SaddleReserveBack,
		"pocket-gap-mouth": t.PocketGapMouth - o.walls[0][0] - o.walls[1][0],
		"pocket-gap-end":   t.PocketGapEnd - o.walls[0][1] - o.walls[1][1],
		"corner-reserve":   t.CornerReserve, "neck-screw-mismatch": o.neck, "bridge-hole-mismatch": o.bridge,
		"string-hole-pitch": o.stringPitch, "fret-plane-height": t.FretPlaneHeight, "roll": t.Roll, "pitch": t.Pitch,
		"floor-flatness": o.floorFlat,
	}
}
