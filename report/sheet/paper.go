package sheet

import (
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"neckfit/measure"
	"neckfit/report/draw"
	"neckfit/report/words"
)

// Paper is a measuring sheet to print.
type Paper struct {
	Way  string
	Kits []string
	Left bool // left-handed: drawn mirrored
	Size draw.Paper
	Instrument
}

// PDF writes a sheet a kit, of as many pages as its readings take, and labels to cut out and stick on
// the parts.
func (p Paper) PDF(w io.Writer) error {
	var pages [][]Task
	most := draw.RowsPerPage(p.Size)
	for _, group := range byDatum(onPaper(Plan(p.Way, p.Instrument))) {
		if n := len(pages); n > 0 && len(pages[n-1])+len(group) <= most {
			pages[n-1] = append(pages[n-1], group...)
			continue
		}
		for len(group) > most {
			pages, group = append(pages, group[:most]), group[most:]
		}
		pages = append(pages, group)
	}
	var forms []draw.Form
	var labels []draw.Label
	for _, kit := range p.Kits {
		for i, tasks := range pages {
			forms = append(forms, p.form(kit, tasks, words.SheetTitle(p.Way, i+1, len(pages))))
		}
		for _, part := range []measure.Part{measure.NeckPart, measure.BodyPart, measure.BridgePart} {
			labels = append(labels, draw.Label{Big: kit, Small: part.String(), Line: words.LabelLine})
		}
	}
	return draw.Forms(w, p.Size, "Measuring sheets", forms, labels)
}

// onPaper leaves out the repeats that have room in the boxes of the first reading's row.
func onPaper(tasks []Task) []Task {
	return slices.DeleteFunc(tasks, func(t Task) bool { return t.Trial == 2 || t.Trial == 3 && t.Kind != measure.Point })
}

// form is a page: the picture with this page's numbers, and a row for each.
func (p Paper) form(kit string, tasks []Task, title string) draw.Form {
	picture := p.picture(tasks)
	f := draw.Form{
		Title: title, Subject: kit, Left: p.Left, Picture: picture, Columns: words.SheetColumns,
		Blanks: words.SheetBlanks, Legend: words.SheetLegend(p.Way, p.Left),
	}
	at := map[draw.Point]int{}
	numbers := [][]int{}
	for _, t := range tasks {
		station, offset, size, _ := t.Feature.Needs(t.Kind)
		row := draw.Row{
			Number: t.Number, What: words.ToRead(t.Feature, t.Mark, t.Kind, t.Where, t.Trial, p.times(p.Way, t)), With: words.Tool(t.Datum, t.Feature, t.Kind),
			Boxes: []bool{station == measure.Required, offset == measure.Required && t.Offset == "", size == measure.Required}, Again: 1,
		}
		if t.Kind == measure.Point || p.times(p.Way, t) == 3 {
			row.Again = 2
		}
		f.Rows = append(f.Rows, row)
		spot, span := p.place(t)
		if span > 0 {
			// A width is a line from side to side with its ends marked.
			s := draw.Style{Width: 0.25, Ink: draw.Blue}
			picture.Line(draw.Point{X: spot.X, Y: -span}, draw.Point{X: spot.X, Y: span}, s)
			for _, y := range []float64{-span, span} {
				picture.Line(draw.Point{X: spot.X - 1.2, Y: y}, draw.Point{X: spot.X + 1.2, Y: y}, s)
			}
		}
		if _, ok := at[spot]; !ok {
			at[spot] = len(f.Spots)
			f.Spots, numbers = append(f.Spots, draw.Spot{At: spot}), append(numbers, nil)
		}
		if !slices.Contains(numbers[at[spot]], t.Number) {
			numbers[at[spot]] = append(numbers[at[spot]], t.Number)
		}
	}
	for i := range f.Spots {
		f.Spots[i].Text = ranges(numbers[i])
	}
	return f
}

