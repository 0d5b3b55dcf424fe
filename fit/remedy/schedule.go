package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// HoleWork is what to do at one hole.
type HoleWork uint8

// The works at a hole.
const (
	NoHoleWork HoleWork = iota
	Reuse               // the old hole lies within the screw's clearance of the new place
	Fresh               // drilled in sound wood, the old hole far enough away
	PlugFirst           // the old hole plugged, then drilled anew
	Abandon             // the old hole plugged; nothing goes there any more
)

// Point is a place in the assembled frame (see fit.Geometry), in mm.
type Point struct{ X, Y float64 }

// Hole is one line of a hole schedule; lengths and diameters in mm.
type Hole struct {
	Feature  measure.Feature
	Mark     int
	Old, New Point // of a heel's hole the old one is where the plan puts the heel; of one that is abandoned the new one is the old
	HasOld   bool
	Behind   float64 // the new place behind the pocket's end, along the neck's centre line; NaN where the end was not read
	Beside   float64 // and toward treble of that line, as the plan lays the neck
	Move     float64 // from the old place to the new one; 0 where there is no old one
	Within   float64 // radius about New of the circle that the right place lies in with 95 %, readings and hand together; 0 where nothing is drilled

	Work                     HoleWork
	OldDiameter, Plug, Pilot float64 // 0 where there is none
	Shared                   float64 // of the new hole's area, how much lies in the old one, 0 to 1
	FaceGrain                bool    // plug across the grain: the two holes overlap, and a dowel's long grain would lead the bit
	Straddles                bool    // the bit cuts across the plug's edge

	Ligament float64 // wood left to the nearest other hole, and which that is; infinite where there is none
	Next     Named
	Cavity   float64 // wood left to the nearest cavity, negative inside; infinite where none was read
	Edge     float64 // and to the body's outline
	Sight    Sight   // of the old hole

	Through  bool    // drilled through the body; else as deep as the screw
	Depth    float64 // of a blind hole in the wood, mm; 0 where kits.csv does not say
	Warnings []Remark
	Refused  Remark // why it cannot be placed; its zero value says that it can
}

// Named tells one hole from the others; Old is the hole that is there of one that is drilled anew.
// Its zero value is no hole.
type Named struct {
	Feature measure.Feature
	Mark    int
	Old     bool
}

// Name is the hole's.
func (h *Hole) Name() Named { return Named{Feature: h.Feature, Mark: h.Mark} }

// Sight is whether the plate will cover an old hole.
type Sight uint8

// The sights. The zero Sight is that the plate was not read.
const (
	NoSight Sight = iota
	InSight
	UnderPlate
)

// Remark is what is to be minded at a hole, or why it cannot be placed. Which numbers it uses follows
// from its Kind; lengths and diameters in mm.
type Remark struct {
	Kind       RemarkKind
	Have, Need float64
	Other      Named
	Cavity     string
}

// RemarkKind is what a remark is about.
type RemarkKind uint8

// The kinds. From NoBit on they say why a hole cannot be placed.
const (
	NoRemark     RemarkKind = iota
	PilotOff                // the pilot should be Need, the nearest bit has Have
	AcrossPlug              // the bit cuts across the edge of its own plug, or of Other's
	ThinPlug                // less than Need between bit and plug's edge
	Close                   // Other is Have away, less than Need screw diameters
	CloseToEdge             // Have of wood to an edge or a cavity, Need would do
	ThinWood                // Have of wood to Other, Need would do
	NoBit                   // no bit in stock for Need; where that is 0 nothing is known of screw and old hole
	NoPlug                  // none in stock has Need or more
	Crowded                 // Other is Have away, less than Need screw diameters
	RunsInto                // Other
	PlugsOverlap            // its plug and that of Other
	TooDeep                 // Have of wood would be left behind it, Need is wanted
	InCavity                // Cavity
	OutsideBody
)

// Note is something that is true of many holes of a schedule.
type Note struct {
	Kind     NoteKind
	Feature  measure.Feature // the holes
	Diameter float64         // mm
	Wood     string
}

// NoteKind is what a note is about.
type NoteKind uint8

// The kinds.
const (
	ScrewUnknown    NoteKind = iota // the screw is blank in kits.csv: pilots are as wide as the old holes
	PilotRule                       // where the pilots' rule comes from
	CoreUnknown                     // the screw's core was not measured: taken as two thirds of its outside
	WoodUnknown                     // Wood is not in the table
	DiameterAssumed                 // the old holes' diameters were not read: taken as Diameter
)

