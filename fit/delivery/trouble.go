package delivery

import (
	"cmp"
	"slices"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// Trouble is a kit that does not pass, for whoever has to mend it, sort it or send it back.
type Trouble struct {
	Kit     string
	Verdict fit.Verdict
	Found   []Found // what fails, then what is unsure, in either the worst class first
	Work    *Work   // nil where no plan was worked out, as for kits that came in already checked
}

// Work is the plan that is recommended for a kit.
type Work struct {
	Kinds   []measure.Work
	Return  []measure.Part // what goes back; empty for a plan that works on the kit
	Minutes float64
	P       float64 // that everything judged then passes; 0 for a return
	Waits   bool    // what would cure the kit cannot be worked out before more is read
}

// WorkOf is the recommendation of an advice; nil where there is no plan.
func WorkOf(a *remedy.Advice) *Work {
	if a == nil || len(a.Plans) == 0 {
		return nil
	}
	p := &a.Plans[0]
	w := &Work{Return: p.Return, Minutes: p.Minutes, P: p.P, Waits: len(a.Waits) > 0}
	for _, action := range p.Actions {
		w.Kinds = append(w.Kinds, action.Work)
	}
	return w
}

// leaves tells whether nothing is to be done to the kit but to read.
func (w *Work) leaves() bool {
	return len(w.Kinds) == 0 || w.Kinds[0] == measure.Leave || w.Kinds[0] == measure.ReadAgain
}

// troubleOf keeps of a kit that does not pass what is wrong with it.
func troubleOf(k *Kit) *Trouble {
	t := &Trouble{Kit: k.Name, Verdict: k.Verdict, Work: k.Work}
	for _, f := range k.Found {
		if f.Verdict == fit.Fail || f.Verdict == fit.Unsure {
			t.Found = append(t.Found, f)
		}
	}
	slices.SortStableFunc(t.Found, func(a, b Found) int {
		return cmp.Or(cmp.Compare(b.Verdict, a.Verdict), cmp.Compare(rank(a.Class), rank(b.Class)))
	})
	return t
}

// rank orders classes, the worst first and no class last.
func rank(c measure.Class) int {
	if c == measure.NoClass {
		return int(measure.Minor) + 1
	}
	return int(c)
}

// Rework adds up what the kits that do not pass ask for. Times are in minutes.
type Rework struct {
	Mend, Return, Look int     // kits to be worked on, of which a part goes back, and to be read further
	Unplanned          int     // kits without a plan
	Minutes            float64 // of work on those to be mended
	ReturnMinutes      float64 // of packing what goes back
	Hopes              float64 // of the kits to be mended, how many are expected to pass then
}

// Rework adds up the lot's.
func (l *Lot) Rework() (sum Rework) {
	for _, t := range l.Troubles {
		switch w := t.Work; {
		case w == nil:
			sum.Unplanned++
		case len(w.Return) > 0:
			sum.Return++
			sum.ReturnMinutes += w.Minutes
		case w.leaves():
			sum.Look++
		default:
			sum.Mend++
			sum.Minutes += w.Minutes
			sum.Hopes += w.P
		}
	}
	return sum
}

// Only keeps the lots of one name; false when there is none.
func (d *Delivery) Only(name string) bool {
	d.lots = slices.DeleteFunc(d.lots, func(l *lotKits) bool { return l.lot != name })
	return len(d.lots) > 0
}
