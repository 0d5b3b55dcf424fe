package remedy

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// criterion is one measured characteristic.
type criterion struct {
	index        int // in Result.Characteristics
	id           fit.ID
	taken        fit.Taken
	first, last  int // of its elements, the last not among them
	std          float64
	lower, upper float64
	judged       bool
	p            float64    // as it was judged
	gap          [2]float64 // per mm that the pocket grows wider at mouth and end
	movable      bool       // some work could change it
	still        bool       // no move does, only work at the thing itself
	home         bool       // it is the gap before the heel's end, which a heel set anew closes
}

// kit is what a search knows of one kit.
type kit struct {
	*stock
	result   *fit.Result
	model    *fit.Model
	criteria []criterion
	play     *fit.Play  // nil unless it is placed beside the bridge
	ends     *heelEnd   // where heel and pocket's end are known
	half     float64    // half of the heel's width, where they are not
	taper    float64    // how much wider the heel gets, per mm headstockward
	gaps     [2]float64 // of the pocket, mouth and end
	snug     bool       // both gaps pass as they are
	span     float64    // mm, from one end of the bridge's screws to the other
	neck     bool       // the neck screws are known hole by hole
	bridge   bool       // the bridge's are
	others   works
}

func newKit(r *fit.Result, s *stock) *kit {
	k := &kit{stock: s, result: r, model: r.Model}
	g := r.Model.Geometry
	if p := g.Play; p != nil && p.Placed && p.Length > 0 && p.Lever != 0 && r.Model.Turns() {
		k.play = p
		for i := range k.gaps {
			k.gaps[i] = p.Bass[i] + p.Treble[i]
		}
		k.findCorners(g)
	}
	for at, i := range r.Model.Measured {
		if r.Characteristics[i].Verdict != fit.Implausible { // of which nothing is said, neither what it will be
			k.criteria = append(k.criteria, k.newCriterion(at))
		}
	}
	holes := func(id fit.ID) bool { c := k.criterion(id); return c != nil && c.taken == fit.LongestOf }
	k.neck, k.bridge = k.play != nil && holes(fit.NeckScrewMismatch), holes(fit.BridgeHoleMismatch)
	k.span = leastSpan
	for _, p := range places(g, measure.PlateScrew) {
		for _, q := range places(g, measure.PlateScrew) {
			k.span = max(k.span, math.Hypot(p.X-q.X, p.Y-q.Y))
		}
	}
	snug := func(id fit.ID) bool { c := k.criterion(id); return c != nil && c.p >= surely }
	k.snug = snug(fit.PocketGapMouth) && snug(fit.PocketGapEnd)
	return k
}

// leastSpan stands for the length of a bridge whose plate was not read: common practice, no source.
const leastSpan = 50.0 // mm

// findCorners finds the corners of the heel's end, which slide home on the pocket's.
func (k *kit) findCorners(g *fit.Geometry) {
	width := 60.0 // mm, between a guitar's and a bass's; it only tells how far a turned heel stands off
	if c := k.characteristic(fit.PocketWidthEnd); c.Missing.None() {
		width = c.Value
	}
	k.half = (width - k.gaps[1]) / 2
	mouth, end := k.characteristic(fit.HeelWidthMouth), k.characteristic(fit.HeelWidthEnd)
	if mouth.Missing.None() && end.Missing.None() {
		k.taper = (mouth.Value - end.Value) / k.play.Length
	}
	if g.HeelEnd == nil || g.Centre == nil || g.PocketEnd == nil || g.Heel[0] == nil || g.Heel[1] == nil {
		return
	}
	stop := g.PocketEnd
	e := &heelEnd{nx: stop.NX, ny: stop.NY, across: stop.NX*g.Centre.NX + stop.NY*g.Centre.NY}
	e.free = stop.D - stop.NX*k.play.MouthX - stop.NY*k.play.MouthY
	for i := range e.ahead {
		at, ok := crossing(g.HeelEnd, g.Heel[i])
		if !ok {
			return
		}
		d := at.minus(Point{k.play.MouthX, k.play.MouthY})
		e.ahead[i], e.aside[i] = stop.NX*d.X+stop.NY*d.Y, stop.NY*d.X-stop.NX*d.Y
	}
	k.ends = e
}

