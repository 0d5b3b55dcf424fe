package remedy

import (
	"math"
	"slices"

	"neckfit/measure"
)

// shelf is the stock by kind, and what works take.
type shelf struct {
	stock map[measure.StockKind][]measure.Stock // by size
	costs map[measure.Work]measure.Cost
}

func newShelf(o Options) *shelf {
	stock := o.Stock
	if stock == nil {
		stock = measure.BuiltInStock()
	}
	s := &shelf{stock: map[measure.StockKind][]measure.Stock{}, costs: map[measure.Work]measure.Cost{}}
	for _, p := range stock {
		s.stock[p.Kind] = append(s.stock[p.Kind], p)
	}
	for _, list := range s.stock {
		slices.SortStableFunc(list, func(a, b measure.Stock) int {
			return cmpFloat(a.Size, b.Size)
		})
	}
	for _, c := range slices.Concat(measure.BuiltInCosts(), o.Costs) {
		s.costs[c.Work] = c
	}
	return s
}

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// sizes are the thicknesses or diameters of a kind.
func (s *shelf) sizes(k measure.StockKind) []float64 {
	var list []float64
	for _, p := range s.stock[k] {
		list = append(list, p.Size)
	}
	return list
}

// named is what the shelf calls the piece of a size.
func (s *shelf) named(k measure.StockKind, size float64) string {
	for _, p := range s.stock[k] {
		if p.Size == size { // the very number came from the shelf
			return p.Name
		}
	}
	return ""
}

// worst per standard deviation: what a work is off by at the worst is taken as three of them.
const worst = 3.0

// std is the standard deviation of what a work sets, in mm.
func (s *shelf) std(w measure.Work) float64 { return s.costs[w].Worst / worst }

// taperMinutes is what a shim that is not as thick at both ends takes more than a parallel one:
// common practice, no source.
const taperMinutes = 10

// minutes is the sum over a plan.
func (s *shelf) minutes(actions []Action) float64 {
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
func (s *shelf) nearest(k measure.StockKind, size float64) (measure.Stock, bool) {
	best, found := measure.Stock{}, false
	for _, p := range s.stock[k] {
		if !found || math.Abs(p.Size-size) < math.Abs(best.Size-size) {
			best, found = p, true
		}
	}
	return best, found
}
