package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// schema is what an object of the remedies' jsonl must have, by place: * is each of a list, ? may be missing, and
// after the colon the type.
const schema = `
kit:text verdict:text what_to_do:text ?read_first:list read_first.*.file:text read_first.*.line:number read_first.*.?or:list read_first.*.or.*:number plans:list cannot:list untried:list judged:list ?why:text ?waits:truth ?cautions:list ?assumed_gauges:list assumed_gauges.*:text
?frame:object frame.way:text frame.name:text frame.origin:text frame.x:text frame.y:text
frame.?mouth_station:number frame.?mouth_offset:number frame.?end_station:number
judged.*:text cannot.*:text untried.*:text cautions.*:text
plans.*.brief:text plans.*.kind:text plans.*.level:text plans.*.actions:list plans.*.minutes:number plans.*.price:number
plans.*.again:number plans.*.fails:share plans.*.then:number plans.*.back:number plans.*.expected:number plans.*.?next:number
plans.*.?own:truth plans.*.?return:list plans.*.?one_of:truth plans.*.?waits:truth plans.*.?asks:list plans.*.?barred:list plans.*.?p:share plans.*.?p_curable:share
plans.*.?weakest:object plans.*.weakest.name:text plans.*.weakest.p:share
plans.*.?swing:object plans.*.swing.low:number plans.*.swing.high:number plans.*.?swing_u:number
plans.*.?play_bass:list plans.*.?play_treble:list plans.*.play_bass.*:number plans.*.play_treble.*:number
plans.*.return.*:text plans.*.asks.*:text plans.*.barred.*:text
plans.*.actions.*.work:text plans.*.actions.*.say:text plans.*.actions.*.?check:text plans.*.actions.*.std:number
plans.*.actions.*.worst:number plans.*.actions.*.distribution:text plans.*.actions.*.?wall:text plans.*.actions.*.?stock:text
plans.*.actions.*.?part:text plans.*.actions.*.?mouth:number plans.*.actions.*.?end:number plans.*.actions.*.?across:number
plans.*.actions.*.?along:number plans.*.actions.*.?turn:number plans.*.actions.*.?size:number
plans.*.?holes:list plans.*.holes.*.hole:text plans.*.holes.*.mark:number plans.*.holes.*.work:text
plans.*.holes.*.?old_x:number plans.*.holes.*.?old_y:number plans.*.holes.*.new_x:number plans.*.holes.*.new_y:number
plans.*.holes.*.?behind_pocket_end:number plans.*.holes.*.beside_centre_line:number plans.*.holes.*.moved:number
plans.*.holes.*.within:number plans.*.holes.*.old_diameter:number plans.*.holes.*.plug:number plans.*.holes.*.bit:number
plans.*.holes.*.through:truth plans.*.holes.*.?depth:number plans.*.holes.*.say:text plans.*.holes.*.?refused:text
plans.*.?predicted:list plans.*.predicted.*.name:text plans.*.predicted.*.value:number plans.*.predicted.*.u:number
plans.*.predicted.*.?lower:number plans.*.predicted.*.?upper:number plans.*.predicted.*.?p:share plans.*.predicted.*.changed:truth`

// kindOf names the type of a value of an object.
func kindOf(v any) string {
	switch v.(type) {
	case string:
		return "text"
	case bool:
		return "truth"
	case float64:
		return "number"
	case []any:
		return "list"
	case map[string]any:
		return "object"
	}
	return "nothing"
}

// against holds a value against the rules for its place, and what is in it likewise; seen takes up what there was.
func against(t *testing.T, rules map[string]string, at string, v any, seen map[string]bool) {
	t.Helper()
	if at != "" && !strings.HasSuffix(at, ".*") || kindOf(v) != "object" {
		want, known := rules[at]
		seen[at] = true
		share, is := v.(float64)
		switch want = strings.TrimPrefix(want, "?"); {
		case !known:
			t.Fatalf("%s is not in the schema", at)
		case want == "share" && !(is && share >= 0 && share <= 1), want != "share" && kindOf(v) != want:
			t.Fatalf("%s is %v, must be a %s", at, v, want)
		}
	}
	below := func(name string) string { return strings.TrimPrefix(at+"."+name, ".") }
	switch x := v.(type) {
	case []any:
		for _, one := range x {
			against(t, rules, below("*"), one, seen)
		}
	case map[string]any:
		for name, one := range x {
			against(t, rules, below(name), one, seen)
		}
		for key, want := range rules {
			name, inside := strings.CutPrefix(key, below(""))
			if _, there := x[name]; inside && !there && !strings.Contains(name, ".") && want[0] != '?' {
				t.Fatalf("%s is missing", key)
			}
		}
	}
}

// misfits are random kits with faults, each way of measuring in turn, with what to do about them.
func misfits(n int) (results []*fit.Result, advice []*remedy.Advice) {
	ways := []func(simulate.Instrument, *rand.Rand, simulate.Setup) []measure.Reading{simulate.LooseParts, simulate.DryFit, simulate.EdgeCheck, simulate.QuickCheck}
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 3))
		in := simulate.Random(rng)
		in.CentreLineError += 3 * rng.NormFloat64()
		in.PocketMouth, in.PocketEnd = in.PocketMouth+0.4*rng.NormFloat64(), in.PocketEnd+0.4*rng.NormFloat64()
		in.HeelScrewErrors = map[int]simulate.Point{1: {Station: rng.NormFloat64()}}
		in.FretHeight += 2 * rng.NormFloat64()
		in = in.Seated()
		setup := simulate.DefaultSetup()
		setup.Heights = true
		kit := in.Kit(fmt.Sprintf("K%d", seed), ways[seed%4](in, rng, setup))
		kit.Info.Action, kit.Info.NutHeight = 2, 0.5
		if seed%10 == 9 {
			kit.Info.Scale = in.Scale + 10
		}
		if seed%3 == 0 { // nobody wrote down how thick the screws are
			kit.Info.BridgeScrew, kit.Info.NeckScrew = 0, 0
		}
		r := fit.Check(kit, fit.Options{Model: true, Compensation: in.Compensation})
		results, advice = append(results, r), append(advice, remedy.For(r, remedy.Options{}))
	}
	return results, advice
}

// Every object of the remedies' jsonl has what the schema asks for and nothing else; noughts are written; hole places
// have their frame; the odds say what they count.
func TestRemedyObjects(t *testing.T) {
	rules, seen := map[string]string{}, map[string]bool{}
	for _, rule := range strings.Fields(schema) {
		name, kind, _ := strings.Cut(rule, ":")
		if bare := strings.Replace(name, "?", "", 1); bare != name {
			name, kind = bare, "?"+kind
		}
		rules[name] = kind
	}
	results, advice := misfits(60)
	for i, r := range results {
		var line bytes.Buffer
		if err := (&remedyJSONL{&line, 9}).Kit(r, advice[i]); err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		var a jsonAdvice
		if err := json.Unmarshal(line.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		against(t, rules, "", got, seen)
		if err := json.Unmarshal(line.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
		for _, p := range a.Plans {
			if len(p.Holes) > 0 && a.Frame == nil {
				t.Errorf("%s: holes without a frame", r.Kit)
			}
			for _, q := range p.Predicted {
				if (q.P != nil) != slices.Contains(a.Judged, q.Name) {
					t.Errorf("%s: whether %s is judged", r.Kit, q.Name)
				}
			}
		}
	}
	for key := range rules {
		if !seen[key] && key != "plans.*.own" && key != "plans.*.holes.*.depth" {
			t.Errorf("no kit has %s", key)
		}
	}
}