// heelEnd is what tells how far a heel slides home: the pocket's end as a line, and the two corners of the
// heel's end from the middle of the pocket's mouth, along that line's normal and beside it.
type heelEnd struct {
	nx, ny       float64 // the normal of the pocket's end
	across       float64 // what of a shift toward treble goes along the normal
	free         float64 // from the middle of the mouth to the end, along the normal
	ahead, aside [2]float64
}

// gapEnd is what grows with the pocket's width, at mouth (0) and end (1).
var gapEnd = map[fit.ID]int{fit.PocketGapMouth: 0, fit.PocketGapEnd: 1, fit.PocketWidthMouth: 0, fit.PocketWidthEnd: 1}

// renewable are the characteristics that a work makes anew; some work changes them in any case.
var renewable = []fit.ID{fit.NeckScrewMismatch, fit.BridgeHoleMismatch, fit.StringHolePitch, fit.PlateHoleMismatch, fit.FerruleMismatch, fit.CornerReserve, fit.FloorFlatness}

func (k *kit) newCriterion(at int) criterion {
	c := &k.result.Characteristics[k.model.Measured[at]]
	out := criterion{
		index: k.model.Measured[at], id: c.ID, taken: k.model.Taken[at], first: k.model.First[at], last: k.model.First[at+1],
		std: c.StdUncertainty, lower: c.Lower, upper: c.Upper, p: c.P,
		judged:  c.Verdict >= fit.Pass && c.Measured(),
		movable: slices.Contains(renewable, c.ID),
	}
	if c.ID == fit.EndGap && k.play != nil && (k.play.Felt || k.ends != nil) {
		out.home, out.movable = true, true
	}
	if i, ok := gapEnd[c.ID]; ok && k.play != nil {
		out.gap[i], out.movable = 1, true
	}
	out.still = out.gap == [2]float64{} && c.ID != fit.CornerReserve
	for e := out.first; e < out.last; e++ {
		for m, by := range k.model.Response[e] {
			out.still = out.still && math.Abs(by) <= noResponse
			if k.play == nil && (fit.Move(m) == fit.HeelMouth || fit.Move(m) == fit.HeelEnd) {
				continue
			}
			out.movable = out.movable || fit.Move(m) != fit.HeelAlong && math.Abs(by) > noResponse
		}
	}
	return out
}

// noResponse is what rounding leaves of a response that is none: they are of the order of 1.
const noResponse = 1e-9

// criterion finds a characteristic; nil where it was not measured.
func (k *kit) criterion(id fit.ID) *criterion {
	for i := range k.criteria {
		if k.criteria[i].id == id {
			return &k.criteria[i]
		}
	}
	return nil
}

func (k *kit) characteristic(id fit.ID) *fit.Characteristic { return &k.result.Characteristics[id] }

// judges finds a characteristic that is judged.
func (k *kit) judges(id fit.ID) *criterion {
	if c := k.criterion(id); c != nil && c.judged {
		return c
	}
	return nil
}

// troubled finds a characteristic that is judged and does not pass.
func (k *kit) troubled(id fit.ID) *criterion {
	if c := k.judges(id); c != nil && c.p < surely {
		return c
	}
	return nil
}

// trouble tells whether one of some characteristics is judged and does not pass.
func (k *kit) trouble(of func(*criterion) bool) bool {
	return slices.ContainsFunc(k.criteria, func(c criterion) bool { return c.judged && c.p < surely && of(&c) })
}

// answers tells whether a characteristic answers to any of some moves.
func (k *kit) answers(c *criterion, moves ...fit.Move) bool {
	if _, ok := gapEnd[c.id]; ok {
		return c.gap != [2]float64{} && slices.Contains(moves, fit.HeelMouth)
	}
	for e := c.first; e < c.last; e++ {
		for _, m := range moves {
			if math.Abs(k.model.Response[e][m]) > noResponse {
				return true
			}
		}
	}
	return false
}

