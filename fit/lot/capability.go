package lot

import (
	"errors"
	"fmt"
	"math"
)

// Index is a capability index with its confidence limits; all zero when not Known.
type Index struct {
	Known            bool
	Value, Low, High float64
}

// Capability compares a process's spread and centre with its limits. Cp and Pp need both limits;
// with one limit only Cpk and Ppk are known.
type Capability struct {
	N         int
	Mean      float64
	SDOverall float64 // of all values together, n-1
	SDWithin  float64 // from one value to the next: mean moving range / d2
	Cp, Cpk   Index   // with SDWithin: what the process could do if it held its centre
	Pp, Ppk   Index   // with SDOverall: what it did
	Warnings  []string
}

// CapabilityOptions are the knobs of NewCapability; the zero value is ready to use.
type CapabilityOptions struct {
	Level float64 // of the two-sided confidence limits; 0 means 0.95
}

// fewValues is where indices are still too uncertain to speak of capability: below it the 95 %
// limits of Pp are further than 28 % from it. The number is common practice, no source.
const fewValues = 25

// NewCapability judges values, in the order made or received, against limits; an open end is an
// infinity. Formulas: NIST/SEMATECH e-Handbook 6.1.6; confidence limits by
// chi-square for Cp and Pp and by noncentral t for Cpk and Ppk, as told at widthIndex and nearestIndex;
// those of Cp and Cpk are approximate (see withinSpread). One value, or values that are all equal, have no indices, and a warning.
func NewCapability(values []float64, lower, upper float64, o CapabilityOptions) (*Capability, error) {
	if o.Level == 0 {
		o.Level = 0.95
	}
	if err := checkCapabilityArguments(values, lower, upper, o.Level); err != nil {
		return nil, err
	}
	c := &Capability{N: len(values)}
	c.Mean, c.SDOverall = meanSD(values)
	if c.N == 1 {
		c.warn("one value has no spread: 2 or more give one, %d or more a useful one", fewValues)
		return c, nil
	}
	chart, err := IndividualsChart(values)
	if err != nil {
		return nil, err
	}
	c.SDWithin = chart.Sigma
	if c.SDOverall == 0 {
		c.warn("all values are equal: read them with a finer gauge to see a spread")
		return c, nil
	}
	if c.N < fewValues {
		c.warn("the indices rest on %d values: %d or more are needed to speak of capability", c.N, fewValues)
	}
	if !chart.InControl() {
		c.warn("the process is not steady (%v): find the cause before the indices say anything of the next lot", chart.Signals[0].Rule)
	}
	tail := (1 - o.Level) / 2
	overall, within := overallSpread(c.N, c.SDOverall), withinSpread(c.N, c.SDWithin)
	c.Pp, c.Ppk = overall.widthIndex(lower, upper, tail), overall.nearestIndex(c.N, c.Mean, lower, upper, tail)
	c.Cp, c.Cpk = within.widthIndex(lower, upper, tail), within.nearestIndex(c.N, c.Mean, lower, upper, tail)
	return c, nil
}

func (c *Capability) warn(format string, args ...any) {
	c.Warnings = append(c.Warnings, fmt.Sprintf(format, args...))
}

func checkCapabilityArguments(values []float64, lower, upper, level float64) error {
	switch {
	case len(values) == 0:
		return errors.New("capability needs values, there are none")
	case math.IsNaN(lower) || math.IsNaN(upper) || math.IsInf(lower, 1) || math.IsInf(upper, -1):
		return fmt.Errorf("limits %v and %v are not limits", lower, upper)
	case math.IsInf(lower, -1) && math.IsInf(upper, 1):
		return errors.New("capability needs at least one limit")
	case lower >= upper:
		return fmt.Errorf("lower limit %g must be below upper limit %g", lower, upper)
	case !(level > 0 && level < 1):
		return fmt.Errorf("confidence level %g must lie between 0 and 1", level)
	}
	return checkFinite(values)
}
