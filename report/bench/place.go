package bench

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/words"
)

// Place is where a reading is taken, on the page's drawing: its unit is a thousandth of the drawing's
// width, x along from the headstock, y across from the bass side. A width has two ends.
type Place struct {
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
	End  float64 `json:"end"`  // y of a width's other end; y itself for a point
	Edge string  `json:"edge"` // bass or treble: the straightedge that lies there; "" for none
}

// The drawing's lines, as page.html has them.
const (
	nutX, lastFretX     = 120, 610
	mouthX, endX        = 560, 680
	bridgeX, saddleX    = 850, 900
	bassY, middleY      = 100, 150
	trebleY             = 200
	lastFret            = 20
	inside              = 12 // as much farther in are places "near" the mouth and the end
	heelInset           = 6  // the heel is narrower than the pocket
	besideY, betweenRow = 24, 26
)

func along(f measure.Feature, mark, where string) float64 {
	switch f {
	case measure.Nut, measure.NutSlot:
		return nutX
	case measure.Fret, measure.FretTop:
		n, err := strconv.Atoi(mark)
		if err != nil {
			n = lastFret
		}
		left := func(n float64) float64 { return 1 - math.Exp2(-n/12) } // the law of frets: each a twelfth root of two nearer to the bridge
		return nutX + (lastFretX-nutX)*left(float64(n))/left(lastFret)
	case measure.EdgeBass, measure.EdgeTreble, measure.Fingerboard:
		for i, at := range []string{"at the nut", "a third along", "two thirds along"} {
			if where == at {
				return nutX + float64(i)*(lastFretX-nutX)/3
			}
		}
		return lastFretX
	case measure.HeelEnd, measure.PocketEnd, measure.HeelCorner, measure.PocketCorner:
		return endX
	case measure.BridgeScrew, measure.PlateScrew, measure.PlateEdge:
		return bridgeX
	case measure.StringHole, measure.PlateHole:
		return bridgeX + betweenRow
	}
	if f.Part() == measure.BridgePart {
		return saddleX
	}
	switch {
	case strings.Contains(where, "mouth"):
		return mouthX + inside
	case strings.Contains(where, "end"):
		return endX - inside
	}
	return (mouthX + endX) / 2
}

// spans are where the sides of heel and pocket are drawn.
var spans = map[measure.Feature][2]float64{
	measure.Heel: {bassY + heelInset, trebleY - heelInset}, measure.Pocket: {bassY, trebleY},
	measure.HeelBass: {bassY, bassY}, measure.PocketBass: {bassY, bassY}, measure.HeelTreble: {trebleY, trebleY}, measure.PocketTreble: {trebleY, trebleY},
}

// across is where the reading begins and ends across the instrument. A hole or a string of a high number
// lies on the bass side; what is read from an edge lies on that edge, or on its side.
func across(d measure.Datum, f measure.Feature, mark, where string) (y, end float64) {
	if span, ok := spans[f]; ok {
		return span[0], span[1]
	}
	const atNut, atLastFret = 125, 109 // where the fingerboard's bass edge runs, which widens toward the body
	edge := atNut + (atLastFret-atNut)*(along(f, mark, where)-nutX)/(lastFretX-nutX)
	opposite := bassY + trebleY - edge
	fret := f == measure.Nut || f == measure.Fret
	switch {
	case f == measure.Fingerboard:
		return edge, opposite
	case f == measure.EdgeBass || fret && d == measure.DatumEdgeBass:
		return edge, edge
	case f == measure.EdgeTreble || fret && d == measure.DatumEdgeTreble:
		return opposite, opposite
	}
	y = middleY
	n, err := strconv.Atoi(mark)
	ofString := f == measure.Saddle || f == measure.NutSlot
	switch side := sideOf(d, mark, where); {
	case side != 0 && !ofString:
		y = middleY + side*(middleY-bassY-besideY/2)
	case err == nil && !fret && f != measure.FretTop:
		y = trebleY - besideY - float64((n-1)%5)*13
	}
	return y, y
}

// sideOf is -1 for the bass side, 1 for the treble side and 0 for neither: what the place says goes before
// where the straightedge lies.
func sideOf(d measure.Datum, mark, where string) float64 {
	switch {
	case strings.Contains(where, "bass") || mark == "bass":
		return -1
	case strings.Contains(where, "treble") || mark == "treble":
		return 1
	case d == measure.DatumEdgeBass:
		return -1
	case d == measure.DatumEdgeTreble:
		return 1
	}
	return 0
}

// sheetOf is a kit with all the readings that its sheet has. The numbers of those that are still to be taken
// are made up: the places count, for what is asked is how certain things will be.
type sheetOf struct {
	kit     *measure.Kit
	options fit.Options
	open    []int     // the readings that are still to be taken
	rows    []RowView // the kit's rows
}

// sheetOf is nil where everything was read, or what is there cannot be.
func (f *Folder) sheetOf(rows []int) *sheetOf {
	s := &sheetOf{}
	var all []line
	for n, i := range rows {
		l := f.table.lines[i]
		missing, _ := f.missing(l)
		numbers := map[string]string{}
		for _, c := range missing {
			numbers[c] = "10"
		}
		if len(missing) > 0 {
			s.open = append(s.open, n)
		}
		all = append(all, f.table.set(l, numbers, false))
		s.rows = append(s.rows, f.row(n, i, &kit{}))
	}
	if len(s.open) == 0 {
		return nil
	}
	_ = f.readRows(all, func(b *measure.Batch) func(*measure.Kit) { // what is wrong with the rows is told where they are judged
		s.options = f.options(b)
		s.options.Brief = true // for a plan a row
		return func(k *measure.Kit) { s.kit = k }
	})
	if s.kit == nil || len(s.kit.Readings) != len(all) {
		return nil
	}
	return s
}

// tellsMost finds and names the reading that is missed most when all the others are there, and the characteristic for
// which it is: what is wanted of the kit counts more than the rest, and what cannot be had at all without
// the reading more than what is only less certain.
func (s *sheetOf) tellsMost() (row int, said string) {
	const lost, wanted = 10, 4 // how much more they weigh
	whole, most := fit.Plan(s.kit.Readings, s.kit.Info, s.options).Characteristics, 0.0
	for _, n := range s.open {
		fewer := fit.Plan(slices.Delete(slices.Clone(s.kit.Readings), n, n+1), s.kit.Info, s.options).Characteristics
		weight, heaviest, rests := 0.0, 0.0, fit.ID(0)
		for i := range whole {
			p := &whole[i]
			one := 0.0
			switch {
			case !p.Missing.None() || math.IsInf(p.Lower, -1) && math.IsInf(p.Upper, 1) && !p.Wanted:
			case !fewer[i].Missing.None():
				one = lost
			default:
				one = fewer[i].StdUncertainty/p.StdUncertainty - 1
			}
			if p.Wanted {
				one *= wanted
			}
			if weight += one; one > heaviest {
				heaviest, rests = one, p.ID
			}
		}
		if weight > most {
			most, row, said = weight, n, words.TellsMost(s.rows[n].Label, s.rows[n].Where, rests)
		}
	}
	return row, said
}
