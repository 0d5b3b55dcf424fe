package sampling

import (
	"errors"
	"fmt"
)

// The switching rules are sections 4.7 and 4.8 of MIL-STD-105E, read from a stored reproduction of
// its text. They look at original inspection only: leave lots that were sent in again out.
const (
	tightenAfter   = 2  // rejected lots ...
	tightenWithin  = 5  // ... among so many or fewer in a row: normal to tightened
	relaxAfter     = 5  // accepted in a row: tightened to normal
	reduceAfter    = 10 // accepted in a row: normal to reduced, with more conditions
	stopAfter      = 5  // rejected in one run of tightened inspection: stop accepting by sampling
	limitNumberGap = "the limit number of Table VIII was not applied"
)

// Lot is what became of one lot at its first inspection.
type Lot struct {
	Outcome   Outcome
	Sample    int  // pieces inspected
	Bad       int  // nonconforming pieces, or faults, found among them
	Irregular bool // production was interrupted or unsteady
}

// SwitchOptions say when reduced inspection may be used. The zero value never uses it.
type SwitchOptions struct {
	// Reduced is set when production is steady and whoever is responsible wants it (4.7.3 c and d).
	Reduced bool

	// LimitNumber is Table VIII: how many bad pieces the last ten lots may have had together, by how
	// many pieces were inspected in them; ok is false when that is too few, and more lots must be
	// added. The table is not part of this program. Nil drops the condition (4.7.3 b). A civil
	// reprint of the scheme (from memory: ASTM E2234, 8.5) allows that by agreement and says that it has
	// little effect; whether the military text does we do not know. Step.Note then says so.
	LimitNumber func(inspected int) (limit int, ok bool)
}

// Step says how to inspect the next lot.
type Step struct {
	Severity Severity
	Stopped  bool   // no more acceptance by sampling until the cause is cured
	Note     string // why it changed; empty when it did not
}

// Switcher follows a supplier's lots. The zero value, with its Options, starts at normal inspection.
type Switcher struct {
	Options SwitchOptions

	severity Severity
	stopped  bool
	run      []Lot // lots since the severity last changed
}

// Next says how to inspect the next lot.
func (w *Switcher) Next() Step { return Step{Severity: w.severity, Stopped: w.stopped} }

// Record adds a lot that was inspected as Next said and returns how to inspect the one after it. An
// undecided lot is an error, as is one after inspection was stopped.
func (w *Switcher) Record(l Lot) (Step, error) {
	switch {
	case w.stopped:
		return w.Next(), errors.New("inspection is stopped: resume it when the supplier has cured the cause")
	case l.Outcome == Undecided:
		return w.Next(), errors.New("the lot is undecided: measure its unsure pieces again first")
	case l.Outcome > Rejected:
		panic("sampling: no such outcome")
	}
	w.run = append(w.run, l)
	switch w.severity {
	case Tightened:
		return w.fromTightened(), nil
	case Reduced:
		return w.fromReduced(l), nil
	default:
		return w.fromNormal(), nil
	}
}

// Resume takes up inspection again after a stop, tightened (4.8).
func (w *Switcher) Resume() Step {
	if !w.stopped {
		return w.Next()
	}
	w.stopped = false
	return w.change(Tightened, "resumed after the cause was cured")
}

func (w *Switcher) change(to Severity, why string) Step {
	w.severity, w.run = to, nil
	return Step{Severity: to, Note: why}
}

func (w *Switcher) fromNormal() Step {
	if n := rejections(lastOf(w.run, tightenWithin)); n >= tightenAfter {
		return w.change(Tightened, fmt.Sprintf("%d of the last %d lots were rejected", n, len(lastOf(w.run, tightenWithin))))
	}
	if !w.Options.Reduced || !w.mayReduce() {
		return w.Next()
	}
	note := fmt.Sprintf("%d lots in a row were accepted", reduceAfter)
	if w.Options.LimitNumber == nil {
		note += "; " + limitNumberGap
	}
	return w.change(Reduced, note)
}

// mayReduce asks for ten accepted lots of steady production, or more of them where the limit number
// needs more pieces, with few enough bad pieces.
func (w *Switcher) mayReduce() bool {
	inspected, bad := 0, 0
	for back := 1; back <= len(w.run); back++ {
		l := w.run[len(w.run)-back]
		if l.Outcome == Rejected || l.Irregular {
			return false
		}
		inspected, bad = inspected+l.Sample, bad+l.Bad
		if back < reduceAfter {
			continue
		}
		if w.Options.LimitNumber == nil {
			return true
		}
		if limit, ok := w.Options.LimitNumber(inspected); ok {
			return bad <= limit
		}
	}
	return false
}

func (w *Switcher) fromTightened() Step {
	if rejections(w.run) >= stopAfter {
		w.stopped, w.run = true, nil
		return Step{Severity: Tightened, Stopped: true, Note: fmt.Sprintf("%d lots were rejected under tightened inspection", stopAfter)}
	}
	if len(w.run) >= relaxAfter && rejections(lastOf(w.run, relaxAfter)) == 0 {
		return w.change(Normal, fmt.Sprintf("%d lots in a row were accepted", relaxAfter))
	}
	return w.Next()
}

func (w *Switcher) fromReduced(l Lot) Step {
	switch {
	case l.Outcome == Rejected:
		return w.change(Normal, "a lot was rejected")
	case l.Outcome == AcceptedNormalNext:
		return w.change(Normal, "a lot had more than its acceptance number")
	case l.Irregular:
		return w.change(Normal, "production was irregular")
	case !w.Options.Reduced:
		return w.change(Normal, "reduced inspection is no longer wanted")
	}
	return w.Next()
}

func lastOf(lots []Lot, n int) []Lot { return lots[max(0, len(lots)-n):] }

func rejections(lots []Lot) int {
	n := 0
	for _, l := range lots {
		if l.Outcome == Rejected {
			n++
		}
	}
	return n
}
