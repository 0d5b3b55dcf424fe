package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// leaf is the step of a feeler gauge's leaves, in which a heel is set: common practice, no source.
const leaf = 0.05 // mm

// seats are the places, from the middle of a gap toward treble, that are tried: the middle, both
// walls and half way to them, in whole leaves. The second result is how many there are.
func seats(gap float64) ([5]float64, int) {
	half := wholeLeaf(math.Floor(gap/2/leaf+leafSlack) * leaf)
	quarter := wholeLeaf(math.Floor(half/2/leaf+leafSlack) * leaf)
	switch {
	case !(half > 0):
		return [5]float64{}, 1
	case quarter == 0:
		return [5]float64{0, -half, half}, 3
	}
	return [5]float64{0, -quarter, quarter, -half, half}, 5
}

// wholeLeaf is the multiple of a leaf nearest to x, as near as decimals can write it.
func wholeLeaf(x float64) float64 { return math.Round(x/leaf)/(1/leaf) + 0 } // + 0 turns -0 into 0

// leafSlack keeps a whole number of leaves whole: it is far above the rounding of a division.
const leafSlack = 1e-9

// reseat is a treatment with the heel set at a place of its own.
func (k *kit) reseat(g group, s spot) *draft {
	base := &draft{}
	if g != (group{}) {
		base = k.treat(g, s.mouth, s.end)
		base.noise = base.noise[:len(base.noise)-2] // the heel is set once, below
	}
	d := base.with(Action{Work: measure.Reseat, Mouth: s.u, End: s.v})
	k.place(d, s.u, s.v)
	return d
}

// swing is the range of the centre-line error over the play that remains: the worst case if the
// heel slips. Nil where play or error are not known, or the heel does not go in.
func (k *kit) swing(d *draft) *fit.Swing {
	r := k.row(fit.CentreLineError)
	if k.play == nil || r == nil {
		return nil
	}
	after := k.after(d)
	low := k.value(r, d)
	high := low
	longer := d.moves[fit.BridgeAlong] / k.play.Length // a bridge farther off swings farther
	for i, by := range [2]float64{r.by[fit.HeelMouth] + longer, r.by[fit.HeelEnd] - longer} {
		if after.Bass[i]+after.Treble[i] < 0 {
			return nil
		}
		a, b := -after.Bass[i]*by, after.Treble[i]*by
		low += min(a, b)
		high += max(a, b)
	}
	return &fit.Swing{Low: low, High: high}
}

// after is the play beside each wall with the heel where the draft puts it.
func (k *kit) after(d *draft) After {
	var a After
	for i, m := range []fit.Move{fit.HeelMouth, fit.HeelEnd} {
		a.Bass[i] = k.play.Bass[i] - d.walls.Bass[i] + d.moves[m]
		a.Treble[i] = k.play.Treble[i] - d.walls.Treble[i] - d.moves[m]
	}
	return a
}
