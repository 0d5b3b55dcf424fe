package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// ledger is where budgets are drawn up; its room is used again.
type ledger struct {
	lines       []Contribution
	weights     []float64 // of the lines: shares, rounded
	sensitivity []float64
	uncertainty adjust.Uncertainty
	places      []share
	steps       []share
}

// share is an error that some rows share: the first reading that has it and how a quantity moves with it.
type share struct {
	reading     *measure.Reading
	sensitivity float64
}

func (s *share) of(r *measure.Reading, sensitivity float64) {
	if s.reading == nil {
		s.reading = r
	}
	s.sensitivity += sensitivity
}

// shares are as many as there are standard deviations, in the room given if they fit.
func shares(room []share, sd []float64) []share {
	room = slices.Grow(room[:0], len(sd))[:len(sd)]
	clear(room)
	return room
}

// budget lists what makes up the uncertainty of the quantity with gradient g, largest first: a
// line a reading (a point's two numbers together) and a line a gauge's common error. Lines below a
// ten-thousandth of the variance are left out. It is good until the next one.
func (s *solved) budget(g []float64) []Contribution {
	l := &s.ledger
	l.lines, l.weights = l.lines[:0], l.weights[:0]
	s.fit.UncertaintyInto(g, &l.uncertainty)
	if l.uncertainty.Std == 0 {
		return nil
	}
	// The rows of one reading stand together.
	l.sensitivity = s.fit.Sensitivity(g, l.sensitivity)
	variance := 0.0
	l.places, l.steps = shares(l.places, s.Problem.Places), shares(l.steps, s.Problem.Steps)
	for i, r := range s.Source {
		if r == nil {
			continue
		}
		row, sens := &s.Problem.Rows[i], l.sensitivity[i]*s.fit.ScaleOf(i)
		variance += sens * sens * row.Sigma * row.Sigma
		if k := row.Step; k > 0 {
			l.steps[k-1].of(r, sens)
		}
		if k := row.Place; k > 0 {
			l.places[k-1].of(r, sens)
		}
		if i+1 == len(s.Source) || s.Source[i+1] != r {
			l.add(Contribution{Reading: r}, math.Sqrt(variance))
			variance = 0
		}
	}
	for k, step := range l.steps {
		l.add(Contribution{Reading: step.reading}, math.Abs(step.sensitivity)*s.Problem.Steps[k])
	}
	for k, place := range l.places {
		l.add(Contribution{Reading: place.reading, Form: true}, math.Abs(place.sensitivity)*s.Problem.Places[k])
	}
	for _, f := range s.Forms {
		l.add(Contribution{Reading: f.Reading, Form: true}, l.sensitivity[f.Row]*s.Problem.Rows[f.Row].Sigma*s.fit.ScaleOf(f.Row))
	}
	for _, suspect := range s.fit.Suspects() {
		if r := s.ReadingOf(suspect.Row); r != nil {
			l.add(Contribution{Reading: r, Doubt: true}, math.Abs(suspect.Moves(g)))
		}
	}
	for i, std := range l.uncertainty.Common {
		l.add(Contribution{Gauge: s.Gauges[i]}, std)
	}
	return l.lines
}

// add puts a line where it belongs. Those that weigh the same but for rounding stay in the order of
// the readings.
func (l *ledger) add(c Contribution, std float64) {
	const least = 1e-4
	c.Std, c.Share = std, std*std/(l.uncertainty.Std*l.uncertainty.Std)
	if c.Share < least {
		return
	}
	weight := math.Round(c.Share * 1e9)
	l.lines, l.weights = append(l.lines, c), append(l.weights, weight)
	at := len(l.lines) - 1
	for ; at > 0 && l.weights[at-1] < weight; at-- {
		l.lines[at], l.weights[at] = l.lines[at-1], l.weights[at-1]
	}
	l.lines[at], l.weights[at] = c, weight
}

// mostRepeats is how often anybody will read the same thing again.
const mostRepeats = 10

