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
)

// Point is a place in the assembled frame (see fit.Geometry), in mm.
type Point struct{ X, Y float64 }

// Hole is one line of a hole schedule; lengths and diameters in mm.
type Hole struct {
	Feature  measure.Feature
	Mark     int
	Old, New Point
	HasOld   bool
	Behind   float64 // the new place behind the pocket's end, along the neck's centre line; NaN where the end was not read
	Beside   float64 // and toward treble of that line
	Move     float64 // from the old place to the new one

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

	Through  bool // drilled through the body; else as deep as the screw
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
	NoRemark    RemarkKind = iota
	PilotOff               // the pilot should be Need, the nearest bit has Have
	AcrossPlug             // the bit cuts across the plug's edge
	ThinPlug               // less than Need between bit and plug's edge
	Close                  // Other is Have away, less than Need screw diameters
	CloseToEdge            // Have of wood to an edge or a cavity, Need would do
	NoBit                  // nothing known of screw and old hole, or no bit in stock
	NoPlug                 // none in stock has Need or more
	Crowded                // Other is Have away, less than Need screw diameters
	RunsInto               // Other
	InCavity               // Cavity
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
	WoodUnknown                     // Wood is not in the table
	DiameterAssumed                 // the old holes' diameters were not read: taken as Diameter
)

// Schedule is what to do at every hole of a plan.
type Schedule struct {
	Holes    []Hole
	Notes    []Note
	Refusals int // holes that cannot be placed
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

	edgeScrews, spaceScrews, crowdScrews = 2.0, 3.0, 2.0 // in diameters of the screw
)

// Drill makes the hole schedule of one of For's plans. The result must be the one For was given,
// with its model. There is none if the plan drills no holes, or if the holes' places are not known.
func Drill(r *fit.Result, p *Plan, o Options) (*Schedule, Lack) {
	if r.Model == nil {
		panic("remedy: the result has no model")
	}
	k := newKit(r, newStock(o))
	s := &scheduler{kit: k, lack: DrillsNothing}
	for _, a := range p.Actions {
		s.action(a)
	}
	if len(s.out.Holes) == 0 {
		return nil, s.lack
	}
	for i := range s.out.Holes {
		s.finish(i)
	}
	return &s.out, NoLack
}

// scheduler builds a schedule.
type scheduler struct {
	*kit
	out   Schedule
	moves [fit.Moves]float64
	lack  Lack
}

// action adds the holes of one action.
func (s *scheduler) action(a Action) {
	switch a.Work {
	case measure.PlugBridge:
		s.moves[fit.BridgeAcross], s.moves[fit.BridgeAlong], s.moves[fit.BridgeTurn] = a.Across, a.Along, a.Turn
		s.criteria(measure.BridgeScrew, measure.PlateScrew)
		s.criteria(measure.StringHole, measure.PlateHole)
		if len(s.out.Holes) == 0 {
			s.lack = NoBodyHoles
		}
		s.note(measure.BridgeScrew, s.result.Info.BridgeScrew, s.result.Info.Wood)
	case measure.PlugNeck:
		s.heel()
		s.note(measure.HeelScrew, s.result.Info.NeckScrew, neckWood)
	case measure.PlugStrings:
		s.evenRow()
	}
}

// neckWood is what a neck is taken to be made of: common practice, no source.
const neckWood = "maple"

func (s *scheduler) note(holes measure.Feature, screw float64, wood string) {
	if screw == 0 {
		s.out.Notes = append(s.out.Notes, Note{Kind: ScrewUnknown, Feature: holes})
		return
	}
	s.out.Notes = append(s.out.Notes, Note{Kind: PilotRule})
	if _, known := Gravity(wood); !known {
		s.out.Notes = append(s.out.Notes, Note{Kind: WoodUnknown, Wood: wood})
	}
}

// criteria schedules the body's holes of a feature at the places of the bridge's own, the bridge laid
// where the plan puts it; where the bridge was not read, the old holes go with it.
func (s *scheduler) criteria(old, plate measure.Feature) {
	g := s.model.Geometry
	on := places(g, plate)
	for i := range g.Places {
		q := &g.Places[i]
		if q.Feature != old {
			continue
		}
		from := place{q.X, q.Y}
		if p := on[q.Mark.Number]; p != nil {
			from = place{p.X, p.Y}
		}
		s.add(q, s.bridge.shift(from, &s.moves))
	}
}

// heel schedules the heel's holes at the body's, the neck where it is seated.
func (s *scheduler) heel() {
	g := s.model.Geometry
	body := places(g, measure.NeckScrew)
	for i := range g.Places {
		if q := &g.Places[i]; q.Feature == measure.HeelScrew && body[q.Mark.Number] != nil {
			b := body[q.Mark.Number]
			s.add(q, place{b.X, b.Y})
		}
	}
	if len(s.out.Holes) == 0 {
		s.lack = NoHeelHoles
	}
}

// evenRow schedules the string holes in the even row that fits them best by least squares.
func (s *scheduler) evenRow() {
	holes := places(s.model.Geometry, measure.StringHole)
	n, middle := float64(len(holes)), 0.0
	var centre, step place
	for m, p := range holes {
		middle += float64(m) / n
		centre.x, centre.y = centre.x+p.X/n, centre.y+p.Y/n
	}
	spread := 0.0
	for m, p := range holes {
		t := float64(m) - middle
		spread += t * t
		step.x, step.y = step.x+t*p.X, step.y+t*p.Y
	}
	for i := range s.model.Geometry.Places {
		q := &s.model.Geometry.Places[i]
		if q.Feature == measure.StringHole {
			t := (float64(q.Mark.Number) - middle) / spread
			s.add(q, place{centre.x + t*step.x, centre.y + t*step.y})
		}
	}
}

// add puts a hole on the schedule, with what its own two places tell.
func (s *scheduler) add(old *fit.Place, to place) {
	h := Hole{
		Feature: old.Feature, Mark: old.Mark.Number, HasOld: true,
		Old: Point{old.X, old.Y}, New: Point{to.x, to.y}, OldDiameter: old.Diameter,
		Move: to.minus(place{old.X, old.Y}).length(), Behind: math.NaN(),
		Ligament: math.Inf(1), Cavity: math.Inf(1), Edge: math.Inf(1),
	}
	g := s.model.Geometry
	if g.Centre != nil {
		h.Beside = g.Centre.NX*to.x + g.Centre.NY*to.y - g.Centre.D
	}
	if g.PocketEnd != nil {
		h.Behind = g.PocketEnd.NX*to.x + g.PocketEnd.NY*to.y - g.PocketEnd.D
	}
	s.pilot(&h)
	s.decide(&h)
	s.out.Holes = append(s.out.Holes, h)
}
