package words

import "slices"

// The terms that pages use without saying what they are.
var (
	KitTerms   = []string{"pass", "fail", "unsure", "too-coarse", "incomplete", "implausible", "critical", "major", "minor", "U", "k", "inside", "limits", "redundant", "suspect", "swing", "odds", "reversible", "wood-left"}
	LotTerms   = []string{"pass", "fail", "unsure", "incomplete", "critical", "major", "minor", "AQL", "sample", "accept", "operating-curve", "severity", "yield", "Cp", "Cpk", "Pp", "Ppk", "tolerance-interval", "run-rule", "U"}
	GaugeTerms = []string{"gauge", "resolution", "max-error", "repeatability", "reproducibility", "gauge-study", "adequate", "categories", "interaction"}
)

// Glossary is the entries of words that a page uses, in the order of Entries. Of a word with several meanings it is
// the one of characteristics, verdicts, terms, lots and gauges.
func Glossary(words ...string) (list []Entry) {
	groups := []string{characteristicGroup, verdictGroup, termGroup, lotGroup}
	for _, e := range Entries() {
		if slices.Contains(groups, e.Group) && slices.Contains(words, e.Word) {
			list = append(list, e)
		}
	}
	return list
}