// ranges writes rising numbers, runs of three and more shortened: "3, 5–7".
func ranges(list []int) string {
	var parts []string
	for i := 0; i < len(list); {
		j := i
		for j+1 < len(list) && list[j+1] == list[j]+1 {
			j++
		}
		if j-i < 2 {
			j = i
		}
		text := strconv.Itoa(list[i])
		if j > i {
			text += "–" + strconv.Itoa(list[j])
		}
		parts = append(parts, text)
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

// The picture, in mm of paper from its top and from the centre line: a neck, a pocket and a bridge as
// nobody builds them, drawn apart and each large enough to show its places.
const (
	nutAt, lastFretAt        = 12.0, 88.0
	nutHalf, boardHalf       = 13.0, 18.0
	heelFrom, heelTo         = 66.0, 96.0
	heelHalf                 = 15.0
	mouthAt, pocketEndAt     = 108.0, 142.0
	pocketHalf               = 16.0
	plateFrom, plateTo       = 156.0, 198.0
	plateHalf                = 25.0
	saddlesAt, stringHolesAt = 168.0, 182.0
	screwsAt                 = 191.0
	bodyHalf                 = 33.0
	datumAt                  = 34.5 // a straightedge beside a part, on the bass side
)

// boardEdge is half the fingerboard's width, and of the straightedge laid along it.
func boardEdge(x float64) float64 {
	return nutHalf + (boardHalf-nutHalf)*(x-nutAt)/(lastFretAt-nutAt)
}

// fret is where a fret lies, by the rule of equal temperament.
func (p Paper) fret(n int) float64 {
	part := func(n int) float64 { return 1 - math.Pow(2, -float64(n)/12) }
	return nutAt + (lastFretAt-nutAt)*part(n)/part(p.Frets)
}

// row is where number n of a row of so many lies across; number 1 is on the treble side.
func row(n, of int, half float64) float64 {
	if of < 2 {
		return 0
	}
	return half - 2*half*float64(n-1)/float64(of-1)
}

// picture draws the parts, and the straightedges that the tasks read from.
func (p Paper) picture(tasks []Task) *draw.Drawing {
	d := &draw.Drawing{}
	wood, thin := draw.Style{Width: 0.3}, draw.Style{Width: 0.15, Ink: draw.MidGrey}
	pt := func(x, y float64) draw.Point { return draw.Point{X: x, Y: y} }
	small := draw.Font{Size: 2.3, Ink: draw.DarkGrey, Anchor: draw.Middle}
	d.Polygon([]draw.Point{pt(nutAt, -nutHalf), pt(lastFretAt+3, -boardEdge(lastFretAt+3)), pt(lastFretAt+3, boardEdge(lastFretAt+3)), pt(nutAt, nutHalf)}, wood)
	d.Polyline([]draw.Point{pt(2, -nutHalf-3), pt(nutAt-3, -nutHalf), pt(nutAt, -nutHalf)}, wood)
	d.Polyline([]draw.Point{pt(2, nutHalf+3), pt(nutAt-3, nutHalf), pt(nutAt, nutHalf)}, wood)
	d.Line(pt(nutAt, -nutHalf), pt(nutAt, nutHalf), draw.Style{Width: 0.8})
	for n := 1; n <= p.Frets; n++ {
		x := p.fret(n)
		d.Line(pt(x, -boardEdge(x)), pt(x, boardEdge(x)), thin)
	}
	d.Polygon([]draw.Point{pt(heelFrom, -heelHalf), pt(heelTo, -heelHalf), pt(heelTo, heelHalf), pt(heelFrom, heelHalf)}, draw.Style{Width: 0.3, Dash: draw.Dashed})
	d.Text(pt(heelTo+3.5, 10), "heel", small)
	d.Polyline([]draw.Point{pt(mouthAt, -bodyHalf), pt(mouthAt, -pocketHalf), pt(pocketEndAt, -pocketHalf), pt(pocketEndAt, pocketHalf), pt(mouthAt, pocketHalf), pt(mouthAt, bodyHalf)}, draw.Style{Width: 0.6})
	d.Text(pt(mouthAt-1.2, 0), "pocket, mouth up", small)
	d.Polygon([]draw.Point{pt(plateFrom, -plateHalf), pt(plateTo, -plateHalf), pt(plateTo, plateHalf), pt(plateFrom, plateHalf)}, wood)
	d.Text(pt(plateTo+3.5, 0), "bridge", small)
	for n := 1; n <= p.Strings; n++ {
		y := row(n, p.Strings, plateHalf-7)
		d.Polygon([]draw.Point{pt(saddlesAt-3, y-2), pt(saddlesAt+3, y-2), pt(saddlesAt+3, y+2), pt(saddlesAt-3, y+2)}, thin)
		d.Circle(pt(stringHolesAt, y), 1, thin)
	}
	for n := 1; n <= p.BridgeScrews; n++ {
		d.Circle(pt(screwsAt, row(n, p.BridgeScrews, plateHalf-3)), 1.2, wood)
	}
	for n := 1; n <= p.NeckScrews; n++ {
		at := screwAt(n)
		d.Circle(pt((mouthAt+pocketEndAt)/2+at.X, at.Y), 1.2, wood)
	}
	d.Text(pt(saddlesAt-6.5, row(1, p.Strings, plateHalf-7)), "string 1", small)
	d.Text(pt(screwsAt+4.6, row(1, p.BridgeScrews, plateHalf-5)), "screw 1", small)
	d.Text(pt(5, -bodyHalf+4), "bass", small)
	d.Text(pt(5, bodyHalf-4), "treble", small)
	p.straightedges(d, tasks)
	return d
}

// screwAt is where neck screw n lies in the pocket, from its middle: two columns, from the treble side.
func screwAt(n int) draw.Point {
	n = max(0, n-1)
	return draw.Point{X: []float64{-9, 9}[n/2%2] + float64(n/4)*2, Y: []float64{8, -8}[n%2]}
}

// straightedges draws those that the tasks read from: along an edge of the fingerboard and out over the
// body, or beside a part.
func (p Paper) straightedges(d *draw.Drawing, tasks []Task) {
	ground := draw.Style{Width: 0.25, Ink: draw.Green, Fill: draw.Hatched}
	seen := map[measure.Datum]bool{}
	for _, t := range tasks {
		if seen[t.Datum] {
			continue
		}
		seen[t.Datum] = true
		side := -1.0
		const thick, from, to = 2.0, 8.0, 204.0
		strip := func(from, to, near, far float64) {
			d.Polygon([]draw.Point{{X: from, Y: near}, {X: to, Y: far}, {X: to, Y: far + side*thick}, {X: from, Y: near + side*thick}}, ground)
		}
		switch t.Datum {
		case measure.DatumEdgeBass:
			strip(from, to, -boardEdge(from), -boardEdge(to))
		case measure.DatumEdgeTreble:
			side = 1
			strip(from, to, boardEdge(from), boardEdge(to))
		case measure.DatumNeck:
			if p.Way == "loose" {
				strip(from, heelTo, -datumAt+thick, -datumAt+thick)
			}
		case measure.DatumBody:
			switch p.Way {
			case "loose":
				strip(mouthAt-2, to, -datumAt+thick, -datumAt+thick)
			case "dry":
				strip(from, to, -datumAt+thick, -datumAt+thick)
			}
		case measure.DatumBridge:
			strip(plateFrom, to, -datumAt+thick, -datumAt+thick)
		case measure.NoDatum:
		}
	}
}

// spot is a place of the picture; span is half of a width, 0 for all else.
type spot struct{ x, y, span float64 }

// place is where a task is done in the picture.
func (p Paper) place(t Task) (at draw.Point, span float64) {
	s := p.onNeck(t)[t.Feature]
	switch t.Feature.Part() {
	case measure.BodyPart:
		s = p.onBody(t)[t.Feature]
	case measure.BridgePart:
		s = p.onBridge(t)[t.Feature]
	}
	if s.x == 0 {
		panic("sheet: no place in the picture for " + t.Feature.String())
	}
	return draw.Point{X: s.x, Y: s.y}, s.span
}

// number is a task's mark where it is one.
func (t Task) number() int {
	n, _ := strconv.Atoi(t.Mark)
	return n
}

// side is 1 for treble, -1 for bass, 0 for neither.
func (t Task) side() float64 {
	switch {
	case t.Mark == "bass" || t.Where == words.BassSide || t.Datum == measure.DatumEdgeBass:
		return -1
	case t.Mark == "treble" || t.Where == words.TrebleSide || t.Datum == measure.DatumEdgeTreble:
		return 1
	}
	return 0
}

// between is a place near the pocket's mouth, halfway or near its end, on the way from one to the other.
func (t Task) between(mouth, end float64) float64 {
	share := 0.5
	switch t.Where {
	case words.NearMouth:
		share = 0.12
	case words.NearEnd:
		share = 0.88
	}
	return mouth + share*(end-mouth)
}

// onNeck are the neck's features.
func (p Paper) onNeck(t Task) map[measure.Feature]spot {
	n, side, heel := t.number(), t.side(), t.between(heelFrom, heelTo)
	along := nutAt + (lastFretAt-nutAt)*map[words.Where]float64{words.ThirdAlong: 1. / 3, words.TwoThirdsAlong: 2. / 3, words.AtLastFret: 1}[t.Where]
	screw := screwAt(n)
	return map[measure.Feature]spot{
		measure.EdgeBass: {x: along, y: -boardEdge(along)}, measure.EdgeTreble: {x: along, y: boardEdge(along)},
		measure.Fingerboard: {along - 2, boardEdge(along) / 2, boardEdge(along - 2)},
		measure.Nut:         {x: nutAt, y: side * nutHalf}, measure.NutSlot: {x: nutAt, y: row(n, p.Strings, nutHalf-3)},
		measure.Fret: {x: p.fret(n), y: side * boardEdge(p.fret(n))}, measure.FretTop: {x: p.fret(n), y: side * (boardEdge(p.fret(n)) - 3)},
		measure.Heel:     {heel, 5, heelHalf},
		measure.HeelBass: {x: heel, y: -heelHalf}, measure.HeelTreble: {x: heel, y: heelHalf},
		measure.HeelEnd: {x: heelTo, y: side * heelHalf * 0.55}, measure.HeelCorner: {x: heelTo, y: side * heelHalf},
		measure.HeelScrew: {x: (heelFrom+heelTo)/2 + screw.X, y: screw.Y},
	}
}

// onBody are the body's features.
func (p Paper) onBody(t Task) map[measure.Feature]spot {
	n, side, along := t.number(), t.side(), t.between(mouthAt, pocketEndAt)
	screw, floor, top := screwAt(n), onFloor(t.Where, pocketHalf-4), onFloor(t.Where, pocketHalf+8)
	ofString := spot{x: stringHolesAt, y: row(n, p.Strings, plateHalf-7)}
	return map[measure.Feature]spot{
		measure.Pocket:     {along, 5, pocketHalf},
		measure.PocketBass: {x: along, y: -pocketHalf}, measure.PocketTreble: {x: along, y: pocketHalf},
		measure.PocketEnd: {x: pocketEndAt, y: side * pocketHalf * 0.55}, measure.PocketCorner: {x: pocketEndAt, y: side * pocketHalf},
		measure.NeckScrew:   {x: (mouthAt+pocketEndAt)/2 + screw.X, y: screw.Y},
		measure.PocketFloor: {x: floor.X, y: floor.Y}, measure.Top: {x: top.X, y: top.Y},
		measure.BridgeScrew: {x: screwsAt, y: row(n, p.BridgeScrews, plateHalf-3)},
		measure.StringHole:  ofString, measure.Ferrule: ofString,
		measure.Pickup:     {x: plateFrom - 7, y: side * (plateHalf - 7)},
		measure.BodyCentre: {x: map[words.Where]float64{words.BehindPocket: pocketEndAt + 4, words.BeforeBridge: plateFrom - 3, words.AtTail: plateTo + 5}[t.Where]},
	}
}

// onBridge are the bridge's features.
func (p Paper) onBridge(t Task) map[measure.Feature]spot {
	n := t.number()
	y := row(n, p.Strings, plateHalf-7)
	return map[measure.Feature]spot{
		measure.PlateScrew: {x: screwsAt, y: row(n, p.BridgeScrews, plateHalf-3)},
		measure.PlateHole:  {x: stringHolesAt, y: y},
		measure.Saddle:     {x: saddlesAt, y: y}, measure.SaddleLow: {x: saddlesAt, y: y}, measure.SaddleHigh: {x: saddlesAt, y: y},
		measure.SaddleFront: {x: saddlesAt - 5, y: y}, measure.SaddleBack: {x: saddlesAt + 5, y: y},
	}
}

// onFloor is a place of the pocket's floor, or of the top beside and behind it.
func onFloor(w words.Where, half float64) draw.Point {
	const mouth, end, behind = mouthAt + 5, pocketEndAt - 5, pocketEndAt + 5
	at, ok := map[words.Where]draw.Point{
		words.MouthBass: {X: mouth, Y: -half}, words.MouthTreble: {X: mouth, Y: half}, words.EndBass: {X: end, Y: -half}, words.EndTreble: {X: end, Y: half},
		words.BesideMouthBass: {X: mouth, Y: -half}, words.BesideMouthTreble: {X: mouth, Y: half},
		words.BehindEndBass: {X: behind, Y: -half / 2}, words.BehindEndTreble: {X: behind, Y: half / 2},
	}[w]
	if !ok {
		at.X = (mouthAt + pocketEndAt) / 2
	}
	return at
}
