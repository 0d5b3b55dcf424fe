package html

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/report/words"
)

// chart is one characteristic over the batch: how its values spread, and how they came one after
// the other.
type chart struct {
	Name, Words          string
	Histogram, Sequence  template.HTML
	Warnings             []string
	Fail, Unsure, Judged int
}

func (s *series) judged() bool {
	return slices.ContainsFunc(s.verdicts, func(v fit.Verdict) bool { return v != fit.NotJudged })
}

// leastSequence is the fewest values worth a chart of their order.
const leastSequence = 5

// chart draws them; rate is how often a steady process may be accused.
func (s *series) chart(rate float64) chart {
	c := chart{Name: s.name, Fail: s.count(fit.Fail), Unsure: s.count(fit.Unsure)}
	c.Words = fmt.Sprintf("%d kits", len(s.values))
	if s.judged() && s.sameLimits {
		l := fit.Characteristic{Lower: s.lower, Upper: s.upper}
		c.Words += ", limits " + words.Limits(&l) + " " + s.unit
	} else if s.judged() {
		c.Words += ", limits differ from kit to kit"
	}
	if c.Fail+c.Unsure > 0 {
		c.Words += fmt.Sprintf("; %d fail, %d unsure", c.Fail, c.Unsure)
	}
	c.Histogram = s.histogram()
	if len(s.values) >= leastSequence {
		if drawn, err := lot.IndividualsChart(s.values, rate); err == nil {
			c.Sequence, c.Warnings = s.sequence(drawn), words.LotWarnings(drawn.Warnings)
		}
	}
	return c
}

// quartiles are the values a quarter and three quarters up the sorted list.
func quartiles(list []float64) (q1, q3 float64) {
	sorted := slices.Sorted(slices.Values(list))
	return sorted[len(sorted)/4], sorted[3*len(sorted)/4]
}

// meanU is the root mean square of the kits' standard uncertainties.
func (s *series) meanU() float64 {
	sum := 0.0
	for _, u := range s.u {
		sum += u * u
	}
	return math.Sqrt(sum / float64(len(s.u)))
}

// limitsToDraw are the limits that all kits share; open where they do not.
func (s *series) limitsToDraw() (low, high float64) {
	if !s.sameLimits {
		return math.Inf(-1), math.Inf(1)
	}
	return s.lower, s.upper
}

// span is the range that a chart shows: all values but those far out, and the limits.
func (s *series) span() (low, high float64) {
	q1, q3 := quartiles(s.values)
	reach := 4 * math.Max(q3-q1, 2*s.meanU()) // a value beyond is drawn as an arrow at the chart's edge
	low, high = math.Max(slices.Min(s.values), q1-reach), math.Min(slices.Max(s.values), q3+reach)
	l, h := s.limitsToDraw()
	for _, x := range []float64{l, h} {
		if !math.IsInf(x, 0) && x > q1-3*reach && x < q3+3*reach {
			low, high = math.Min(low, x), math.Max(high, x)
		}
	}
	pad := 0.06 * (high - low)
	if pad <= 0 {
		pad = math.Max(s.meanU(), math.Max(math.Abs(high)*1e-3, 1e-3)) // all values are equal: any width does
	}
	return low - pad, high + pad
}

const (
	chartWidth  = 460.0
	chartHeight = 176.0
	chartLeft   = 14.0
	chartBase   = 126.0
)

// histogram counts the values in equal steps over the limits. What lies beyond the span is written at
// its edge.
func (s *series) histogram() template.HTML {
	const right = chartWidth - chartLeft
	f := &figure{width: chartWidth, height: chartHeight}
	low, high := s.span()
	x := between(low, high, chartLeft, right)
	l, h := s.limitsToDraw()
	from, to := chartLeft, right
	if !math.IsInf(l, -1) {
		from = math.Min(math.Max(x.of(l), chartLeft), right)
		f.line("limit", point{from, 12}, point{from, chartBase})
	}
	if !math.IsInf(h, 1) {
		to = math.Min(math.Max(x.of(h), chartLeft), right)
		f.line("limit", point{to, 12}, point{to, chartBase})
	}
	if !math.IsInf(l, -1) || !math.IsInf(h, 1) {
		f.rect("band", from, 12, to-from, chartBase-12)
	}
	counts, below, above := make([]int, s.bins(high-low)), 0, 0
	for _, v := range s.values {
		switch {
		case v < low:
			below++
		case v > high:
			above++
		default:
			counts[max(0, min(len(counts)-1, int(float64(len(counts))*(v-low)/(high-low))))]++
		}
	}
	most := max(1, slices.Max(counts))
	step := (right - chartLeft) / float64(len(counts))
	for i, n := range counts {
		const tallest = 96.0
		if h := tallest * float64(n) / float64(most); n > 0 {
			f.rect("bin", chartLeft+float64(i)*step+1, chartBase-h, step-2, h)
		}
	}
	f.line("base", point{chartLeft, chartBase}, point{right, chartBase})
	if below > 0 {
		f.text("strong", point{chartLeft, 24}, fmt.Sprintf("◀ %d more", below))
	}
	if above > 0 {
		f.text("strong e", point{right, 24}, fmt.Sprintf("%d more ▶", above))
	}
	s.scaleWords(f, x, low, high)
	s.oneKit(f, x)
	mean := 0.0
	for _, v := range s.values {
		mean += v / float64(len(s.values))
	}
	return f.svg("fig", words.HistogramLabel(s.name, s.unit, len(s.values), mean, s.meanU()), "data-x", x.data())
}

