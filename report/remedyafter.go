package report

import (
	"fmt"
	"io"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report/words"
)

// Reworked is a kit before the work, the plan that was to be carried out, and the kit afterwards.
type Reworked struct {
	Before, After *fit.Result
	Plan          *remedy.Plan
}

// RemedyAfter writes, kit by kit, how what was measured after the work agrees with what the plan
// predicted. Text, at most 100 words.Columns.
func RemedyAfter(w io.Writer, kits []Reworked) error {
	s := &sheet{}
	for i := range kits {
		if i > 0 {
			s.section("")
		}
		if err := Check(kits[i].After); err != nil {
			return err
		}
		s.reworked(&kits[i])
	}
	s.section("")
	s.add("", "± U is the expanded uncertainty for 95 % (k = 1.96). En is the difference over both expanded uncertainties "+
		"together; at most 1 either way where work, plan and readings agree (ISO/IEC 17043).")
	return writeLines(w, s.lines)
}

func (s *sheet) reworked(k *Reworked) {
	list, hidden := remedy.Compare(k.Before, k.Plan, k.After)
	off := 0
	for _, c := range list {
		if !c.Agrees {
			off++
		}
	}
	s.add("", fmt.Sprintf("%s: was %s, is now %s; %d of %d characteristics agree with the plan (%s), which gave it %s.", words.Harmless(k.After.Kit),
		words.Verdict(k.Before.Verdict), words.Verdict(k.After.Verdict), len(list)-off, len(list), words.Plan(k.Plan), words.Percent(k.Plan.Curable)))
	if hidden {
		s.add("  ", words.HiddenSeat)
	}
	s.lines = append(s.lines, "", "  "+words.Pad("characteristic", 27)+words.PadLeft("before", 9)+"   "+words.Pad("planned ± U", 20)+words.Pad("measured ± U", 20)+words.PadLeft("En", 6))
	for i := range list {
		c := &list[i]
		if !c.Changed && c.Agrees {
			continue
		}
		before, _ := words.Rounded(c.Before, c.Measured.StdUncertainty)
		mark := ""
		if !c.Agrees {
			mark = "  off plan"
		}
		s.lines = append(s.lines, words.Clip("  "+words.Pad(c.ID.String(), 27)+words.PadLeft(before, 9)+"   "+words.Pad(words.Value(&c.Predicted), 20)+words.Pad(words.Value(&c.Measured), 20)+words.PadLeft(words.Fixed(c.En, 1), 6)+mark, words.Columns))
	}
}
