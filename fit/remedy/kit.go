package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// sort is what a characteristic's prediction rests on.
type sort uint8

const (
	linear      sort = iota // value + response . moves
	neckHoles               // worst of the heel's holes against the body's
	bridgeHoles             // worst of the body's holes against the plate's
	stringRow               // worst of the string holes from an even row
	corners                 // the heel's corner radius less the pocket's
	floorFlat               // unevenness of the pocket's floor
)

// row is one measured characteristic.
type row struct {
	index           int // in Result.Characteristics
	at              int // in Model.Measured
	sort            sort
	value, variance float64
	lower, upper    float64
	judged          bool
	by              [fit.Moves]float64 // per unit of each move
	gap             [2]float64         // per mm that the pocket grows wider at mouth and end
	curable         bool               // some action could change it
}

// kit is what a search knows of one kit.
type kit struct {
	*shelf
	result *fit.Result
	model  *fit.Model
	rows   []row
	play   *fit.Play // nil unless it is placed beside the bridge
	neck   holes
	bridge holes
	span   float64 // mm, from one end of the bridge's screws to the other
}

func newKit(r *fit.Result, s *shelf) *kit {
	k := &kit{shelf: s, result: r, model: r.Model}
	if p := r.Model.Geometry.Play; p != nil && p.Placed && p.Length > 0 && p.Lever != 0 {
		k.play = p
	}
	k.neck = k.neckPattern()
	k.bridge = k.bridgePattern()
	k.span = max(leastSpan, k.bridge.span())
	for at, index := range r.Model.Measured {
		k.rows = append(k.rows, k.newRow(at, index))
	}
	return k
}

// leastSpan stands for the length of a bridge whose plate was not read: common practice, no source.
const leastSpan = 50.0 // mm

var sorts = map[fit.ID]sort{
	fit.NeckScrewMismatch: neckHoles, fit.BridgeHoleMismatch: bridgeHoles, fit.StringHolePitch: stringRow, fit.CornerReserve: corners,
	fit.FloorFlatness: floorFlat,
}

// gapRows are what grows with the pocket's width, at mouth (0) and end (1).
var gapRows = map[fit.ID]int{fit.PocketGapMouth: 0, fit.PocketGapEnd: 1, fit.PocketWidthMouth: 0, fit.PocketWidthEnd: 1}

func (k *kit) newRow(at, index int) row {
	c := &k.result.Characteristics[index]
	out := row{
		index: index, at: at, sort: sorts[c.ID], value: c.Value, variance: c.StdUncertainty * c.StdUncertainty,
		lower: c.Lower, upper: c.Upper, by: k.model.Response[at],
		judged: c.Verdict == fit.Pass || c.Verdict == fit.Unsure || c.Verdict == fit.Fail,
	}
	if i, ok := gapRows[c.ID]; ok {
		out.by = [fit.Moves]float64{} // moving the heel does not change the whole gap
		out.gap[i] = 1
	}
	out.curable = k.canChange(&out)
	return out
}

// canChange tells whether any action could.
func (k *kit) canChange(r *row) bool {
	if r.sort != linear || r.gap != [2]float64{} && k.play != nil {
		return true
	}
	for m, by := range r.by {
		if fit.Move(m) != fit.HeelAlong && math.Abs(by) > noResponse {
			return true
		}
	}
	return false
}

// noResponse is what rounding leaves of a response that is none: they are of the order of 1.
const noResponse = 1e-9

// row finds a characteristic; nil where it was not measured.
func (k *kit) row(id fit.ID) *row {
	for i := range k.rows {
		if k.result.Characteristics[k.rows[i].index].ID == id {
			return &k.rows[i]
		}
	}
	return nil
}

// of finds the row of a sort.
func (k *kit) of(s sort) *row {
	for i := range k.rows {
		if k.rows[i].sort == s {
			return &k.rows[i]
		}
	}
	return nil
}

// count is how many places of a feature there are.
func (k *kit) count(f measure.Feature) int {
	n := 0
	for i := range k.model.Geometry.Places {
		if k.model.Geometry.Places[i].Feature == f {
			n++
		}
	}
	return n
}
