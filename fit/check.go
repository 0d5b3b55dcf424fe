// Package fit turns a kit's readings into geometry, the geometry into characteristics with their
// uncertainties, and those into verdicts. Package survey writes the equations,
// solved has their unknowns, assembly the kit put together, catalogue what is read off it, judge what
// is said of that.
package fit

import (
	"math"
	"slices"
	"sync"

	"neckfit/fit/survey"
	"neckfit/measure"
)

// Rule decides from value, uncertainty and limits.
type Rule uint8

// The decision rules.
const (
	Guarded Rule = iota // pass at P >= 0.95 inside, fail at P >= 0.95 beyond a limit (ISO 14253-1:2017 default)
	Simple              // value against limits
)

// Options steer Check; the zero value uses the built-in limits and the guarded rule.
type Options struct {
	Rule         Rule
	Limits       []measure.Limit // the user's; they override the built-in ones by name and stay as they are
	Compensation measure.Strings // of the strings that strings.csv gives; nil for the built-in ones

	Specs map[int]measure.StringSpec // the strings whose compensation is to be worked out
	Model bool                       // fill in Result.Model and Result.Residuals, for remedies and drawings
	Brief bool                       // no budgets, for batches that nobody looks into; the advice is the same
	Terse bool                       // no budgets, no advice, not every basis and, without Model, 1 for a probability near it, for tables of verdicts
}

// Check fits one kit and judges it: as it is after the work, where it was measured again. It never
// fails: what cannot be worked out is not measured, with what is missing.
func Check(kit *measure.Kit, o Options) *Result {
	r := new(Result)
	if o.Model { // which keeps the memory
		new(Checker).check(r, kit, o)
		return r
	}
	w := checkers.Get().(*Checker)
	defer checkers.Put(w)
	w.check(r, kit, o)
	return r
}

var checkers = sync.Pool{New: func() any { return new(Checker) }}

// Checker checks one kit after another in the same memory. The zero Checker is ready to use, by one
// goroutine at a time.
type Checker struct {
	solved   solved
	assembly assembly
	blank    blank
	sense    sense
	alike    alike
	result   Result
}

// Check is the package's Check. The Result, and everything in it, is good until the next one.
func (w *Checker) Check(kit *measure.Kit, o Options) *Result {
	w.result = Result{Characteristics: w.result.Characteristics[:0], Gauges: w.result.Gauges[:0]}
	w.check(&w.result, kit, o)
	return &w.result
}

func (w *Checker) check(r *Result, kit *measure.Kit, o Options) {
	if kit.WasReworked() {
		kit = kit.Staged(measure.Reworked)
		r.Warnings = append(r.Warnings, Warning{Kind: ReworkedOnly})
	}
	w.blank.fill(o.Limits)
	for i := range kit.Readings {
		if by := kit.Readings[i].By; by != "" && !slices.Contains(r.People, by) {
			r.People = append(r.People, by)
		}
	}
	if list := w.sense.nonsense(kit); len(list) > 0 {
		sound, touched := apart(kit, list)
		w.checkSound(r, kit, list, sound, touched, o)
		return
	}
	before := *r
	err := w.adjust(r, kit, o)
	if err == nil && !slices.ContainsFunc(r.Suspects, func(s Suspect) bool { return math.Abs(s.Read-s.Expected) > gross }) &&
		!slices.ContainsFunc(r.Warnings, func(w Warning) bool { return w.Kind == OffThere && math.Abs(w.Ratio) > gross }) {
		return
	}
	// Where it settled all the same, a number so wrong has spoilt the fit, and not it alone is accused.
	if odd, mended := contradiction(kit, r); mended != nil {
		*r = before
		sound, _ := apart(kit, []Nonsense{odd})
		w.checkSound(r, kit, []Nonsense{odd}, sound, mended, o)
	}
}

// gross is how far, in mm, a reading must be from what the others say to be looked into by itself.
const gross = 10.0

// gauges puts the gauges whose errors count in a kit, each once, into list, with the straightedges along its edges.
func (s *solved) gauges(list []*measure.Gauge) []*measure.Gauge {
	note := func(g *measure.Gauge) {
		if g.Kind != survey.SeatKind && !slices.ContainsFunc(list, func(o *measure.Gauge) bool { return o.ID == g.ID }) {
			list = append(list, g)
		}
	}
	for _, g := range s.Used {
		note(g)
	}
	if s.Edges {
		note(survey.Straightedge(s.Kit))
	}
	return list
}

