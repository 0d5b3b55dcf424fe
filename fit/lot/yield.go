package lot

import (
	"fmt"

	"gonum.org/v1/gonum/mathext"
)

// Interval is a range of values with closed ends.
type Interval struct {
	Low, High float64
}

// Proportion returns the exact two-sided confidence interval of a proportion after seeing hits in
// n independent trials (C. J. Clopper, E. S. Pearson 1934); level is the confidence, between 0 and 1.
// No trials leave everything possible: 0 to 1.
func Proportion(hits, n int, level float64) (Interval, error) {
	if hits < 0 || n < hits {
		return Interval{}, fmt.Errorf("%d out of %d is not a proportion", hits, n)
	}
	if !(level > 0 && level < 1) {
		return Interval{}, fmt.Errorf("confidence level %g must lie between 0 and 1", level)
	}
	p := Interval{0, 1}
	tail := (1 - level) / 2
	if hits > 0 {
		p.Low = mathext.InvRegIncBeta(float64(hits), float64(n-hits+1), tail)
	}
	if hits < n {
		p.High = mathext.InvRegIncBeta(float64(hits+1), float64(n-hits), 1-tail)
	}
	return p, nil
}

// Yield is the share of kits that pass at first measurement.
type Yield struct {
	Pass, Fail, Unsure int
	Known              bool     // some kit was judged
	Share              Interval // of these kits: every unsure one failing, every unsure one passing
	Process            Interval // of the process behind them, with confidence, unsure kits taken both ways
}

// FirstPassYield counts the judged kits; kits that were not measured are not to be counted. The
// interval for the process holds whatever the unsure kits turn out to be: its low end counts them
// as failing, its high end as passing. Without kits, Known is false and both intervals are 0 to 1.
func FirstPassYield(pass, fail, unsure int, level float64) (Yield, error) {
	if pass < 0 || fail < 0 || unsure < 0 {
		return Yield{}, fmt.Errorf("counts %d, %d, %d must not be negative", pass, fail, unsure)
	}
	n := pass + fail + unsure
	worst, err := Proportion(pass, n, level)
	if err != nil {
		return Yield{}, err
	}
	best, err := Proportion(pass+unsure, n, level)
	if err != nil {
		return Yield{}, err
	}
	y := Yield{Pass: pass, Fail: fail, Unsure: unsure, Known: n > 0, Share: Interval{0, 1}}
	y.Process = Interval{worst.Low, best.High}
	if y.Known {
		y.Share = Interval{float64(pass) / float64(n), float64(pass+unsure) / float64(n)}
	}
	return y, nil
}
