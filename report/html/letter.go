package html

import (
	"io"

	"neckfit/fit/delivery"
	"neckfit/report/words"
)

// Letters writes a draft to each lot's supplier as a page, a sheet of paper each, whose text can be changed before it
// is printed; gauges are those that the kits were read with, in words.
func Letters(w io.Writer, r *delivery.Report, gauges []string) error {
	p := &struct {
		shell
		Letters []*words.Letter
	}{shell: newShell(words.LettersTitle, "")}
	for _, l := range r.Lots {
		p.Letters = append(p.Letters, words.LetterTo(l, gauges))
	}
	return templates.ExecuteTemplate(w, "letters", p)
}