// checkSound judges what does not rest on readings that cannot be so: what has the same value without them
// and with something else in their place. Of the rest nothing is said.
func (w *Checker) checkSound(r *Result, kit *measure.Kit, list []Nonsense, sound, touched *measure.Kit, o Options) {
	var all Result
	quick := o
	quick.Terse, quick.Model = true, false
	_ = w.adjust(&all, touched, quick) // which refuses everything where it fails
	_ = w.adjust(r, sound, o)
	r.Nonsense, r.Readings = list, len(kit.Readings)
	for i := range r.Characteristics {
		c, whole := &r.Characteristics[i], &all.Characteristics[i]
		if !whole.Measured() || c.Measured() && c.Lower == whole.Lower && c.Upper == whole.Upper && math.Abs(c.Value-whole.Value) <= max(untouched, immaterial*c.StdUncertainty) {
			continue
		}
		*c = w.blank.list[i]
		c.Missing, c.Verdict = Missing{Want: WantSense}, Implausible
	}
	if !r.measured(CentreLineError) || !r.measured(PocketGapMouth) || !r.measured(PocketGapEnd) {
		r.Swing = nil
	}
	r.Verdict = max(r.kitVerdict(), Implausible)
}

// untouched is by how much, in mm or degrees, a value may change by rounding where nothing that it rests on
// changes; and immaterial, in standard uncertainties, where what does is next to nothing to it.
const (
	untouched  = 1e-6
	immaterial = 0.1
)

// putTogether fits a kit, without the frets of a fan that kits.csv does not tell of, or of which nobody knows where they were read.
func (w *Checker) putTogether(kit *measure.Kit, o Options) (*assembly, error) {
	if err := w.solved.solve(kit); err != nil {
		return nil, err
	}
	way := wayOf(&w.solved.Survey)
	a := w.assembly.put(&w.solved, way, o, nil)
	fan := 0.0
	if a.fanless().None() {
		if fan = a.fanSeen(); fan == 0 {
			return a, nil
		}
	}
	if err := w.solved.unfret(fan); err != nil {
		return nil, err
	}
	return w.assembly.put(&w.solved, way, o, nil), nil
}

// adjust fits a kit and judges it, or refuses it.
func (w *Checker) adjust(r *Result, kit *measure.Kit, o Options) error {
	r.Kit, r.Info, r.Readings, r.Scale = kit.Name, kit.Info, len(kit.Readings), 1
	a, err := w.putTogether(kit, o)
	if err != nil {
		r.Characteristics = append(r.Characteristics[:0], w.blank.list...)
		for i := range r.Characteristics {
			r.Characteristics[i].Missing = Missing{Want: WantSettled}
		}
		r.Warnings = append(r.Warnings, Warning{Kind: NoFit, Err: err})
		return err
	}
	r.Way = a.way
	r.Gauges = a.gauges(r.Gauges[:0])
	r.DOF, r.ChiSquare, r.Scale = a.fit.DOF, a.fit.ChiSquare, a.fit.Scale
	r.Characteristics = a.judgeAll(r.Characteristics, &w.blank)
	r.Verdict = r.kitVerdict()
	if r.measured(CentreLineError) && r.measured(PocketGapMouth) && r.measured(PocketGapEnd) {
		r.Swing = a.swing()
	}
	if c := &r.Characteristics[EndGap]; c.Verdict == Fail && c.Basis.Kind == EndFelt {
		r.Warnings = append(r.Warnings, Warning{Kind: HeelNotHome, Ratio: c.Value})
	}
	var crooked []Warning
	r.Suspects, crooked = a.suspects()
	var odd []*measure.Reading
	for _, s := range w.alike.suspects(a) {
		if !slices.ContainsFunc(r.Suspects, func(o Suspect) bool { return o.Reading == s.Reading }) {
			r.Suspects, odd = append(r.Suspects, s), append(odd, s.Reading)
		}
	}
	r.Warnings = slices.Concat(r.Warnings, a.warnings(), crooked)
	if o.Model {
		r.Model = w.solved.model(a, r)
		r.Residuals = a.residuals(odd)
	}
	return nil
}

// measured tells whether a characteristic has a value.
func (r *Result) measured(id ID) bool { return r.Characteristics[id].Missing.None() }

// Verdict is what is said of a characteristic or a kit. Its zero value says nothing.
type Verdict uint8

