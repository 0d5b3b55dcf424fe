package remedy

import (
	"math"
	"slices"

	"neckfit/measure"
)

// kindOf is an action without its sizes.
type kindOf struct {
	work measure.Work
	wall Wall
}

// kinds are the actions of a draft without their sizes.
func (d *draft) kinds() []kindOf {
	var list []kindOf
	for _, a := range d.actions {
		list = append(list, kindOf{a.Work, a.Wall})
	}
	return list
}

// simplest leaves out what only adds actions: a draft that has all the kinds of another and is not
// likelier by a hundredth. Of the same kinds the likelier stays.
func simplest(list []scored) []scored {
	const worth = 0.01
	kinds := make([][]kindOf, len(list))
	chance := make([]float64, len(list))
	for i, s := range list {
		kinds[i], chance[i] = s.kinds(), math.Exp(s.score)
	}
	beaten := func(i int) bool {
		for j := range list {
			if j == i || len(kinds[j]) > len(kinds[i]) || !within(kinds[j], kinds[i]) {
				continue
			}
			if len(kinds[j]) < len(kinds[i]) && chance[i] < chance[j]+worth && list[i].score < list[j].score+1 {
				return true
			}
			if len(kinds[j]) == len(kinds[i]) && (list[i].score < list[j].score || list[i].score == list[j].score && j < i) {
				return true
			}
		}
		return false
	}
	var out []scored
	for i, s := range list {
		if !beaten(i) {
			out = append(out, s)
		}
	}
	return out
}

// within tells whether a list has all the kinds of another.
func within(few, many []kindOf) bool {
	for _, k := range few {
		if !slices.Contains(many, k) {
			return false
		}
	}
	return true
}
