package remedy

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// kind is what a characteristic's prediction rests on.
type kind uint8

const (
	linear      kind = iota // value + response . moves
	neckHoles               // worst of the heel's holes against the body's
	bridgeHoles             // worst of the body's holes against the plate's
	stringRow               // worst of the string holes from an even row
	corners                 // the heel's corner radius less the pocket's
	floorFlat               // unevenness of the pocket's floor
)

// row is one measured characteristic.
type criterion struct {
	index           int    // in Result.Characteristics
	parts           []part // of the model
	kind            kind
	value, variance float64
	lower, upper    float64
	judged          bool
	by              [fit.Moves]float64 // per unit of each move
	gap             [2]float64         // per mm that the pocket grows wider at mouth and end
	curable         bool               // some action could change it
}

// kit is what a search knows of one kit.
type kit struct {
	*stock
	result   *fit.Result
	model    *fit.Model
	criteria []criterion
	play     *fit.Play // nil unless it is placed beside the bridge
	neck     holes
	bridge   holes
	span     float64 // mm, from one end of the bridge's screws to the other
}

func newKit(r *fit.Result, s *stock) *kit {
	k := &kit{stock: s, result: r, model: r.Model}
	if p := r.Model.Geometry.Play; p != nil && p.Placed && p.Length > 0 && p.Lever != 0 {
		k.play = p
	}
	k.neck = k.neckPattern()
	k.bridge = k.bridgePattern()
	k.span = max(leastSpan, k.bridge.span())
	for at, index := range r.Model.Measured {
		k.criteria = append(k.criteria, k.newCriterion(k.parts(at), index))
	}
	return k
}

// leastSpan stands for the length of a bridge whose plate was not read: common practice, no source.
const leastSpan = 50.0 // mm

var kinds = map[fit.ID]kind{
	fit.NeckScrewMismatch: neckHoles, fit.BridgeHoleMismatch: bridgeHoles, fit.StringHolePitch: stringRow, fit.CornerReserve: corners,
	fit.FloorFlatness: floorFlat,
}

// gapEnd are what grows with the pocket's width, at mouth (0) and end (1).
var gapEnd = map[fit.ID]int{fit.PocketGapMouth: 0, fit.PocketGapEnd: 1, fit.PocketWidthMouth: 0, fit.PocketWidthEnd: 1}

func (k *kit) newCriterion(parts []part, index int) criterion {
	c := &k.result.Characteristics[index]
	out := criterion{
		index: index, parts: parts, kind: kinds[c.ID], value: c.Value, variance: c.StdUncertainty * c.StdUncertainty,
		lower: c.Lower, upper: c.Upper, by: k.model.Response[parts[0].element],
		judged: c.Verdict == fit.Pass || c.Verdict == fit.Unsure || c.Verdict == fit.Fail,
	}
	if i, ok := gapEnd[c.ID]; ok {
		out.by = [fit.Moves]float64{} // moving the heel does not change the whole gap
		out.gap[i] = 1
	}
	out.curable = k.canChange(&out)
	return out
}

// canChange tells whether any action could.
func (k *kit) canChange(r *criterion) bool {
	if r.kind != linear || r.gap != [2]float64{} && k.play != nil {
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
func (k *kit) criterion(id fit.ID) *criterion {
	for i := range k.criteria {
		if k.result.Characteristics[k.criteria[i].index].ID == id {
			return &k.criteria[i]
		}
	}
	return nil
}

// of finds the criterion of a kind.
func (k *kit) of(s kind) *criterion {
	for i := range k.criteria {
		if k.criteria[i].kind == s {
			return &k.criteria[i]
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

// sizes are the thicknesses or diameters of a kind.
func (s *stock) sizes(k measure.StockKind) []float64 {
	var list []float64
	for _, p := range s.pieces[k] {
		list = append(list, p.Size)
	}
	return list
}

// named is what the table calls the piece of a size.
func (s *stock) named(k measure.StockKind, size float64) string {
	for _, p := range s.pieces[k] {
		if p.Size == size { // the very number came from the table
			return p.Name
		}
	}
	return ""
}

// worst per standard deviation: what a work is off by at the worst is taken as three of them.
const worst = 3.0

// std is the standard deviation of what a work sets, in mm.
func (s *stock) std(w measure.Work) float64 { return s.costs[w].Worst / worst }

// taperMinutes is what a shim that is not as thick at both ends takes more than a parallel one:
// common practice, no source.
const taperMinutes = 10

// minutes is the sum over a plan.
func (s *stock) minutes(actions []Action) float64 {
	sum := 0.0
	for _, a := range actions {
		sum += s.costs[a.Work].Minutes
		if a.Work == measure.SideShim && a.Mouth != a.End {
			sum += taperMinutes
		}
	}
	return sum
}

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

// part is an element of a characteristic with its share in it.
type part struct {
	element int
	share   float64
}

// parts are the elements that a measured characteristic is to first order: the least, or both coordinates
// of the longest distance.
func (k *kit) parts(at int) []part {
	m := k.model
	first, last := m.First[at], m.First[at+1]
	worst := first
	if m.Taken[at] != fit.LongestOf {
		for e := first; e < last; e++ {
			if m.Elements[e].Value < m.Elements[worst].Value {
				worst = e
			}
		}
		return []part{{worst, 1}}
	}
	length := func(e int) float64 { return math.Hypot(m.Elements[e].Value, m.Elements[e+1].Value) }
	for e := first; e < last; e += 2 {
		if length(e) > length(worst) {
			worst = e
		}
	}
	far := max(length(worst), leastStd)
	return []part{{worst, m.Elements[worst].Value / far}, {worst + 1, m.Elements[worst+1].Value / far}}
}

// covariance is that of two criteria.
func (k *kit) covariance(r, s *criterion) float64 {
	sum := 0.0
	for _, p := range r.parts {
		for _, q := range s.parts {
			sum += p.share * q.share * k.model.Covariance[p.element][q.element]
		}
	}
	return sum
}
