package adjust

import "errors"

// Solution is the outcome of Solve. Gradients handed to its methods have one entry per unknown.
type Solution struct {
	X          []float64   // parameters; where the rank is short, the shortest vector of corrections to Start
	Fitted     []float64   // what the equations give at X
	Residuals  []float64   // Value - Fitted, a row each
	Redundancy []float64   // share of a row's own error that shows in its residual, 0 to 1
	DOF        int         // rows less rank
	ChiSquare  float64     // sum of (Residual/Sigma)^2
	PValue     float64     // chance of a larger ChiSquare when the Sigmas are right; 1 without redundancy
	Scale      float64     // factor on every Sigma: max(1, Birge ratio), or the ratio itself with UnknownScale
	Condition  float64     // condition number of the whitened, column-scaled equations
	Null       [][]float64 // orthonormal directions that the rows leave free; empty at full rank
	Iterations int
}

// Uncertainty is the standard uncertainty of a derived quantity, in parts.
type Uncertainty struct {
	Std         float64   // all together
	Independent float64   // from what is each row's alone, scaled
	Common      []float64 // signed, from each cause: gradient . J . shift coefficients . cause's sd
}

// Solve minimises the sum of (Residual/Sigma)^2 by Gauss-Newton steps on a QR factorisation of
// centred, whitened, scaled columns.
func Solve(p *Problem, o Options) (*Solution, error) { return nil, errors.New("not yet") }

// Estimable reports whether the rows determine the quantity with gradient g.
func (s *Solution) Estimable(g []float64) bool { return false }

// Uncertainty propagates the rows' and the causes' variances to the quantity with gradient g.
func (s *Solution) Uncertainty(g []float64) Uncertainty { return Uncertainty{} }

// Covariance of the quantities with gradients g and h, common causes included.
func (s *Solution) Covariance(g, h []float64) float64 { return 0 }

// Sensitivity returns, a row each, how the quantity with gradient g moves with that row's Value.
func (s *Solution) Sensitivity(g []float64) []float64 { return nil }

// ResidualUncertainty is the standard uncertainty (common causes included) of row i's residual.
func (s *Solution) ResidualUncertainty(i int) float64 { return 0 }

// Added estimates one further unknown whose column of coefficients is col (a row each): what it
// would come to, with its uncertainty, were it added to the equations (Frisch, Waugh, Lovell).
// ok is false where the rows do not determine it.
func (s *Solution) Added(col []float64) (value float64, u Uncertainty, ok bool) {
	return 0, Uncertainty{}, false
}

// Suspects snoops the data (Baarda; Pope's critical values where the scale was raised or is
// unknown): the worst row first, then what is still beyond once that row is set aside.
func (s *Solution) Suspects() []Suspect { return nil }
