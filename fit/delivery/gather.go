package delivery

import (
	"fmt"

	"neckfit/fit"
	"neckfit/measure"
)

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
	found    []*series  // by characteristic, in the order of first appearance
	byName   map[string]*series
	verdicts [fit.Fail + 1]int
}

// kitCount is how many characteristics of each class a kit has of each kind.
type kitCount struct {
	name                string
	fail, unsure, known [measure.Minor + 1]int // by class; known counts what was judged
}

// series is one characteristic over the kits of a lot.
type series struct {
	Found                  // name, dimension, class and limits of the first kit
	differ       bool      // another kit has other limits
	kits         []int     // indices into kits
	values       []float64 // by kit
	own          []float64 // standard uncertainties without the common part
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
	count := kitCount{name: k.Name}
	for i := range k.Found {
		l.add(&k.Found[i], &count)
	}
	l.kits = append(l.kits, count)
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
	s.own = append(s.own, ownPart(f))
	switch f.Verdict {
	case fit.Fail:
		s.fail++
		count.fail[f.Class]++
	case fit.Unsure:
		s.unsure++
		count.unsure[f.Class]++
	case fit.Pass:
	case fit.NotJudged, fit.NotMeasured:
		return
	}
	count.known[f.Class]++
}
