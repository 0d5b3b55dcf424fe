package fit

import (
	"cmp"
	"maps"
	"slices"

	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// LooseBody is what a body surveyed alone, with its bridge, offers to any neck. Its frame is the
// pocket's: x along the bisector of its two sides, tailward, y toward treble.
type LooseBody struct {
	Missing string // the readings without which no neck can be seated in it; empty when one can
	Strings int    // from kits.csv or the highest string marked; 0 unknown

	Pocket     [2]Line // its sides, bass and treble, normals toward treble
	Stop       Line    // its end, normal toward the tail
	Sleeved    bool    // mouth and end are known
	Mouth, End float64 // x of the outermost places at which the pocket was read

	Screws []Hole             // its holes for the neck, by mark
	Radii  map[string]float64 // of the pocket's corners

	Bridged bool // the bridge is known
	Basis   string
	Middle  Spot // between the outer strings' contacts
	Row     Spot // direction from bass to treble
	Mounted bool // the saddles are known
	Saddles []Saddle

	Floor *Level // the pocket's floor over the top, negative; nil when not read

	options Options
}

// Hole is a round hole; Diameter in mm is 0 where it was not read.
type Hole struct {
	Mark int
	Spot
	Diameter float64
}

// Saddle is where one string may leave the bridge: its contact as read, at the front and at the
// back stop, and its height over the top wound fully down and up, in mm. What was not read is nil.
type Saddle struct {
	Mark                 int // of the string
	Contact, Front, Back *Spot
	Low, High            *float64
}

// Compensation is what a string adds to a neck's scale length (mm), with the action it is wanted
// at over fret 12 (mm), in mm.
func (b *LooseBody) Compensation(mark int, scale, action float64) float64 {
	return b.options.compensation(b.Strings, mark, scale, action)
}

// NewLooseBody fits a body that was surveyed alone: readings from the datums body and bridge.
// Of the options the strings' compensation counts. It never fails: what the readings do not give is
// missing.
func NewLooseBody(kit *measure.Kit, o Options) *LooseBody {
	s, err := newSurvey(kit).solve()
	if err != nil {
		return &LooseBody{Missing: "no fit: " + err.Error()}
	}
	a := s.loosePart()
	b := &LooseBody{Strings: a.strings, options: o}
	b.Missing = b.takePocket(a)
	if b.Missing != "" {
		return b
	}
	b.takeScrews(a)
	b.Radii = a.radii(measure.DatumBody, measure.PocketCorner)
	b.takeBridge(a)
	if floor, ok := a.surface(measure.DatumBody, measure.PocketFloor); ok {
		if top, ok := a.surface(measure.DatumBody, measure.Top); ok {
			floor = floor.minus(top)
		}
		b.Floor = a.levelOf(floor, a.body.Motion)
	}
	return b
}

func (b *LooseBody) takePocket(a *assembly) (missing string) {
	const needed = "pocket-bass and pocket-treble at two stations each (datum body)"
	bass, okBass := a.sideLine(measure.DatumBody, measure.PocketBass)
	treble, okTreble := a.sideLine(measure.DatumBody, measure.PocketTreble)
	if !okBass || !okTreble || !a.knows(bass.D, bass.N.X, treble.D, treble.N.X) {
		return needed
	}
	stop, ok := a.endLine(measure.DatumBody, measure.PocketEnd)
	if !ok || !a.knows(stop.D, stop.N.Y) {
		return "pocket-end at two offsets (datum body)"
	}
	a.body.Motion = autodiff.FrameOf(autodiff.Bisector(bass, treble))
	b.Pocket = [2]Line{lineOf(a.body.Line(bass)), lineOf(a.body.Line(treble))}
	b.Stop = lineOf(a.body.Line(stop))
	if sl, ok := a.sleeve(measure.DatumBody, measure.Pocket); ok {
		b.Sleeved, b.Mouth, b.End = true, sl.ends[0].Value, sl.ends[1].Value
	}
	return ""
}

// takeBridge finds the bridge in the pocket's frame.
func (b *LooseBody) takeBridge(a *assembly) {
	a.findBridge()
	r := a.bridge
	if r.basis == "" || !a.knows(r.middle.X, r.middle.Y, r.row.X, r.row.Y) {
		return
	}
	b.Bridged, b.Basis, b.Middle, b.Row = true, r.basis, spotOf(r.middle), spotOf(r.row)
	b.Mounted = r.carry.frame != measure.NoDatum
	if !b.Mounted {
		return
	}
	for m := 1; m <= a.strings; m++ {
		b.Saddles = append(b.Saddles, a.looseSaddle(m))
	}
}

func (b *LooseBody) takeScrews(a *assembly) {
	spots := a.spots(a.body, measure.NeckScrew)
	for _, m := range slices.Sorted(maps.Keys(spots)) {
		d, _ := a.diameter(measure.DatumBody, measure.NeckScrew, m)
		b.Screws = append(b.Screws, Hole{m, spots[m], d})
	}
}

func (a *assembly) looseSaddle(m int) Saddle {
	carry := a.bridge.carry
	known := func(v autodiff.Vector, ok bool) *Spot {
		if !ok || !a.knows(v.X, v.Y) {
			return nil
		}
		at := spotOf(v)
		return &at
	}
	height := func(f measure.Feature) *float64 {
		h := a.heights.get(pointAt(carry.frame, f, m))
		if h == nil {
			return nil
		}
		x := a.fit.X[h.unknown]
		return &x
	}
	return Saddle{
		Mark: m, Contact: known(a.contact(carry, measure.Saddle, m)),
		Front: known(a.stop(carry, measure.SaddleFront, m)), Back: known(a.stop(carry, measure.SaddleBack, m)),
		Low: height(measure.SaddleLow), High: height(measure.SaddleHigh),
	}
}

// StringHeights are how high the strings are wanted over the fret plane, at fret 12 and at the nut,
// in mm: as kits.csv has it, or as usual.
func StringHeights(info measure.Info) (at12, nut float64) {
	a := &assembly{solved: &solved{survey: &survey{kit: &measure.Kit{Info: info}}}}
	return a.action()
}

// Unite puts the readings of a neck and of a body with its bridge together as one kit. The neck's
// row of kits.csv says what is the neck's (scale, frets, spread at the nut), the body's the rest;
// strings, neck screws and how high the strings are wanted come from either, the neck first.
func Unite(name string, neck, body *measure.Kit) *measure.Kit {
	info := body.Info
	info.Kit = name
	info.Scale, info.Frets, info.NutSpread = neck.Info.Scale, neck.Info.Frets, neck.Info.NutSpread
	info.Strings = cmp.Or(neck.Info.Strings, body.Info.Strings)
	info.NeckScrew = cmp.Or(neck.Info.NeckScrew, body.Info.NeckScrew)
	info.Action = cmp.Or(neck.Info.Action, body.Info.Action)
	info.NutHeight = cmp.Or(neck.Info.NutHeight, body.Info.NutHeight)
	readings := make([]measure.Reading, 0, len(neck.Readings)+len(body.Readings))
	readings = append(append(readings, neck.Readings...), body.Readings...)
	return &measure.Kit{Name: name, Info: info, Readings: readings}
}