// advise says which readings to repeat, and how often in all, so that an unsure characteristic is
// decided should its value stay as it is: as few different ones as will do, the largest in the
// budget first. Repeats shrink what is the readings' own; what a gauge adds to all of them alike
// stays. Only a value on the limit itself can never be decided.
func advise(c *Characteristic, budget []Contribution) Advice {
	room := math.Min(math.Abs(c.Value-c.Lower), math.Abs(c.Value-c.Upper))
	want := room / guard
	if want == 0 {
		return Advice{Kind: OnLimit}
	}
	if len(budget) == 0 {
		return Advice{Kind: SmallerU, U: want}
	}
	if budget[0].Compensation {
		return Advice{Kind: GiveCompensation}
	}
	out := Advice{Kind: Repeat}
	variance, part, k := c.StdUncertainty*c.StdUncertainty, 0.0, 0
	for i := range budget {
		r := budget[i].Reading
		if r == nil || budget[i].Form || budget[i].Doubt { // what reading again does not make smaller
			continue
		}
		if k < mostNamed {
			out.Readings[k] = r
		}
		k++
		part += budget[i].Std * budget[i].Std
		if out.Times = repeats(part, variance, want); out.Times > mostRepeats {
			continue
		}
		if k > mostNamed {
			out.Kind, out.Count = RepeatMost, k
		}
		return out
	}
	out.Kind, out.Times, out.U = BetterGauge, mostRepeats, want
	return out
}

// withCompensation adds the line of a string's compensation to a budget, in its place.
func withCompensation(budget []Contribution, std float64) []Contribution {
	variance := std * std
	for i := range budget {
		variance += budget[i].Std * budget[i].Std
	}
	for i := range budget {
		budget[i].Share = budget[i].Std * budget[i].Std / variance
	}
	budget = append(budget, Contribution{Compensation: true, Std: std, Share: std * std / variance})
	slices.SortStableFunc(budget, func(a, b Contribution) int { return cmp.Compare(b.Share, a.Share) })
	return budget
}

// repeats is how many readings in all bring a part of the variance down far enough; more than
// mostRepeats when none do.
func repeats(part, variance, want float64) int {
	left := want*want - (variance - part)
	if left <= 0 || part/left > mostRepeats {
		return mostRepeats + 1
	}
	return max(2, int(math.Ceil(part/left)))
}

// cure says which reading would fix a quantity that the rows leave free: of the unknowns
// that are free with it, first a line's, since frets and places follow from lines.
func (s *solved) cure(g []float64) Missing {
	free := s.freeOf(g)
	for i, key := range s.Sides.Keys() {
		on, second, two := s.Sides.At(i), WantSecondPlace, WantTwoPlaces
		if key.Gap() {
			second, two = WantSecondGap, WantTwoGaps
		}
		switch {
		case free[on.B] && on.N > 0:
			return Missing{Want: second, Feature: key.Feature(), Datum: key.Frame()}
		case free[on.A] || free[on.B]:
			return Missing{Want: two, Feature: key.Feature(), Datum: key.Frame()}
		}
	}
	for i, key := range s.Points.Keys() {
		if p := s.Points.At(i); free[p.Station] || free[p.Offset] {
			return Missing{Want: WantPlace, Feature: key.Feature(), Mark: key.Mark(), Datum: key.Frame()}
		}
	}
	for i, frame := range s.Boards.Keys() {
		if b := s.Boards.At(i); free[b.S0] || free[b.L] {
			return Missing{Want: WantNutAndFret, Datum: frame}
		}
	}
	for i, key := range s.Planes.Keys() {
		if p := s.Planes.At(i); free[p.A] || free[p.B] || free[p.C] {
			return Missing{Want: WantPlane, Feature: key.Feature(), Datum: key.Frame()}
		}
	}
	return Missing{Want: WantMore}
}

// freeOf marks the unknowns that move along the free directions in which the quantity moves too.
func (s *solved) freeOf(g []float64) []bool {
	const share = 1e-6 // of a gradient or of a unit direction: what adjust.Estimable lets pass
	square := 0.0
	for _, v := range g {
		square += v * v
	}
	free := make([]bool, len(g))
	for _, direction := range s.fit.Null {
		along := 0.0
		for j, v := range direction {
			along += v * g[j]
		}
		if along*along <= share*share*square {
			continue
		}
		for j, v := range direction {
			free[j] = free[j] || math.Abs(v) > share
		}
	}
	return free
}
