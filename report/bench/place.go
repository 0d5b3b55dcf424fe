package bench

import (
	"math"
	"strconv"
	"strings"

	"neckfit/measure"
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

func placeOf(d measure.Datum, f measure.Feature, mark, where string) Place {
	p := Place{X: along(f, mark, where)}
	p.Y, p.End = across(d, f, mark, where)
	switch d {
	case measure.DatumEdgeBass:
		p.Edge = "bass"
	case measure.DatumEdgeTreble:
		p.Edge = "treble"
	}
	return p
}

func along(f measure.Feature, mark, where string) float64 {
	switch f {
	case measure.Nut, measure.NutSlot:
		return nutX
	case measure.Fret, measure.FretTop:
		return fretX(mark)
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

// fretX places a fret by the law of frets: each a twelfth root of two nearer to the bridge.
func fretX(mark string) float64 {
	n, err := strconv.Atoi(mark)
	if err != nil {
		n = lastFret
	}
	left := func(n float64) float64 { return 1 - math.Exp2(-n/12) }
	return nutX + (lastFretX-nutX)*left(float64(n))/left(lastFret)
}

// edgeY is where the fingerboard's bass edge runs, which widens toward the body.
func edgeY(x float64) float64 {
	const atNut, atLastFret = 125, 109
	return atNut + (atLastFret-atNut)*(x-nutX)/(lastFretX-nutX)
}

func across(d measure.Datum, f measure.Feature, mark, where string) (y, end float64) {
	if f == measure.Nut || f == measure.Fret {
		if d == measure.DatumEdgeBass {
			y = edgeY(along(f, mark, where))
			return y, y
		}
		if d == measure.DatumEdgeTreble {
			y = bassY + trebleY - edgeY(along(f, mark, where))
			return y, y
		}
	}
	switch f {
	case measure.Heel:
		return bassY + heelInset, trebleY - heelInset
	case measure.Pocket:
		return bassY, trebleY
	case measure.Fingerboard:
		y = edgeY(along(f, mark, where))
		return y, bassY + trebleY - y
	case measure.EdgeBass:
		y = edgeY(along(f, mark, where))
		return y, y
	case measure.EdgeTreble:
		y = bassY + trebleY - edgeY(along(f, mark, where))
		return y, y
	case measure.HeelBass, measure.PocketBass:
		return bassY, bassY
	case measure.HeelTreble, measure.PocketTreble:
		return trebleY, trebleY
	}
	// A hole or a string of a high number lies on the bass side; from an edge, on that edge's.
	n, err := strconv.Atoi(mark)
	bass, treble := strings.Contains(where, "bass") || mark == "bass", strings.Contains(where, "treble") || mark == "treble"
	if !bass && !treble {
		bass, treble = d == measure.DatumEdgeBass, d == measure.DatumEdgeTreble
	}
	switch {
	case bass && f != measure.Saddle && f != measure.NutSlot:
		return bassY + besideY/2, bassY + besideY/2
	case treble && f != measure.Saddle && f != measure.NutSlot:
		return trebleY - besideY/2, trebleY - besideY/2
	case err == nil && f != measure.Fret && f != measure.FretTop:
		y = trebleY - besideY - float64((n-1)%5)*13
		return y, y
	}
	return middleY, middleY
}
