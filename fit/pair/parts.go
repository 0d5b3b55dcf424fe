package pair

import (
	"errors"
	"fmt"
	"strings"

	"neckfit/measure"
)

// Parts is a delivery of loose parts, sorted into what they are, each kind in the order received.
type Parts struct {
	Necks  []*measure.Kit
	Bodies []*measure.Kit // with the readings of the common bridge, if there is one
	Bridge string         // name of the bridge that stands for all bodies without one of their own
}

// Sort tells necks, bodies and a bridge apart by the datums that their readings were taken from:
// only neck, only body (with its bridge or without), only bridge. One bridge by itself stands for
// every body that has none. What was measured again after work is as it is then. The error names every part that is none of these.
func Sort(kits []*measure.Kit) (*Parts, error) {
	p := &Parts{}
	var bridges []*measure.Kit
	var errs []error
	for _, k := range kits {
		if k.WasReworked() {
			k = k.Staged(measure.Reworked)
		}
		seen, err := look(k)
		switch {
		case err != nil:
			errs = append(errs, err)
		case seen.neck && (seen.body || seen.bridge):
			errs = append(errs, fmt.Errorf("%s has readings of a neck and of a body or bridge: it is a whole kit, which check judges; pair wants each part under a name of its own", quoted(k)))
		case seen.neck:
			p.Necks = append(p.Necks, k)
		case seen.body:
			p.Bodies = append(p.Bodies, k)
		case seen.bridge:
			bridges = append(bridges, k)
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return p, p.share(bridges)
}

// share gives the common bridge to the bodies that have none.
func (p *Parts) share(bridges []*measure.Kit) error {
	if len(bridges) > 1 {
		names := make([]string, len(bridges))
		for i, b := range bridges {
			names[i] = quoted(b)
		}
		return fmt.Errorf("%s are bridges by themselves: put each under the name of its body, or leave one for all bodies", strings.Join(names, ", "))
	}
	if len(bridges) == 0 {
		return nil
	}
	p.Bridge = bridges[0].Name
	for i, b := range p.Bodies {
		if seen, _ := look(b); seen.bridge {
			continue
		}
		with := *b
		with.Readings = append(append([]measure.Reading(nil), b.Readings...), bridges[0].Readings...)
		p.Bodies[i] = &with
	}
	return nil
}

// datums tells which parts were surveyed.
type datums struct{ neck, body, bridge bool }

// look refuses readings that were taken with a neck in the pocket: nobody knows which neck.
func look(k *measure.Kit) (datums, error) {
	var seen datums
	for i := range k.Readings {
		r := &k.Readings[i]
		dry := r.Datum == measure.DatumBody && r.Feature.Part() == measure.NeckPart
		switch {
		case r.Datum.Edge() || r.Kind == measure.Gap || dry:
			return seen, fmt.Errorf("%s has a reading taken with the neck in the pocket (%s:%d): pair wants loose parts", quoted(k), r.Place.File, r.Place.Line)
		case r.Datum == measure.DatumNeck:
			seen.neck = true
		case r.Datum == measure.DatumBody:
			seen.body = true
		case r.Datum == measure.DatumBridge:
			seen.bridge = true
		}
	}
	return seen, nil
}

func quoted(k *measure.Kit) string { return fmt.Sprintf("%q", k.Name) }
