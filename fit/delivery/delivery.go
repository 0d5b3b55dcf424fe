// Package delivery judges a delivery of checked kits lot by lot: what passes, what fails most,
// whether the supplier's process is steady and capable, how much of the spread is our own measuring,
// and whether the lot is to be accepted, sent back or sorted. It takes a few numbers of each kit, so
// that kits checked on several machines are judged as one; the statistics are fit/lot's.
package delivery

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
)

// Kit is what is kept of a checked kit.
type Kit struct {
	Name, Lot, Supplier string
	Verdict             fit.Verdict
	Found               []Found         // what was measured, in the order of the catalogue
	Work                *Work           // what is recommended for it; nil where that was not worked out
	Assumed             []string        // the gauges that it was taken to be read with, for want of a row in gauges.csv
	Gauges, People      []string        // that it was read with and by, where that is known
	Odd                 []measure.Place // of the first rows of what cannot be so
	Suspect             []Row           // to be read again first: those that Work rests on, or where it is nil all that disagree with others
}

// Row is where a reading stands that disagrees with others.
type Row struct {
	measure.Place
	Or []int // lines of readings that may be wrong instead
}

// RowsOf are those of suspects.
func RowsOf(list []fit.Suspect) (rows []Row) {
	for _, s := range list {
		row := Row{Place: s.Reading.Place}
		for _, rival := range s.Rivals {
			row.Or = append(row.Or, rival.Place.Line)
		}
		rows = append(rows, row)
	}
	return rows
}

// Found is one measured characteristic, in mm or degrees.
type Found struct {
	Name           string
	Dimension      measure.Dimension
	Class          measure.Class
	Lower, Upper   float64 // an open end is an infinity
	Value          float64
	StdUncertainty float64
	// Common is the part of the uncertainty that all kits read with the same gauges share, so that
	// it does not spread them: the gauges' maximum errors.
	Common  float64
	Verdict fit.Verdict
}

// Of keeps of a result what a delivery is judged by.
func Of(r *fit.Result) Kit {
	k := Kit{Name: r.Kit, Lot: r.Info.Lot, Supplier: r.Info.Supplier, Verdict: r.Verdict, People: r.People, Suspect: RowsOf(r.Suspects)}
	for _, g := range r.Gauges {
		k.Gauges = append(k.Gauges, g.ID)
	}
	for i := range r.Nonsense {
		k.Odd = append(k.Odd, r.Nonsense[i].Row())
	}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if !c.Measured() {
			continue
		}
		k.Found = append(k.Found, Found{
			Name: c.ID.String(), Dimension: c.Dimension, Class: c.Class, Lower: c.Lower, Upper: c.Upper,
			Value: c.Value, StdUncertainty: c.StdUncertainty, Common: c.Common, Verdict: c.Verdict,
		})
	}
	for _, g := range r.Gauges {
		if g.Place == (measure.Place{}) {
			k.Assumed = append(k.Assumed, g.ID)
		}
	}
	return k
}

// Delivery gathers kits, in the order received; the zero value is ready to use. Of each kit some
// 50 bytes a measured characteristic are kept.
type Delivery struct {
	lots  []*lotKits
	index map[lotKey]*lotKits
	seen  map[string]lotKey
}

type lotKey struct{ supplier, lot string }

// lotKits is one lot.
type lotKits struct {
	lotKey
	kits     []kitCount // checked, in the order received
	unread   []string   // delivered but not checked
	troubles []*Trouble // of those checked, in the order received
	doubtful []*Trouble // of those checked, in the order received
	found    []*series  // by characteristic, in the order of first appearance
	byName   map[string]*series
	assumed  []string
	verdicts [fit.Fail + 1]int
}

// kitCount is how many characteristics of each class a kit has of each kind.
type kitCount struct {
	name                string
	fail, unsure, known [measure.Minor + 1]int // by class; known counts what was judged
	gauges, people      []string
	lacking             bool // something that had to be measured was not, or rests on nonsense
}

// series is one characteristic over the kits of a lot.
type series struct {
	Found                  // name, dimension, class and limits of the first kit
	differ       bool      // another kit has other limits
	kits         []int     // indices into kits
	values       []float64 // by kit
	own          []float64 // standard uncertainties without the common part
	common       float64   // the largest common part
	fail, unsure int
}

// Add takes in a checked kit. A name that was there before is an error: it would be judged twice.
func (d *Delivery) Add(k Kit) error {
	key := lotKey{k.Supplier, k.Lot}
	if before, ok := d.seen[k.Name]; ok {
		return fmt.Errorf("kit %q is there twice, in lot %q and in lot %q", k.Name, before.lot, k.Lot)
	}
	l := d.lot(key)
	d.seen[k.Name] = key
	l.verdicts[k.Verdict]++
	for _, id := range k.Assumed {
		if !slices.Contains(l.assumed, id) {
			l.assumed = append(l.assumed, id)
		}
	}
	count := kitCount{name: k.Name, gauges: k.Gauges, people: k.People}
	for i := range k.Found {
		l.add(&k.Found[i], &count)
	}
	switch k.Verdict {
	case fit.NotMeasured, fit.Incomplete, fit.Implausible: // what nobody knows is not good
		count.lacking = true
		if count.known[measure.Critical] > 0 {
			count.unsure[measure.Critical]++
		}
	case fit.NotJudged, fit.Pass, fit.TooCoarse, fit.Unsure, fit.Fail:
	}
	l.kits = append(l.kits, count)
	if k.Verdict == fit.Pass && len(k.Suspect) == 0 {
		return nil
	}
	t := troubleOf(&k)
	if k.Verdict != fit.Pass {
		l.troubles = append(l.troubles, t)
	}
	if len(k.Suspect) > 0 {
		l.doubtful = append(l.doubtful, t)
	}
	return nil
}

