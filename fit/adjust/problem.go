// Package adjust is least squares and nothing else: equations, their variances and the causes
// they share go in; parameters, covariance, residuals, redundancy and suspects come out.
// It knows lines, planes, frets, circles and distances.
package adjust

import "fmt"

// Model is the right-hand side of an observation equation that is not linear.
type Model interface {
	// Eval returns f(x) and adds the partial derivatives of f at x to grad, which the caller
	// has zeroed and which has the length of x.
	Eval(x, grad []float64) float64
}

// Scoped is a Model that says which unknowns it depends on. A Model that does not say is taken to
// depend on all, which makes the equations one connected component.
type Scoped interface {
	Model
	// AppendUnknowns adds their indices to list and returns it.
	AppendUnknowns(list []int) []int
}

// Term is one summand of a linear observation equation: Coef times an unknown.
type Term struct {
	Unknown int
	Coef    float64
}

// Shift says how an observed value moves with a cause that it shares with other rows: by Coef
// times the cause.
type Shift struct {
	Cause int
	Coef  float64
}

// Row is one observation equation, Value = sum of Terms + Model(x) + error, all in one unit.
type Row struct {
	Value  float64
	Sigma  float64 // standard deviation of what is this row's alone; above zero
	Step   int     // 1 + the index in Problem.Steps of the error that it shares with rows of its place; 0 for none
	Place  int     // 1 + the index in Problem.Places of the place that it reads; 0 for none
	Group  int     // 1 + the number of the group of places that it is of, all alike in how far they leave the form; 0 for none
	Shifts []Shift // what it shares without being weighed for it
	Terms  []Term
	Model  Model // nil when the row is linear
}

// Problem is a set of equations in the unknowns 0 ... len(Start)-1.
type Problem struct {
	Start  []float64 // approximate values; any will do where every row is linear
	Rows   []Row
	Causes []float64 // standard deviation of each common cause

	// Places are the standard deviations of how far each place leaves the ideal form that the equations describe,
	// and Steps of errors that are alike in some rows of one place, such as what a gauge's step hides from readings
	// that show the same number. Both are weighed: rows that share one are correlated. Rows of one place
	// have the same equation, so that what they differ by is the gauge's alone.
	Places, Steps []float64

	// Reach, if given, is how far each unknown can lie from Start, above zero. It does three
	// things. A direction in which a step as long as that moves all fitted values together by
	// less than one standard deviation counts as free: rows that are not linear fix some things only in
	// the second order (widths the heading of their sides), which would come out with a
	// monstrous uncertainty. Where the rank is short, corrections are the shortest counted in
	// reaches, which is fair to lengths and slopes alike. And no step of rows that are not
	// linear goes beyond it.
	Reach []float64
}

// Options are the knobs of Solve; the zero value is ready to use.
type Options struct {
	MaxIterations int     // of Gauss-Newton; 0 means 50
	UnknownScale  bool    // the Sigmas are only relative: scale the covariance by chi-square/dof, up or down
	Scatter       Scatter // what groups of places are taken to scatter by
	Alpha         float64 // chance that a set of good rows has a suspect; 0 means 0.02
	KnownScale    bool    // the Sigmas hold however the rows scatter: a suspect need not stand out from the others
}

// Scatter is what groups of places are taken to scatter by.
type Scatter int

// As the values say; or as is claimed.
const (
	AsRead Scatter = iota
	AsClaimed
)

// check panics on an index that is not there, which is a programmer's mistake, and returns an
// error for a number that cannot be used.
func (p *Problem) check() error {
	for j, x := range p.Start {
		if !finite(x) {
			return fmt.Errorf("unknown %d starts at %v", j, x)
		}
	}
	if p.Reach != nil && len(p.Reach) != len(p.Start) {
		panic("adjust: a reach for each unknown or none")
	}
	for j, r := range p.Reach {
		if !finite(r) || r <= 0 {
			return fmt.Errorf("unknown %d reaches %v, must be above zero", j, r)
		}
	}
	for k, sd := range p.Causes {
		if !finite(sd) || sd < 0 {
			return fmt.Errorf("cause %d has standard deviation %v", k, sd)
		}
	}
	for k, sd := range p.Places {
		if !finite(sd) || sd < 0 {
			return fmt.Errorf("place %d has standard deviation %v", k, sd)
		}
	}
	for k, sd := range p.Steps {
		if !finite(sd) || sd < 0 {
			return fmt.Errorf("step %d has standard deviation %v", k, sd)
		}
	}
	for i := range p.Rows {
		if err := p.checkRow(&p.Rows[i]); err != nil {
			return fmt.Errorf("row %d: %w", i, err)
		}
	}
	return nil
}

func (p *Problem) checkRow(r *Row) error {
	if !finite(r.Value) {
		return fmt.Errorf("value is %v", r.Value)
	}
	if !finite(r.Sigma) || r.Sigma <= 0 {
		return fmt.Errorf("standard deviation is %v, must be above zero", r.Sigma)
	}
	for _, t := range r.Terms {
		_ = p.Start[t.Unknown]
		if !finite(t.Coef) {
			return fmt.Errorf("coefficient of unknown %d is %v", t.Unknown, t.Coef)
		}
	}
	for _, s := range r.Shifts {
		_ = p.Causes[s.Cause]
		if !finite(s.Coef) {
			return fmt.Errorf("shift by cause %d is %v", s.Cause, s.Coef)
		}
	}
	return nil
}

func finite(x float64) bool { return x-x == 0 }
