package fit

import (
	"math"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// A reading out of line is named with what it read and what the others say, inward from the treble edge too; the part may be so where only it
// tells of its place, and not where others read the same place otherwise.
func TestAccusedReadings(t *testing.T) {
	side := []string{"neck heel-bass - offset 480 -30 -", "neck heel-bass - offset 500 -30 -", "neck heel-bass - offset 520 -30 -", "neck heel-bass - offset 540 -30 -"}
	for _, c := range []struct {
		what           string
		rows           []string
		line           int
		read, expected float64
		crooked        bool
	}{
		{"a side", append(slices.Clone(side), "neck heel-bass - offset 560 -32 -"), 6, -32, -30, true},
		{"read again there", append(slices.Clone(side), "neck heel-bass - offset 480 -30.01 -", "neck heel-bass - offset 500 -30.01 -", "neck heel-bass - offset 520 -30.01 -", "neck heel-bass - offset 540 -30.01 -", "neck heel-bass - offset 520 -33 -"), 10, -33, -30, false},
		{"a hole", []string{"body neck-screw 1 offset - 12 -", "body neck-screw 1 offset - 12.01 -", "body neck-screw 1 offset - 14 -", "body neck-screw 1 offset - 12.02 -"}, 4, 14, 12.01, false},
		{"inward from the treble edge", []string{"edge-treble bridge-screw 1 offset - 12 -", "edge-treble bridge-screw 1 offset - 12.01 -", "edge-treble bridge-screw 1 offset - 14 -", "edge-treble bridge-screw 1 offset - 12.02 -"}, 4, 14, 12.01, false},
		{"outward of it", []string{"edge-treble bridge-screw 1 offset - -2 -", "edge-treble bridge-screw 1 offset - -2.01 -", "edge-treble bridge-screw 1 offset - -4 -", "edge-treble bridge-screw 1 offset - -2.02 -"}, 4, -4, -2.01, false},
		{"a gap's end", []string{"body pocket-bass - gap 500 - 0.3", "body pocket-bass - gap 520 - 0.3", "body pocket-bass - gap 540 - 0.3", "body pocket-bass - gap 560 - 3.3", "body pocket-bass - gap 530 - 0.3"}, 5, 3.3, 0.3, true},
	} {
		r := Check(kit(t, c.rows...), Options{})
		if len(r.Suspects) != 1 || r.Suspects[0].Reading.Place.Line != c.line {
			t.Errorf("%s: %+v", c.what, r.Suspects)
			continue
		}
		s := r.Suspects[0]
		about(t, c.what+": read", s.Read, c.read, 1e-9)
		about(t, c.what+": the others say", s.Expected, c.expected, 0.03)
		if s.Crooked != c.crooked {
			t.Errorf("%s: the part may be so %v", c.what, s.Crooked)
		}
	}
}

// What a suspect moves is what another number there would change by more than a tenth of its uncertainty; a lone one also accuses the worst of
// its own feature. Each is compared with the kit in which it is as the others say.
func TestWhatASuspectMoves(t *testing.T) {
	in := simulate.ShortScaleBass()
	for _, f := range []measure.Feature{measure.EdgeBass, measure.HeelTreble, measure.PocketBass, measure.Fret} {
		k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true}))
		at := 0
		for i, r := range k.Readings {
			if r.Feature == f && (r.Kind == measure.Offset || r.Kind == measure.Station) {
				at = i
			}
		}
		cell := &k.Readings[at].Offset
		if f == measure.Fret {
			cell = &k.Readings[at].Station
		}
		right := *cell
		*cell += 3
		r := Check(k, Options{Model: true})
		i := slices.IndexFunc(r.Suspects, func(s Suspect) bool { return s.Reading == &k.Readings[at] })
		if i < 0 {
			t.Errorf("%s: not named: %+v", f, r.Suspects)
			continue
		}
		s := r.Suspects[i]
		about(t, f.String()+": should be", s.Expected, right, 0.5)
		*cell = s.Expected
		mended := Check(k, Options{})
		if c := r.Find(NutError); f == measure.Fret { // which rests on all frets but itself, and may be as much out as the fret makes it
			about(t, "nut-error moves by", c.Doubt, math.Abs(c.Value-mended.Find(NutError).Value), 1e-3)
			if c.Doubt < 5*mended.Find(NutError).StdUncertainty || !slices.Contains(s.Moves, NutError) {
				t.Errorf("nut-error in doubt by %.3f: %v", c.Doubt, s.Moves)
			}
		}
		for id := range r.Characteristics {
			c, m := &r.Characteristics[id], &mended.Characteristics[id]
			if !c.Measured() || !m.Measured() || c.Among > 0 {
				continue
			}
			moved, named := math.Abs(c.Value-m.Value)/c.StdUncertainty, slices.Contains(s.Moves, c.ID)
			if named && moved < 0.02 || !named && moved > 0.3 {
				t.Errorf("%s: %s moves by %.3f of its uncertainty, named %v", f, c.ID, moved, named)
			}
		}
	}
}