// bins is the number of steps by Freedman and Diaconis (1981), whose step is twice the
// interquartile range over the cube root of the count; between 8 and 32 to be seen.
func (s *series) bins(span float64) int {
	const fewest, most = 8, 32
	q1, q3 := quartiles(s.values)
	step := 2 * (q3 - q1) / math.Cbrt(float64(len(s.values)))
	if !(step > span/most) {
		return most
	}
	return max(fewest, int(math.Ceil(span/step)))
}

// scaleWords writes the ends of the scale and the limits below it.
func (s *series) scaleWords(f *figure, x axis, low, high float64) {
	const room = 64.0
	used := []float64{}
	l, h := s.limitsToDraw()
	for _, v := range []float64{l, h} {
		if !math.IsInf(v, 0) && v >= low && v <= high {
			f.text("strong m", point{math.Min(math.Max(x.of(v), 24), chartWidth-24), chartBase + 16}, words.Limit(v))
			used = append(used, x.of(v))
		}
	}
	for i, v := range []float64{low, high} {
		free := !slices.ContainsFunc(used, func(at float64) bool { return math.Abs(at-x.of(v)) < room })
		if free {
			text, _ := words.Rounded(v, (high-low)/100)
			f.text([]string{"note", "note e"}[i], point{x.of(v), chartBase + 16}, text)
		}
	}
}

// oneKit is the interval that one kit's value has, at the middle of the values.
func (s *series) oneKit(f *figure, x axis) {
	sorted := slices.Sorted(slices.Values(s.values))
	u, m := words.Coverage*s.meanU(), sorted[len(sorted)/2]
	y := chartBase + 32
	from, to := math.Max(x.of(m-u), 2), math.Min(x.of(m+u), chartWidth-2)
	f.path("whisk", "M"+num(from)+" "+num(y-4)+"v8M"+num(to)+" "+num(y-4)+"v8M"+num(from)+" "+num(y)+"H"+num(to))
	_, text := words.Rounded(m, s.meanU())
	text = "one kit ± " + text + " " + s.unit
	const letter = 7.6 // px, more than a letter of a note is wide in any usual face
	room := letter*float64(utf8.RuneCountInString(text)) + 8
	switch {
	case to+room < chartWidth:
		f.text("note", point{to + 8, y + 4}, text)
	case from > room:
		f.text("note e", point{from - 8, y + 4}, text)
	default:
		f.text("note m", point{chartWidth / 2, y + 15}, text)
	}
}

// The charts of the order run from runLeft to runRight; the words of their levels stand behind.
const (
	runLeft  = chartLeft + 8
	runRight = chartWidth - chartLeft - 40
)

// steps is the axis of the kits' numbers, from 0.
func (s *series) steps() axis {
	return between(0, float64(len(s.values)-1), runLeft, runRight-4)
}

// wordHeight is what a level's word takes, in px, with some air.
const wordHeight = 15

// level is a line across a chart of the order, with a word behind it.
func (f *figure) level(class string, y float64, word string) {
	f.line(class, point{chartLeft, y}, point{runRight, y})
	if word != "" {
		f.text("tiny", point{runRight + 4, y + 4}, word)
	}
}

// run joins points in their order; a signal is marked by a diamond, any other by a dot.
func (f *figure) run(points []point, signal func(i int) bool) {
	var line, dots, signals strings.Builder // of many thousand points
	for i, at := range points {
		join := "L"
		if i == 0 {
			join = "M"
		}
		line.WriteString(join + near(at.x) + " " + near(at.y))
		if signal(i) {
			signals.WriteString("M" + near(at.x-5.5) + " " + near(at.y) + "l5.5-5.5 5.5 5.5-5.5 5.5z")
			continue
		}
		dots.WriteString(dot(at))
	}
	f.path("run", line.String())
	f.path("dots", dots.String())
	f.path("signal", signals.String())
}

