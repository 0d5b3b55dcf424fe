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
		x, y := screwAt(n)
		d.Circle(pt((mouthAt+pocketEndAt)/2+x, y), 1.2, wood)
	}
	d.Text(pt(saddlesAt-6.5, row(1, p.Strings, plateHalf-7)), "string 1", small)
	d.Text(pt(screwsAt+4.6, row(1, p.BridgeScrews, plateHalf-5)), "screw 1", small)
	d.Text(pt(5, -bodyHalf+4), "bass", small)
	d.Text(pt(5, bodyHalf-4), "treble", small)
	p.straightedges(d, tasks)
	return d
}

// screwAt is where neck screw n lies in the pocket, from its middle: two columns, from the treble side.
func screwAt(n int) (x, y float64) {
	return []float64{-9, 9}[(n-1)/2%2] + float64((n-1)/4)*2, []float64{8, -8}[(n-1)%2]
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

// place is where a task is done in the picture; span is half of a width, 0 for all else.
func (p Paper) place(t Task) (at draw.Point, span float64) {
	switch t.Feature.Part() {
	case measure.NeckPart:
		at, span = p.onNeck(t)
	case measure.BodyPart:
		at, span = p.onBody(t)
	case measure.BridgePart:
		at = p.onBridge(t)
	case measure.NoPart:
	}
	if at.X == 0 {
		panic("sheet: no place in the picture for " + t.Feature.String())
	}
	return at, span
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

// onNeck is place for the neck's features.
func (p Paper) onNeck(t Task) (at draw.Point, span float64) {
	n, side := t.number(), t.side()
	along := nutAt + (lastFretAt-nutAt)*map[words.Where]float64{words.ThirdAlong: 1. / 3, words.TwoThirdsAlong: 2. / 3, words.AtLastFret: 1}[t.Where]
	heel := t.between(heelFrom, heelTo)
	switch t.Feature {
	case measure.EdgeBass:
		at = draw.Point{X: along, Y: -boardEdge(along)}
	case measure.EdgeTreble:
		at = draw.Point{X: along, Y: boardEdge(along)}
	case measure.Fingerboard:
		at, span = draw.Point{X: along - 2, Y: boardEdge(along) / 2}, boardEdge(along-2)
	case measure.Nut:
		at = draw.Point{X: nutAt, Y: side * nutHalf}
	case measure.NutSlot:
		at = draw.Point{X: nutAt, Y: row(n, p.Strings, nutHalf-3)}
	case measure.Fret:
		at = draw.Point{X: p.fret(n), Y: side * boardEdge(p.fret(n))}
	case measure.FretTop:
		at = draw.Point{X: p.fret(n), Y: side * (boardEdge(p.fret(n)) - 3)}
	case measure.Heel:
		at, span = draw.Point{X: heel, Y: 5}, heelHalf
	case measure.HeelBass:
		at = draw.Point{X: heel, Y: -heelHalf}
	case measure.HeelTreble:
		at = draw.Point{X: heel, Y: heelHalf}
	case measure.HeelEnd:
		at = draw.Point{X: heelTo, Y: side * heelHalf * 0.55}
	case measure.HeelCorner:
		at = draw.Point{X: heelTo, Y: side * heelHalf}
	case measure.HeelScrew:
		x, y := screwAt(n)
		at = draw.Point{X: (heelFrom+heelTo)/2 + x, Y: y}
	}
	return at, span
}

// onBody is place for the body's features.
func (p Paper) onBody(t Task) (at draw.Point, span float64) {
	side, along := t.side(), t.between(mouthAt, pocketEndAt)
	switch t.Feature {
	case measure.Pocket:
		at, span = draw.Point{X: along, Y: 5}, pocketHalf
	case measure.PocketBass:
		at = draw.Point{X: along, Y: -pocketHalf}
	case measure.PocketTreble:
		at = draw.Point{X: along, Y: pocketHalf}
	case measure.PocketEnd:
		at = draw.Point{X: pocketEndAt, Y: side * pocketHalf * 0.55}
	case measure.PocketCorner:
		at = draw.Point{X: pocketEndAt, Y: side * pocketHalf}
	case measure.NeckScrew:
		x, y := screwAt(t.number())
		at = draw.Point{X: (mouthAt+pocketEndAt)/2 + x, Y: y}
	case measure.PocketFloor:
		at = onFloor(t.Where, pocketHalf-4)
	case measure.Top:
		at = onFloor(t.Where, pocketHalf+8)
	case measure.BridgeScrew:
		at = draw.Point{X: screwsAt, Y: row(t.number(), p.BridgeScrews, plateHalf-3)}
	case measure.StringHole, measure.Ferrule:
		at = draw.Point{X: stringHolesAt, Y: row(t.number(), p.Strings, plateHalf-7)}
	case measure.Pickup:
		at = draw.Point{X: plateFrom - 7, Y: side * (plateHalf - 7)}
	case measure.BodyCentre:
		at.X = map[words.Where]float64{words.BehindPocket: pocketEndAt + 4, words.BeforeBridge: plateFrom - 3, words.AtTail: plateTo + 5}[t.Where]
	}
	return at, span
}

// onBridge is place for the bridge's features.
func (p Paper) onBridge(t Task) (at draw.Point) {
	at.Y = row(t.number(), p.Strings, plateHalf-7)
	switch t.Feature {
	case measure.PlateScrew:
		return draw.Point{X: screwsAt, Y: row(t.number(), p.BridgeScrews, plateHalf-3)}
	case measure.PlateHole:
		at.X = stringHolesAt
	case measure.Saddle, measure.SaddleLow, measure.SaddleHigh:
		at.X = saddlesAt
	case measure.SaddleFront:
		at.X = saddlesAt - 5
	case measure.SaddleBack:
		at.X = saddlesAt + 5
	}
	return at
}

// onFloor is a place of the pocket's floor, or of the top beside and behind it.
func onFloor(w words.Where, half float64) draw.Point {
	const inset = 5.0
	switch w {
	case words.MouthBass, words.BesideMouthBass:
		return draw.Point{X: mouthAt + inset, Y: -half}
	case words.MouthTreble, words.BesideMouthTreble:
		return draw.Point{X: mouthAt + inset, Y: half}
	case words.EndBass:
		return draw.Point{X: pocketEndAt - inset, Y: -half}
	case words.EndTreble:
		return draw.Point{X: pocketEndAt - inset, Y: half}
	case words.BehindEndBass:
		return draw.Point{X: pocketEndAt + inset, Y: -half / 2}
	case words.BehindEndTreble:
		return draw.Point{X: pocketEndAt + inset, Y: half / 2}
	}
	return draw.Point{X: (mouthAt + pocketEndAt) / 2}
}
