package html

import (
	"io"

	"neckfit/fit/remedy"
	"neckfit/report"
	"neckfit/report/words"
)

// RemedyAfter writes how what was measured after the work agrees with what the plans predicted, kit by kit, and how
// exactly the works were done, as a page. Before and after are the inputs as the user gave them.
func RemedyAfter(w io.Writer, kits []remedy.Worked, before, after string) error {
	p := &afterPage{shell: newShell("After the work: "+words.Amount(len(kits), "kit", "kits"), before+", "+after), Note: words.ReworkedNote, Hint: words.LearntHint, Heading: words.LearntHeading}
	for i := range kits {
		if err := report.Check(kits[i].After); err != nil {
			return err
		}
		said, rows, hidden := report.Compared(&kits[i])
		one := workedKit{Number: i + 1, Name: words.KitName(kits[i].After.Kit, i+1), Verdict: words.Verdict(kits[i].After.Verdict), Said: said, Head: rows[0], Rows: rows[1:]}
		if hidden {
			one.Hidden = words.HiddenSeat
		}
		p.Kits = append(p.Kits, one)
	}
	if list := remedy.Learn(kits); len(list) > 0 {
		p.Learnt = report.Learnt(list)
	}
	return templates.ExecuteTemplate(w, "after", p)
}

// afterPage is what the template after takes.
type afterPage struct {
	shell
	Kits                []workedKit
	Learnt              [][]string // under its headings
	Note, Hint, Heading string
}

// workedKit is a kit that was worked on.
type workedKit struct {
	Number                      int
	Name, Verdict, Said, Hidden string
	Head                        []string
	Rows                        [][]string
}
