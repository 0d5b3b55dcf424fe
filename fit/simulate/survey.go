package simulate

import (
	"cmp"
	"math"
	"math/rand/v2"

	"neckfit/measure"
)

// survey takes readings from one datum after another.
type survey struct {
	*hand
	datum    measure.Datum
	see      view           // from the frame of the part in hand to the datum
	along    *measure.Gauge // stations that count, from this datum
	trial    int            // 0 while everything is read once
	readings []measure.Reading
}

// from goes to another datum, which lies at f in the frame of the part that is read.
func (s *survey) from(d measure.Datum, f frame, along *measure.Gauge) {
	s.datum, s.see, s.along = d, f.in, along
}

func mark(n int) measure.Mark { return measure.Mark{Number: n} }

// add writes a reading down.
func (s *survey) add(r measure.Reading) {
	r.Datum, r.Trial = s.datum, s.trial
	if r.Gauge == nil {
		r.Gauge = s.Offset
	}
	if r.StationGauge == nil {
		r.StationGauge = s.along
	}
	r.Place = measure.Place{File: "simulated", Line: len(s.readings) + 2} // line 1 is the header
	s.readings = append(s.readings, r)
}

// side reads the offset of a line where it passes the marks nearest to these stations of the
// part. The true station differs from the mark's by the rule's error.
func (s *survey) side(v view, f measure.Feature, c curve, stations ...float64) {
	for _, t := range stations {
		at := s.meant(v(c(t)).Station)
		o := v.atStation(c, s.marked(s.Station, at)).Offset
		s.add(measure.Reading{
			Feature: f, Kind: measure.Offset, StationGauge: s.Station,
			Station: at, HasStation: true, Offset: s.shown(s.Offset, o), HasOffset: true,
		})
	}
}

// end reads the station of a line at marks across the straightedge.
func (s *survey) end(v view, f measure.Feature, m measure.Mark, c curve, offsets ...float64) {
	for _, t := range offsets {
		at := s.meant(v(c(t)).Offset)
		st := v.atOffset(c, s.marked(s.Offset, at)).Station
		s.add(measure.Reading{
			Feature: f, Mark: m, Kind: measure.Station,
			Station: s.shown(s.along, st), HasStation: true, Offset: at, HasOffset: true,
		})
	}
}

// width reads across two sides, square to their bisector, at marks on the bisector. The view is
// of the frame whose axis is the bisector.
func (s *survey) width(v view, f measure.Feature, wide func(float64) float64, stations ...float64) {
	for _, t := range stations {
		at, on := s.onAxis(v, t)
		s.add(measure.Reading{
			Feature: f, Kind: measure.Width, StationGauge: s.Station,
			Station: at, HasStation: true, Size: s.shown(s.Offset, wide(on)),
		})
	}
}

// onAxis marks the datum beside a station of the frame that v sees: at is what is written of the
// mark, on is where on the frame's axis it truly is.
func (s *survey) onAxis(v view, station float64) (at, on float64) {
	beside := func(t float64) float64 { return v(axis(t)).Station }
	at = s.meant(beside(station))
	return at, solve(beside, s.marked(s.Station, at), station)
}

// point reads both numbers of a place.
func (s *survey) point(v view, f measure.Feature, m measure.Mark, p Point) {
	q := v(p)
	s.add(measure.Reading{
		Feature: f, Mark: m, Kind: measure.Point,
		Station: s.shown(s.along, q.Station), HasStation: true,
		Offset: s.shown(s.Offset, q.Offset), HasOffset: true,
	})
}

// size reads a diameter or a radius.
func (s *survey) size(f measure.Feature, m measure.Mark, k measure.Kind, size float64) {
	s.add(measure.Reading{Feature: f, Mark: m, Kind: k, Size: s.shown(s.Offset, size)})
}

// hole reads a hole by its centre or by the four ends of its cross, as the setup says.
func (s *survey) hole(v view, f measure.Feature, m measure.Mark, p Point, diameter float64) {
	if !s.HolesByEdge {
		s.point(v, f, m, p)
		return
	}
	q := v(p)
	for _, k := range []struct {
		kind measure.Kind
		by   float64
	}{{measure.StationNear, -0.5}, {measure.StationFar, 0.5}} {
		s.add(measure.Reading{
			Feature: f, Mark: m, Kind: k.kind, HasStation: true,
			Station: s.shown(s.along, q.Station+k.by*diameter),
		})
	}
	for _, k := range []struct {
		kind measure.Kind
		by   float64
	}{{measure.OffsetNear, -0.5}, {measure.OffsetFar, 0.5}} {
		s.add(measure.Reading{
			Feature: f, Mark: m, Kind: k.kind, HasOffset: true,
			Offset: s.shown(s.Offset, q.Offset+k.by*diameter),
		})
	}
}

// bored reads a hole and its diameter; by its edges the hole gives its diameter already.
func (s *survey) bored(v view, f measure.Feature, m measure.Mark, p Point, diameter float64) {
	s.hole(v, f, m, p, diameter)
	if !s.HolesByEdge {
		s.size(f, m, measure.Diameter, diameter)
	}
}

// Setup is what a survey is taken with. A nil gauge stands for the one of DefaultSetup.
type Setup struct {
	Offset  *measure.Gauge // offsets from the straightedge, widths, diameters and radii
	Station *measure.Gauge // marks along the straightedge at which lines are read
	Long    *measure.Gauge // stations that count: nut, frets, ends, holes of the body, saddles in place
	Gap     *measure.Gauge // gaps
	Depth   *measure.Gauge // heights; nil stands for the Offset gauge and its depth rod

	Seat float64 // standard deviation of a straightedge off the edge at each of the two places where it touches

	Exact   bool // no errors at all
	Uniform bool // resolution as added uniform noise instead of rounding

	// HolesByEdge reads every hole of the body and the heel by its near and far edges instead of
	// by its centre.
	HolesByEdge bool

	Heights bool // read the heights too

	// The sides of heel and pocket are read at SideStations places, evenly from mouth to end, all of
	// them Trials times over. 0 stands for 3 places and for 1 trial.
	SideStations, Trials int

	held *held // what does not change from trial to trial; nil where a survey draws its own
}

