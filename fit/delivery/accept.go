package delivery

import (
	"errors"
	"fmt"
	"slices"

	"neckfit/fit/lot/sampling"
	"neckfit/measure"
)

// Decision is what to do with a lot. Its zero value accepts nothing.
type Decision uint8

// The decisions.
const (
	Undecided Decision = iota // something must be measured first
	Accept
	Reject
	Stopped // no lot of this supplier is accepted by sampling before the cause is cured
)

// String is one word for it.
func (d Decision) String() string {
	return [...]string{"undecided", "accept", "reject", "stopped"}[d]
}

// Classes are those that lots are accepted by, the worst first.
var Classes = []measure.Class{measure.Critical, measure.Major, measure.Minor}

// Acceptance is how a lot was accepted or rejected.
type Acceptance struct {
	Decision   Decision
	Severity   sampling.Severity
	Why        sampling.Cause // of the severity; none where the supplier starts
	Size       int            // kits delivered
	Drawn      []string
	Unread     []string // of those, not checked
	FromRead   bool     // the names of the others are not known, so the sample was drawn from the checked kits
	Short      int      // kits that are still to be checked, in that case
	ByClass    []ClassAcceptance
	UnsureBad  bool           // unsure kits counted as bad
	Next       *sampling.Step // how the next lot is to be inspected; nil when nothing changes
	ToDraw     *Draw          // from a next lot of as many kits; nil where none is to be accepted by sampling
	normalNext bool
}

// ClassAcceptance is the plan of one class and what it found. A kit counts in every class in which
// it fails, which is stricter than the standard, where a unit counts by its worst class (from memory).
type ClassAcceptance struct {
	Class      measure.Class
	AQL        float64 // 0: not inspected
	Judged     bool    // some kit of the lot has a judged characteristic of the class
	Plan       sampling.Plan
	Bad        int      // kits, or faults when the plan counts those, with the unsure ones if they count as bad
	Open       int      // unsure ones that do not count as bad, and kits not measured
	BadKits    []string // of the sample
	UnsureKits []string
	BlankKits  []string // of the sample, with nothing judged in the class
	Outcome    sampling.Outcome
}

// accept inspects the lot with a severity.
func (l *lotKits) accept(s sampling.Severity, why sampling.Cause, o Options) (*Acceptance, error) {
	names := l.names(false)
	a := &Acceptance{Severity: s, Why: why, Size: max(len(names), o.Size), UnsureBad: o.UnsureBad}
	if o.Size > 0 && o.Size < len(names) {
		return nil, fmt.Errorf("the lot has %d kits already, so it cannot be one of %d", len(names), o.Size)
	}
	if a.FromRead = a.Size > len(names); a.FromRead {
		names = l.names(true)
	}
	counts := map[string]*kitCount{}
	for i := range l.kits {
		counts[l.kits[i].name] = &l.kits[i]
	}
	for _, class := range Classes {
		c := ClassAcceptance{Class: class, AQL: o.AQL[class], Judged: l.judges(class)}
		if c.AQL > 0 {
			if err := a.inspect(&c, names, counts, o); err != nil {
				return nil, err
			}
		}
		a.ByClass = append(a.ByClass, c)
	}
	for _, name := range a.Drawn {
		if counts[name] == nil {
			a.Unread = append(a.Unread, name)
		}
	}
	var rejected, open, accepted bool
	for _, c := range a.ByClass {
		if c.AQL == 0 || !c.Judged {
			continue
		}
		switch c.Outcome {
		case sampling.Undecided:
			open = true
		case sampling.Rejected:
			rejected = true
		case sampling.AcceptedNormalNext:
			accepted, a.normalNext = true, true
		case sampling.Accepted:
			accepted = true
		}
	}
	switch {
	case rejected:
		a.Decision = Reject
	case open || !accepted:
		a.Decision = Undecided
	default:
		a.Decision = Accept
	}
	return a, nil
}

// names are those of the kits, or of the checked ones alone, sorted, so that a draw does not depend on the order of
// files.
func (l *lotKits) names(checked bool) []string {
	var list []string
	for _, k := range l.kits {
		list = append(list, k.name)
	}
	if !checked {
		list = append(list, l.unread...)
	}
	slices.Sort(list)
	return list
}

// judges tells whether any kit has something judged in the class, or lacks what had to be measured; before any kit is checked that is
// not known, and the class counts.
func (l *lotKits) judges(class measure.Class) bool {
	for i := range l.kits {
		if l.kits[i].known[class] > 0 || class == measure.Critical && l.kits[i].lacking {
			return true
		}
	}
	return len(l.kits) == 0
}

// inspect draws the sample of one class and counts. The samples of all classes are drawn with one
// seed, so that a smaller one is part of a larger.
func (a *Acceptance) inspect(c *ClassAcceptance, names []string, counts map[string]*kitCount, o Options) error {
	var err error
	if c.Plan, err = sampling.For(a.Size, o.Level, c.AQL, a.Severity); err != nil {
		return err
	}
	if !c.Judged {
		return nil
	}
	n := min(c.Plan.Sample, len(names))
	a.Short = max(a.Short, c.Plan.Sample-n)
	drawn, err := sampling.Draw(len(names), n, o.Seed)
	if err != nil {
		return err
	}
	sample := make([]string, n)
	for i, at := range drawn {
		sample[i] = names[at]
	}
	if n > len(a.Drawn) {
		a.Drawn = sample
	}
	c.Open = c.Plan.Sample - n
	for _, name := range sample {
		c.count(name, counts[name], o.UnsureBad)
	}
	c.Outcome, err = c.Plan.Decide(c.Bad, c.Open)
	return err
}