// sequence is the individuals chart in the order of the batch.
func (s *series) sequence(chart *lot.Chart) template.HTML {
	f := &figure{width: chartWidth, height: chartHeight}
	low, high := s.span()
	low, high = math.Min(low, chart.Centre), math.Max(high, chart.Centre)
	const top, bottom = 28.0, 146.0
	x, y := s.steps(), between(low, high, bottom, top)
	if l, h := s.limitsToDraw(); (!math.IsInf(l, -1) || !math.IsInf(h, 1)) && l <= high && h >= low {
		from, to := y.of(math.Max(l, low)), y.of(math.Min(h, high))
		f.rect("band", chartLeft, to, runRight-chartLeft, from-to)
	}
	reach := words.Fixed(chart.Reach, 1) + " s"
	text := [3]string{"−" + reach, "mean", "+" + reach}
	if y.of(chart.Lower)-y.of(chart.Upper) < 2*wordHeight { // the words would lie on each other
		text = [3]string{"", "± " + reach, ""}
	}
	for i, v := range []float64{chart.Lower, chart.Centre, chart.Upper} {
		if v >= low && v <= high {
			f.level([3]string{"control", "base", "control"}[i], y.of(v), text[i])
		}
	}
	points := make([]point, len(s.values))
	for i, v := range s.values {
		points[i] = point{x.of(float64(i)), y.of(math.Min(math.Max(v, low), high))}
	}
	odd := map[int]bool{}
	for _, g := range chart.Signals {
		odd[g.Points[len(g.Points)-1]] = true
	}
	f.run(points, func(i int) bool { return odd[i] })
	if s.trend != nil {
		f.line("fit", point{x.of(0), y.of(s.trend.First)}, point{x.of(float64(len(s.values) - 1)), y.of(s.trend.Last)})
	}
	f.text("note", point{chartLeft, 16}, "in the order of the batch; diamonds: odd, or the first of a new level")
	return f.svg("fig", words.SequenceLabel(s.name, len(s.values), len(odd)))
}

// ranges is the chart of the moving ranges, below that of the values and with the same steps along.
func (s *series) ranges(c *lot.Chart) template.HTML {
	const height, top, bottom = 120.0, 30.0, 108.0
	f := &figure{width: chartWidth, height: height}
	x, y := s.steps(), between(0, math.Max(c.RangeTop, slices.Max(c.Ranges)), bottom, top)
	f.level("base", y.of(0), "0")
	f.level("control", y.of(c.RangeTop), "limit")
	if y.of(c.MeanRange)-y.of(c.RangeTop) > wordHeight { // else its word would lie on the limit's
		f.level("control", y.of(c.MeanRange), "mean")
	}
	points := make([]point, len(c.Ranges))
	for i, r := range c.Ranges {
		points[i] = point{x.of(float64(i + 1)), y.of(r)}
	}
	f.run(points, func(int) bool { return false })
	f.text("note", point{chartLeft, 16}, "steps from kit to kit; by chance 1 in 100 passes the limit")
	return f.svg("fig", words.RangesLabel(s.name, s.unit, len(c.Ranges), c.RangeTop), "data-y", y.data())
}

// operatingCurve draws, for each class that is inspected by a sample, how likely a lot is accepted
// against the share of bad kits (or of faults a kit) in the process behind it, in a dash of its own, with
// its name at the top right and its AQL marked; "" for no such class.
func operatingCurve(a *delivery.Acceptance) template.HTML {
	const height, left, right, top, bottom = 230.0, 52.0, 440.0, 30.0, 190.0
	const unlikely = 0.02 // so far right the curves reach
	f := &figure{width: chartWidth, height: height}
	var classes []*delivery.ClassAcceptance
	most := 0.0
	for i := range a.ByClass {
		if c := &a.ByClass[i]; c.AQL > 0 && c.Judged && !c.Plan.All {
			classes = append(classes, c)
			most = math.Max(most, c.Plan.QualityAt(unlikely))
		}
	}
	if len(classes) == 0 {
		return ""
	}
	x, y := between(0, most, left, right), between(0, 1, bottom, top)
	for _, v := range []float64{0, 0.5, 1} {
		f.line("control", point{left, y.of(v)}, point{right, y.of(v)})
		f.text("tiny e", point{left - 6, y.of(v) + 4}, fmt.Sprintf("%.0f %%", 100*v))
	}
	f.line("base", point{left, bottom}, point{left, top})
	for i := 1; i < 5; i++ { // nought is written beside the corner already
		v := most * float64(i) / 4
		f.text("tiny m", point{x.of(v), bottom + 16}, words.ShortPercent(v))
	}
	f.text("note", point{left - 46, 16}, "lots accepted")
	f.text("note e", point{right, height - 6}, "bad in the process; ◆ at the AQL")
	label := "Operating curves:"
	for i, c := range classes {
		const steps, sample, row = 80, 30.0, 17.0
		class := fmt.Sprintf("oc oc%d", i)
		data := "M"
		for k := range steps + 1 {
			q := most * float64(k) / steps
			if q > 1 && !c.Plan.CountsFaults() {
				break
			}
			if k > 0 {
				data += "L"
			}
			data += num(x.of(q)) + " " + num(y.of(c.Plan.AcceptProcess(q)))
		}
		f.path(class, data)
		if aql := c.AQL / 100; aql <= most {
			f.diamond("bridge-mark", point{x.of(aql), y.of(c.Plan.AcceptProcess(aql))}, 5)
		}
		at := point{right - 110, 46 + row*float64(i)}
		f.path(class, stroke(at, point{at.x + sample, at.y}))
		f.text("", point{at.x + sample + 8, at.y + 4}, c.Class.String())
		label += fmt.Sprintf(" %s, 50 %% accepted at %s bad.", c.Class, words.ShortPercent(c.Plan.QualityAt(0.5)))
	}
	return f.svg("fig oc", label, "data-x", x.data(), "data-y", y.data())
}
