package simulate

import (
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

// again takes the same readings once for each trial, the marks made anew each time.
func (s *survey) again(read func()) {
	for i := range s.Trials {
		if s.Trials > 1 {
			s.trial = i + 1
		}
		read()
	}
	s.trial = 0
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

// middle reads the station where a fret or the nut crosses the centre line, offset left blank.
func (s *survey) middle(v view, f measure.Feature, m measure.Mark, station float64) {
	st := v(Point{Station: station}).Station
	s.add(measure.Reading{
		Feature: f, Mark: m, Kind: measure.Station, Station: s.shown(s.along, st), HasStation: true,
	})
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
