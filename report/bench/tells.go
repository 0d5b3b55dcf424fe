package bench

import (
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/words"
)

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
