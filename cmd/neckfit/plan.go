package main

import (
	"fmt"
	"strconv"
	"strings"

	"neckfit/measure"
)

// instrument is how many there are of what a sheet has rows for.
type instrument struct {
	strings, frets, neckScrews, bridgeScrews int
}

// task is a row of a measuring sheet: a reading that is still to be taken.
type task struct {
	datum   measure.Datum
	feature measure.Feature
	mark    string
	kind    measure.Kind
	offset  string // filled in already where the way of reading fixes it
	where   string // in words
}

// plan is a way of working, row by row.
type plan struct {
	instrument
	datum measure.Datum
	tasks []task
}

// ways are the ways of working, by their names on the command line.
var ways = map[string]func(*plan){"quick": (*plan).quick, "edge": (*plan).edge, "dry": (*plan).dry, "loose": (*plan).loose}

// wayNames has the names in rising order of effort.
var wayNames = []string{"quick", "edge", "dry", "loose"}

// planFor lists all readings of a way of working.
func planFor(way string, in instrument) []task {
	p := &plan{instrument: in}
	ways[way](p)
	return p.tasks
}

// add plans one reading for each place.
func (p *plan) add(f measure.Feature, mark string, k measure.Kind, places ...string) {
	for _, place := range places {
		p.tasks = append(p.tasks, task{datum: p.datum, feature: f, mark: mark, kind: k, where: place})
	}
}

// each plans one reading for each mark from 1.
func (p *plan) each(f measure.Feature, n int, k measure.Kind, place string) {
	for i := 1; i <= n; i++ {
		p.add(f, strconv.Itoa(i), k, place)
	}
}

// Places along and across a pocket.
const (
	mouth, middle, end   = "near the pocket's mouth", "halfway", "near the pocket's end"
	bassSide, trebleSide = "on the bass side", "on the treble side"
)

// loose surveys neck, body and bridge each by itself.
func (p *plan) loose() {
	p.datum = measure.DatumNeck
	p.fingerboard()
	p.add(measure.HeelBass, "", measure.Offset, mouth, middle, end)
	p.add(measure.HeelTreble, "", measure.Offset, mouth, middle, end)
	p.heel()
	p.add(measure.HeelEnd, "", measure.Station, bassSide, trebleSide)
	p.corners(measure.HeelCorner)
	p.bored(measure.HeelScrew, p.neckScrews)
	p.fretTops()

	p.datum = measure.DatumBody
	p.add(measure.PocketBass, "", measure.Offset, mouth, middle, end)
	p.add(measure.PocketTreble, "", measure.Offset, mouth, middle, end)
	p.pocket()
	p.add(measure.PocketEnd, "", measure.Station, bassSide, trebleSide)
	p.corners(measure.PocketCorner)
	p.floor()
	p.bored(measure.NeckScrew, p.neckScrews)
	p.holes()

	p.datum = measure.DatumBridge
	p.each(measure.PlateScrew, p.bridgeScrews, measure.Point, "centre")
	p.each(measure.PlateHole, p.strings, measure.Point, "centre")
	p.saddles()
	p.stems()
}

// dry reads everything from the body's datum with the neck in the pocket.
func (p *plan) dry() {
	p.datum = measure.DatumBody
	p.fingerboard()
	p.heel()
	p.pocket()
	p.add(measure.PocketBass, "", measure.Gap, mouth, end)
	p.add(measure.PocketTreble, "", measure.Gap, mouth, end)
	p.add(measure.PocketEnd, "", measure.Gap, bassSide, trebleSide)
	p.holes()
	p.saddles()
	p.fretTops()
	p.stems()
}

// quick is what tells in a few minutes whether neck and bridge are in line, the pocket fits and the
// scale is right: a straightedge along each edge of the fingerboard, and a calliper.
func (p *plan) quick() {
	p.datum = measure.DatumNeck
	p.heel()
	p.datum = measure.DatumBody
	p.pocket()
	for _, side := range []struct {
		datum measure.Datum
		hole  int
		where string
	}{{measure.DatumEdgeBass, max(1, p.bridgeScrews), "bass-most"}, {measure.DatumEdgeTreble, 1, "treble-most"}} {
		p.datum = side.datum
		p.atEdge(measure.Nut, "")
		p.atEdge(measure.Fret, "12")
		p.add(measure.BridgeScrew, strconv.Itoa(side.hole), measure.Point, "centre of the "+side.where+" hole")
	}
}

