package sampling

import "errors"

// The switching rules are sections 4.7 and 4.8 of MIL-STD-105E, read from a stored reproduction of
// its text. They look at original inspection only: leave lots that were sent in again out.
const (
	tightenAfter  = 2  // rejected lots ...
	tightenWithin = 5  // ... among so many or fewer in a row: normal to tightened
	relaxAfter    = 5  // accepted in a row: tightened to normal
	reduceAfter   = 10 // accepted in a row: normal to reduced, with more conditions
	stopAfter     = 5  // rejected in one run of tightened inspection: stop accepting by sampling
)

// Cause is why the severity changed. The zero Cause is none.
type Cause struct {
	Kind           CauseKind
	Rejected, Lots int // so many rejected, among so many lots
}

// CauseKind is a kind of cause.
type CauseKind uint8

// The causes.
const (
	NoCause           CauseKind = iota
	RejectedOften               // Rejected of the last Lots were
	AcceptedInARow              // Lots of them
	RejectedTightened           // Rejected under tightened inspection
	CauseCured                  // inspection was resumed after a stop
	LotRejected                 // under reduced inspection
	BetweenNumbers              // a lot under reduced inspection had more than its acceptance number
	ReducedNotWanted            // any longer
	AskedFor                    // by the user: no switching rule
)

// Step says how to inspect the next lot.
type Step struct {
	Severity Severity
	Stopped  bool  // no more acceptance by sampling until the cause is cured
	Cause    Cause // why it changed; none when it did not
}

// Switcher follows a supplier's lots. The zero value starts at normal inspection.
type Switcher struct {
	// Reduced allows reduced inspection: production is steady and whoever is responsible wants it
	// (4.7.3 c and d). The limit number of Table VIII (4.7.3 b), how many bad pieces the last ten lots
	// may have had together, is not part of this program. A civil reprint of the scheme (from memory:
	// ASTM E2234, 8.5) allows that by agreement and says that it has little effect; whether the military
	// text does we do not know.
	Reduced bool

	severity Severity
	stopped  bool
	run      []Outcome // of the lots since the severity last changed
}

// Next says how to inspect the next lot.
func (w *Switcher) Next() Step { return Step{Severity: w.severity, Stopped: w.stopped} }

// Record adds a lot that was inspected as Next said and returns how to inspect the one after it. An
// undecided lot is an error, as is one after inspection was stopped.
func (w *Switcher) Record(o Outcome) (Step, error) {
	switch {
	case w.stopped:
		return w.Next(), errors.New("inspection is stopped: resume it when the supplier has cured the cause")
	case o == Undecided:
		return w.Next(), errors.New("the lot is undecided: measure its unsure pieces again first")
	case o > Rejected:
		panic("sampling: no such outcome")
	}
	w.run = append(w.run, o)
	switch w.severity {
	case Tightened:
		switch {
		case rejections(w.run) >= stopAfter:
			w.stopped, w.run = true, nil
			return Step{Severity: Tightened, Stopped: true, Cause: Cause{Kind: RejectedTightened, Rejected: stopAfter}}, nil
		case len(w.run) >= relaxAfter && rejections(lastOf(w.run, relaxAfter)) == 0:
			return w.change(Normal, Cause{Kind: AcceptedInARow, Lots: relaxAfter}), nil
		}
	case Reduced:
		switch {
		case o == Rejected:
			return w.change(Normal, Cause{Kind: LotRejected}), nil
		case o == AcceptedNormalNext:
			return w.change(Normal, Cause{Kind: BetweenNumbers}), nil
		case !w.Reduced:
			return w.change(Normal, Cause{Kind: ReducedNotWanted}), nil
		}
	case Normal:
		last := lastOf(w.run, tightenWithin)
		switch n := rejections(last); {
		case n >= tightenAfter:
			return w.change(Tightened, Cause{RejectedOften, n, len(last)}), nil
		case w.Reduced && len(w.run) >= reduceAfter && rejections(lastOf(w.run, reduceAfter)) == 0:
			return w.change(Reduced, Cause{Kind: AcceptedInARow, Lots: reduceAfter}), nil
		}
	}
	return w.Next(), nil
}

// Resume takes up inspection again after a stop, tightened (4.8).
func (w *Switcher) Resume() Step {
	if !w.stopped {
		return w.Next()
	}
	w.stopped = false
	return w.change(Tightened, Cause{Kind: CauseCured})
}

func (w *Switcher) change(to Severity, why Cause) Step {
	w.severity, w.run = to, nil
	return Step{Severity: to, Cause: why}
}

func lastOf(lots []Outcome, n int) []Outcome { return lots[max(0, len(lots)-n):] }

func rejections(lots []Outcome) int {
	n := 0
	for _, o := range lots {
		if o == Rejected {
			n++
		}
	}
	return n
}
