package remedy

import (
	"math"

	"neckfit/fit"
)

// lens looks at some rows of a draft while its moves are varied. The standard deviations are those
// of the draft that it was made for: they do not depend on the moves but for the holes' mismatches,
// and there weakly. So a lens only searches; what it finds is scored by kit.score.
type lens struct {
	kit  *kit
	rows []*row
	std  []float64
	high []float64
	base float64 // of the holes drilled anew, which no move changes
}

func (k *kit) look(d *draft, counts func(*row) bool) *lens {
	l := &lens{kit: k}
	for i := range k.rows {
		r := &k.rows[i]
		switch {
		case !r.judged || !counts(r):
		case d.fresh(r.sort):
			l.base += k.rowScore(r, d)
		default:
			l.rows = append(l.rows, r)
			l.std = append(l.std, math.Sqrt(k.variance(r, d)))
			l.high = append(l.high, d.upper(r))
		}
	}
	return l
}

// score is kit.score for the rows of the lens. No row adds to it, so that it may stop once it is
// below what is worth knowing.
func (l *lens) score(d *draft, floor float64) float64 {
	sum := l.base
	for i, r := range l.rows {
		sum += logInside(l.kit.value(r, d), l.std[i], r.lower, l.high[i])
		if sum < floor {
			break
		}
	}
	return sum
}

// offCentre is a slight pull toward the middle of two-sided limits and of the saddles' travel: a
// thousandth of a nat for a whole half-width. Where everything passes anyhow it decides.
func (l *lens) offCentre(d *draft) float64 {
	const pull = 1e-3
	sum := 0.0
	for i, r := range l.rows {
		if r.sort == bridgeHoles {
			continue
		}
		v := l.kit.value(r, d)
		switch low, high := !math.IsInf(r.lower, -1), !math.IsInf(l.high[i], 1); {
		case low && high:
			half := (l.high[i] - r.lower) / 2
			off := (v - r.lower - half) / half
			sum += pull * off * off
		case low: // a reserve: the other end's grows as this one shrinks
			sum += pull * math.Exp(-min(v-r.lower, mostExp))
		case high:
			sum += pull * math.Exp(-min(l.high[i]-v, mostExp))
		}
	}
	return sum
}

// mostExp keeps an exponential away from underflow, where it would slow down the processor.
const mostExp = 100

// within is the most that the centre-line error's row can score while the heel moves in these gaps.
func (l *lens) within(d *draft, gap [2]float64) float64 {
	for i, r := range l.rows {
		if l.kit.result.Characteristics[r.index].ID != fit.CentreLineError {
			continue
		}
		y := l.kit.value(r, d)
		free := math.Abs(r.by[fit.HeelMouth])*gap[0]/2 + math.Abs(r.by[fit.HeelEnd])*gap[1]/2
		aim := (r.lower + l.high[i]) / 2
		if math.IsInf(aim, 0) || math.IsNaN(aim) {
			return 0
		}
		return logInside(y+max(-free, min(free, aim-y)), l.std[i], r.lower, l.high[i])
	}
	return 0
}
