package fit

import (
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// Slip is the likely mistake behind numbers that cannot be of an instrument.
type Slip uint8

// The slips.
const (
	OutOfRange    Slip = iota // no mistake is likelier than another
	Centimetres               // written without the unit, or with the wrong one
	Inches                    // likewise
	DecimalPoint              // a decimal point was lost, or a digit is one too many
	SidesSwapped              // bass and treble
	EndsSwapped               // nut and tail: the straightedge lay the other way round
	LoneString                // one string was read from both edges
	NumbersTurned             // strings or holes were numbered from the other side
)

// Nonsense is what cannot be so, with the readings that say it. What was read is compared with what
// instruments are before anything is fitted, and nothing is judged that rests on it.
type Nonsense struct {
	Slip      Slip
	What      Sense
	Readings  []*measure.Reading // in the order of the table
	Place     measure.Place      // of the row of kits.csv, where that says it
	Value     float64            // mm, of the first reading, or between the readings
	Low, High float64            // mm, what instruments have; both 0 where it is an order that is wrong

	Told int // where kits.csv says it, 1 + which of its numbers; else 0
}

// Row is the first row that says it.
func (n *Nonsense) Row() measure.Place {
	if len(n.Readings) > 0 {
		return n.Readings[0].Place
	}
	return n.Place
}

// Sense is what of an instrument a number is compared with.
type Sense uint8

// The things that are compared.
const (
	AnyPlace        Sense = iota // a station
	AnyOffset                    // an offset from a straightedge
	BoardWidth                   // of the fingerboard, between its edges
	HeelWidth                    // of the heel, between its sides
	PocketWidth                  // likewise
	GapWidth                     // a gap that was felt
	HoleDiameter                 // of a hole
	CornerRadius                 // of a corner
	AnyHeight                    // over any datum plane
	HoleDistance                 // between two holes
	ScaleOfFrets                 // the scale length that the outermost frets tell
	StringSpread                 // between the outermost strings
	RadiusOfBoard                // of the crown across
	ActionWanted                 // over fret 12
	HeightAtNut                  // of the strings over the fret plane
	SlantOfSaddles               // of their row, by the bridge's design
	ThicknessOfBody              // under the bridge and the neck's plate
	ScrewDiameter                // of a screw's thread or its core
	ScrewLength                  // of a screw under its head
	SideOrder                    // bass and treble
	FretOrder                    // nut to last fret
	StringOrder                  // treble to bass
	HolePattern                  // two patterns of holes that are to lie on each other
	EndOffset                    // the offset at which an end, a fret or a floor was read, between the sides of its part
	FloorStation                 // the station at which a floor was read, along its pocket
	OffItsLine                   // how far one of several readings lies from the line of the others
	Agreement                    // with the other readings, which cannot be fitted with it; of several, one of them is meant
)

// plausible is what instruments have in mm, from a ukulele to a bass: common practice, no source. Zeros of
// straightedges and of heights are arbitrary, but nobody lays them farther off than that.
var plausible = [...]struct{ low, high float64 }{
	AnyPlace: {-1500, 1500}, AnyOffset: {-400, 400}, BoardWidth: {25, 100}, HeelWidth: {35, 90}, PocketWidth: {35, 95}, GapWidth: {-1, 15},
	HoleDiameter: {0.5, 25}, CornerRadius: {0, 60}, AnyHeight: {-150, 150}, HoleDistance: {3, 700},
	ScaleOfFrets: {400, 1000}, StringSpread: {15, 130}, RadiusOfBoard: {120, 1500}, ActionWanted: {0.5, 6}, HeightAtNut: {0.1, 3},
	SlantOfSaddles: {-100, 100}, ThicknessOfBody: {25, 70}, ScrewDiameter: {1, 8}, ScrewLength: {6, 120},
}

// likely is the mistake that makes sense of a number.
func likely(v float64, what Sense) Slip {
	inside := func(v float64) bool { return plausible[what].low <= v && v <= plausible[what].high }
	switch {
	case inside(v*10) && !inside(v*25.4):
		return Centimetres
	case inside(v*25.4) && !inside(v*10):
		return Inches
	case inside(v/10) || inside(v/100):
		return DecimalPoint
	}
	return OutOfRange
}

// sense gathers what cannot be so of a kit. Its room is used again for the next one.
type sense struct {
	kit  *measure.Kit
	list []Nonsense
	by   [measure.DatumEdgeTreble + 1][measure.PlateEdge + 1][]*measure.Reading // what is sound by itself
	used []*[]*measure.Reading                                                  // of by, the lists that hold something
}

// nonsense compares a kit's numbers with what instruments are: each by itself first, then those that are
// sound with each other.
func (s *sense) nonsense(kit *measure.Kit) []Nonsense {
	s.kit, s.list = kit, nil
	for _, list := range s.used {
		*list = (*list)[:0]
	}
	s.used = s.used[:0]
	for i := range kit.Readings {
		if r := &kit.Readings[i]; s.number(r) {
			list := &s.by[r.Datum][r.Feature]
			if len(*list) == 0 {
				s.used = append(s.used, list)
			}
			*list = append(*list, r)
		}
	}
	for k := range told { // of which a blank says nothing, nor a flat board's radius
		before := len(s.list)
		if v := *told[k].of(&kit.Info); v != 0 && !math.IsInf(v, 1) {
			s.compare(v, told[k].what, nil)
		}
		if len(s.list) > before {
			s.list[before].Told = k + 1
		}
	}
	for _, frame := range []measure.Datum{measure.DatumNeck, measure.DatumBody} {
		s.sides(frame, measure.Fingerboard, BoardWidth)
		s.sides(frame, measure.Heel, HeelWidth)
		s.sides(frame, measure.Pocket, PocketWidth)
	}
	for _, frame := range []measure.Datum{measure.DatumNeck, measure.DatumBody} {
		s.inside(frame, measure.Fingerboard, measure.Nut, measure.Fret, measure.FretTop)
		s.inside(frame, measure.Heel, measure.HeelEnd)
		s.inside(frame, measure.Pocket, measure.PocketEnd, measure.PocketFloor)
	}
	s.along()
	s.floor()
	for datum := measure.DatumBody; datum <= measure.DatumEdgeTreble; datum++ {
		s.frets(datum)
		for _, f := range []measure.Feature{measure.NutSlot, measure.Saddle, measure.SaddleFront, measure.StringHole} {
			s.strings(datum, f)
		}
	}
	s.loneString()
	s.patterns(s.by[measure.DatumBridge][measure.PlateScrew], s.by[measure.DatumBody][measure.BridgeScrew])
	s.patterns(s.by[measure.DatumNeck][measure.HeelScrew], s.by[measure.DatumBody][measure.NeckScrew])
	return s.list
}

// compare notes a number that is out of its range, with the readings that say it; of none it is kits.csv's.
func (s *sense) compare(v float64, what Sense, readings func() []*measure.Reading) {
	low, high := plausible[what].low, plausible[what].high
	if low <= v && v <= high {
		return
	}
	n := Nonsense{Slip: likely(v, what), What: what, Value: v, Low: low, High: high}
	if readings != nil {
		n.Readings = readings()
	} else {
		n.Place = s.kit.Info.Place
	}
	s.list = append(s.list, n)
}

// sizes is what each kind of size is compared with.
func sizes(r *measure.Reading) Sense {
	switch r.Kind {
	case measure.Gap:
		return GapWidth
	case measure.Diameter:
		return HoleDiameter
	case measure.Radius:
		return CornerRadius
	case measure.Height:
		return AnyHeight
	case measure.Distance:
		return HoleDistance
	}
	switch r.Feature {
	case measure.Fingerboard:
		return BoardWidth
	case measure.Heel:
		return HeelWidth
	}
	return PocketWidth
}

// number compares the numbers of one reading; ok where all are sound.
func (s *sense) number(r *measure.Reading) (ok bool) {
	before := len(s.list)
	self := func() []*measure.Reading { return []*measure.Reading{r} }
	if r.Kind >= measure.Width {
		s.compare(r.Size, sizes(r), self)
	}
	if r.HasStation && len(s.list) == before {
		s.compare(r.Station, AnyPlace, self)
	}
	if r.HasOffset && len(s.list) == before {
		s.compare(r.Offset, AnyOffset, self)
	}
	if len(s.list) == before {
		return true
	}
	if n := &s.list[before]; n.What == AnyPlace || n.What == AnyOffset { // only too far can be told of a place
		n.Slip = DecimalPoint
	}
	if before > 0 { // one slip of several rows is told once
		last, n := &s.list[before-1], &s.list[before]
		if f := last.Readings[0]; last.What == n.What && last.Slip == n.Slip && f.Feature == r.Feature && f.Kind == r.Kind {
			last.Readings = append(last.Readings, r)
			s.list = s.list[:before]
		}
	}
	return false
}

// One of several readings that is so far from the others, in mm, is wrong by itself and says nothing of their order:
// of a side beside the middle of its readings, of a fret or a string beside the line of the others. Common practice, no source.
const (
	alone     = 50.0
	leastLine = 4 // how many points a line must have that none of them spoils
)

// settle takes out readings that are wrong by themselves.
func (s *sense) settle(list []*measure.Reading, what Sense, off func(r *measure.Reading) float64) (sound []*measure.Reading) {
	if !slices.ContainsFunc(list, func(r *measure.Reading) bool { return math.Abs(off(r)) > alone }) {
		return list
	}
	for _, r := range list {
		if by := off(r); math.Abs(by) > alone {
			s.list = append(s.list, Nonsense{What: what, Readings: []*measure.Reading{r}, Value: by, Low: -alone, High: alone})
		} else {
			sound = append(sound, r)
		}
	}
	return sound
}

// few is for how many readings of a feature there is room without asking for memory.
const few = 16

// offsets of readings, without sizes, in the room given if they fit.
func offsets(list []*measure.Reading, room []float64) []float64 {
	values := room[:0]
	for _, r := range list {
		if r.HasOffset && r.Kind < measure.Width {
			values = append(values, r.Offset)
		}
	}
	return values
}

// sides compares the two sides of a part.
func (s *sense) sides(frame measure.Datum, across measure.Feature, what Sense) {
	var middle [2]float64
	var sides [2][]*measure.Reading
	var room [few]float64
	for i, f := range survey.Partners(across) {
		values := offsets(s.by[frame][f], room[:])
		if len(values) == 0 {
			return
		}
		middle[i], sides[i] = adjust.Median(values), s.by[frame][f]
		if len(values) >= 3 {
			sides[i] = s.settle(sides[i], OffItsLine, func(r *measure.Reading) float64 {
				if !r.HasOffset || r.Kind >= measure.Width {
					return 0
				}
				return r.Offset - middle[i]
			})
		}
	}
	if width := middle[1] - middle[0]; width < 0 {
		s.list = append(s.list, Nonsense{Slip: SidesSwapped, What: SideOrder, Readings: inOrder(sides[:]...), Value: width})
	} else {
		s.compare(width, what, func() []*measure.Reading { return inOrder(sides[:]...) })
	}
}

// inside tells readings across a part whose offset lies beyond its sides.
func (s *sense) inside(frame measure.Datum, across measure.Feature, features ...measure.Feature) {
	const beyond = 5.0 // mm
	pair := survey.Partners(across)
	var room [2][few]float64
	bass, treble := offsets(s.by[frame][pair[0]], room[0][:]), offsets(s.by[frame][pair[1]], room[1][:])
	if len(bass) == 0 || len(treble) == 0 {
		return
	}
	low, high := adjust.Median(bass), adjust.Median(treble)
	if low >= high {
		return
	}
	for _, f := range features {
		s.by[frame][f] = slices.DeleteFunc(s.by[frame][f], func(r *measure.Reading) bool {
			out := r.HasOffset && (r.Offset < low-beyond || r.Offset > high+beyond)
			if out {
				s.list = append(s.list, Nonsense{What: EndOffset, Readings: []*measure.Reading{r}, Value: r.Offset, Low: low, High: high})
			}
			return out
		})
	}
}

// along tells places of a floor that lie outside its pocket: behind its end, or far from where its sides were read.
func (s *sense) along() {
	const behind, beside = 5.0, 25.0 // mm
	body := &s.by[measure.DatumBody]
	low, high := inf, -inf
	for _, side := range survey.Partners(measure.Pocket) {
		for _, r := range body[side] {
			if r.HasStation {
				low, high = min(low, r.Station), max(high, r.Station)
			}
		}
	}
	if high-low < leastApart { // which tells little of how long the pocket is
		return
	}
	room := beside
	for _, r := range body[measure.PocketEnd] {
		if r.HasStation {
			high, room = max(high, r.Station), behind
		}
	}
	body[measure.PocketFloor] = slices.DeleteFunc(body[measure.PocketFloor], func(r *measure.Reading) bool {
		out := r.Station < low-beside || r.Station > high+room
		if out {
			s.list = append(s.list, Nonsense{What: FloorStation, Readings: []*measure.Reading{r}, Value: r.Station, Low: low, High: high})
		}
		return out
	})
}

// floor tells places of a pocket's floor that are too far from the others to be in one pocket.
func (s *sense) floor() {
	all := s.by[measure.DatumBody][measure.PocketFloor]
	if len(all) < 3 {
		return
	}
	for _, of := range []func(r *measure.Reading) float64{
		func(r *measure.Reading) float64 { return r.Station }, func(r *measure.Reading) float64 { return r.Offset },
	} {
		s.settle(all, OffItsLine, func(r *measure.Reading) float64 { // beside the nearest, since most may lie at one end
			nearest := math.Inf(1)
			for _, q := range all {
				if by := of(r) - of(q); q != r && math.Abs(by) < math.Abs(nearest) {
					nearest = by
				}
			}
			return nearest
		})
	}
}

// alongLine takes readings out that are wrong by themselves, and tells the slope of the others' line; of few readings
// that of the outermost two.
func (s *sense) alongLine(list []*measure.Reading, of func(r *measure.Reading) (x, y float64)) (sound []*measure.Reading, slope float64) {
	var room [few]adjust.Point
	points, low, high, different := room[:0], 0, 0, 0
	for i, r := range list {
		x, y := of(r)
		if !slices.ContainsFunc(points, func(p adjust.Point) bool { return p.X == x }) {
			different++
		}
		points = append(points, adjust.Point{X: x, Y: y})
		if x < points[low].X {
			low = i
		}
		if x > points[high].X {
			high = i
		}
	}
	if different < leastLine {
		if different > 1 {
			slope = (points[high].Y - points[low].Y) / (points[high].X - points[low].X)
		}
		return list, slope
	}
	a, slope := adjust.MedianLine(points)
	return s.settle(list, OffItsLine, func(r *measure.Reading) float64 {
		x, y := of(r)
		return y - a - slope*x
	}), slope
}

// frets compares the frets with their law, the nut counting as fret 0, and where their tops were read with the frets.
func (s *sense) frets(datum measure.Datum) {
	var room [few]*measure.Reading
	all := append(append(room[:0], s.by[datum][measure.Nut]...), s.by[datum][measure.Fret]...)
	place := func(r *measure.Reading) (x, y float64) { return adjust.FretShare(r.Mark.Number), r.Station }
	if slices.ContainsFunc(all, func(r *measure.Reading) bool { return r.Mark.Number != all[0].Mark.Number }) {
		before := len(s.list)
		var scale float64
		if all, scale = s.alongLine(all, place); scale < 0 {
			s.list = append(s.list, Nonsense{Slip: EndsSwapped, What: FretOrder, Readings: inOrder(all), Value: scale})
			return
		}
		if s.compare(scale, ScaleOfFrets, func() []*measure.Reading { return inOrder(all) }); len(s.list) > before { // which of the two are right nobody knows then
			return
		}
	}
	if tops := s.by[datum][measure.FretTop]; len(tops) > 0 {
		s.alongLine(append(all, tops...), place)
	}
}

// strings compares the strings of a feature. From the treble edge distances count inward, toward bass.
func (s *sense) strings(datum measure.Datum, f measure.Feature) {
	var all []*measure.Reading
	first, last := math.MaxInt, 0
	for _, r := range s.by[datum][f] {
		if r.HasOffset && r.Kind < measure.Width {
			all = append(all, r)
			first, last = min(first, r.Mark.Number), max(last, r.Mark.Number)
		}
	}
	if first >= last {
		return
	}
	all, step := s.alongLine(all, func(r *measure.Reading) (x, y float64) { return float64(r.Mark.Number), r.Offset })
	spread := -step * float64(last-first)
	if datum == measure.DatumEdgeTreble {
		spread = -spread
	}
	if spread < 0 {
		slip := NumbersTurned
		if datum.Edge() { // or the edges themselves
			slip = SidesSwapped
		}
		s.list = append(s.list, Nonsense{Slip: slip, What: StringOrder, Readings: inOrder(all), Value: spread})
		return
	}
	s.compare(spread, StringSpread, func() []*measure.Reading { return inOrder(all) })
}

// loneString: a string that was read from both edges, and no other, says how far it is from each, and nothing
// of the middle.
func (s *sense) loneString() {
	for _, f := range []measure.Feature{measure.Saddle, measure.StringHole, measure.NutSlot} {
		bass, treble := s.by[measure.DatumEdgeBass][f], s.by[measure.DatumEdgeTreble][f]
		if len(bass) == 0 || len(treble) == 0 {
			continue
		}
		other := func(r *measure.Reading) bool { return r.Mark != bass[0].Mark }
		if !slices.ContainsFunc(bass, other) && !slices.ContainsFunc(treble, other) {
			s.list = append(s.list, Nonsense{Slip: LoneString, What: StringOrder, Readings: inOrder(bass, treble)})
		}
	}
}

// patterns compares two patterns of holes: one that comes to lie on the other only turned by more than a
// quarter was numbered from the other side. The turn's cosine has the sign of the sum of the places' dots,
// seen from their centroids (see autodiff.Rigid).
func (s *sense) patterns(from, to []*measure.Reading) {
	var n, sx, sy, tx, ty, dots float64
	for _, r := range from {
		for _, q := range to {
			if r.Kind == measure.Point && q.Kind == measure.Point && r.Mark == q.Mark {
				n, sx, sy, tx, ty = n+1, sx+r.Station, sy+r.Offset, tx+q.Station, ty+q.Offset
				dots += r.Station*q.Station + r.Offset*q.Offset
			}
		}
	}
	if n >= leastMatch && dots < (sx*tx+sy*ty)/n {
		s.list = append(s.list, Nonsense{Slip: NumbersTurned, What: HolePattern, Readings: inOrder(from, to)})
	}
}

// inOrder are readings by their rows, each once.
func inOrder(lists ...[]*measure.Reading) []*measure.Reading {
	all := slices.Concat(lists...)
	slices.SortStableFunc(all, func(a, b *measure.Reading) int { return a.Place.Line - b.Place.Line })
	return slices.Compact(all)
}
