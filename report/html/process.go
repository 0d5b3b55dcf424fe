package html

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/report"
)

// processRow is a characteristic's line in the table of the lot's process.
type processRow struct {
	Name, Unit                    string
	N                             int
	Mean, Spread, Gauges, Product string
	Tolerance                     string
	Indices                       [4]index // Cp, Cpk, Pp, Ppk
}

// index is a capability index and its 95 % confidence limits in words.
type index struct{ Value, Range string }

func newIndex(x lot.Index) index {
	value, limits, _ := strings.Cut(report.IndexWords(x), " ")
	return index{value, limits}
}

// processChart is a characteristic's histogram and its charts in the order received.
type processChart struct {
	Name, Words, Signals        string
	Histogram, Sequence, Ranges template.HTML
}

// process adds a characteristic; fewer than two kits have nothing to draw.
func (v *lotView) process(p *delivery.Process) {
	v.Processes = append(v.Processes, newProcessRow(p))
	if p.Chart == nil {
		return
	}
	c := newProcessChart(p)
	if c.Signals != "" {
		v.Signals = append(v.Signals, note{p.Name, signalCounts(p.Signals)})
	}
	if p.Limited {
		v.Charts = append(v.Charts, c)
	} else {
		v.MoreCharts = append(v.MoreCharts, c)
	}
}

// signalCounts says how many kits broke each rule; their names stand below the chart.
func signalCounts(signals []delivery.Signal) string {
	var rules []lot.RunRule
	kits := map[lot.RunRule]map[string]bool{}
	for _, s := range signals {
		if kits[s.Rule] == nil {
			rules = append(rules, s.Rule)
			kits[s.Rule] = map[string]bool{}
		}
		for _, k := range s.Kits {
			kits[s.Rule][k] = true
		}
	}
	words := make([]string, len(rules))
	for i, r := range rules {
		words[i] = r.String() + " (" + count(len(kits[r]), "kit", "kits") + ")"
	}
	return strings.Join(words, "; ")
}

func newProcessRow(p *delivery.Process) processRow {
	r := processRow{Name: p.Name, Unit: report.ProcessUnit(p), N: p.N, Mean: report.Small(p.Mean), Tolerance: report.ToleranceWords(p.Tolerance)}
	if p.Spread != nil {
		r.Spread, r.Gauges, r.Product = report.Small(p.SD), report.Small(p.Spread.Measurement), report.Small(p.Spread.Product)
	}
	if c := p.Capability; c != nil {
		r.Indices = [4]index{newIndex(c.Cp), newIndex(c.Cpk), newIndex(c.Pp), newIndex(c.Ppk)}
	}
	return r
}

func newProcessChart(p *delivery.Process) processChart {
	s := seriesOf(p)
	c := processChart{Name: p.Name, Words: processWords(p), Signals: report.SignalWords(p.Signals), Histogram: s.histogram()}
	if len(s.values) >= leastSequence {
		c.Sequence, _ = s.sequence() // its warnings are among the lot's notes
		c.Ranges = s.ranges(p.Chart)
	}
	return c
}

// seriesOf is a process as the charts take it: of each kit's uncertainty the part that differs from
// kit to kit, all alike.
func seriesOf(p *delivery.Process) *series {
	s := &series{name: p.Name, unit: report.ProcessUnit(p), class: p.Class.String(), lower: p.Lower, upper: p.Upper, sameLimits: p.Limited, values: p.Chart.Values}
	s.u = make([]float64, len(s.values))
	if p.Spread != nil {
		for i := range s.u {
			s.u[i] = p.Spread.Measurement
		}
	}
	return s
}

// processWords are the limits and the indices with their confidence limits.
func processWords(p *delivery.Process) string {
	text := fmt.Sprintf("%d kits", p.N)
	if p.Limited {
		l := fit.Characteristic{Lower: p.Lower, Upper: p.Upper}
		text += ", limits " + report.Limits(&l) + " " + report.ProcessUnit(p)
	}
	if p.Capability == nil {
		return text
	}
	c := p.Capability
	for _, x := range []struct {
		name string
		lot.Index
	}{{"Cp", c.Cp}, {"Cpk", c.Cpk}, {"Pp", c.Pp}, {"Ppk", c.Ppk}} {
		if x.Known {
			i := newIndex(x.Index)
			text += "; " + x.name + " " + i.Value + " (" + i.Range + ")"
		}
	}
	return text
}

// ranges is the chart of the moving ranges, below that of the values and with the same steps along.
func (s *series) ranges(c *lot.Chart) template.HTML {
	const height, top, bottom = 120.0, 30.0, 108.0
	f := &figure{width: chartWidth, height: height}
	most := c.RangeTop
	for _, r := range c.Ranges {
		most = math.Max(most, r)
	}
	x, right := s.steps()
	y := between(0, most, bottom, top)
	level := func(class string, v float64, word string) {
		f.line(class, point{chartLeft, y.of(v)}, point{right, y.of(v)})
		f.text("tiny", point{right + 4, y.of(v) + 4}, word)
	}
	level("base", 0, "0")
	level("control", c.RangeTop, "limit")
	if y.of(c.MeanRange)-y.of(c.RangeTop) > 12 { // else its word would lie on the limit's
		level("control", c.MeanRange, "mean")
	}
	data, dots, signals, odd := "M", "", "", 0
	for i, r := range c.Ranges {
		at := point{x.of(float64(i + 1)), y.of(r)}
		if i > 0 {
			data += "L"
		}
		data += near(at.x) + " " + near(at.y)
		if r > c.RangeTop {
			odd++
			signals += diamondAt(at)
			continue
		}
		dots += dot(at)
	}
	f.path("run", data)
	f.path("dots", dots)
	if signals != "" {
		f.path("signal", signals)
	}
	f.text("note", point{chartLeft, 16}, "steps from one kit to the next; diamonds are too large")
	return f.svg("fig", fmt.Sprintf("Moving ranges of %s: %d steps, %d above the limit %s %s.", s.name, len(c.Ranges), odd, report.Small(c.RangeTop), s.unit), "data-y", y.data())
}
