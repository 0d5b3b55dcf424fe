package words

import (
	"fmt"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
)

// Process is a characteristic of a lot in a line: its kits, the limits and the indices with their confidence limits.
func Process(p *delivery.Process) string {
	text := fmt.Sprintf("%d kits", p.N)
	if p.Limited {
		l := fit.Characteristic{Lower: p.Lower, Upper: p.Upper}
		text += ", limits " + Limits(&l) + " " + ProcessUnit(p)
	}
	if p.Capability == nil {
		return text
	}
	c := p.Capability
	if s := Steadiness(p); s != "steady" {
		text += "; " + s
	}
	for _, x := range []struct {
		name string
		lot.Index
	}{{"Cp", c.Cp}, {"Cpk", c.Cpk}, {"Pp", c.Pp}, {"Ppk", c.Ppk}, {"of the product", p.Product}} {
		if x.Known {
			value, limits, between := strings.Cut(Index(x.Index), " ")
			if text += "; " + x.name + " " + value; between {
				text += " (" + limits + ")"
			}
		}
	}
	return text
}

// SignalCounts says how many kits are odd and in which way, and whether the process drifts; the kits'
// names stand below the chart.
func SignalCounts(p *delivery.Process) string {
	var rules []lot.RunRule
	kits := map[lot.RunRule]map[string]bool{}
	for _, s := range p.Signals {
		if kits[s.Rule] == nil {
			rules = append(rules, s.Rule)
			kits[s.Rule] = map[string]bool{}
		}
		for _, k := range s.Kits {
			kits[s.Rule][k] = true
		}
	}
	text := make([]string, len(rules))
	for i, r := range rules {
		text[i] = RunRule(r) + " (" + Amount(len(kits[r]), "kit", "kits") + ")"
		if r == lot.LevelShift {
			text[i] = "its level moves on the way"
		}
	}
	if p.Drifts {
		text = append(text, Drift(p))
	}
	return strings.Join(text, "; ")
}

// Steadiness says what the indices of a process are worth: those of one that moves say nothing of the next lot.
func Steadiness(p *delivery.Process) string {
	switch {
	case !p.Steady():
		return "not steady"
	case p.NotNormal:
		return "not normal"
	case p.N < lot.SettledIndices:
		return "few kits"
	}
	return "steady"
}
