package remedy

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// checked surveys an instrument as loose parts without errors and judges it.
func checked(in simulate.Instrument, o fit.Options) *fit.Result {
	o.Model, o.Compensation = true, in.Compensation
	return fit.Check(in.Kit("K", simulate.LooseParts(in, rand.New(rand.NewPCG(1, 1)), simulate.Setup{Exact: true})), o)
}

// wide is a bass whose pocket has its treble wall 0.8 mm too far out, cut parallel. The bridge and
// the neck's screw holes are where they would be right with a wall as it should be.
func wide() simulate.Instrument {
	in := simulate.ShortScaleBass()
	in.PocketMouth += 0.8
	in.PocketEnd += 0.8
	in.CentreLineError = -0.4 // the neck's seat moved 0.4 mm toward treble with the pocket's middle
	in.HeelScrewErrors = map[int]simulate.Point{}
	for k := range in.NeckScrews {
		in.HeelScrewErrors[k+1] = simulate.Point{Offset: 0.4}
	}
	return in
}

// Worked by hand: heel 63.5 mm, pocket 63.7 + 0.8 = 64.5 mm, so the gap is 1.0 mm at mouth and end
// and may be 0.05 to 0.50. A treble shim must be 0.50 to 0.95 mm thick; in stock are 0.5, 0.6,
// 1/32 in = 0.794 and 1.0 mm. 1/32 in leaves 1.0 - 0.794 = 0.206 mm, the most even of them within
// the limits, and puts the heel's middle 0.397 mm toward bass, so that the neck's centre line comes
// back to within 0.4 - 0.397 = 0.003 mm of where it was meant to be.
func TestVeneerOfAThirtySecondForAPocketTooWide(t *testing.T) {
	r := checked(wide(), fit.Options{})
	p := For(r, Options{}).Plans[0]
	if len(p.Actions) != 1 || p.Actions[0].Work != measure.SideShim || p.Actions[0].Wall != Treble {
		t.Fatalf("recommended: %v", p.Actions)
	}
	a := p.Actions[0]
	const veneer = 25.4 / 32
	if a.Mouth != veneer || a.End != veneer || !strings.Contains(a.Name, "1/32") {
		t.Errorf("thickness %.3f and %.3f, %q", a.Mouth, a.End, a.Name)
	}
	by := map[string]float64{"pocket-gap-mouth": 1 - veneer, "pocket-gap-end": 1 - veneer, "centre-line-error": -0.4 + veneer/2}
	for _, q := range p.Predicted {
		// the survey's own rounding and the small turn between heel and pocket
		if want, ok := by[r.Characteristics[q.Index].ID.String()]; ok && math.Abs(q.Value-want) > 1e-3 {
			t.Errorf("%s: %.4f, by hand %.4f", r.Characteristics[q.Index].ID, q.Value, want)
		}
	}
	if math.Abs(p.After.Bass[0]-(1-veneer)/2) > 1e-3 || math.Abs(p.After.Treble[1]-(1-veneer)/2) > 1e-3 {
		t.Errorf("play %v", p.After)
	}
}

// The swing that a plan states against what simulate finds by laying the heel everywhere in the pocket that the plan
// leaves, wherever its screws go into the body's holes: none goes beyond, and a grid's nearest place reaches the ends.
func TestSwingAgainstEveryPlace(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 28))
	compared, byScrews := 0, 0
	for range 12 {
		in := misfit(rng)
		in.FretErrors, in.HeelHeading, in.HeelSideways = nil, 0, 0
		r := checked(in, fit.Options{})
		for i, p := range For(r, Options{}).Plans {
			if p.Swing == nil || p.Level == Returned || i > 3 {
				continue
			}
			done, room := carryOut(in, &p, nil), (in.NeckScrewSize-r.Info.NeckScrew)/2
			for _, q := range p.Predicted {
				if c := &r.Characteristics[q.Index]; c.ID == fit.NeckScrewMismatch && c.Upper < 5 {
					room += q.Upper - c.Upper
				}
			}
			low, high, within := everyPlace(done, &p, room)
			if math.IsInf(low, 1) { // the screws go in nowhere: the pocket's play is stated
				continue
			}
			compared++
			if p.Swing.ByScrews {
				byScrews++
			}
			const loose = 0.04 // second order in the heel's turn, and the corner on which it slides home
			if low < p.Swing.Low-loose || high > p.Swing.High+loose || low > p.Swing.Low+within || high < p.Swing.High-within {
				t.Errorf("%v: stated %.3f to %.3f, found %.3f to %.3f", p.Actions, p.Swing.Low, p.Swing.High, low, high)
			}
		}
	}
	if compared < 20 || byScrews < 5 {
		t.Errorf("only %d plans compared, %d of them held by screws", compared, byScrews)
	}
}

// everyPlace is the range of the centre-line error on a grid of places, and how far the grid may fall short of it.
func everyPlace(w *simulate.Workshop, p *Plan, room float64) (low, high, within float64) {
	const steps, slides, slide = 12, 8, 0.1
	low, high = math.Inf(1), math.Inf(-1)
	play := [2]float64{p.After.Bass[0] + p.After.Treble[0], p.After.Bass[1] + p.After.Treble[1]}
	for i := range steps + 1 {
		for j := range steps + 1 {
			for back := range slides {
				t := w.Lying(float64(i)/steps*play[0]-p.After.Bass[0], float64(j)/steps*play[1]-p.After.Bass[1], slide*float64(back))
				if t.NeckScrewMismatch <= room {
					low, high = min(low, t.CentreLineError), max(high, t.CentreLineError)
				}
			}
		}
	}
	// a step of the grid at mouth and end, times how far each moves the bridge (some 4 and 5 times), and what a slide leaves out
	return low, high, (4*play[0]+5*play[1])/steps + 0.25
}
