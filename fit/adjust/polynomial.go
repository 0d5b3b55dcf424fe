package adjust

import "errors"

// Curve is a polynomial y = X[0] + X[1] (x - Centre) + X[2] (x - Centre)^2 + ...
type Curve struct {
	*Solution
	Centre float64
}

// Line fits y = X[0] + X[1] (x - centre) to readings y at exactly known x, with one standard
// deviation a reading (nil for all 1, then use UnknownScale).
func Line(x, y, sigma []float64, centre float64, o Options) (*Curve, error) {
	return Polynomial(x, y, sigma, 1, centre, o)
}

// Polynomial is Line for any degree.
func Polynomial(x, y, sigma []float64, degree int, centre float64, o Options) (*Curve, error) {
	if len(x) != len(y) || degree < 0 {
		panic("adjust: a polynomial needs as many x as y and a degree of 0 or more")
	}
	if len(x) == 0 {
		return nil, errors.New("a polynomial needs readings")
	}
	sigma = sigmas(sigma, len(x))
	f := &Curve{Centre: centre}
	p := &Problem{Start: make([]float64, degree+1)}
	for i := range x {
		row := Row{Value: y[i], Sigma: sigma[i]}
		for j, c := range f.powers(x[i], degree) {
			row.Terms = append(row.Terms, Term{j, c})
		}
		p.Rows = append(p.Rows, row)
	}
	var err error
	f.Solution, err = Solve(p, o)
	if err != nil {
		return nil, err
	}
	return f, nil
}

func (f *Curve) powers(x float64, degree int) []float64 {
	g := make([]float64, degree+1)
	g[0] = 1
	for j := 1; j <= degree; j++ {
		g[j] = g[j-1] * (x - f.Centre)
	}
	return g
}

// At is the curve's value at x, with its uncertainty (of the curve, not of a further reading).
func (f *Curve) At(x float64) (float64, Uncertainty) {
	g := f.powers(x, len(f.X)-1)
	return dot(g, f.X), f.Uncertainty(g)
}
