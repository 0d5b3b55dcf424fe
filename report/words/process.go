package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
)

// Process is a characteristic of a lot in a line: its kits, the limits and the indices with their confidence limits.
func Process(p *delivery.Process) string {
	text := Amount(p.N, "kit", "kits")
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
	var kits Groups[lot.RunRule, string]
	for _, s := range p.Signals {
		for _, k := range s.Kits {
			kits.Add(s.Rule, k)
		}
	}
	var text []string
	for _, r := range kits.Keys {
		if r == lot.LevelShift {
			text = append(text, "its level moves on the way")
		} else {
			text = append(text, RunRule(r)+" ("+Amount(len(kits.Of[r]), "kit", "kits")+")")
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

// Signals tells what is odd in the order of a process, and which kits show it, each kit once a rule; "" for nothing.
func Signals(p *delivery.Process) string {
	var kits Groups[string, string]
	for _, one := range p.Signals {
		rule := RunRule(one.Rule)
		if one.Rule == lot.LevelShift {
			rule = "the level goes " + upOrDown(one.Step, ProcessUnit(p)) + " from there on"
		}
		for _, k := range one.Kits {
			kits.Add(rule, k)
		}
	}
	for i, rule := range kits.Keys {
		kits.Keys[i] = rule + ": " + FirstNames(kits.Of[rule])
	}
	return strings.Join(kits.Keys, "; ")
}

// ProcessUnit is the unit of a process's values, mm or deg.
func ProcessUnit(p *delivery.Process) string { return DimensionUnit(p.Dimension) }

// Unsteady lists the processes that are not steady, with the kits that show it, and those that drift.
func Unsteady(l *delivery.Lot) (lines []string) {
	for _, p := range l.Processes {
		text := Signals(p)
		if p.Drifts {
			if text != "" {
				text = "; " + text
			}
			text = Drift(p) + text
		}
		if text != "" {
			lines = append(lines, fmt.Sprintf("%s (%s, from %s to %s %s): %s.",
				p.Name, Small(p.Chart.Centre), Small(p.Chart.Lower), Small(p.Chart.Upper), ProcessUnit(p), text))
		}
	}
	return lines
}

// upOrDown says by how much a value goes up or down.
func upOrDown(by float64, unit string) string {
	way := "up"
	if by < 0 {
		way = "down"
	}
	return way + " by " + Small(math.Abs(by)) + " " + unit
}

// Drift says how a process changes from kit to kit, and what that comes to over the lot.
func Drift(p *delivery.Process) string {
	value, u := Rounded(p.Trend.Slope, p.Trend.U/Coverage)
	return fmt.Sprintf("it drifts by %s ± %s %s a kit, %s over the %d kits", value, u, ProcessUnit(p), upOrDown(p.Trend.Last-p.Trend.First, ProcessUnit(p)), p.N)
}

// farIndex is an index beyond which its number says nothing more: limits at nine standard deviations
// are far from anything that normal values could show.
const farIndex = 3

// Index is an index with its confidence limits.
func Index(x lot.Index) string {
	if !x.Known {
		return "-"
	}
	switch {
	case x.Low > farIndex || x.Value > farIndex && !math.IsInf(x.Value, 1):
		return ">3"
	case math.IsInf(x.Low, 0) && math.IsInf(x.High, 0):
		return "?"
	case math.IsInf(x.Value, 1): // our own measuring accounts for all of the spread
		return ">" + Fixed(x.Low, 1)
	case math.IsInf(x.Value, -1):
		return "<" + Fixed(x.High, 1)
	case math.IsInf(x.High, 1):
		return Fixed(x.Value, 2) + " >" + Fixed(x.Low, 1)
	case math.IsInf(x.Low, -1):
		return Fixed(x.Value, 2) + " <" + Fixed(x.High, 1)
	}
	return Fixed(x.Value, 2) + " " + Fixed(x.Low, 1) + ".." + Fixed(x.High, 1)
}

// Tolerance is where 95 % of the process lie; "" where that is not known.
func Tolerance(t *lot.Interval) string {
	switch {
	case t == nil:
		return ""
	case math.IsInf(t.Low, -1):
		return "up to " + Small(t.High)
	case math.IsInf(t.High, 1):
		return Small(t.Low) + " and up"
	}
	return Small(t.Low) + " to " + Small(t.High)
}

// Spreads are the spread of a process, what of it is our own measuring and what is left, and where 95 % of the kits lie; blank of one
// kit.
func Spreads(p *delivery.Process) [4]string {
	if p.Spread == nil {
		return [4]string{}
	}
	return [4]string{Small(p.SD), Small(p.Spread.Measurement), Small(p.Spread.Product), Tolerance(p.Tolerance)}
}

// RunRule describes a rule of the charts.
func RunRule(r lot.RunRule) string {
	return [...]string{lot.NoRunRule: "no rule", lot.BeyondLimits: "beyond the chart's limits", lot.LevelShift: "the level moves"}[r]
}

// lotWarnings have {n} for the number of values.
var lotWarnings = [...]string{
	lot.NoWarning:         "",
	lot.OneValue:          fmt.Sprintf("one value has no spread: 2 or more give one, %d or more a useful one", lot.SettledIndices),
	lot.AllEqual:          "all values are equal: read them with a finer gauge to see a spread",
	lot.FewForLimits:      fmt.Sprintf("the limits rest on {n} values: %d or more settle them", lot.SettledChart),
	lot.FewForIndices:     fmt.Sprintf("the indices rest on {n} values: %d or more are needed to speak of capability", lot.SettledIndices),
	lot.NotSteady:         "the process is not steady: find the cause before the indices say anything of the next lot",
	lot.NotNormal:         "the values do not lie as normal ones would (Shapiro-Wilk): look at them before you believe an index or the range of 95 % of kits",
	lot.LimitsDiffer:      "its limits differ from kit to kit, so there are no indices",
	lot.LimitsWithoutRoom: "its limits leave no room, so there are no indices",
	lot.OnePerson:         "one person read everything: a second shows whether persons differ",
}

// LotWarning is what the reader of a chart, of indices or of a gauge study has to know.
func LotWarning(w lot.Warning) string {
	return strings.Replace(lotWarnings[w.Kind], "{n}", strconv.Itoa(w.N), 1)
}

// LotWarnings says all of them.
func LotWarnings(list []lot.Warning) []string {
	said := make([]string, len(list))
	for i, w := range list {
		said[i] = LotWarning(w)
	}
	return said
}
