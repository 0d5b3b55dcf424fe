package delivery

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// Trouble is a kit that does not pass, for whoever has to mend it, sort it or send it back.
type Trouble struct {
	Kit     string
	Verdict fit.Verdict
	Found   []Found        // what fails, then what is unsure, in either the worst class first
	Off     []measure.Part // that which is off; several where the readings do not tell which of them; none where nothing is known to be
	Shares  [2]*Found      // what neck and body bring to the first of Found, where that is of both and was read
	// OffCentre are the pocket's distance from the body's own middle, and the bridge's; nil where they were not read.
	OffCentre [2]*Found
	Odd       []measure.Place // as of its Kit, like Suspect
	Suspect   []Row
	Work      *Work // nil where no plan was worked out, as for kits that came in already checked
}

// Work is the plan that is recommended for a kit.
type Work struct {
	Kinds   []measure.Work
	Return  []measure.Part // what goes back; empty for a plan that works on the kit
	OneOf   bool           // it is one of those, and the readings do not tell which
	Minutes float64
	P       float64 // that everything judged then passes; 0 for a return
	Waits   bool    // what would cure the kit cannot be worked out before more is read
	Spares  bool    // wood is cut that reading more may save
	Asks    bool    // it cannot be carried out before a question is answered
}

// WorkOf is the recommendation of an advice; nil where there is no plan.
func WorkOf(a *remedy.Advice) *Work {
	if a == nil || len(a.Plans) == 0 {
		return nil
	}
	p := &a.Plans[0]
	w := &Work{Return: p.Return, OneOf: p.OneOf, Minutes: p.Minutes, P: p.P, Waits: len(a.Waits) > 0, Asks: p.Waits()}
	for _, action := range p.Actions {
		w.Kinds = append(w.Kinds, action.Work)
	}
	w.Spares = len(a.Untried) > 0 && w.Cuts()
	return w
}

// ReadFirst tells whether the kit is to be read, again or further, before anything is done to it.
func (t *Trouble) ReadFirst() bool {
	w := t.Work
	return len(t.Odd)+len(t.Suspect) > 0 || w != nil && (w.Waits || w.Spares || w.Asks || w.Reads() || t.Verdict != fit.Fail && w.Cuts())
}

// Reads tells that nothing is done but to read again.
func (w *Work) Reads() bool {
	return len(w.Return) == 0 && (len(w.Kinds) == 0 || w.Kinds[0] == measure.Leave || w.Kinds[0] == measure.ReadAgain)
}

// Cuts tells whether the kit cannot be returned once it is done.
func (w *Work) Cuts() bool {
	return slices.ContainsFunc(w.Kinds, func(k measure.Work) bool {
		level := remedy.Action{Work: k}.Level()
		return level == remedy.Trimmed || level == remedy.Redrilled
	})
}

// troubleOf keeps of a kit that does not pass what is wrong with it.
func troubleOf(k *Kit) *Trouble {
	t := &Trouble{Kit: k.Name, Verdict: k.Verdict, Work: k.Work, Odd: k.Odd, Suspect: k.Suspect}
	for _, f := range k.Found {
		if f.Verdict == fit.Fail || f.Verdict == fit.Unsure {
			t.Found = append(t.Found, f)
		}
	}
	slices.SortStableFunc(t.Found, func(a, b Found) int {
		return cmp.Or(cmp.Compare(b.Verdict, a.Verdict), cmp.Compare(rank(a.Class), rank(b.Class)))
	})
	if len(t.Found) > 0 {
		t.blame(k)
	}
	return t
}

// blame finds the part that is off by the gravest finding: of an error at the bridge that which brings more of it,
// where the two shares were read and differ by more than their uncertainties; of what two parts make
// together both, since no drawing says how large either should be.
func (t *Trouble) blame(k *Kit) {
	id, _ := fit.Named(t.Found[0].Name)
	against := fit.SpeaksAgainst(id)
	if t.Off = against.Off; !against.Shared {
		return
	}
	for i := range k.Found {
		for side, one := range [2]fit.ID{against.Neck, against.Body} {
			if k.Found[i].Name == one.String() {
				t.Shares[side] = &k.Found[i]
			}
		}
		for place, one := range [2]fit.ID{fit.PocketOffCentre, fit.BridgeOffCentre} {
			if k.Found[i].Name == one.String() {
				t.OffCentre[place] = &k.Found[i]
			}
		}
	}
	neck, body := t.Shares[0], t.Shares[1]
	if neck == nil || body == nil {
		t.Shares = [2]*Found{}
		return
	}
	more := math.Abs(neck.Value) - math.Abs(body.Value)
	switch doubt := fit.Coverage * math.Hypot(neck.StdUncertainty, body.StdUncertainty); {
	case more > doubt:
		t.Off = []measure.Part{measure.NeckPart}
	case more < -doubt:
		t.Off = []measure.Part{measure.BodyPart}
	}
}

