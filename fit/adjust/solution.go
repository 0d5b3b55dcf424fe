package adjust

// Solution is the outcome of Solve. Gradients handed to its methods have one entry per unknown.
type Solution struct {
	X          []float64   // parameters; where the rank is short, the shortest corrections to Start (see Reach)
	Fitted     []float64   // what the equations give at X
	Residuals  []float64   // Value - Fitted, a row each
	Redundancy []float64   // share of a row's own error that shows in its residual, 0 to 1
	DOF        int         // rows less rank
	ChiSquare  float64     // sum of (Residual/Sigma)^2
	PValue     float64     // chance of a larger ChiSquare when the Sigmas are right; 1 without redundancy
	Scale      float64     // factor on every Sigma: max(1, Birge ratio), or the ratio itself with UnknownScale
	Condition  float64     // condition number of the whitened, column-scaled equations, free directions apart; the worst part's
	Null       [][]float64 // orthonormal directions that the rows leave free; empty at full rank
	Iterations int         // Gauss-Newton steps of the part that took most; 1 where every row is linear

	options  Options
	critical float64   // of a standardised residual (Baarda)
	sigma    []float64 // a row each
	causes   []float64 // standard deviations
	shifts   grid      // rows by causes: whitened shift coefficients times the cause's sd
	common   grid      // orthonormal columns of all parts by causes: units . shifts; of a part as many as it has unknowns
	parts    []part
	own      []float64 // see layout
	column   []int     // likewise

	// where a row and an unknown are: the part and the place in it
	rowPart, rowPlace, unknownPart, unknownPlace []int
}

// freeTolerance is the share of an estimable gradient that may seem to lie along a free
// direction, and the component below which a free direction does not move an unknown. The
// directions are good to about 1e-10 (rankTolerance bounds what the next direction can leak) and
// gradients come from points that are good to about 1e-8, so a millionth is clear of both.
const freeTolerance = 1e-6

// Estimable reports whether the rows determine the quantity with gradient g. Both g and the free
// directions are compared after column scaling, so that units do not matter; an unknown that no
// row touches counts in its own unit.
func (s *Solution) Estimable(g []float64) bool {
	s.mustFit(g)
	if len(s.Null) == 0 {
		return true
	}
	var room [roomy]float64
	along, all := scratch(room[:], len(s.Null)), 0.0
	for u, v := range g {
		if v != 0 {
			all += s.addFree(u, v, along)
		}
	}
	return dot(along, along) <= freeTolerance*freeTolerance*all
}

// addFree adds what the unknown u with slope v has along each free direction, in scaled unknowns,
// and returns the square of all that it has.
func (s *Solution) addFree(u int, v float64, along []float64) float64 {
	pt, at := &s.parts[s.unknownPart[u]], s.unknownPlace[u]
	v *= pt.scale[at]
	for k, d := range pt.scaled {
		along[pt.firstFree+k] += v * d[at]
	}
	return v * v
}

// roomy is how many numbers methods keep without asking for memory: the columns of a survey.
const roomy = 64

// scratch is n zeros, in the room given if they fit.
func scratch(room []float64, n int) []float64 {
	if n <= len(room) {
		return room[:n]
	}
	return make([]float64, n)
}

// Free lists, in rising order, the unknowns that the rows do not fix: those that some free
// direction moves.
func (s *Solution) Free() []int {
	var free []int
	for j := range s.X {
		most := 0.0 // of all unit vectors along free directions, squared
		for _, n := range s.Null {
			most += n[j] * n[j]
		}
		if most > freeTolerance*freeTolerance {
			free = append(free, j)
		}
	}
	return free
}

func (s *Solution) mustFit(g []float64) {
	if len(g) != len(s.X) {
		panic("adjust: a gradient needs one entry per unknown")
	}
}
