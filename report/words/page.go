package words

import (
	"fmt"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
)

// What stands on a page in place of a drawing, and what is said of works that are grouped.
const (
	NoDrawing      = "There is no drawing: it needs the fingerboard's centre line, that is edge-bass and edge-treble at two stations each."
	NotDrawn       = "This kit cannot be drawn: its numbers make no picture. Look at its readings."
	NotAdvised     = "Nothing can be advised for this kit: its numbers make no plan. Look at its readings."
	ReadAgainFirst = "readings that do not agree with the others of their kit; decide these first"
	TooNearToSay   = "kits whose worst characteristic is too near a limit to say"
)

// KitName is a kit's name as a page shows it: never empty.
func KitName(name string, number int) string {
	if name = strings.TrimSpace(Harmless(name)); name == "" {
		return fmt.Sprintf("(kit %d, without a name)", number)
	}
	return name
}

// SignedVerdict is a verdict as a word with a sign that needs no colour.
func SignedVerdict(v fit.Verdict) string {
	sign := "–"
	switch v {
	case fit.Pass:
		sign = "✓"
	case fit.Unsure, fit.TooCoarse, fit.Incomplete, fit.Implausible:
		sign = "?"
	case fit.Fail:
		sign = "✕"
	case fit.NotJudged, fit.NotMeasured:
	}
	return sign + " " + strings.ReplaceAll(Verdict(v), "-", " ")
}

// Disagrees says what a suspect reading read and what the other readings say.
func Disagrees(s *fit.Suspect) string {
	return fmt.Sprintf("read %.2f mm, the others say %.2f mm; residual %.1f times its standard deviation, critical %.1f%s", s.Read, s.Expected, s.W, s.Critical, OrElse(s))
}

// MoreShares is what the readings of an uncertainty budget that are not shown add.
func MoreShares(n int, share float64) string {
	return "and " + Amount(n, "more reading", "more readings") + ", " + WholePercent(max(0, share)) + " together"
}

// Works names the works of a plan, without their sizes: what the kits of a batch are grouped by.
func Works(p *remedy.Plan) string {
	var kinds []measure.Work
	for _, a := range p.Actions {
		kinds = append(kinds, a.Work)
	}
	return workNames(kinds)
}

// workNames names works, each once where it follows itself.
func workNames(kinds []measure.Work) string {
	var list []string
	for _, k := range kinds {
		word := k.String()
		if k != measure.Reseat {
			word = strings.ReplaceAll(word, "-", " ")
		}
		if holes, ok := strings.CutPrefix(word, "plug "); ok {
			word = "plug and re-drill the " + strings.TrimSuffix(holes, "s") + " holes"
		}
		if n := len(list); n == 0 || list[n-1] != word {
			list = append(list, word)
		}
	}
	return strings.Join(list, ", ")
}

// PlanInShort is a plan in a line: its works, its chance, its time and how drastic it is.
func PlanInShort(p *remedy.Plan) string {
	text := strings.Join(append(Barred(p), Plan(p)), " ")
	if p.Level != remedy.Returned {
		text += fmt.Sprintf(": %s that all then passes, %.0f minutes", Percent(p.P), p.Minutes)
	}
	return text + "; " + Level(p.Level)
}

// HeldDownBy is what is least likely to pass under a plan, and how likely that is; "-" where it is as good
// as sure, and for a return.
func HeldDownBy(p *remedy.Plan) string {
	if p.Level == remedy.Returned || p.Weakest.P >= fit.Confidence {
		return "-"
	}
	return p.Weakest.ID.String() + ", " + Percent(p.Weakest.P)
}
