package delivery

import (
	"fmt"

	"neckfit/fit/lot/sampling"
)

// Past is an earlier lot. Supplier empty stands for every supplier.
type Past struct {
	Lot, Supplier string
	Accepted      bool
}

// follower follows the suppliers from lot to lot by the switching rules.
type follower struct {
	options   Options
	switchers map[string]*sampling.Switcher
	why       map[string]string // of the severity that holds now, by supplier
}

func newFollower(o Options) *follower {
	return &follower{options: o, switchers: map[string]*sampling.Switcher{}, why: map[string]string{}}
}

// of is the supplier's switcher, taken through the history when it is first asked for. Lots of the
// history that are in this delivery are passed over: they are judged now.
func (f *follower) of(supplier string, now map[lotKey]bool) (*sampling.Switcher, error) {
	if w := f.switchers[supplier]; w != nil {
		return w, nil
	}
	w := &sampling.Switcher{Options: sampling.SwitchOptions{Reduced: f.options.AllowReduced}}
	f.switchers[supplier] = w
	for _, past := range f.options.History {
		if past.Supplier != "" && past.Supplier != supplier || now[lotKey{supplier, past.Lot}] {
			continue
		}
		outcome := sampling.Rejected
		if past.Accepted {
			outcome = sampling.Accepted
		}
		if err := f.record(w, supplier, past.Lot, sampling.Lot{Outcome: outcome}); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// record adds a lot and keeps why the severity changed. A history that goes on after a stop means
// that the supplier was taken up again.
func (f *follower) record(w *sampling.Switcher, supplier, name string, l sampling.Lot) error {
	if w.Next().Stopped {
		f.why[supplier] = w.Resume().Note
	}
	step, err := w.Record(l)
	if err != nil {
		return fmt.Errorf("lot %q: %w", name, err)
	}
	if step.Note != "" {
		f.why[supplier] = step.Note
	}
	return nil
}

// inspect judges a lot as its supplier's history asks, and adds it to that history.
func (f *follower) inspect(l *lotKits, now map[lotKey]bool) (*Acceptance, error) {
	if f.options.Fixed {
		return l.accept(f.options.Severity, "as asked for", f.options)
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
		a.NextLot = "this lot does not count toward the switching rules before it is decided"
		return a, nil
	}
	if err := f.record(w, l.supplier, l.lot, a.lot()); err != nil {
		return nil, err
	}
	if after := w.Next(); after != next {
		a.NextLot = after.Severity.String() + " inspection, because " + f.why[l.supplier]
		if after.Stopped {
			a.NextLot = "no acceptance by sampling before the supplier has cured the cause, because " + f.why[l.supplier]
		}
	}
	return a, nil
}

// lot is what the switching rules want to know.
func (a *Acceptance) lot() sampling.Lot {
	l := sampling.Lot{Outcome: sampling.Accepted, Sample: len(a.Drawn)}
	for _, c := range a.ByClass {
		l.Bad += c.Bad
	}
	switch {
	case a.Decision == Reject:
		l.Outcome = sampling.Rejected
	case a.normalNext:
		l.Outcome = sampling.AcceptedNormalNext
	}
	return l
}
