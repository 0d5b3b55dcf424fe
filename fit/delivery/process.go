package delivery

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/measure"
)

// level is the confidence of every interval here, and coverage the share of the process that a
// tolerance interval holds.
const level, coverage = fit.Confidence, fit.Confidence

// falseAlarms is how often the charts of a lot together accuse a supplier whose process is steady; of each chart's
// share trends have the smaller part, since a drift mostly shows as a shift too.
const (
	falseAlarms = 1 - fit.Confidence
	trendShare  = 0.2
)

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
	Split      *Split
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
	if p.Chart, err = lot.IndividualsChart(s.values, rate*(1-trendShare)); err != nil {
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
	if err := p.trend(s.values, rate*trendShare); err != nil {
		return nil, err
	}
	normality, tested := lot.ShapiroWilk(s.values)
	p.Normality, p.NotNormal = normality, tested && normality.P < rate
	p.Split = l.split(s, rate)
	if p.SD > 0 {
		p.Tolerance, err = tolerance(p)
	}
	p.warn()
	return p, err
}

// Split is a difference between the kits that one person read, or that were read with one gauge, and the others: before
// the supplier is to blame for a spread, a shift or a failing kit, that is.
type Split struct {
	Person, Gauge string  // one of them
	Kits          int     // that person's, or gauge's
	Diff, U       float64 // by how much these lie higher than the others, with the expanded uncertainty
}

// fewestInSplit is how many kits either side of a split must have.
const fewestInSplit = 4

// split looks for the clearest difference, by Student's t of two samples with one standard deviation; the rate is
// shared by all persons and gauges that did not read every kit. Nil where there is none.
func (l *lotKits) split(s *series, rate float64) (found *Split) {
	type hand struct{ person, gauge string }
	var hands []hand
	of := map[hand][2][]float64{} // the others' values and its own
	for _, i := range s.kits {
		for _, name := range l.kits[i].people {
			hands = append(hands, hand{person: name})
		}
		for _, name := range l.kits[i].gauges {
			hands = append(hands, hand{gauge: name})
		}
	}
	slices.SortFunc(hands, func(a, b hand) int { return cmp.Or(cmp.Compare(a.person, b.person), cmp.Compare(a.gauge, b.gauge)) })
	hands = slices.DeleteFunc(slices.Compact(hands), func(h hand) bool {
		var sides [2][]float64
		for at, i := range s.kits {
			k, side := &l.kits[i], 0
			if h.person != "" && slices.Contains(k.people, h.person) || h.gauge != "" && slices.Contains(k.gauges, h.gauge) {
				side = 1
			}
			sides[side] = append(sides[side], s.values[at])
		}
		of[h] = sides
		return min(len(sides[0]), len(sides[1])) < fewestInSplit
	})
	clearest := 0.0
	for _, h := range hands {
		rest, own := of[h][0], of[h][1]
		restMean, restSD := lot.MeanSD(rest)
		ownMean, ownSD := lot.MeanSD(own)
		n, m := float64(len(rest)), float64(len(own))
		std := math.Sqrt((restSD*restSD*(n-1) + ownSD*ownSD*(m-1)) / (n + m - 2) * (1/n + 1/m))
		law := distuv.StudentsT{Sigma: 1, Nu: n + m - 2}
		t := math.Abs(ownMean-restMean) / std
		if std > 0 && t > clearest && t > law.Quantile(1-rate/float64(len(hands))/2) {
			clearest = t
			found = &Split{Person: h.person, Gauge: h.gauge, Kits: len(own), Diff: ownMean - restMean, U: std * law.Quantile((1+level)/2)}
		}
	}
	return found
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