// The verdicts.
const (
	NotMeasured Verdict = iota // the readings for it are missing: neither a pass nor a failure
	NotJudged                  // measured, but nobody set a limit
	Pass
	TooCoarse   // of a characteristic: with these gauges no value could pass
	Incomplete  // of a kit: what was judged passes, but something that had to be measured was not
	Unsure      // the uncertainty straddles a limit
	Implausible // it rests on readings that cannot be of an instrument, and is not judged
	Fail
)

// Way is how the readings were taken.
type Way uint8

// The ways of working, in rising order of effort and knowledge.
const (
	NoWay Way = iota
	EdgeCheck
	DryFit
	LooseParts
)

// Characteristic is one line of a tolerance table.
type Characteristic struct {
	ID        ID
	Dimension measure.Dimension // Length in mm, Angle in degrees

	// StdUncertainty is half the 95 % interval over Coverage: the standard deviation, unless that was taken from scatter and
	// the interval is Student's, or the value is the worst of several and the interval must hold for all.
	Value          float64
	StdUncertainty float64
	DOF            float64 // degrees of freedom of a standard deviation from scatter or of places' guessed form; 0 where gauges' claims stand for it
	Among          int     // of how many places the value is the worst; 0 for a value by itself
	Doubt          float64 // of it, what readings that are named as suspects bring, should they be wrong
	Common         float64 // of it, what the gauges' maximum errors bring: the same shift for every kit read with them
	Missing        Missing // the readings that would give it
	Basis          Basis   // where it comes from when there is a choice

	Lower, Upper float64 // an open end is an infinity
	Class        measure.Class
	LimitSource  LimitSource

	P       float64 // probability that the true value lies inside the limits (JCGM 106)
	Verdict Verdict
	Advice  Advice // for Unsure: what to read again, and how often, to decide it

	Budget []Contribution // largest first
}

// Contribution is one line of an uncertainty budget: a reading's own, or a gauge's common error.
type Contribution struct {
	Reading      *measure.Reading // nil for a gauge
	Gauge        *measure.Gauge   // nil for a reading
	Form         bool             // it is what the place that was read may leave the ideal form by, which is the same when it is read again
	Compensation bool             // it is what a string's compensation is good to that strings.csv does not give
	Doubt        bool             // it is that the reading may be wrong, see Suspect
	Std          float64          // standard uncertainty that it adds, same unit as the characteristic; a gauge's is signed
	Share        float64          // of the variance, 0 to 1
}

// Swing is the range of the centre-line error that the pocket's clearance and the neck screws' allow, in mm.
type Swing struct {
	Low, High float64
	ByScrews  bool // the screws' holes allow less than the pocket does
}

// Suspect is a reading that does not agree with the others of its kit.
type Suspect struct {
	Reading  *measure.Reading
	W        float64 // standardised residual
	Critical float64 // what |W| was held against
	Read     float64 // mm, as read
	Expected float64 // mm, what the other readings say

	Rivals  []*measure.Reading // which may be the wrong ones instead: the others cannot tell
	Crooked bool               // it may be the part that leaves its form at that place, and not a misreading

	// Moves are the characteristics that it or a rival would move by a tenth of their standard uncertainties or more, were
	// it wrong. Only with Options.Model.
	Moves []ID
}

// Result is everything that is known of one kit.
type Result struct {
	Kit             string
	Info            measure.Info
	Way             Way
	Verdict         Verdict
	Characteristics []Characteristic // always all of them, in the order of Catalogue
	Swing           *Swing           // nil where it is not known
	Model           *Model           // nil unless Options.Model asked for it
	Residuals       []Residual       // of every number read; nil unless Options.Model asked for them
	Suspects        []Suspect
	Nonsense        []Nonsense // what cannot be so; no characteristic that is judged rests on it
	Warnings        []Warning
	Gauges          []*measure.Gauge // that it was read with
	People          []string         // by whom it was read

	Readings  int
	DOF       int     // redundant readings
	ChiSquare float64 // of the readings' residuals
	Scale     float64 // at least 1: what the gauges' own uncertainties were multiplied by (Birge)
}

// Find is a characteristic of the result; nil when the result does not have it, as one that was put
// together by hand may not.
func (r *Result) Find(id ID) *Characteristic {
	for i := range r.Characteristics {
		if r.Characteristics[i].ID == id {
			return &r.Characteristics[i]
		}
	}
	return nil
}

// Measured tells whether the characteristic has a value.
func (c *Characteristic) Measured() bool {
	return c.Missing.None() && c.Verdict != NotMeasured && c.Verdict != Implausible
}
