package fit

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit/autodiff"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// LoosePart is a neck, or a body with its bridge, that was surveyed alone: solved once, with what its
// readings fix kept as plain numbers. Two loose parts share no unknowns, so that a pair of them needs
// no new fit; a Seater puts them together.
type LoosePart struct {
	Kit     *measure.Kit
	Missing Missing // the readings without which it cannot be seated
	Strings int     // from kits.csv or the highest string marked; 0 unknown

	places *solved
	sides  *sleeve // of heel or pocket

	bridge    reference // of a body, with strings as many as it has by itself and no fan
	unbridged Missing
}

// NewLooseNeck fits a neck that was surveyed alone, all its readings from the datum neck, without those that cannot be so by
// its Check. It never fails: what the readings do not give is missing.
func NewLooseNeck(kit *measure.Kit, odd []Nonsense) *LoosePart {
	return newLoosePart(kit, odd, measure.DatumNeck, measure.Heel, measure.HeelEnd)
}

// NewLooseBody fits a body that was surveyed alone: readings from the datums body and bridge.
func NewLooseBody(kit *measure.Kit, odd []Nonsense) *LoosePart {
	return newLoosePart(kit, odd, measure.DatumBody, measure.Pocket, measure.PocketEnd)
}

func newLoosePart(kit *measure.Kit, odd []Nonsense, frame measure.Datum, across, end measure.Feature) *LoosePart {
	s, sound := new(solved), kit
	if len(odd) > 0 {
		sound, _ = apart(kit, odd)
	}
	if err := s.solve(sound); err != nil {
		return &LoosePart{Kit: kit, Missing: Missing{Want: WantSettled}}
	}
	if fan := new(assembly).put(s, LooseParts, Options{}, nil).fanSeen(); fan != 0 && s.unfret(fan) != nil {
		return &LoosePart{Kit: kit, Missing: Missing{Want: WantSettled}}
	}
	s.strikeLoose()
	// Only the places and the values of the unknowns are kept: a tenth of the solution's memory.
	p := &LoosePart{Kit: kit, Strings: s.Strings, places: &solved{Survey: s.Objects(), frozen: true, frozenX: slices.Clone(s.fit.X), untold: s.untold}}
	switch p.sides = p.places.closed(frame, across, end); {
	case !p.sides.there:
		p.Missing = p.places.lackingSide(frame, across)
	case !p.sides.closed:
		p.Missing = Missing{Want: WantEnd, Feature: end, Datum: frame}
	}
	// What is the same with every partner: the lines, how the sides lie, the holes, and the bridge on its screw holes. From
	// then on a part is only read, by several at once.
	for _, key := range p.places.Sides.Keys() {
		p.places.sideLine(key.Frame(), key.Feature())
	}
	p.places.sleeve(frame, across)
	if frame == measure.DatumNeck {
		p.places.sleeve(frame, measure.Fingerboard)
		p.places.holes(frame, measure.HeelScrew)
	} else {
		p.places.register(measure.DatumBridge, measure.PlateScrew, frame, measure.BridgeScrew)
		p.places.holes(frame, measure.NeckScrew)
		p.places.holes(frame, measure.BridgeScrew)
	}
	if p.Missing.None() {
		p.settle(frame)
	}
	return p
}

// settle finds where everything lies in every pair, of a neck but for how far it is slid home, and a body's bridge.
func (p *LoosePart) settle(frame measure.Datum) {
	a := &assembly{solved: &solved{Survey: survey.Survey{Kit: p.Kit, Strings: p.Strings}, frozen: true}, way: LooseParts, seat: new(seat)}
	a.body = part{p.places, frame, p.sides.own}
	laid := part{p.places, measure.DatumBridge, autodiff.Identity()}
	if frame == measure.DatumBody {
		a.findBridge()
		p.bridge, p.unbridged = a.bridge, a.unbridged
		r, _ := p.places.register(measure.DatumBridge, measure.PlateScrew, frame, measure.BridgeScrew)
		laid.Motion = r.Then(a.body.Motion)
	}
	var all placed
	for _, key := range p.places.Points.Keys() { // sorted
		on := a.body
		if key.Frame() == measure.DatumBridge {
			on = laid
		}
		if at, ok := on.seen(key.Feature(), key.Mark()); ok {
			all.keys, all.at = append(all.keys, key), append(all.at, at)
		}
	}
	p.places.placed = &all
}

// placed are a loose part's places, sorted by key, as they lie in a pair.
type placed struct {
	keys []survey.PointKey
	at   []autodiff.Vector
}

// strikeLoose takes away what was read but is not fixed by the readings, so that nobody rests on it.
func (s *solved) strikeLoose() {
	if len(s.fit.Null) == 0 {
		return
	}
	grad := make([]float64, len(s.fit.X))
	fixed := func(unknowns ...int) bool {
		for _, u := range unknowns {
			grad[u] = 1
			ok := s.fit.Estimable(grad)
			grad[u] = 0
			if !ok {
				return false
			}
		}
		return true
	}
	s.Strike(fixed)
}