// Schedule is what to do at every hole of a plan.
type Schedule struct {
	Holes    []Hole
	Notes    []Note
	Refusals int           // holes that cannot be placed
	Placed   *fit.Geometry // where the plan puts the parts: the template is laid out from these
}

// Lack is why a plan has no hole schedule.
type Lack uint8

// The lacks. The zero Lack is none.
const (
	NoLack        Lack = iota
	DrillsNothing      // the plan drills no holes
	NoBodyHoles        // no bridge-screw or string-hole was read in the body
	NoHeelHoles        // heel-screw and neck-screw of the same marks were not read
)

// Distances of holes, in mm. All are common practice, no source: the trade states none.
const (
	ligament  = 2.0 // wood between an old hole and a new one for it to be drilled without a plug
	cleaning  = 0.5 // what a plug's bore takes off the old hole's radius
	plugWall  = 1.5 // wood between a bit and its plug's edge, inside or outside
	leastEdge = 5.0 // wood to an edge or a cavity, and at least edgeScrews diameters of the screw
	stringFit = 0.5 // a string hole this near its place is reamed rather than plugged
	throughs  = 3.2 // diameter of a string hole where none was read

	leastBelow = 6.0 // wood behind a blind hole
	neckPlate  = 1.6 // thickness of the plate under the neck screws' heads

	edgeScrews, spaceScrews, crowdScrews = 2.0, 3.0, 2.0 // in diameters of the screw
)

// Drill gives the hole schedule of one of For's plans, or why there is none. The result must be the one
// For was given.
func Drill(r *fit.Result, p *Plan, o Options) (*Schedule, Lack) {
	if r.Model == nil {
		return nil, DrillsNothing
	}
	k := newKit(r, newStock(o))
	d, _ := k.candidateOf(p.Actions)
	if d == nil || !d.newBridge && !d.newNeck && !d.newStrings {
		return nil, DrillsNothing
	}
	d.moves = p.Moves
	s := k.schedule(d)
	k.circles(d, s)
	switch {
	case s != nil:
		return s, NoLack
	case d.newNeck:
		return nil, NoHeelHoles
	}
	return nil, NoBodyHoles
}

// schedule lays out a candidate's holes from where it puts the parts; nil where their places are not known.
func (k *kit) schedule(d *candidate) *Schedule {
	s := &scheduler{kit: k, placed: k.model.Placed(&d.moves)}
	s.out.Placed = s.placed
	if d.newNeck {
		if !s.heel() {
			return nil
		}
		s.note(measure.HeelScrew, s.result.Info.NeckScrew, s.result.Info.NeckCore, neckWood)
	}
	if d.newBridge {
		s.onPlate(measure.BridgeScrew, measure.PlateScrew)
		s.onPlate(measure.StringHole, measure.PlateHole)
		s.note(measure.BridgeScrew, s.result.Info.BridgeScrew, s.result.Info.BridgeCore, s.result.Info.Wood)
	}
	if d.newStrings && !d.newBridge {
		if len(places(s.placed, measure.PlateHole)) > 0 {
			s.onPlate(measure.StringHole, measure.PlateHole)
		} else {
			s.evenRow()
		}
	}
	if len(s.out.Holes) == 0 {
		return nil
	}
	for i := range s.out.Holes {
		s.decide(&s.out.Holes[i])
	}
	s.plugOthers()
	s.plugs()
	for i := range s.out.Holes {
		s.finish(i)
	}
	out := s.out // so that a schedule does not hold all that is known of the kit
	return &out
}

// scheduler builds a schedule.
type scheduler struct {
	*kit
	placed *fit.Geometry // the parts where the plan puts them
	out    Schedule
}

// neckWood is what a neck is taken to be made of: common practice, no source.
const neckWood = "maple"

func (s *scheduler) note(holes measure.Feature, screw, core float64, wood string) {
	if screw == 0 && core == 0 {
		s.out.Notes = append(s.out.Notes, Note{Kind: ScrewUnknown, Feature: holes})
		return
	}
	s.out.Notes = append(s.out.Notes, Note{Kind: PilotRule, Feature: holes})
	if core == 0 {
		s.out.Notes = append(s.out.Notes, Note{Kind: CoreUnknown, Feature: holes})
	}
	if _, known := Gravity(wood); !known {
		s.out.Notes = append(s.out.Notes, Note{Kind: WoodUnknown, Wood: wood})
	}
}