// ofBridge tells whether it answers to a move of the bridge, ofHeight to what is laid under the heel.
func (k *kit) ofBridge(c *criterion) bool {
	return c.id == fit.BridgeHoleMismatch || k.answers(c, fit.BridgeAcross, fit.BridgeAlong, fit.BridgeTurn)
}

func (k *kit) ofHeight(c *criterion) bool { return k.answers(c, fit.FloorEnd, fit.FloorAll) }

func all(*criterion) bool { return true }

// of is a characteristic's value out of its elements'.
func (c *criterion) of(element func(e int) float64) float64 {
	switch c.taken {
	case fit.Alone:
		return element(c.first)
	case fit.LeastOf:
		least := math.Inf(1)
		for e := c.first; e < c.last; e++ {
			least = min(least, element(e))
		}
		return least
	case fit.LongestOf:
		far := 0.0
		for e := c.first; e < c.last; e += 2 {
			far = max(far, length2(element(e), element(e+1)))
		}
		return math.Sqrt(far)
	}
	panic("remedy: no such way to take a value")
}

func length2(x, y float64) float64 { return x*x + y*y }

// home is how far, tailward, the heel slides along the neck until a corner of its end meets the
// pocket's, once it is shifted by so much at mouth and end: less than nothing for a heel that must come
// out a little, since its turn drives one corner into the end. Where the corners are not known the end
// is taken as square and both corners as touching now.
func (k *kit) home(mouth, end float64) float64 {
	least, _ := k.endGaps(mouth, end)
	return least
}

// endGaps are the lesser and the greater gap that a corner of the heel's end then has along the heel, before it is slid.
func (k *kit) endGaps(mouth, end float64) (least, greatest float64) {
	turn := (end - mouth) / k.play.Length
	switch e := k.ends; {
	case e != nil:
		sin, cos := math.Sincos(turn)
		// the frame is the pocket's, and the heel slides along itself
		near, far := cos*e.ahead[0]+sin*e.aside[0], cos*e.ahead[1]+sin*e.aside[1]
		free, along := e.free-mouth*e.across, e.nx*cos+e.ny*sin
		return (free - max(near, far)) / along, (free - min(near, far)) / along
	case k.play.Felt:
		a, b := k.play.Ahead[0]+turn*k.play.Beside[0], k.play.Ahead[1]+turn*k.play.Beside[1]
		return min(a, b), max(a, b)
	}
	off := math.Abs(turn) * k.half
	return -off, off
}

// stock is the pieces by kind, and what works take.
type stock struct {
	pieces map[measure.StockKind][]measure.Stock // by size
	costs  map[measure.Work]measure.Cost
}

func newStock(o Options) *stock {
	pieces := o.Stock
	if pieces == nil {
		pieces = measure.BuiltInStock()
	}
	s := &stock{pieces: map[measure.StockKind][]measure.Stock{}, costs: map[measure.Work]measure.Cost{}}
	for _, p := range pieces {
		s.pieces[p.Kind] = append(s.pieces[p.Kind], p)
	}
	for _, list := range s.pieces {
		slices.SortStableFunc(list, func(a, b measure.Stock) int { return cmp.Compare(a.Size, b.Size) })
	}
	for _, c := range slices.Concat(measure.BuiltInCosts(), o.Costs) {
		s.costs[c.Work] = c
	}
	return s
}

// Worst per standard deviation: what a work is off by at the worst is taken as three of them.
const Worst = 3.0

// std is the standard deviation of what a work sets, in mm.
func (s *stock) std(w measure.Work) float64 { return s.costs[w].Worst / Worst }

// nearest is the piece of a kind nearest to a size.
func (s *stock) nearest(k measure.StockKind, size float64) (measure.Stock, bool) {
	best, found := measure.Stock{}, false
	for _, p := range s.pieces[k] {
		if !found || math.Abs(p.Size-size) < math.Abs(best.Size-size) {
			best, found = p, true
		}
	}
	return best, found
}
