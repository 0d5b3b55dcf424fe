package remedy

import (
	"fmt"
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

func (w HoleWork) String() string {
	return [...]string{"", "reuse", "drill fresh", "plug, re-drill"}[w]
}

// Spot is a place in the assembled frame (see fit.Geometry), in mm.
type Spot struct{ X, Y float64 }

// Hole is one line of a hole schedule; lengths and diameters in mm.
type Hole struct {
	Feature  measure.Feature
	Mark     int
	Old, New Spot
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
	Next     string
	Cavity   float64 // wood left to the nearest cavity, negative inside; infinite where none was read
	Edge     float64 // and to the body's outline
	Hidden   string  // of the old hole: "under the plate", "in sight", or "" where the plate was not read

	Depth    string
	Warnings []string
	Refused  string // why it cannot be placed; empty when it can
}

// Name is what the hole is called.
func (h *Hole) Name() string { return fmt.Sprintf("%s %d", h.Feature, h.Mark) }

// Schedule is what to do at every hole of a plan.
type Schedule struct {
	Holes    []Hole
	Notes    []string
	Refusals int // holes that cannot be placed
}

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
// with its model. It is an error if the plan drills no holes, or if the holes' places are not known.
func Drill(r *fit.Result, p *Plan, o Options) (*Schedule, error) {
	if r.Model == nil {
		panic("remedy: the result has no model")
	}
	k := newKit(r, newShelf(o))
	s := &scheduler{kit: k}
	for _, a := range p.Actions {
		s.action(a)
	}
	if len(s.out.Holes) == 0 {
		if s.lack != "" {
			return nil, fmt.Errorf("no hole schedule: %s", s.lack)
		}
		return nil, fmt.Errorf("the plan drills no holes: %s", p.Brief())
	}
	for i := range s.out.Holes {
		s.finish(i)
	}
	return &s.out, nil
}

// scheduler builds a schedule.
type scheduler struct {
	*kit
	out   Schedule
	moves [fit.Moves]float64
	lack  string
}

// action adds the holes of one action.
func (s *scheduler) action(a Action) {
	switch a.Work {
	case measure.PlugBridge:
		s.moves[fit.BridgeAcross], s.moves[fit.BridgeAlong], s.moves[fit.BridgeTurn] = a.Across, a.Along, a.Turn
		s.rows(measure.BridgeScrew, measure.PlateScrew)
		s.rows(measure.StringHole, measure.PlateHole)
		if len(s.out.Holes) == 0 {
			s.lack = "no bridge-screw or string-hole was read in the body"
		}
		s.note(s.result.Info.BridgeScrew, s.result.Info.Wood, "bridge_screw")
	case measure.PlugNeck:
		s.heel()
		s.note(s.result.Info.NeckScrew, neckWood, "neck_screw")
	case measure.PlugStrings:
		s.evenRow()
	}
}

// neckWood is what a neck is taken to be made of: common practice, no source.
const neckWood = "maple"

func (s *scheduler) note(screw float64, wood, column string) {
	if screw == 0 {
		s.out.Notes = append(s.out.Notes, column+" is blank in kits.csv: pilots are as wide as the old holes")
		return
	}
	s.out.Notes = append(s.out.Notes, PilotSource)
	if _, known := Gravity(wood); !known {
		s.out.Notes = append(s.out.Notes, fmt.Sprintf("wood %q is not in the table: taken as a lighter one", wood))
	}
}

// rows schedules the body's holes of a feature at the places of the bridge's own, the bridge laid
// where the plan puts it; where the bridge was not read, the old holes go with it.
func (s *scheduler) rows(old, plate measure.Feature) {
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
		s.lack = "heel-screw and neck-screw of the same marks were not read"
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
		Old: Spot{old.X, old.Y}, New: Spot{to.x, to.y}, OldDiameter: old.Diameter,
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