// count takes in one kit of the sample; k is nil when it was not checked.
func (c *ClassAcceptance) count(name string, k *kitCount, unsureBad bool) {
	if k == nil || k.known[c.Class] == 0 {
		c.Open++
		if c.Plan.CountsFaults() {
			c.Open += c.Plan.Reject // it could have any number
		}
		if k != nil {
			c.BlankKits = append(c.BlankKits, name)
		}
		return
	}
	bad, unsure := k.fail[c.Class], k.unsure[c.Class]
	if bad > 0 {
		c.BadKits = append(c.BadKits, name)
	} else if unsure > 0 {
		c.UnsureKits = append(c.UnsureKits, name)
	}
	if !c.Plan.CountsFaults() { // one a kit at the most, and a bad one is no longer unsure
		bad = min(bad, 1)
		unsure = min(unsure, 1-bad)
	}
	if unsureBad {
		bad, unsure = bad+unsure, 0
	}
	c.Bad, c.Open = c.Bad+bad, c.Open+unsure
}

// Past is an earlier lot. Supplier empty stands for every supplier.
type Past struct {
	Lot, Supplier string
	Accepted      bool
}

// follower follows the suppliers from lot to lot by the switching rules.
type follower struct {
	options   Options
	switchers map[string]*sampling.Switcher
	why       map[string]sampling.Cause // of the severity that holds now, by supplier
}

// of is the supplier's switcher, taken through the history when it is first asked for. Lots of the
// history that are in this delivery are passed over: they are judged now.
func (f *follower) of(supplier string, now map[lotKey]bool) (*sampling.Switcher, error) {
	if w := f.switchers[supplier]; w != nil {
		return w, nil
	}
	w := &sampling.Switcher{Reduced: f.options.AllowReduced}
	f.switchers[supplier] = w
	for _, past := range f.options.History {
		if past.Supplier != "" && past.Supplier != supplier || now[lotKey{supplier, past.Lot}] {
			continue
		}
		outcome := sampling.Rejected
		if past.Accepted {
			outcome = sampling.Accepted
		}
		if err := f.record(w, supplier, past.Lot, outcome); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// record adds a lot and keeps why the severity changed. A history that goes on after a stop means
// that the supplier was taken up again.
func (f *follower) record(w *sampling.Switcher, supplier, name string, o sampling.Outcome) error {
	if w.Next().Stopped {
		f.why[supplier] = w.Resume().Cause
	}
	step, err := w.Record(o)
	if err != nil {
		return fmt.Errorf("lot %q: %w", name, err)
	}
	if step.Cause.Kind != sampling.NoCause {
		f.why[supplier] = step.Cause
	}
	return nil
}

// Draw is which kits of a lot to look at, counted from 0 in the order of their names.
type Draw struct {
	Size     int
	Severity sampling.Severity
	Seed     uint64
	Kits     []int
}

// NewDraw draws as many kits as the class with the largest sample asks for; none has an AQL is an error.
func NewDraw(size int, level sampling.Level, aql [measure.Minor + 1]float64, s sampling.Severity, seed uint64) (*Draw, error) {
	most := 0
	for _, class := range Classes {
		if aql[class] == 0 {
			continue
		}
		plan, err := sampling.For(size, level, aql[class], s)
		if err != nil {
			return nil, err
		}
		most = max(most, plan.Sample)
	}
	if most == 0 {
		return nil, errors.New("no class has an AQL, so there is nothing to draw for")
	}
	kits, err := sampling.Draw(size, most, seed)
	return &Draw{size, s, seed, kits}, err
}

// inspect judges a lot as its supplier's history asks, adds it to that history, and draws for the next one, with a seed
// of its own.
func (f *follower) inspect(l *lotKits, now map[lotKey]bool) (*Acceptance, error) {
	a, err := f.judge(l, now)
	if err != nil || a.Decision == Stopped || a.Next != nil && a.Next.Stopped {
		return a, err
	}
	severity := a.Severity
	if a.Next != nil {
		severity = a.Next.Severity
	}
	a.ToDraw, err = NewDraw(a.Size, f.options.Level, f.options.AQL, severity, f.options.Seed+1)
	return a, err
}

// judge is inspect but for the draw.
func (f *follower) judge(l *lotKits, now map[lotKey]bool) (*Acceptance, error) {
	if f.options.Fixed {
		return l.accept(f.options.Severity, sampling.Cause{Kind: sampling.AskedFor}, f.options)
	}
	w, err := f.of(l.supplier, now)
	if err != nil {
		return nil, err
	}
	next := w.Next()
	a, err := l.accept(next.Severity, f.why[l.supplier], f.options)
	if err != nil {
		return nil, err
	}
	if next.Stopped {
		a.Decision = Stopped
		return a, nil
	}
	if a.Decision == Undecided {
		return a, nil // it does not count toward the switching rules before it is decided
	}
	if err := f.record(w, l.supplier, l.lot, a.outcome()); err != nil {
		return nil, err
	}
	if after := w.Next(); after != next {
		after.Cause = f.why[l.supplier]
		a.Next = &after
	}
	return a, nil
}

// outcome is what the switching rules want to know.
func (a *Acceptance) outcome() sampling.Outcome {
	switch {
	case a.Decision == Reject:
		return sampling.Rejected
	case a.normalNext:
		return sampling.AcceptedNormalNext
	}
	return sampling.Accepted
}
