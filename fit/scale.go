package fit

import (
	"math"
	"slices"

	"neckfit/fit/survey"
	"neckfit/measure"
)

// scaleSlack is how far a scale length may be from the nominal one of kits.csv before the bridge
// would have to stand elsewhere: common practice, no source.
const scaleSlack = 1.0 // mm

// scaleLength is L of station(n) = s0 + L (1 - 2^(-n/12)) along the centre line, by least squares
// over all frets read and the nut.
func (a *assembly) scaleLength() finding {
	_, scale, lack := a.nut()
	if !lack.None() {
		return missing(lack)
	}
	f := found(scale)
	nominal := a.Kit.Info.Scale
	if a.Fan.Difference != 0 {
		nominal = (a.Kit.Info.ScaleBass + a.Kit.Info.ScaleTreble) / 2
	}
	if nominal > 0 {
		f.bound = &bound{nominal - scaleSlack, nominal + scaleSlack, LimitSource{Origin: ByScale, Slack: scaleSlack}}
	}
	return f
}

// fretError is how far the fret that is farthest from that law stands from it, positive toward the tail. Frets are read
// oftener to be surer of each: what they leave the law by is theirs.
func (a *assembly) fretError() finding {
	needed := Missing{Want: WantFrets}
	if lack := a.fanless(); !lack.None() {
		return missing(lack)
	}
	b := a.Boards.Get(a.neck.frame)
	if b == nil || len(b.Frets) < 4 {
		return missing(needed)
	}
	list := a.deviations(a.rowsByPlace(func(r *measure.Reading) bool {
		return r.Feature == measure.Fret && survey.Frame(r.Datum) == a.neck.frame
	}))
	if len(list) == 0 {
		return missing(needed)
	}
	// Frets are a sample; those are missing that something else was read at.
	var read, told Marks
	frets := 0
	for _, n := range b.Frets {
		if n > 0 {
			frets++
		}
		read.add(n)
	}
	for i := range a.Kit.Readings {
		if r := &a.Kit.Readings[i]; r.Feature == measure.FretTop && survey.Frame(r.Datum) == a.neck.frame {
			told.add(r.Mark.Number)
		}
	}
	if needed.Marks = told.without(read); needed.Marks != (Marks{}) {
		return missing(needed)
	}
	at, _, _ := worstOf(list)
	return finding{form: list, basis: Basis{Kind: AtFret, Mark: list[at].reading.Mark.Number, Read: frets, All: a.Kit.Info.Frets}}
}

// uselessBow is an uncertainty beyond which the readings do not tell a bow: those at two places
// only, not quite square across, fix it in the last digits.
const uselessBow = 5.0 // mm, more than any neck has

// sideBow is the sagitta of a parabola common to the fingerboard's two edges, over the length that was read, positive
// when the middle bows toward treble.
func (a *assembly) sideBow() finding {
	b := a.Bows.Get(a.neck.frame)
	if b == nil {
		return missing(Missing{Want: WantBow})
	}
	f := found(a.x(b.Unknown))
	if a.frozen {
		return f
	}
	f.known = a.uncertainty(f.value)
	if f.known.Std > uselessBow {
		return missing(Missing{Want: WantBow})
	}
	f.basis = Basis{Kind: BowOver, Length: b.High - b.Low, Ratio: math.Abs(f.value.Value) / f.known.Std}
	return f
}

// nutError is how far the nut lies from where the law of the frets has it, positive toward the tail: what all rows but the
// one that holds it to the law say of that. Of a board with a zero fret, that fret is what is read as the nut.
func (a *assembly) nutError() finding {
	if lack := a.fanless(); !lack.None() {
		return missing(lack)
	}
	b := a.Boards.Get(a.neck.frame)
	if b == nil || b.Nut == b.S0 {
		return missing(Missing{Want: WantFrets})
	}
	at := slices.IndexFunc(a.Forms, func(f survey.FormRow) bool { return a.Problem.Rows[f.Row].Terms[0].Unknown == b.Nut })
	if a.frozen || at < 0 {
		return found(a.x(b.Nut).Minus(a.x(b.S0)))
	}
	row := a.Forms[at].Row
	freed, u, ok := a.fit.Without(row)
	if !ok {
		return missing(Missing{Want: WantFrets})
	}
	return finding{direct: a.direct(-freed, &u, row)}
}
