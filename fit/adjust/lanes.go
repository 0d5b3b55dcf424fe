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

// squares is the sum of the squares of several.
func squares(y []Slopes) Slopes {
	var a, b, c, d float64
	for i := range y {
		v := &y[i]
		a += v[0] * v[0]
		b += v[1] * v[1]
		c += v[2] * v[2]
		d += v[3] * v[3]
	}
	return Slopes{a, b, c, d}
}

// Spreads are the uncertainties of four quantities.
type Spreads struct {
	Std    Slopes // standard uncertainty, all together
	Common Slopes // what the common causes bring, all together
}

// Uncertainties is Uncertainty for four gradients side by side: g has an entry an unknown.
func (s *Solution) Uncertainties(g []Slopes) (out Spreads) {
	var room [roomy]Slopes
	y := room[:]
	if s.common.rows > roomy {
		y = make([]Slopes, s.common.rows)
	}
	y = y[:s.common.rows]
	for u := range s.X {
		if !g[u].Zero() {
			s.addSlopes(u, &g[u], y)
		}
	}
	own := squares(y)
	var causes [few]Slopes
	moved := append(causes[:0], make([]Slopes, len(s.causes))...)
	for cause := range moved {
		moved[cause] = s.moved(cause, y)
	}
	out.Common = squares(moved)
	for k := range own {
		out.Std[k] = math.Sqrt(s.Scale*s.Scale*own[k] + out.Common[k])
		out.Common[k] = math.Sqrt(out.Common[k])
	}
	return out
}

// addSlopes adds slopes by unknown u to those along the orthonormal columns.
func (s *Solution) addSlopes(u int, by *Slopes, y []Slopes) {
	pt := &s.parts[s.unknownPart[u]]
	t := pt.t.row(s.unknownPlace[u])
	for c := range t {
		y[pt.first+c].Add(t[c], by)
	}
}

// moved is how much one standard deviation of a cause moves the quantities with slopes y along the
// orthonormal columns.
func (s *Solution) moved(cause int, y []Slopes) Slopes {
	var a, b, c, d float64
	causes := len(s.causes)
	for i := range y {
		m, v := s.common.v[i*causes+cause], &y[i]
		a += m * v[0]
		b += m * v[1]
		c += m * v[2]
		d += m * v[3]
	}
	return Slopes{a, b, c, d}
}

// few is for how many causes there is room without asking for memory.
const few = 8
