package survey

import (
	"math"

	"neckfit/fit/adjust"
	"neckfit/measure"
)

// Fan is how fanned frets lie. Every string has a scale of its own, by even steps from the outer bass string's
// to the outer treble's, and follows the fret law by itself; one fret is square to the centre line. The zero
// Fan is that of square frets.
type Fan struct {
	Difference float64 // the outer bass string's scale less the treble's, mm
	Straight   float64 // of the scale, the share from the nut to the square fret
}

// FanOf is a kit's as kits.csv tells it.
func FanOf(info *measure.Info) Fan {
	return Fan{info.ScaleBass - info.ScaleTreble, adjust.FretShare(info.StraightFret)}
}

// Lead is how much farther tailward than on the centre line a place lies that is a share of the scale from
// the nut and stands across from the centre line by a part of the outer strings' spread there: -0.5 on the
// outer bass string, 0.5 on the treble.
func (f Fan) Lead(share, across float64) float64 {
	return -f.Difference * (share - f.Straight) * across
}

// lead is that of a fret's reading, in the station that was read: the edges as they start tell how far
// across it is, to some hundredths of a millimetre.
func (b *Board) lead(s *Survey, r *measure.Reading) float64 {
	if s.Fan.Difference == 0 || !r.HasOffset || !b.Edged || r.Datum.Edge() {
		return 0
	}
	// The line that halves the two edges has the sum of their unit normals as its normal.
	start, nx, ny, d := s.Problem.Start, 0.0, 0.0, 0.0
	for _, side := range []adjust.Side{b.First, b.Second} {
		h := math.Hypot(1, start[side.B])
		nx, ny, d = nx-start[side.B]/h, ny+1/h, d+(start[side.A]-start[side.B]*side.C)/h
	}
	length := math.Hypot(nx, ny)
	across, cos := (nx*r.Station+ny*r.Offset-d)/length, ny/length
	share := adjust.FretShare(r.Mark.Number)
	return s.Fan.Lead(share, across/b.spread(s, share)) / cos
}

// spread is how far the outer strings are apart at a share of the scale from the nut, as they were laid out:
// evenly from the nut to the saddles, or beside the fingerboard's edges where no saddles were read.
func (b *Board) spread(s *Survey, share float64) float64 {
	// apart is how far the outer two are, less how much farther along the strings one of them lies.
	apart := func(frame measure.Datum, f measure.Feature, lead float64) float64 {
		treble, bass := s.Point(frame, f, 1), s.Point(frame, f, s.Strings)
		if !treble.Located() || !bass.Located() {
			return 0
		}
		far := math.Hypot(treble.firstStation-bass.firstStation, treble.firstOffset-bass.firstOffset)
		return math.Sqrt(max(0, far*far-lead*lead))
	}
	leadOf := func(share float64) float64 { return s.Fan.Lead(share, 0.5) - s.Fan.Lead(share, -0.5) }
	start, info := s.Problem.Start, &s.Kit.Info
	scale := (info.ScaleBass + info.ScaleTreble) / 2
	nut := info.NutSpread
	if nut == 0 {
		nut = apart(b.bass.key.Frame(), measure.NutSlot, leadOf(0))
	}
	if nut == 0 { // half the width of a board at its nut and more
		nut = 0.8 * (s.startOf(b.treble, b.low.Station) - s.startOf(b.bass, b.low.Station))
	}
	slant := info.Slant
	if slant == 0 {
		slant = leadOf(1)
	}
	bridge := apart(measure.DatumBridge, measure.Saddle, slant)
	if bridge == 0 {
		bridge = apart(measure.DatumBody, measure.Saddle, slant)
	}
	if bridge == 0 {
		bridge = nut + (start[b.Second.B]-start[b.First.B])*scale
	}
	return nut + (bridge-nut)*share
}
