package survey

import (
	"math"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// Point is a hole, a string's place or any other place, with which of its numbers were read.
type Point struct {
	Station, Offset, Diameter          int // unknowns; the diameter is negative where it takes no part
	HasStation, HasOffset, HasDiameter bool

	// Astray are unknowns: how far a hole that must stand for the bridge lies from where it was meant, along the station and the
	// offset; negative where none is asked.
	Astray [2]int

	byEdge                              bool // its edges were read, so its diameter takes part
	firstStation, firstOffset, firstDia float64
}

// Located tells whether both coordinates were read; of no place they were not.
func (p *Point) Located() bool { return p != nil && p.HasStation && p.HasOffset }

// Marked tells whether places of a feature were read in a frame.
func (s *Survey) Marked(frame measure.Datum, f measure.Feature) bool {
	return s.marked[frame]>>f&1 != 0
}

// Point is a place, nil where it was not read; most that are asked for were not.
func (s *Survey) Point(frame measure.Datum, f measure.Feature, mark int) *Point {
	if !s.Marked(frame, f) {
		return nil
	}
	return s.Points.Get(PointAt(frame, f, mark))
}

// The ends of a pickup's row of poles are numbered as strings are: the treble one first.
const (
	TrebleEnd = 1
	BassEnd   = 2
)

func (s *Survey) pointOf(frame measure.Datum, r *measure.Reading) *Point {
	s.marked[frame] |= 1 << r.Feature
	mark := r.Mark.Number
	if r.Feature == measure.Pickup {
		mark = TrebleEnd
		if r.Mark.Name == "bass" {
			mark = BassEnd
		}
	}
	p := s.Points.Put(PointAt(frame, r.Feature, mark))
	if r.To.Number > 0 {
		s.Points.Put(PointAt(frame, r.Feature, r.To.Number))
	}
	return p
}

// A reading of a place whose station only says where the straightedge was touched reads the station
// too, since places are small.
func readsStation(r *measure.Reading) bool { return r.Kind != measure.Distance && r.HasStation }
func readsOffset(r *measure.Reading) bool  { return r.Kind != measure.Distance && r.HasOffset }

func (p *Point) note(r *measure.Reading) {
	if !p.HasStation && readsStation(r) {
		p.HasStation, p.firstStation = true, r.Station
	}
	if !p.HasOffset && readsOffset(r) {
		p.HasOffset, p.firstOffset = true, r.Offset
	}
	switch r.Kind {
	case measure.Diameter:
		p.HasDiameter, p.firstDia = true, r.Size
	case measure.StationNear, measure.StationFar, measure.OffsetNear, measure.OffsetFar:
		p.byEdge = true
	}
}

// write writes a place's coordinates, its diameter or its distance from another. From the edge datums
// the offset is the distance inward.
func (p *Point) write(s *Survey, r *measure.Reading) {
	if p.Astray[0] >= 0 && r.Kind != measure.Diameter && r.Kind != measure.Distance {
		for _, u := range p.Astray {
			s.hold(r, HoleForm, adjust.Term{Unknown: u, Coef: 1})
		}
	}
	switch {
	case r.Kind == measure.Diameter:
		s.add(r, r.Size, sum{terms: s.one(p.Diameter)}, own(r.Gauge))
	case r.Kind == measure.Distance:
		q := s.Points.Get(PointAt(Frame(r.Datum), r.Feature, r.To.Number))
		s.add(r, r.Size, sum{model: adjust.DistanceBetween(p.Station, p.Offset, q.Station, q.Offset)}, own(r.Gauge))
	case r.Datum == measure.DatumEdgeTreble:
		p.writeFromTreble(s, r)
	default:
		if readsStation(r) {
			s.add(r, r.Station, sum{terms: p.spot(s, r, p.Station)}, s.seatedAlong(r)...)
		}
		if readsOffset(r) {
			s.add(r, r.Offset, sum{terms: p.spot(s, r, p.Offset)}, s.seated(r, 1)...)
		}
	}
}

// rim is how far from a hole's centre, in diameters, the spot lies that a kind reads along the
// station or along the offset: near is the rim at the smaller coordinate, far that at the larger.
func rim(k measure.Kind) float64 {
	switch k {
	case measure.StationNear, measure.OffsetNear:
		return -0.5
	case measure.StationFar, measure.OffsetFar:
		return 0.5
	}
	return 0
}

// spot are the terms for the spot of a hole's coordinate.
func (p *Point) spot(s *Survey, r *measure.Reading, centre int) []adjust.Term {
	if half := rim(r.Kind); half != 0 {
		return s.linear(adjust.Term{Unknown: centre, Coef: 1}, adjust.Term{Unknown: p.Diameter, Coef: half})
	}
	return s.one(centre)
}

// writeFromTreble writes the coordinates from the straightedge along the treble edge. Near is the
// spot at the smaller distance inward, so at the larger offset.
func (p *Point) writeFromTreble(s *Survey, r *measure.Reading) {
	edge := s.Sides.Get(SideAt(measure.DatumEdgeBass, measure.EdgeTreble)).Side
	half := func(coef float64) (of sum) {
		if coef != 0 {
			of.terms = s.linear(adjust.Term{Unknown: p.Diameter, Coef: coef})
		}
		return of
	}
	if readsStation(r) {
		of := half(rim(r.Kind))
		of.model = adjust.Beside{Side: edge, Zero: s.zeroOfTreble()}.Station(p.Station, p.Offset)
		s.add(r, r.Station, of, s.seatedAlong(r)...)
	}
	if readsOffset(r) {
		of := half(-rim(r.Kind))
		of.model = edge.From(p.Station, p.Offset)
		s.add(r, -r.Offset, of, s.seated(r, -1)...)
	}
}

// standsForBridge tells whether the bridge is known by holes like these alone: neither its outer saddles were located beside
// them, nor its plate, which lies on its screws' holes.
func (s *Survey) standsForBridge(key PointKey) bool {
	row := func(frame measure.Datum) bool {
		for _, m := range []int{1, s.Strings} {
			p, stop := s.Point(frame, measure.Saddle, m), s.Point(frame, measure.SaddleFront, m)
			if p == nil || !p.HasOffset || !p.HasStation && (stop == nil || !stop.HasStation) {
				return false
			}
		}
		return true
	}
	switch key.Feature() {
	case measure.BridgeScrew, measure.StringHole:
	default:
		return false
	}
	return !row(key.Frame()) && !(s.Marked(measure.DatumBridge, measure.PlateScrew) && row(measure.DatumBridge))
}

// zeroOfTreble is the unknown zero of the straightedge along the treble edge.
func (s *Survey) zeroOfTreble() int {
	if s.trebleZero == 0 {
		s.trebleZero = 1 + s.unknown(0, LengthReach)
	}
	return s.trebleZero - 1
}

// Corner is a corner's radius, from a gauge or from points on its arc.
type Corner struct {
	Radius int // unknown

	x, y   int // unknowns of its centre, only where it is round
	round  bool
	sum    float64
	n      int // readings of the radius
	points []adjust.Point
}

// Reset empties the corner.
func (c *Corner) Reset() { *c = Corner{points: c.points[:0]} }

// Known tells whether the radius was read, or follows from points on the corner.
func (c *Corner) Known() bool { return c.n > 0 || c.round }

func (c *Corner) note(r *measure.Reading) {
	if r.Kind == measure.Radius {
		c.n++
		c.sum += r.Size
		return
	}
	c.points = append(c.points, adjust.Point{X: r.Station, Y: r.Offset})
}

func (s *Survey) numberCorner(c *Corner) {
	const leastArc = 3 // points fix a circle
	if len(c.points) >= leastArc {
		if fitted, err := adjust.Circle(c.points, adjust.Options{}); err == nil {
			c.x, c.y = s.unknown(fitted.X[0], LengthReach), s.unknown(fitted.X[1], LengthReach)
			c.Radius, c.round = s.unknown(fitted.X[2], LengthReach), true
			return
		}
		s.NoCircle = true
	}
	c.Radius = s.unknown(c.sum/float64(max(c.n, 1)), LengthReach)
}

func (c *Corner) write(s *Survey, r *measure.Reading) {
	if r.Kind == measure.Radius {
		s.add(r, r.Size, sum{terms: s.one(c.Radius)}, own(r.Gauge))
		return
	}
	if !c.round {
		return
	}
	// On a small arc a common shift of all points moves the centre and leaves the radius.
	variance := (r.Gauge.Variance() + r.StationGauge.Variance()) / 2
	row := s.row(r)
	row.Sigma = max(math.Sqrt(variance), LeastSigma)
	row.Model = adjust.OnCircle(adjust.Point{X: r.Station, Y: r.Offset}, c.x, c.y, c.Radius)
}

// Plane is height = a + b (station - x0) + c (offset - y0). That of fret tops over a crowned fingerboard lies
// on the middle of the crown, and where three frets or more were read on those at either end: the others lie lower by
// the hollow of the neck, h (1 - u^2) with u from -1 to 1 between the ends.
type Plane struct {
	A, B, C    int     // unknowns
	Hollow     int     // h, in mm; -1 where it is not asked
	Low, High  float64 // stations of its ends
	X0, Y0, Z0 float64 // means of the readings
	N          int     // how many readings

	frets        uint64  // that were read, a bit each
	crown        float64 // radius; 0 for none
	bass, treble *Side   // the fingerboard's edges, midway between which the crown is highest; nil where neither was read
}

func (p *Plane) note(r *measure.Reading) {
	k := float64(p.N)
	if p.N++; p.N == 1 {
		p.Low, p.High = r.Station, r.Station
	}
	p.Low, p.High, p.frets = min(p.Low, r.Station), max(p.High, r.Station), p.frets|1<<r.Mark.Number
	p.X0 = (p.X0*k + r.Station) / (k + 1)
	p.Y0 = (p.Y0*k + r.Offset) / (k + 1)
	p.Z0 = (p.Z0*k + r.Size) / (k + 1)
}

func (p *Plane) write(s *Survey, r *measure.Reading) {
	height := r.Size
	if p.crown != 0 {
		middle := p.Y0
		if p.bass != nil && p.treble != nil {
			middle = (s.startOf(p.bass, r.Station) + s.startOf(p.treble, r.Station)) / 2
		}
		height += Sag(p.crown, r.Offset-middle)
	}
	terms := adjust.OnPlane(p.A, p.B, p.C, r.Station-p.X0, r.Offset-p.Y0)
	if p.Hollow != -1 {
		u := (2*r.Station - p.Low - p.High) / (p.High - p.Low)
		terms = append(terms, adjust.Term{Unknown: p.Hollow, Coef: u*u - 1})
	}
	of := sum{terms: s.linear(terms...)}
	of.place = s.placeOf(p, r, adjust.Point{X: r.Station, Y: r.Offset}, PlaneForm)
	s.add(r, height, of, own(r.Gauge))
}

// startOf is where a side lies at a station at first sight, which is within some hundredths of a millimetre.
func (s *Survey) startOf(on *Side, station float64) float64 {
	return s.Problem.Start[on.A] + s.Problem.Start[on.B]*(station-on.C)
}

// Sag is how far a crown of a radius lies below its top at a distance across from it, all in mm; a distance
// beyond the radius, which no board has, lies as low as the radius is long.
func Sag(radius, across float64) float64 {
	squared := min(across*across, radius*radius)
	return squared / (radius + math.Sqrt(radius*radius-squared)) // R - sqrt(R^2 - y^2) without cancellation
}

// Height is one height over the datum plane.
type Height struct {
	Unknown int
	first   float64
	n       int
}

func (h *Height) note(r *measure.Reading) {
	if h.n == 0 {
		h.first = r.Size
	}
	h.n++
}

func (h *Height) write(s *Survey, r *measure.Reading) {
	s.add(r, r.Size, sum{terms: s.one(h.Unknown)}, own(r.Gauge))
}
