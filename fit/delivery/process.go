package delivery

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/measure"
)

// level is the confidence of every interval here, and coverage the share of the process that a
// tolerance interval holds.
const level, coverage = fit.Confidence, fit.Confidence

// falseAlarms is how often the charts of a lot together accuse a supplier whose process is steady.
const falseAlarms = 1 - fit.Confidence

// Process is what one characteristic says of the supplier's process, in mm or degrees.
type Process struct {
	Name         string
	Dimension    measure.Dimension
	Class        measure.Class
	Limited      bool    // some limit judges it, the same for all kits of the lot
	Lower, Upper float64 // an open end is an infinity

	N          int
	Mean, SD   float64         // SD is 0 for one kit
	Spread     *lot.Parts      // nil for one kit
	Capability *lot.Capability // nil without limits
	Product    lot.Index       // Ppk with our own measuring taken out; not known without limits or spread
	Chart      *lot.Chart      // nil for one kit
	Signals    []Signal
	Trend      *lot.Trend // change from kit to kit in the order received; nil for fewer than three kits
	Drifts     bool       // the trend is more than a steady process shows, the rate of the whole lot's charts held
	Normality  lot.Normality
	NotNormal  bool // the values are not as normal ones, likewise
	// Tolerance holds 95 % of the process with 95 % confidence, if it is normal; with one limit it
	// is open on the other side. Nil for one kit and for values that are all equal.
	Tolerance *lot.Interval
	Warnings  []lot.Warning
}

// Signal is a breaking of a run rule, with the kits that broke it.
type Signal struct {
	Rule lot.RunRule
	Kits []string // of a shift of level the first kit of the new one
	Step float64  // of a shift of level: by how much the mean changes; else 0
}

// process works out one characteristic; rate is the share of steady processes that it may accuse.
func (l *lotKits) process(s *series, rate float64) (*Process, error) {
	p := &Process{Name: s.Name, Dimension: s.Dimension, Class: s.Class, N: len(s.values), Lower: s.Lower, Upper: s.Upper}
	judges := !math.IsInf(s.Lower, -1) || !math.IsInf(s.Upper, 1)
	p.Limited = judges && !s.differ
	if judges && s.differ {
		p.Warnings = append(p.Warnings, lot.Warning{Kind: lot.LimitsDiffer})
		p.Lower, p.Upper = math.Inf(-1), math.Inf(1)
	}
	if p.Limited && s.Lower >= s.Upper {
		p.Warnings = append(p.Warnings, lot.Warning{Kind: lot.LimitsWithoutRoom})
		p.Limited = false
	}
	if p.Limited {
		var err error
		if p.Capability, err = lot.NewCapability(s.values, p.Lower, p.Upper, level); err != nil {
			return nil, fmt.Errorf("%s: %w", s.Name, err)
		}
	}
	p.Mean = s.values[0]
	if p.N < 2 {
		p.warn()
		return p, nil
	}
	parts, err := lot.SeparateMeasurement(s.values, s.own, level)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.Name, err)
	}
	p.Spread, p.SD = &parts, parts.Total
	if p.Limited {
		p.Product = parts.Ppk(p.N, p.Capability.Mean, s.common, p.Lower, p.Upper, level)
	}
	if p.Chart, err = lot.IndividualsChart(s.values, rate); err != nil {
		return nil, fmt.Errorf("%s: %w", s.Name, err)
	}
	p.Mean = p.Chart.Centre
	for _, signal := range p.Chart.Signals {
		names := make([]string, len(signal.Points))
		for i, at := range signal.Points {
			names[i] = l.kits[s.kits[at]].name
		}
		p.Signals = append(p.Signals, Signal{signal.Rule, names, signal.Step})
	}
	if err := p.trend(s.values, rate); err != nil {
		return nil, err
	}
	normality, tested := lot.ShapiroWilk(s.values)
	p.Normality, p.NotNormal = normality, tested && normality.P < rate
	if p.SD > 0 {
		p.Tolerance, err = tolerance(p)
	}
	p.warn()
	return p, err
}

// warn says first what makes the indices worth little.
func (p *Process) warn() {
	if p.Capability == nil {
		return
	}
	if !p.Steady() {
		p.Warnings = append(p.Warnings, lot.Warning{Kind: lot.NotSteady})
	}
	if p.NotNormal {
		p.Warnings = append(p.Warnings, lot.Warning{Kind: lot.NotNormal})
	}
	p.Warnings = append(p.Warnings, p.Capability.Warnings...)
}

// Steady tells whether nothing was seen of a shift, a stray kit or a drift.
func (p *Process) Steady() bool { return !p.Drifts && len(p.Signals) == 0 }

// trend fits a line through the values in their order, and holds its slope against none.
func (p *Process) trend(values []float64, rate float64) error {
	if p.N < 3 {
		return nil
	}
	line, err := lot.NewTrend(values, level)
	if err != nil {
		return fmt.Errorf("%s: %w", p.Name, err)
	}
	strict, err := lot.NewTrend(values, 1-rate)
	p.Trend, p.Drifts = &line, strict.Seen() && p.SD > 0
	return err
}

// tolerance is the normal tolerance interval, open where there is no limit to hold it against.
func tolerance(p *Process) (*lot.Interval, error) {
	factor := lot.TwoSidedFactor
	low, high := !math.IsInf(p.Lower, -1), !math.IsInf(p.Upper, 1)
	if low != high {
		factor = lot.OneSidedFactor
	}
	k, err := factor(p.N, coverage, level)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", p.Name, err)
	}
	t := &lot.Interval{Low: p.Mean - k*p.SD, High: p.Mean + k*p.SD}
	if low && !high {
		t.High = math.Inf(1)
	}
	if high && !low {
		t.Low = math.Inf(-1)
	}
	return t, nil
}

// Failing is a line of the Pareto list.
type Failing struct {
	Name         string
	Class        measure.Class
	Fail, Unsure int // kits
}

// pareto lists what fails or is unsure, the worst class first, in each what fails most.
func (l *lotKits) pareto() []Failing {
	var list []Failing
	for _, s := range l.found {
		if s.fail+s.unsure > 0 {
			list = append(list, Failing{s.Name, s.Class, s.fail, s.unsure})
		}
	}
	slices.SortStableFunc(list, func(a, b Failing) int {
		return cmp.Or(cmp.Compare(rank(a.Class), rank(b.Class)), cmp.Compare(b.Fail, a.Fail), cmp.Compare(b.Unsure, a.Unsure))
	})
	return list
}
