package report

import (
	"regexp"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// told is what each work's step must say, and what its check must: side, size, glue, clamp and cure, bore, bit and
// depth; and a number to read.
var told = map[measure.Work]struct{ do, check []string }{
	measure.TrimHeel:     {[]string{`by \d+\.\d mm`, `clamp`, `square`}, []string{`reads \d+\.\d mm less`, `0\.05 mm`}},
	measure.LevelFloor:   {[]string{`clamped`, `flat`}, []string{`no leaf of 0\.\d+ mm enters`}},
	measure.SlotScrews:   {[]string{`round file`, `not the heel's`, `\d\.\d mm at the most`, `clamped`}, []string{`by more than \d\.\d mm`, `falls through`}},
	measure.SquareCorner: {[]string{`pocket's end`, `chisel`, `\d\.\d mm`, `clamped`}, []string{`square`, `0\.05 mm`}},
	measure.SlotStrings:  {[]string{`round file`, `\d\.\d mm at the most`, `backing board`}, []string{`no more than \d\.\d mm`}},
	measure.SlotBridge:   {[]string{`Slacken the strings`, `mm toward|degrees`, `\d\.\d mm, the|\d\.\d mm at the most`, `glue .* overnight to cure`}, []string{`tight`}},
	measure.DeepenFloor:  {[]string{`by \d+\.\d\d mm`, `clamped`, `12 mm of wood`}, []string{`\d+ mm or more into the heel`}},
	measure.EaseCorner:   {[]string{`bass and treble`, `\d+\.\d mm larger`}, []string{`\d+\.\d mm larger`}},
	measure.RelieveWall:  {[]string{`the (bass wall, the side of the thick|treble wall, the side of the thin) strings`, `take \d\.\d\d mm off`, `[Cc]lamp`}, []string{`\d\.\d\d mm at (its|the pocket's) mouth and \d+\.\d\d mm at its end|does not move sideways`}},
	measure.SideShim: {[]string{`the (bass wall, the side of the thick|treble wall, the side of the thin) strings`, `: \d\.\d\d mm`, `wood glue`, `clamped .* hour`, `overnight to cure`, `not to the heel`},
		[]string{`\d\.\d\d mm at the pocket's mouth and \d\.\d\d mm at its end`, `by hand`}},
	measure.PitchShim:  {[]string{`\d\.\d\d mm thick at the pocket's (end|mouth)`, `nothing at its (end|mouth)`, `degrees`, `dry`}, []string{`\d+ mm or more into the heel`}},
	measure.RiseShim:   {[]string{`\d\.\d\d mm`, `dry`}, []string{`\d+ mm or more into the heel`}},
	measure.ReamScrews: {[]string{`bit of \d+\.\d\d mm`, `not the heel's`, `clamp`, `right through`}, []string{`measure \d+\.\d\d mm`, `falls through`}},
	measure.Reseat:     {[]string{`Slacken the strings`, `(\d\.\d\d mm|nothing) beside it on the bass side and (\d\.\d\d mm|nothing) on the treble side`, `clamp`}, []string{`leaves`}},
	measure.BridgeMove: {[]string{`Slacken the strings`, `\d\.\d\d (mm toward|degrees)`}, []string{`tight`}},
	measure.PlugNeck:   {[]string{`bore to \d+\.\d\d( |, )|None of|that neckfit drill names`, `wood glue.*overnight to cure|None of`, `clamp`, `drill (\d+\.\d\d mm, |with the bit|as neckfit)`, `mm deep|as deep as|as neckfit`}, []string{`by hand`, `off by more than \d\.\d+ mm`}},
	measure.PlugStrings: {[]string{`bore to \d+\.\d\d( |, )|None of`, `drill \d+\.\d\d mm, through|as neckfit`, `backing board|as neckfit`},
		[]string{`straightedge`, `off by more than \d\.?\d* mm`}},
	measure.PlugBridge: {[]string{`bore to \d+\.\d\d( |, )|smallest plug|None of|that neckfit drill names`, `wood glue.*overnight to cure|None of`, `template`, `Drill (\d+\.\d\d mm, |with the bit|as neckfit)`, `mm deep|as deep as|through|as neckfit`},
		[]string{`by hand`, `off by more than \d\.\d+ mm`}},
}

// Every step of every plan says all that its work takes, and the last that moves the bridge says what the bridge must
// read; no length of a leaf is below nothing.
func TestStepsSayEverything(t *testing.T) {
	results, advice := misfits(60)
	seen := map[measure.Work]int{}
	for i, r := range results {
		for n := range advice[i].Plans {
			p := &advice[i].Plans[n]
			read := false
			for k, s := range words.Steps(r, p) {
				work := p.Actions[k].Work
				if seen[work]++; len(told[work].check) == 0 != (s.Check == "") {
					t.Errorf("%s, %v: checked by %q", r.Kit, work, s.Check)
				}
				for _, want := range told[work].do {
					if !regexp.MustCompile(want).MatchString(s.Do) {
						t.Errorf("%s, %v: no %q in %q", r.Kit, work, want, s.Do)
					}
				}
				for _, want := range told[work].check {
					if !regexp.MustCompile(want).MatchString(s.Check) {
						t.Errorf("%s, %v: no %q in %q", r.Kit, work, want, s.Check)
					}
				}
				if regexp.MustCompile(`[ (]-\d|NaN|Inf|\(\)|  |\.\.`).MatchString(s.String()) {
					t.Errorf("%s, %v: %q", r.Kit, work, s)
				}
				read = read || strings.Contains(s.Check, "read the bridge from both edges of the fingerboard again: half of what the two differ by must be at most 1 mm")
			}
			if len(kinds(p)) > 0 && !read && r.Find(fit.CentreLineError).Measured() {
				t.Errorf("%s: nobody reads the bridge after %v", r.Kit, kinds(p))
			}
		}
	}
	if len(seen) < 14 {
		t.Errorf("only %v", seen)
	}
}

// kinds are the works of a plan that move the bridge or the neck below it.
func kinds(p *remedy.Plan) (list []string) {
	for _, a := range p.Actions {
		switch a.Work {
		case measure.SideShim, measure.RelieveWall, measure.Reseat, measure.BridgeMove, measure.SlotBridge, measure.PlugBridge:
			list = append(list, a.Work.String())
		}
	}
	return list
}