// Unparted tells whether neck and body would be told apart by readings that the kit lacks.
func (t *Trouble) Unparted() bool {
	if len(t.Found) == 0 || t.Shares[0] != nil {
		return false
	}
	id, _ := fit.Named(t.Found[0].Name)
	return fit.SpeaksAgainst(id).Shared
}

// PartsOf are those that may be off by what was found: that which is, where this is known.
func (t *Trouble) PartsOf(i int) []measure.Part {
	first, _ := fit.Named(t.Found[0].Name)
	id, _ := fit.Named(t.Found[i].Name)
	as, of := fit.SpeaksAgainst(first), fit.SpeaksAgainst(id)
	if i == 0 || as.Shared && of.Shared && as.Neck == of.Neck {
		return t.Off
	}
	return of.Off
}

// rank orders classes, the worst first and no class last.
func rank(c measure.Class) int {
	if c == measure.NoClass {
		return int(measure.Minor) + 1
	}
	return int(c)
}

// Rework adds up what the kits that do not pass ask for, and what the three ways to deal with them are expected to
// cost. Times and costs are in minutes.
type Rework struct {
	Mend, Return, Look int     // kits to be worked on, of which a part goes back, and to be read first, again or further
	Unplanned          int     // kits without a plan
	Minutes            float64 // of work on those to be mended
	Hopes              float64 // of the kits to be mended, how many are expected to pass then

	// Reworking all that can be, returning the rest; sorting out and returning all that fail; sending all back. What
	// is unsure, was not measured or not checked is read in the first two.
	MendAll, Sort, SendBack float64
	Hour                    float64 // what an hour costs in money; 0 where that is not known
}

// rework adds up a lot's; rows of costs stand for the built-in ones.
func (l *Lot) rework(costs []measure.Cost) (sum Rework) {
	of := map[measure.Work]measure.Cost{}
	for _, c := range slices.Concat(measure.BuiltInCosts(), costs) {
		of[c.Work] = c
	}
	back, scrap, read := of[measure.SendBack].Minutes+of[measure.SendBack].Price, of[measure.Scrap].Minutes+of[measure.Scrap].Price, of[measure.ReadAgain].Minutes
	sum.Hour = of[measure.Hour].Price
	for _, t := range l.Troubles {
		w, first := t.Work, t.ReadFirst()
		switch {
		case w == nil:
			sum.Unplanned++
		case first:
			sum.Look++
		case len(w.Return) > 0:
			sum.Return++
		default:
			sum.Mend++
			sum.Minutes += w.Minutes
			sum.Hopes += w.P
		}
		if first || w == nil {
			sum.MendAll += read
		}
		switch { // what follows when it reads the same again
		case w == nil || w.Reads():
		case len(w.Return) > 0:
			sum.MendAll += back
		case w.Cuts():
			sum.MendAll += w.Minutes + (1-w.P)*scrap
		default:
			sum.MendAll += w.Minutes + (1-w.P)*back
		}
		if t.Verdict != fit.Fail || len(t.Odd)+len(t.Suspect) > 0 { // it may pass when it is read again
			sum.Sort += read
		}
		if t.Verdict == fit.Fail {
			sum.Sort += back
		}
	}
	unchecked := float64(l.Acceptance.Size-l.Kits) * read
	sum.MendAll, sum.Sort, sum.SendBack = sum.MendAll+unchecked, sum.Sort+unchecked, float64(l.Acceptance.Size)*back
	return sum
}

// Only keeps the lots of one name; false when there is none.
func (d *Delivery) Only(name string) bool {
	d.lots = slices.DeleteFunc(d.lots, func(l *lotKits) bool { return l.lot != name })
	return len(d.lots) > 0
}
