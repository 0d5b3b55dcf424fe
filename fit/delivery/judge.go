package delivery

import (
	"errors"
	"fmt"
	"slices"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
)

// Options steer Judge.
type Options struct {
	Level        sampling.Level
	AQL          [measure.Minor + 1]float64 // by class, in percent; 0 leaves the class out
	Fixed        bool                       // Severity holds for every lot, whatever the switching rules say
	Severity     sampling.Severity
	AllowReduced bool // the switching rules may go to reduced inspection
	History      []Past
	UnsureBad    bool   // unsure kits count as bad; else they keep the decision open where they matter
	Seed         uint64 // of the draw
	Size         int    // kits delivered in the one lot, when more than are known by name; else 0
}

// Report is a judged delivery, lot by lot in order of first appearance.
type Report struct {
	Lots []*Lot
	Seed uint64
}

// Lot is a judged lot.
type Lot struct {
	Name, Supplier string
	Kits           int               // checked
	Verdicts       [fit.Fail + 1]int // of those
	Yield          lot.Yield         // not measured and not judged kits left out
	Failing        []Failing         // the worst class first
	Bad            []string          // kits that fail anything, in the order received
	Processes      []*Process        // in the order of first appearance
	Acceptance     *Acceptance       // never nil
}

// Judge judges every lot. Errors are for options that cannot be: an AQL that the tables do not have,
// a size for several lots or below what was delivered.
func (d *Delivery) Judge(o Options) (*Report, error) {
	if o.Size > 0 && len(d.lots) > 1 {
		return nil, fmt.Errorf("there are %d lots, so one size does not say how large each is", len(d.lots))
	}
	if o.AQL == ([measure.Minor + 1]float64{}) {
		return nil, errors.New("no class has an AQL, so there is nothing to accept a lot by")
	}
	r := &Report{Seed: o.Seed}
	now := map[lotKey]bool{}
	for _, l := range d.lots {
		now[l.lotKey] = true
	}
	follow := newFollower(o)
	for _, l := range d.lots {
		judged, err := l.judge(follow, now)
		if err != nil {
			return nil, fmt.Errorf("lot %q: %w", l.lot, err)
		}
		r.Lots = append(r.Lots, judged)
	}
	return r, nil
}

func (l *lotKits) judge(follow *follower, now map[lotKey]bool) (*Lot, error) {
	out := &Lot{Name: l.lot, Supplier: l.supplier, Kits: len(l.kits), Verdicts: l.verdicts, Failing: l.pareto()}
	var err error
	if out.Yield, err = lot.FirstPassYield(l.verdicts[fit.Pass], l.verdicts[fit.Fail], l.verdicts[fit.Unsure], level); err != nil {
		return nil, err
	}
	for i := range l.kits {
		if l.kits[i].fail != ([measure.Minor + 1]int{}) {
			out.Bad = append(out.Bad, l.kits[i].name)
		}
	}
	for _, s := range l.found {
		p, err := l.process(s)
		if err != nil {
			return nil, err
		}
		out.Processes = append(out.Processes, p)
	}
	if out.Acceptance, err = follow.inspect(l, now); err != nil {
		return nil, err
	}
	return out, nil
}

// Accepted tells whether every lot is accepted.
func (r *Report) Accepted() bool {
	return !slices.ContainsFunc(r.Lots, func(l *Lot) bool { return l.Acceptance.Decision != Accept })
}
