package adjust

import (
	"errors"
	"fmt"
	"math"
)

// York is a straight line y = A + B x through points with errors in both coordinates.
type York struct {
	A, B       float64
	StdA, StdB float64 // standard uncertainties for the given standard deviations, not scaled
	CovAB      float64
	ChiSquare  float64
	DOF        int
	Iterations int
}

// YorkPoint is a point with the standard deviations of its coordinates and their correlation.
type YorkPoint struct {
	X, Y, StdX, StdY, Correlation float64
}

const (
	// yorkSettled ends the iteration when the slope moves by less than this share of its
	// standard uncertainty,
	yorkSettled = 1e-12
	// or of itself, where rounding of the sums lets it come no closer.
	yorkRounding = 1e-13
)

// YorkLine is the maximum-likelihood line (York, Evensen, Martinez, De Basabe Delgado, "Unified
// equations for the slope, intercept, and standard errors of the best straight line", Am. J.
// Phys. 72, 2004). It needs 2 points or more that differ in x; standard deviations above zero.
func YorkLine(points []YorkPoint) (*York, error) {
	if len(points) < 2 {
		return nil, errors.New("a line needs 2 points or more")
	}
	for i, p := range points {
		if !(p.StdX > 0) || !(p.StdY > 0) || !(math.Abs(p.Correlation) < 1) {
			return nil, fmt.Errorf("point %d: standard deviations must be above zero and the correlation inside -1 to 1", i)
		}
	}
	b, err := plainSlope(points)
	if err != nil {
		return nil, err
	}
	for step := 1; step <= defaultIterations; step++ {
		state := yorkAt(points, b)
		if !finite(state.slope) {
			break
		}
		line := state.result(points, step)
		if math.Abs(line.B-b) <= yorkSettled*line.StdB+yorkRounding*math.Abs(b) {
			return line, nil
		}
		b = line.B
	}
	return nil, fmt.Errorf("%w: the slope does not settle", ErrNoConvergence)
}

// plainSlope is the unweighted slope of y on x, to start from.
func plainSlope(points []YorkPoint) (float64, error) {
	var mx, my, xx, xy float64
	for _, p := range points {
		mx += p.X / float64(len(points))
		my += p.Y / float64(len(points))
	}
	for _, p := range points {
		xx += (p.X - mx) * (p.X - mx)
		xy += (p.X - mx) * (p.Y - my)
	}
	if xx == 0 {
		return 0, errors.New("the points do not differ in x")
	}
	return xy / xx, nil
}

// yorkState is one round of the iteration: weights and adjusted points for slope b.
type yorkState struct {
	b, slope float64
	meanX    float64
	meanY    float64
	w, beta  []float64
}

// yorkAt is the paper's steps 3 to 5 (its equation 13 for the slope).
func yorkAt(points []YorkPoint, b float64) yorkState {
	s := yorkState{b: b}
	sum := 0.0
	for _, p := range points {
		w := 1 / (p.StdY*p.StdY + b*b*p.StdX*p.StdX - 2*b*p.Correlation*p.StdX*p.StdY)
		s.w = append(s.w, w)
		sum += w
		s.meanX += w * p.X
		s.meanY += w * p.Y
	}
	s.meanX /= sum
	s.meanY /= sum
	var above, below float64
	for i, p := range points {
		u, v := p.X-s.meanX, p.Y-s.meanY
		beta := s.w[i] * (u*p.StdY*p.StdY + b*v*p.StdX*p.StdX - (b*u+v)*p.Correlation*p.StdX*p.StdY)
		s.beta = append(s.beta, beta)
		above += s.w[i] * beta * v
		below += s.w[i] * beta * u
	}
	s.slope = above / below
	return s
}

// result takes the uncertainties at the adjusted points, as the paper does.
func (s yorkState) result(points []YorkPoint, steps int) *York {
	r := &York{B: s.slope, A: s.meanY - s.slope*s.meanX, DOF: len(points) - 2, Iterations: steps}
	var sum, mean, spread float64
	for i := range points {
		sum += s.w[i]
		mean += s.w[i] * (s.meanX + s.beta[i])
	}
	mean /= sum
	for i, p := range points {
		u := s.meanX + s.beta[i] - mean
		spread += s.w[i] * u * u
		d := p.Y - r.A - r.B*p.X
		r.ChiSquare += s.w[i] * d * d
	}
	r.StdB = math.Sqrt(1 / spread)
	r.StdA = math.Sqrt(1/sum + mean*mean/spread)
	r.CovAB = -mean / spread
	return r
}
