package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// leaf is the step of a feeler gauge's leaves, in which a heel is set: common practice, no source.
const leaf = 0.05 // mm

// seats are the places, from the middle of a gap toward treble, that are tried: the middle, both
// walls and half way to them, in whole leaves.
func seats(gap float64) []float64 {
	half := math.Floor(gap/2/leaf+leafSlack) * leaf
	quarter := math.Floor(half/2/leaf+leafSlack) * leaf
	switch {
	case !(half > 0):
		return []float64{0}
	case quarter == 0:
		return []float64{0, -half, half}
	}
	return []float64{0, -quarter, quarter, -half, half}
}

// leafSlack keeps a whole number of leaves whole: it is far above the rounding of a division.
const leafSlack = 1e-9

// reseat is the treatment with the heel set at its best place, judged by the rows that count; nil
// where that is the middle of what was treated anyhow, or where there is no play.
func (k *kit) reseat(g group, mouth, end ends, counts func(*row) bool) (*draft, float64) {
	plain := k.treat(g, mouth, end)
	gap := k.left(plain)
	if gap[0] < leaf && gap[1] < leaf {
		return nil, 0
	}
	base := plain
	if g != (group{}) {
		base = k.unplaced(g, mouth, end)
	}
	var best *draft
	high := math.Inf(-1)
	for _, u := range seats(gap[0]) {
		for _, v := range seats(gap[1]) {
			if g != (group{}) && u == 0 && v == 0 {
				continue
			}
			d := base.with(Action{Work: measure.Reseat, Mouth: u, End: v})
			k.place(d, u, v)
			if s := k.score(d, counts); s > high {
				best, high = d, s
			}
		}
	}
	return best, high
}

// unplaced is the treatment before the heel goes back.
func (k *kit) unplaced(g group, mouth, end ends) *draft {
	d := k.treat(g, mouth, end)
	d.noise = d.noise[:len(d.noise)-2] // place added two
	return d
}

// swing is the range of the centre-line error over the play that remains: the worst case if the
// heel slips. Nil where play or error are not known, or the heel does not go in.
func (k *kit) swing(d *draft) *fit.Swing {
	r := k.row("centre-line-error")
	if k.play == nil || r == nil {
		return nil
	}
	after := k.after(d)
	low := k.value(r, d)
	high := low
	for i, m := range []fit.Move{fit.HeelMouth, fit.HeelEnd} {
		if after.Bass[i]+after.Treble[i] < 0 {
			return nil
		}
		a, b := -after.Bass[i]*r.by[m], after.Treble[i]*r.by[m]
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
