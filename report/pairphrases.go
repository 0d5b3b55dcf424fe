package report

import "neckfit/fit/pair"

// PairNote says what the numbers of a match are.
const PairNote = pairNote

// PairHeadline counts the pairs of a match by what they need.
func PairHeadline(m *pair.Match) string { return pairHeadline(m) }

// PairSaving compares a match with chance; "" without pairs.
func PairSaving(m *pair.Match) string { return pairSaving(m) }

// PairAdvice is what to do with a pair and what it is about.
func PairAdvice(p *pair.Pair) string { return pairAdvice(p) }

// BridgeWords name the bridge that stands for every body without one; "" for none.
func BridgeWords(m *pair.Match) string { return bridgeWords(m) }

// WhyLone is why a part is left over.
func WhyLone(l pair.Lone) string { return whyLone(l) }