// held are errors that are common to all readings of a kit, however often it is read: of each gauge, and of each
// straightedge's seat near the nut and near the last fret.
type held struct {
	shifts map[*measure.Gauge]float64
	seats  map[side][2]float64
}

// Repeated reads an instrument so many times over, with the same gauges and its straightedges where they are.
func Repeated(times int, read func(Instrument, *rand.Rand, Setup) []measure.Reading, in Instrument, rng *rand.Rand, setup Setup) (all []measure.Reading) {
	setup = setup.filled()
	setup.held = newHand(setup, rng).held
	for trial := range times {
		for _, r := range read(in, rng, setup) {
			r.Trial = trial + 1
			all = append(all, r)
		}
	}
	return all
}

// DefaultSetup is a small workshop's drawer: a 150 mm digital calliper, a 1000 mm steel rule, a
// long vernier and a set of feelers. The repeatabilities are for wood.
func DefaultSetup() Setup {
	return Setup{
		Offset:  &measure.Gauge{ID: "calliper", Kind: "calliper", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.05},
		Station: &measure.Gauge{ID: "rule", Kind: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.1},
		Long:    &measure.Gauge{ID: "vernier", Kind: "vernier", Resolution: 0.05, MaxError: 0.05, Repeatability: 0.05},
		Gap:     &measure.Gauge{ID: "feeler", Kind: "feeler", Resolution: 0.05, MaxError: 0.01, Repeatability: 0.02},
		Seat:    0.07, // 0.05 of seating and 0.05 of the edge's own form
	}
}

// filled has no nil gauge and no blank count. It panics on counts that make no survey.
func (s Setup) filled() Setup {
	d := DefaultSetup()
	for _, pair := range [][2]**measure.Gauge{
		{&s.Offset, &d.Offset}, {&s.Station, &d.Station}, {&s.Long, &d.Long}, {&s.Gap, &d.Gap},
	} {
		if *pair[0] == nil {
			*pair[0] = *pair[1]
		}
	}
	if s.Depth == nil {
		s.Depth = s.Offset
	}
	s.SideStations, s.Trials = cmp.Or(s.SideStations, 3), cmp.Or(s.Trials, 1)
	if s.SideStations < 2 || s.Trials < 1 {
		panic("simulate: a side needs two stations or more, and one trial or more")
	}
	return s
}

// hand draws the errors of one kit's readings: one shift a gauge, common to all its readings, one seat a
// straightedge, and for each reading its own noise and the rounding of what the gauge shows.
type hand struct {
	Setup
	*held
	rng *rand.Rand
}

// newHand draws the shifts and seats at once and in a fixed order. The rng is not used when the setup is exact.
func newHand(s Setup, rng *rand.Rand) *hand {
	h := &hand{Setup: s.filled(), held: s.held, rng: rng}
	if h.held != nil {
		return h
	}
	h.held = &held{map[*measure.Gauge]float64{}, map[side][2]float64{}}
	if h.Exact {
		return h
	}
	for _, g := range []*measure.Gauge{h.Offset, h.Station, h.Long, h.Gap, h.Depth} {
		if _, ok := h.shifts[g]; !ok {
			h.shifts[g] = h.uniform(g.MaxError)
		}
	}
	if h.Seat > 0 {
		for _, w := range []side{bass, treble} {
			h.seats[w] = [2]float64{h.Seat * rng.NormFloat64(), h.Seat * rng.NormFloat64()}
		}
	}
	return h
}

// uniform draws from -half to +half.
func (h *hand) uniform(half float64) float64 { return half * (2*h.rng.Float64() - 1) }

// shown is what the gauge shows of a true length.
func (h *hand) shown(g *measure.Gauge, truth float64) float64 {
	if h.Exact {
		return truth
	}
	v := truth + h.shifts[g] + g.Repeatability*h.rng.NormFloat64()
	if h.Uniform {
		return v + h.uniform(g.Resolution/2)
	}
	step := g.Resolution
	if step <= 0 {
		return v
	}
	// A step such as 0.05 has no exact binary form; going by its whole inverse keeps 12.35 from
	// becoming 12.350000000000001.
	if inverse := 1 / step; math.Abs(inverse-math.Round(inverse)) < wholeInverse {
		return math.Round(v*math.Round(inverse))/math.Round(inverse) + 0 // + 0 turns -0 into 0
	}
	return math.Round(v/step) * step
}

// marked is where the gauge truly puts a mark that is meant to be at a place: the written number
// is the meant one, and the hand's and the gauge's errors are in the mark.
func (h *hand) marked(g *measure.Gauge, meant float64) float64 {
	if h.Exact {
		return meant
	}
	return meant - h.shifts[g] - g.Repeatability*h.rng.NormFloat64() - h.uniform(g.Resolution/2)
}

// meant is the whole millimetre nearest to a place, as one marks a straightedge; the place itself
// when the setup is exact.
func (h *hand) meant(place float64) float64 {
	if h.Exact {
		return place
	}
	return math.Round(place)
}

// wholeInverse is far above the rounding of 1/step for any step down to 1e-6 mm and far below
// the distance of an inverse such as 1/0.03 from a whole number.
const wholeInverse = 1e-6
