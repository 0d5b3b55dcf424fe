package simulate

import (
	"cmp"

	"neckfit/measure"
)

// Move is the same readings from a straightedge that lies elsewhere: dx and dy millimetres are
// added to the stations and offsets of one datum. Readings of other datums are left alone.
func Move(readings []measure.Reading, datum measure.Datum, dx, dy float64) []measure.Reading {
	return rewritten(readings, func(r *measure.Reading) {
		if r.Datum != datum {
			return
		}
		if r.HasStation {
			r.Station += dx
		}
		if r.HasOffset {
			r.Offset += dy
		}
	})
}

// mirrored are the features that change sides.
var mirrored = map[measure.Feature]measure.Feature{
	measure.EdgeBass: measure.EdgeTreble, measure.EdgeTreble: measure.EdgeBass, measure.HeelBass: measure.HeelTreble,
	measure.HeelTreble: measure.HeelBass, measure.PocketBass: measure.PocketTreble, measure.PocketTreble: measure.PocketBass,
}

// Mirror is the readings of the mirrored instrument, in the same order: bass and treble change
// names, the strings are numbered from the other side, offsets change sign, and the two edge
// datums change places and keep theirs, which are inward for both.
func Mirror(readings []measure.Reading, strings int) []measure.Reading {
	return rewritten(readings, func(r *measure.Reading) {
		switch r.Datum {
		case measure.DatumEdgeBass, measure.DatumEdgeTreble:
			r.Datum = measure.DatumEdgeBass + measure.DatumEdgeTreble - r.Datum
		default:
			if r.HasOffset {
				r.Offset = 0 - r.Offset // not -r.Offset, which would make a -0 of 0
			}
			switch r.Kind {
			case measure.OffsetNear:
				r.Kind = measure.OffsetFar
			case measure.OffsetFar:
				r.Kind = measure.OffsetNear
			}
		}
		r.Mark = mirroredMark(r.Feature, r.Mark, strings)
		r.To = mirroredMark(r.Feature, r.To, strings)
		r.Feature = cmp.Or(mirrored[r.Feature], r.Feature)
	})
}

func rewritten(readings []measure.Reading, change func(*measure.Reading)) []measure.Reading {
	all := append([]measure.Reading(nil), readings...)
	for i := range all {
		change(&all[i])
	}
	return all
}

func mirroredMark(f measure.Feature, m measure.Mark, strings int) measure.Mark {
	switch f {
	case measure.NutSlot, measure.StringHole, measure.Ferrule, measure.PlateHole, measure.Saddle,
		measure.SaddleFront, measure.SaddleBack, measure.SaddleLow, measure.SaddleHigh:
		if m.Number > 0 {
			m.Number = strings + 1 - m.Number
		}
	}
	switch m {
	case atBass:
		return atTreble
	case atTreble:
		return atBass
	}
	return m
}