// Seater puts loose necks into loose bodies, one pair after another in the same memory, and has each
// pair's characteristics by the formulas of the catalogue. The zero Seater is ready to use, by one
// goroutine at a time.
type Seater struct {
	kit      measure.Kit // what kits.csv says of the pair; no readings
	solved   solved
	assembly assembly
}

// Seat puts a neck into a body; both must be seatable (Missing empty). Of the options the strings'
// compensation counts.
func (s *Seater) Seat(neck, body *LoosePart, o Options) {
	s.kit.Info = uniteInfo(&neck.Kit.Info, &body.Kit.Info)
	w := &s.solved
	w.Kit, w.Fan, w.frozen = &s.kit, survey.FanOf(&s.kit.Info), true
	w.Strings = cmp.Or(s.kit.Info.Strings, max(neck.Strings, body.Strings))
	s.assembly.seatParts(w, neck.places, body.places, LooseParts, o, nil)
	if w.Strings == body.Strings && w.Fan.Difference == 0 {
		s.assembly.bridge, s.assembly.unbridged, s.assembly.bridged = body.bridge, body.unbridged, true
	}
}

// OfPairs are the characteristics that depend on both parts of a pair; each of the others belongs to
// one of them.
var OfPairs = []ID{
	CentreLineError, BridgeSkew, MarginBass, MarginTreble, MarginBalance, SaddleReserveFront, SaddleReserveBack, IntonationError,
	PocketGapMouth, PocketGapEnd, EndGap, CornerReserve, NeckScrewMismatch, FretPlaneHeight,
	SaddleHeightReserveLow, SaddleHeightReserveHigh, Pitch, Roll,
}

// Values are a kit's characteristics by ID, in mm or degrees; NaN for what was not measured.
type Values [characteristics]float64

// Gaps are PocketGapMouth and PocketGapEnd of a pair that can be seated and in which no gaps were felt, had for a twentieth of
// what Values take; NaN where they are not known.
func Gaps(neck, body *LoosePart) (atMouth, atEnd float64) {
	if !body.sides.long {
		return math.NaN(), math.NaN()
	}
	var st seat
	st.put(body.sides, neck.sides)
	return st.clear(body.sides, neck.sides, mouth).Value, st.clear(body.sides, neck.sides, end).Value
}

// Values are those of OfPairs for the pair that is seated, and the upper limit that the neck screws'
// clearance sets, an infinity where it is not known.
func (s *Seater) Values() (v Values, screws float64) {
	s.assembly.complete()
	return s.values(OfPairs...)
}

func (s *Seater) values(ids ...ID) (v Values, screws float64) {
	for i := range v {
		v[i] = math.NaN()
	}
	screws = inf
	for _, id := range ids {
		f := catalogue[id].find(&s.assembly)
		if !f.missing.None() {
			continue
		}
		v[id] = f.value.Value
		if id == NeckScrewMismatch && f.bound != nil {
			screws = f.bound.upper
		}
	}
	return v, screws
}

// Swing is that of the pair which is seated, once its Values have been asked for; nil where the heel does not go in or it is not known. One of less
// than least mm may be taken without regard to the neck's screws.
func (s *Seater) Swing(least float64) *Swing {
	s.assembly.leastSwing = least
	if _, lack := s.assembly.findPlay(); !lack.None() || !s.assembly.lack().None() {
		return nil
	}
	return s.assembly.swing()
}

// Unite puts the readings of a neck and of a body with its bridge together as one kit. The neck's
// row of kits.csv says what is the neck's (scales, frets, spread at the nut, crown), the body's the rest;
// strings, neck screws and how high the strings are wanted come from either, the neck first.
func Unite(name string, neck, body *measure.Kit) *measure.Kit {
	info := uniteInfo(&neck.Info, &body.Info)
	info.Kit = name
	readings := make([]measure.Reading, 0, len(neck.Readings)+len(body.Readings))
	readings = append(append(readings, neck.Readings...), body.Readings...)
	for i := range readings { // one of the two may have been measured again after work, which leaves it a part as any other
		readings[i].Stage = measure.Received
	}
	return &measure.Kit{Name: name, Info: info, Readings: readings}
}

func uniteInfo(neck, body *measure.Info) measure.Info {
	info := *body
	info.Scale, info.Frets, info.NutSpread = neck.Scale, neck.Frets, neck.NutSpread
	info.ScaleBass, info.ScaleTreble, info.StraightFret = neck.ScaleBass, neck.ScaleTreble, neck.StraightFret
	info.ZeroFret, info.BoardRadius = neck.ZeroFret, neck.BoardRadius
	info.Strings = cmp.Or(neck.Strings, body.Strings)
	info.NeckScrew = cmp.Or(neck.NeckScrew, body.NeckScrew)
	info.Action = cmp.Or(neck.Action, body.Action)
	info.NutHeight = cmp.Or(neck.NutHeight, body.NutHeight)
	return info
}
