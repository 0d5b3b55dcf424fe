package adjust

import "math"

// Slopes are how four quantities change with one and the same thing. Side by side they take little
// longer than one; their loops are written out, since the compiler does not do so.
type Slopes [4]float64

// Add adds by times the others.
func (s *Slopes) Add(by float64, others *Slopes) {
	s[0] += by * others[0]
	s[1] += by * others[1]
	s[2] += by * others[2]
	s[3] += by * others[3]
}

// Zero tells whether nothing changes. One question is quicker than four: but for their signs zeros
// have no bits.
func (s *Slopes) Zero() bool {
	all := math.Float64bits(s[0]) | math.Float64bits(s[1]) | math.Float64bits(s[2]) | math.Float64bits(s[3])
	return all<<1 == 0
}

// addSquares adds the squares of the others.
func (s *Slopes) addSquares(others *Slopes) {
	s[0] += others[0] * others[0]
	s[1] += others[1] * others[1]
	s[2] += others[2] * others[2]
	s[3] += others[3] * others[3]
}

// Spreads are the uncertainties of four quantities.
type Spreads struct {
	Std    Slopes // standard uncertainty, all together
	Common Slopes // what the common causes bring, all together
}

// Uncertainties is Uncertainty for four gradients side by side: g has an entry an unknown.
func (s *Solution) Uncertainties(g []Slopes) (out Spreads) {
	var room [few]Slopes
	moved := room[:]
	if len(s.causes) > few {
		moved = make([]Slopes, len(s.causes))
	}
	moved = moved[:len(s.causes)]
	var own Slopes
	for u, t := range s.own {
		switch by := &g[u]; {
		case by.Zero():
		case t == 0:
			s.addPart(u, g, &own, moved)
		default: // the one column of its part
			y := Slopes{t * by[0], t * by[1], t * by[2], t * by[3]}
			own.addSquares(&y)
			s.addMoved(s.column[u], &y, moved)
		}
	}
	for cause := range moved {
		out.Common.addSquares(&moved[cause])
	}
	for k := range own {
		out.Std[k] = math.Sqrt(s.Scale*s.Scale*own[k] + out.Common[k])
		out.Common[k] = math.Sqrt(out.Common[k])
	}
	return out
}

// addPart takes the slopes by all unknowns of u's part to its orthonormal columns, one after another,
// and adds what they bring: their squares to own, and how far the causes move them. Only the first of
// the part's unknowns that has a slope does so, for all.
func (s *Solution) addPart(u int, g []Slopes, own *Slopes, moved []Slopes) {
	pt := &s.parts[s.unknownPart[u]]
	for _, before := range pt.unknowns[:s.unknownPlace[u]] {
		if !g[before].Zero() {
			return
		}
	}
	for c := range pt.t.cols {
		var y0, y1, y2, y3 float64 // which an array would keep in memory
		at := c
		for _, u := range pt.unknowns {
			if t := pt.t.v[at]; t != 0 { // half of them mostly are
				by := &g[u]
				y0 += t * by[0]
				y1 += t * by[1]
				y2 += t * by[2]
				y3 += t * by[3]
			}
			at += pt.t.cols
		}
		y := Slopes{y0, y1, y2, y3}
		own.addSquares(&y)
		s.addMoved(pt.first+c, &y, moved)
	}
}

// addMoved adds how much one standard deviation of each cause moves what has slopes y along column c.
func (s *Solution) addMoved(c int, y *Slopes, moved []Slopes) {
	causes := len(moved)
	for cause, m := range s.common.v[c*causes : (c+1)*causes] {
		if m != 0 { // an unknown mostly hangs on one gauge
			moved[cause].Add(m, y)
		}
	}
}

// few is for how many causes there is room without asking for memory.
const few = 8
