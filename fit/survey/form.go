package survey

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// How far a place of a good part leaves the ideal form, as a standard deviation in mm: a fret the law of frets, an edge of
// the fingerboard, filed by hand, and a routed wall of heel or pocket their straight line, a floor or the tops of frets
// their plane, a hole its pattern. Two sides by one reading have both, so that a good pocket's gap is out by 0.06 mm at a place: by more, and
// of good kits one in twenty would lie beyond a gap's limits. Common practice, no source.
const (
	FretForm  = 0.05
	EdgeForm  = 0.05
	WallForm  = 0.03
	PlaneForm = 0.05
	// HoleForm is of a drilled hole beside where it was meant to be, each way.
	HoleForm = 0.10
	// NutForm is of a nut beside the frets' law, where frets enough tell that without it: nuts are set by hand, and moved for
	// intonation. With fewer it must be taken for a fret.
	NutForm = 0.3
)

// sideForm is that of a side, or of either side of a width.
func sideForm(f measure.Feature) float64 {
	switch f {
	case measure.EdgeBass, measure.EdgeTreble, measure.Fingerboard:
		return EdgeForm
	}
	return WallForm
}

// groupOf numbers what is made in one go, from 1, so that its places are alike in how far they leave the form
// (adjust.Row.Group); 0 for what is by itself.
func groupOf(f measure.Feature) int {
	switch f {
	case measure.EdgeBass, measure.EdgeTreble, measure.Fingerboard:
		return 1
	case measure.HeelBass, measure.HeelTreble, measure.Heel, measure.HeelEnd:
		return 2
	case measure.PocketBass, measure.PocketTreble, measure.Pocket, measure.PocketEnd:
		return 3
	case measure.Fret, measure.Nut:
		return 4
	case measure.FretTop:
		return 5
	case measure.PocketFloor, measure.Top:
		return 6
	}
	return 0
}

// samePlace is how near two readings of a feature are of one place: within it the form does not change. A rule laid
// down again shows other stations by less.
const samePlace = 3.0 // mm

// spot is a place that an object was read at: of a fret one along either edge.
type spot struct {
	of    object
	mark  int
	datum measure.Datum
	at    adjust.Point
	place int
}

// placeOf numbers the place at which an object is read. Readings come object by object, in rising order.
func (s *Survey) placeOf(of object, r *measure.Reading, at adjust.Point, form float64) int {
	for i := len(s.spots) - 1; i >= 0 && s.spots[i].of == of; i-- {
		former := &s.spots[i]
		if former.mark == r.Mark.Number && former.datum == r.Datum && math.Abs(former.at.X-at.X) <= samePlace && math.Abs(former.at.Y-at.Y) <= samePlace {
			return former.place
		}
	}
	s.Problem.Places = append(s.Problem.Places, form)
	s.spots = append(s.spots, spot{of, r.Mark.Number, r.Datum, at, len(s.Problem.Places)})
	return len(s.Problem.Places)
}

// Local are the deviations from the line of the outermost two places that a width or a gap was read at, as unknowns of
// their own, -1 where there is none: what a part measures there is the line's with this.
type Local [2]int

// numberLocal gives them unknowns where there are two places.
func (s *Survey) numberLocal(seen *Trend) Local {
	if seen.HighX-seen.LowX <= samePlace {
		return Local{-1, -1}
	}
	return Local{s.unknown(0, LengthReach), s.unknown(0, LengthReach)}
}

// at is the deviation at x, if it is one of the places.
func (l Local) at(seen *Trend, x float64) (unknown int, ok bool) {
	switch {
	case l[0] < 0:
		return -1, false
	case x-seen.LowX <= samePlace:
		return l[0], true
	case seen.HighX-x <= samePlace:
		return l[1], true
	}
	return -1, false
}

// FormRow is a row that says how far a place may be from the line, with a reading of that place.
type FormRow struct {
	Row     int
	Reading *measure.Reading
}

// ReadingOf is the reading behind a row, of one that says how far a place may be from the line that of the place; nil where there is none.
func (s *Survey) ReadingOf(row int) *measure.Reading {
	for _, f := range s.Forms {
		if f.Row == row {
			return f.Reading
		}
	}
	return s.Source[row]
}

// localOrPlace adds to a sum the deviation at x, or else names the place.
func (s *Survey) localOrPlace(of object, l Local, seen *Trend, x float64, r *measure.Reading, sum *sum) {
	u, ok := l.at(seen, x)
	form := sideForm(r.Feature) * math.Sqrt2
	if !ok {
		sum.place = s.placeOf(of, r, adjust.Point{X: x}, form)
		return
	}
	s.hold(r, form, adjust.Term{Unknown: u, Coef: 1})
	sum.terms = s.linear(append(sum.terms, adjust.Term{Unknown: u, Coef: 1})...)
}

// hold adds the row that says how far a place may be from its line, as the sum of unknowns of which the first tells the place,
// if there is none yet.
func (s *Survey) hold(r *measure.Reading, form float64, terms ...adjust.Term) {
	held := func(f FormRow) bool { return s.Problem.Rows[f.Row].Terms[0].Unknown == terms[0].Unknown }
	if slices.ContainsFunc(s.Forms, held) {
		return
	}
	s.Forms = append(s.Forms, FormRow{len(s.Problem.Rows), r})
	group := groupOf(r.Feature)
	if form == NutForm {
		group = 0
	}
	row := s.row(nil)
	row.Sigma, row.Group, row.Terms = form, group, s.linear(terms...)
}

