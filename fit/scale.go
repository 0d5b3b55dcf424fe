package fit

import (
	"math"
	"slices"

	"neckfit/fit/survey"
	"neckfit/measure"
)

// scaleSlack is how far a scale length may be from the nominal one of kits.csv before the bridge
// would have to stand elsewhere: common practice, no source.
const scaleSlack = 1.0 // mm

// scaleLength is L of station(n) = s0 + L (1 - 2^(-n/12)) along the centre line, by least squares
// over all frets read and the nut.
func (a *assembly) scaleLength() finding {
	_, scale, lack := a.nut()
	if !lack.None() {
		return missing(lack)
	}
	f := found(scale)
	nominal := a.Kit.Info.Scale
	if a.Fan.Difference != 0 {
		nominal = (a.Kit.Info.ScaleBass + a.Kit.Info.ScaleTreble) / 2
	}
	if nominal > 0 {
		f.bound = &bound{nominal - scaleSlack, nominal + scaleSlack, LimitSource{Origin: ByScale, Slack: scaleSlack}}
	}
	return f
}

// fretError is how far the fret that is farthest from that law stands from it, positive toward the tail. Frets are read
// oftener to be surer of each: what they leave the law by is theirs.
func (a *assembly) fretError() finding {
	needed := Missing{Want: WantFrets}
	b := a.Boards.Get(a.neck.frame)
	if b == nil || len(b.Frets) < 4 {
		return missing(needed)
	}
	list := a.deviations(a.rowsByPlace(func(r *measure.Reading) bool {
		return r.Feature == measure.Fret && survey.Frame(r.Datum) == a.neck.frame
	}))
	if len(list) == 0 {
		return missing(needed)
	}
	at, _, _ := worstOf(list)
	return finding{form: list, basis: Basis{Kind: AtFret, Mark: list[at].reading.Mark.Number}}
}

// uselessBow is an uncertainty beyond which the readings do not tell a bow: those at two places
// only, not quite square across, fix it in the last digits.
const uselessBow = 5.0 // mm, more than any neck has

// sideBow is the sagitta of a quadratic through the fingerboard's two edges, over the length that
// was read, positive when the middle bows toward treble. The quadratic is common to both edges
// and is added to their straight lines (adjust.Solution.Added).
func (a *assembly) sideBow() finding {
	needed := Missing{Want: WantBow}
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range []measure.Feature{measure.EdgeBass, measure.EdgeTreble} {
		if s := a.Sides.Get(survey.SideAt(a.neck.frame, f)); s != nil && s.N > 0 {
			low, high = min(low, s.LowX), max(high, s.HighX)
		}
	}
	if !(high > low) || a.way == EdgeCheck {
		return missing(needed)
	}
	mid, half := (low+high)/2, (high-low)/2
	col := slices.Grow(a.column[:0], len(a.Source))[:len(a.Source)]
	clear(col)
	a.column = col
	for i, r := range a.Source {
		if r != nil && survey.Frame(r.Datum) == a.neck.frame && (r.Feature == measure.EdgeBass || r.Feature == measure.EdgeTreble) {
			u := (r.Station - mid) / half
			col[i] = 1 - u*u // 1 in the middle, 0 at both ends
		}
	}
	sagitta, u, ok := a.fit.Added(col)
	if !ok || u.Std > uselessBow {
		return missing(needed)
	}
	return finding{
		direct: a.direct(sagitta, u.Std, u.DOF),
		basis:  Basis{Kind: BowOver, Length: high - low, Ratio: math.Abs(sagitta) / u.Std},
	}
}