// List notes a kit that was delivered. One that was checked already, or is listed already, is not
// counted again, so that list and kits may come in any order but this one: kits first.
func (d *Delivery) List(name, lot, supplier string) {
	key := lotKey{supplier, lot}
	if _, ok := d.seen[name]; ok {
		return
	}
	l := d.lot(key)
	d.seen[name] = key
	l.unread = append(l.unread, name)
}

func (d *Delivery) lot(key lotKey) *lotKits {
	if d.index == nil {
		d.index, d.seen = map[lotKey]*lotKits{}, map[string]lotKey{}
	}
	l := d.index[key]
	if l == nil {
		l = &lotKits{lotKey: key, byName: map[string]*series{}}
		d.index[key], d.lots = l, append(d.lots, l)
	}
	return l
}

// add takes in one characteristic of the kit that is being counted.
func (l *lotKits) add(f *Found, count *kitCount) {
	s := l.byName[f.Name]
	if s == nil {
		s = &series{Found: *f}
		l.byName[f.Name], l.found = s, append(l.found, s)
	}
	s.differ = s.differ || f.Lower != s.Lower || f.Upper != s.Upper
	s.kits = append(s.kits, len(l.kits))
	s.values = append(s.values, f.Value)
	s.common = max(s.common, f.Common)
	s.own = append(s.own, math.Sqrt(max(0, f.StdUncertainty*f.StdUncertainty-f.Common*f.Common)))
	switch f.Verdict {
	case fit.Fail:
		s.fail++
		count.fail[f.Class]++
	case fit.Unsure, fit.TooCoarse:
		s.unsure++
		count.unsure[f.Class]++
	case fit.Pass:
	case fit.NotJudged, fit.NotMeasured, fit.Incomplete, fit.Implausible:
		return
	}
	count.known[f.Class]++
}

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
	Costs        []measure.Cost
	Variables    string // a characteristic by whose values lots are judged besides; "" for none
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
	Yield          lot.Yield         // what is unsure, incomplete or implausible may be either; kits without limits left out
	Failing        []Failing         // the worst class first
	Bad            []string          // kits that fail anything, in the order received
	Troubles       []*Trouble        // kits that do not pass, in the order received
	Doubtful       []*Trouble        // kits, passing or not, whose readings disagree
	Rework         Rework            // what these ask for
	Processes      []*Process        // in the order of first appearance
	Acceptance     *Acceptance       // never nil
	Variables      *Variables        // nil where it was not asked for
	Assumed        []string          // gauges that some kits were taken to be read with, for want of a row in gauges.csv
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
	follow := &follower{options: o, switchers: map[string]*sampling.Switcher{}, why: map[string]sampling.Cause{}}
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
	out := &Lot{Name: l.lot, Supplier: l.supplier, Kits: len(l.kits), Verdicts: l.verdicts, Troubles: l.troubles, Doubtful: l.doubtful, Assumed: l.assumed}
	var err error
	pass, fail := l.verdicts[fit.Pass], l.verdicts[fit.Fail]
	if out.Yield, err = lot.FirstPassYield(pass, fail, len(l.kits)-pass-fail-l.verdicts[fit.NotJudged], level); err != nil {
		return nil, err
	}
	for i := range l.kits {
		if l.kits[i].fail != ([measure.Minor + 1]int{}) {
			out.Bad = append(out.Bad, l.kits[i].name)
		}
	}
	rate := falseAlarms / float64(max(1, len(l.found)))
	for _, s := range l.found {
		if s.fail+s.unsure > 0 {
			out.Failing = append(out.Failing, Failing{s.Name, s.Class, s.fail, s.unsure})
		}
		p, err := l.process(s, rate)
		if err != nil {
			return nil, err
		}
		out.Processes = append(out.Processes, p)
	}
	slices.SortStableFunc(out.Failing, func(a, b Failing) int { // the worst class first, in each what fails most
		return cmp.Or(cmp.Compare(rank(a.Class), rank(b.Class)), cmp.Compare(b.Fail, a.Fail), cmp.Compare(b.Unsure, a.Unsure))
	})
	if out.Acceptance, err = follow.inspect(l, now); err != nil {
		return nil, err
	}
	if follow.options.Variables != "" {
		if out.Variables, err = l.byVariables(out, follow.options); err != nil {
			return nil, err
		}
	}
	out.Rework = out.rework(follow.options.Costs)
	return out, nil
}

// Accepted tells whether every lot is accepted.
func (r *Report) Accepted() bool {
	return !slices.ContainsFunc(r.Lots, func(l *Lot) bool { return l.Acceptance.Decision != Accept })
}