// edge looks along each edge of the fingerboard in turn, at the strings and saddles too.
func (p *plan) edge() {
	for _, datum := range []measure.Datum{measure.DatumEdgeBass, measure.DatumEdgeTreble} {
		p.datum = datum
		p.atEdge(measure.Nut, "")
		p.atEdge(measure.Fret, "12")
		if p.frets != 12 {
			p.atEdge(measure.Fret, strconv.Itoa(p.frets))
		}
		for _, s := range p.outerStrings() {
			p.add(measure.NutSlot, s, measure.Point, "centre of the slot")
		}
		for _, s := range p.outerStrings() {
			p.saddle(s)
		}
	}
	p.datum = measure.DatumNeck
	p.heel()
	p.datum = measure.DatumBody
	p.pocket()
}

func (p *plan) outerStrings() []string {
	if p.strings == 1 {
		return []string{"1"}
	}
	return []string{"1", strconv.Itoa(p.strings)}
}

// atEdge plans a station read where the fret meets the straightedge.
func (p *plan) atEdge(f measure.Feature, mark string) {
	p.add(f, mark, measure.Station, "where it meets the straightedge")
	p.tasks[len(p.tasks)-1].offset = "0"
}

func (p *plan) fingerboard() {
	along := []string{"at the nut", "a third along", "two thirds along", "at the last fret"}
	p.add(measure.EdgeBass, "", measure.Offset, along...)
	p.add(measure.EdgeTreble, "", measure.Offset, along...)
	p.add(measure.Fingerboard, "", measure.Width, along[0], along[3])
	p.add(measure.Nut, "", measure.Station, bassSide, trebleSide)
	for _, n := range p.fretsRead() {
		p.add(measure.Fret, strconv.Itoa(n), measure.Station, "on the centre line")
	}
	p.each(measure.NutSlot, p.strings, measure.Point, "centre of the slot")
}

// fretsRead are enough to tell the scale length from a single fret's error.
func (p *plan) fretsRead() []int {
	var read []int
	for _, n := range []int{1, 3, 5, 7, 9, 12, 15, 17} {
		if n < p.frets {
			read = append(read, n)
		}
	}
	return append(read, p.frets)
}

func (p *plan) heel() { p.add(measure.Heel, "", measure.Width, mouth, end) }

func (p *plan) pocket() { p.add(measure.Pocket, "", measure.Width, mouth, end) }

func (p *plan) corners(f measure.Feature) {
	p.add(f, "bass", measure.Radius, "gauge or coin")
	p.add(f, "treble", measure.Radius, "gauge or coin")
}

func (p *plan) bored(f measure.Feature, n int) {
	for i := 1; i <= n; i++ {
		p.add(f, strconv.Itoa(i), measure.Point, "centre")
		p.add(f, strconv.Itoa(i), measure.Diameter, "")
	}
}

func (p *plan) holes() {
	p.each(measure.BridgeScrew, p.bridgeScrews, measure.Point, "centre")
	p.each(measure.StringHole, p.strings, measure.Point, "centre")
}

func (p *plan) saddles() {
	for i := 1; i <= p.strings; i++ {
		p.saddle(strconv.Itoa(i))
	}
}

func (p *plan) saddle(mark string) {
	p.add(measure.Saddle, mark, measure.Point, "where the string lies")
	p.add(measure.SaddleFront, mark, measure.Station, "wound fully forward")
	p.add(measure.SaddleBack, mark, measure.Station, "wound fully back")
}

func (p *plan) fretTops() {
	for _, n := range []int{1, min(12, max(1, p.frets-1)), p.frets} {
		p.add(measure.FretTop, strconv.Itoa(n), measure.Height, bassSide, trebleSide)
	}
}

func (p *plan) floor() {
	p.add(measure.PocketFloor, "", measure.Height, "mouth, bass corner", "mouth, treble corner", "middle", "end, bass corner", "end, treble corner")
	p.add(measure.Top, "", measure.Height, "beside the mouth, bass", "beside the mouth, treble", "behind the end, bass", "behind the end, treble")
}

func (p *plan) stems() {
	for i := 1; i <= p.strings; i++ {
		p.add(measure.SaddleLow, strconv.Itoa(i), measure.Height, "wound fully down")
		p.add(measure.SaddleHigh, strconv.Itoa(i), measure.Height, "wound fully up")
	}
}

// hint tells where the reading is taken and which cells to fill in.
func (t task) hint() string {
	station, offset, size, ok := t.feature.Needs(t.kind)
	if !ok {
		panic(fmt.Sprintf("neckfit: a sheet cannot have %s of %s", t.kind, t.feature))
	}
	var cells []string
	for _, c := range []struct {
		name string
		need measure.Need
	}{{"station", station}, {"offset", offset}, {"size", size}} {
		if c.need == measure.Required {
			cells = append(cells, c.name)
		}
	}
	text := "fill in " + strings.Join(cells, " and ")
	if t.where != "" {
		text = t.where + ": " + text
	}
	return text
}