// heel schedules the heel's holes at the body's, the neck where the plan seats it. Those of the heel that
// meet none are abandoned. False where none are known.
func (s *scheduler) heel() bool {
	body := places(s.placed, measure.NeckScrew)
	any := false
	for i := range s.placed.Places {
		q := &s.placed.Places[i]
		if q.Feature != measure.HeelScrew {
			continue
		}
		var to *Point
		if b := body[q.Mark.Number]; b != nil {
			to, any = &Point{b.X, b.Y}, true
		}
		s.add(q, to, q.Feature, q.Mark.Number)
	}
	return any
}

// onPlate schedules the body's holes of a feature at the bridge's own, the bridge laid where the plan puts
// it. Holes of the body that meet none of the bridge's are abandoned; where none of the bridge's were read,
// the body's go with it.
func (s *scheduler) onPlate(old, plate measure.Feature) {
	on, body := places(s.placed, plate), places(s.placed, old)
	for i := range s.placed.Places {
		q := &s.placed.Places[i]
		switch {
		case q.Feature == old && on[q.Mark.Number] != nil:
			p := on[q.Mark.Number]
			s.add(q, &Point{p.X, p.Y}, old, q.Mark.Number)
		case q.Feature == old && len(on) > 0:
			s.add(q, nil, old, q.Mark.Number)
		case q.Feature == old:
			was, is := s.model.Geometry.Bridge, s.placed.Bridge
			sin, cos := math.Sincos((is.Heading - was.Heading) * math.Pi / 180)
			d := Point{q.X - was.X, q.Y - was.Y}
			s.add(q, &Point{is.X + cos*d.X - sin*d.Y, is.Y + sin*d.X + cos*d.Y}, old, q.Mark.Number)
		case q.Feature == plate && body[q.Mark.Number] == nil && len(body) > 0:
			s.add(nil, &Point{q.X, q.Y}, old, q.Mark.Number)
		}
	}
}

// evenRow schedules the string holes in the even row that fits them best by least squares.
func (s *scheduler) evenRow() {
	var holes []*fit.Place // in their own order, so that sums come out alike
	for i := range s.placed.Places {
		if p := &s.placed.Places[i]; p.Feature == measure.StringHole {
			holes = append(holes, p)
		}
	}
	n, middle := float64(len(holes)), 0.0
	var centre, step Point
	for _, p := range holes {
		middle += float64(p.Mark.Number) / n
		centre.X, centre.Y = centre.X+p.X/n, centre.Y+p.Y/n
	}
	spread := 0.0
	for _, p := range holes {
		t := float64(p.Mark.Number) - middle
		spread += t * t
		step.X, step.Y = step.X+t*p.X, step.Y+t*p.Y
	}
	for _, p := range holes {
		t := (float64(p.Mark.Number) - middle) / spread
		s.add(p, &Point{centre.X + t*step.X, centre.Y + t*step.Y}, p.Feature, p.Mark.Number)
	}
}

// add puts a hole on the schedule: one that is there, where there is one, and its new place, where it has
// one.
func (s *scheduler) add(old *fit.Place, to *Point, f measure.Feature, mark int) {
	h := Hole{Feature: f, Mark: mark, Behind: math.NaN(), Ligament: math.Inf(1), Cavity: math.Inf(1), Edge: math.Inf(1)}
	if old != nil {
		h.HasOld, h.Old, h.OldDiameter = true, Point{old.X, old.Y}, old.Diameter
	}
	if to == nil {
		h.Work, to = Abandon, &h.Old
	}
	h.New = *to
	if old != nil {
		h.Move = to.minus(h.Old).length()
	}
	if c := s.placed.Centre; c != nil {
		h.Beside = c.NX*to.X + c.NY*to.Y - c.D
		if end := s.placed.PocketEnd; end != nil { // along the centre line, from where the end crosses it
			if at, ok := crossing(end, c); ok {
				h.Behind = c.NY*(to.X-at.X) - c.NX*(to.Y-at.Y)
			}
		}
	}
	s.pilot(&h)
	s.out.Holes = append(s.out.Holes, h)
}