// inOrder are the readings part by part, in an order that hangs on what they say and not on where they stand, so that
// neither does any result. Most kits of a batch have their rows in one order, so that the last kit's order will do for what
// this one's are of.
func (s *Survey) inOrder(kit *measure.Kit) []*measure.Reading {
	if len(s.ranked) != len(kit.Readings) {
		s.ranked = s.ranked[:0]
		for i := range kit.Readings {
			s.ranked = append(s.ranked, ranked{at: i})
		}
	}
	for i := range s.ranked {
		r := &s.ranked[i]
		r.reading = &kit.Readings[r.at]
		r.rank = rank(r.reading)
	}
	if byRank := func(p, q ranked) int { return cmp.Compare(p.rank, q.rank) }; !slices.IsSortedFunc(s.ranked, byRank) {
		slices.SortFunc(s.ranked, byRank)
	}
	list := s.readings[:0]
	for rest := s.ranked; len(rest) > 0; {
		n := 1
		for n < len(rest) && rest[n].rank == rest[0].rank {
			n++
		}
		if n > 1 {
			slices.SortFunc(rest[:n], byWords)
		}
		for _, r := range rest[:n] {
			list = append(list, r.reading)
		}
		rest = rest[n:]
	}
	return list
}

// byWords compares readings of one rank.
func byWords(p, q ranked) int {
	a, b := p.reading, q.reading
	if c := strings.Compare(a.Mark.Name, b.Mark.Name); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Station, b.Station); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Offset, b.Offset); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Size, b.Size); c != 0 {
		return c
	}
	return cmp.Or(strings.Compare(a.Gauge.ID, b.Gauge.ID), strings.Compare(a.StationGauge.ID, b.StationGauge.ID), cmp.Compare(a.Trial, b.Trial),
		strings.Compare(a.By, b.By), strings.Compare(a.Note, b.Note), cmp.Compare(a.Place.Line, b.Place.Line))
}

// ranked is a reading with what it is of, as one number.
type ranked struct {
	rank    uint64
	reading *measure.Reading
	at      int // its place in the kit
}

// rank is what a reading is of, as one number.
func rank(r *measure.Reading) uint64 {
	return uint64(r.Datum)<<56 | uint64(r.Feature)<<48 | uint64(uint16(r.Mark.Number))<<32 | uint64(uint16(r.To.Number))<<16 | uint64(r.Kind)
}

// dithered is by how much of a gauge's step, as a standard deviation, a hand shakes from which on the mean of repeats is out by next to nothing of
// what the step hides: see hidden.
const dithered = 0.25

// hidden is the share of the variance of a step that is common to all repeats by a hand that shakes by a part of it, as a standard deviation. Rounding to steps
// of 1 what shakes by r errs in the mean, over places, by a variance of sum exp(-(2 pi k r)^2)/(2 pi^2 k^2) (Fourier series): of the step's 1/12
// that is all where it does not shake, 44 % at a tenth of a step, 12 % at a fifth and 5 % at a quarter.
func hidden(r float64) (share float64) {
	const enough = 300.0 // terms, for 0.998 of it where nothing shakes
	for k := 1.0; k <= enough && k*r < 1; k++ {
		share += 6 / (math.Pi * math.Pi * k * k) * math.Exp(-4*math.Pi*math.Pi*k*k*r*r)
	}
	return share
}

// shareStep makes what the gauge's step hides from all repeats common to the last row and those before it of the same place that show
// the same number.
func (s *Survey) shareStep(e errorOf) {
	g := e.gauge
	if g.Repeatability >= dithered*g.Resolution {
		return
	}
	last := len(s.Problem.Rows) - 1
	row := &s.Problem.Rows[last]
	for i := last - 1; i >= 0; i-- {
		a, b := s.Source[i], s.Source[last]
		if a == nil || rank(a) != rank(b) || a.Mark.Name != b.Mark.Name { // of another thing
			return
		}
		other := &s.Problem.Rows[i]
		one := other.Place == row.Place && (row.Place > 0 || other.Model == row.Model && slices.Equal(other.Terms, row.Terms))
		if !one || other.Value != row.Value || a.Gauge != b.Gauge || a.StationGauge != b.StationGauge { // not the same number of one place
			continue
		}
		step := e.coef * g.Resolution * math.Sqrt(hidden(g.Repeatability/g.Resolution)/12)
		if other.Step == 0 {
			s.Problem.Steps = append(s.Problem.Steps, math.Abs(step))
			other.Step = len(s.Problem.Steps)
			other.Sigma = without(other.Sigma, step)
		}
		row.Step, row.Sigma = other.Step, without(row.Sigma, step)
		return
	}
}

// without is a standard deviation with a part of its variance taken out.
func without(sigma, part float64) float64 {
	return max(math.Sqrt(max(0, sigma*sigma-part*part)), LeastSigma)
}
