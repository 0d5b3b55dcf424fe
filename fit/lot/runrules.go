package lot

// RunRule is a pattern that a steady process hardly ever shows.
type RunRule uint8

// The Western Electric rules as the NIST/SEMATECH e-Handbook 6.3.2 lists them, each on either side
// of the centre, and the limit of the moving-range chart. The zero RunRule is none.
const (
	NoRunRule       RunRule = iota
	BeyondThree             // one point beyond 3 sigma
	TwoOfThree              // two of three in a row beyond 2 sigma
	FourOfFive              // four of five in a row beyond 1 sigma
	EightOnOneSide          // eight in a row on one side
	RangeBeyondTop          // a moving range above D4 times the mean range
	countOfRunRules         // keep last
)

// String describes the rule.
func (r RunRule) String() string {
	return [countOfRunRules]string{
		"no rule", "one point beyond 3 sigma", "two of three points beyond 2 sigma",
		"four of five points beyond 1 sigma", "eight points in a row on one side",
		"a step to the next point that is too large",
	}[r]
}

// Signal is one breaking of a rule.
type Signal struct {
	Rule   RunRule
	Points []int // indices of the values that break it, ascending
}

// pattern is a rule as numbers: need of the last window points lie beyond zone sigmas, one side.
type pattern struct {
	rule         RunRule
	need, window int
	zone         float64
}

var patterns = []pattern{
	{BeyondThree, 1, 1, 3}, {TwoOfThree, 2, 3, 2}, {FourOfFive, 4, 5, 1}, {EightOnOneSide, 8, 8, 0},
}

// RunRules applies the rules to values in their order, about a centre and with a sigma > 0 that may
// come from elsewhere. A rule signals at each point that completes it, so a long run signals
// repeatedly. The order is by rule, then by place. It panics when sigma is not positive.
func RunRules(values []float64, centre, sigma float64) []Signal {
	if !(sigma > 0) {
		panic("lot: run rules need a positive sigma")
	}
	var found []Signal
	for _, p := range patterns {
		for last := range values {
			for _, side := range []float64{1, -1} {
				if points := p.match(values[:last+1], centre, side*sigma); points != nil {
					found = append(found, Signal{p.rule, points})
				}
			}
		}
	}
	return found
}

// match returns the points of the pattern that the last of values completes, or nil. The sign of
// sigma chooses the side.
func (p pattern) match(values []float64, centre, sigma float64) []int {
	beyond := func(i int) bool { return (values[i]-centre)/sigma > p.zone }
	last := len(values) - 1
	if !beyond(last) {
		return nil
	}
	var points []int
	for i := max(0, last-p.window+1); i <= last; i++ {
		if beyond(i) {
			points = append(points, i)
		}
	}
	if len(points) < p.need {
		return nil
	}
	return points
}

// rangeSignals names both points of every moving range above top.
func rangeSignals(ranges []float64, top float64) []Signal {
	var found []Signal
	for i, r := range ranges {
		if r > top {
			found = append(found, Signal{RangeBeyondTop, []int{i, i + 1}})
		}
	}
	return found
}
