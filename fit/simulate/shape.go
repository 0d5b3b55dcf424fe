package simulate

import "math"

// fretStation is where fret n stands on the neck's centre line; n = 0 is the nut. Equal
// temperament: every fret leaves 2^(-1/12) of the string that the one before it left.
func (in Instrument) fretStation(n int) float64 {
	left := in.Scale
	for range n {
		left /= math.Pow(2, 1.0/12)
	}
	return in.Scale - left + in.FretErrors[n]
}

// lastFret is the last fret's station, free of its own error.
func (in Instrument) lastFret() float64 {
	in.FretErrors = nil
	return in.fretStation(in.Frets)
}

// fingerboardWidth is the distance of the edges, square to the centre line.
func (in Instrument) fingerboardWidth(station float64) float64 {
	return in.NutWidth + (in.LastFretWidth-in.NutWidth)*station/in.lastFret()
}

// bow is how far the centre line leaves the straight one: the second Legendre polynomial over
// nut to last fret, so that its least-squares line there is zero, scaled to sagitta SideBow.
func (in Instrument) bow(station float64) float64 {
	x := 2*station/in.lastFret() - 1
	return -in.SideBow / 1.5 * (1.5*x*x - 0.5) // from -0.5 in the middle to 1 at the ends: sagitta 1.5
}

// side is +1 for treble and -1 for bass.
type side float64

const (
	bass   side = -1
	treble side = 1
)

// edge is a fingerboard edge in the neck's frame; straightEdge is it without the bow.
func (in Instrument) edge(w side) curve {
	return func(s float64) Point { return Point{s, float64(w)*in.fingerboardWidth(s)/2 + in.bow(s)} }
}

func (in Instrument) straightEdge(w side) curve {
	in.SideBow = 0
	return in.edge(w)
}

// across is a line square to the frame's axis at a station, turned by an angle in degrees.
func across(station, angle float64) curve {
	slope := -math.Tan(radians(angle))
	return func(o float64) Point { return Point{station + slope*o, o} }
}

func axis(s float64) Point { return Point{s, 0} }

// heel lies in the neck's frame: origin in the middle of its end, station along its bisector.
func (in Instrument) heel() frame {
	return frame{origin: Point{in.HeelStation, in.HeelSideways}, turn: radians(in.HeelHeading)}
}

// wedge is a side of the heel or the pocket, in its own frame.
func wedge(w side, mouth, end, length float64) curve {
	return func(s float64) Point {
		return Point{s, float64(w) * (end + (mouth-end)*-s/length) / 2}
	}
}

func (in Instrument) heelSide(w side) curve {
	return wedge(w, in.HeelMouth, in.HeelEnd, in.HeelLength)
}

func (in Instrument) pocketSide(w side) curve {
	return wedge(w, in.PocketMouth, in.PocketEnd, in.PocketLength)
}

// spread is the offset of string i, from 1 at treble, in a row of even pitch.
func (in Instrument) spread(i int, outer float64) float64 {
	return outer/2 - outer*float64(i-1)/float64(in.Strings-1)
}

// slot is a string's slot, in the neck's frame.
func (in Instrument) slot(i int) Point { return Point{0, in.spread(i, in.NutSpread)} }

// contact is a string's contact at its saddle, that far back from the front stop, in the
// bridge's frame.
func (in Instrument) contact(i int, back float64) Point {
	return Point{back, in.spread(i, in.BridgeSpread)}
}

// plateHole is the plate's hole for a string, stringHole the body's, both in the bridge's frame.
func (in Instrument) plateHole(i int) Point {
	return Point{in.StringHoleStation, in.spread(i, in.BridgeSpread)}
}

func (in Instrument) stringHole(i int) Point {
	p := in.plateHole(i)
	p.Offset += in.PitchMisfit()[i-1]
	return p
}

// bridgeHole is the body's hole for the plate's screw k, from 1, in the bridge's frame.
func (in Instrument) bridgeHole(k int) Point {
	p, e := in.BridgeScrews[k-1], in.Misfit()[k-1]
	return Point{p.Station + e.Station, p.Offset + e.Offset}
}

// heelScrew is the heel's hole k, from 1, in the neck's frame.
func (in Instrument) heelScrew(k int) Point {
	p, e := in.NeckScrews[k-1], in.HeelScrewErrors[k]
	return in.Seated().neck().in(Point{p.Station + e.Station, p.Offset + e.Offset})
}
