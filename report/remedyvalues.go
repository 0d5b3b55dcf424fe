package report

import (
	"io"
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report/words"
)

// remedyJSONL writes one object a kit: its verdict, its plans from the recommended one, and what
// cannot be cured. Lengths in mm, angles in degrees, exact.
type remedyJSONL struct {
	out   io.Writer
	plans int
}

type jsonAdvice struct {
	Kit      string     `json:"kit"`
	Verdict  string     `json:"verdict"`
	Plans    []jsonPlan `json:"plans"`
	Do       string     `json:"what_to_do"`           // first what is to be read, then the first plan
	Suspect  []jsonRow  `json:"read_first,omitempty"` // what disagrees with other readings and the first plan rests on
	Why      string     `json:"why,omitempty"`
	Cannot   []string   `json:"cannot"`
	Untried  []string   `json:"untried"`
	Frame    *jsonFrame `json:"frame,omitempty"`
	Judged   []string   `json:"judged"`          // the characteristics that p counts
	Waits    bool       `json:"waits,omitempty"` // a cure cannot be worked out before more is read
	Cautions []string   `json:"cautions,omitempty"`
	Assumed  []string   `json:"assumed_gauges,omitempty"`
}

type jsonPlan struct {
	Brief     string          `json:"brief"`
	Kind      string          `json:"kind"` // its most drastic work
	Own       bool            `json:"own,omitempty"`
	Actions   []jsonAction    `json:"actions"`
	Level     string          `json:"level"`
	Return    []string        `json:"return,omitempty"` // the parts that go back
	OneOf     bool            `json:"one_of,omitempty"` // it is one of those, and the readings do not tell which
	Minutes   float64         `json:"minutes"`
	Price     float64         `json:"price"`          // in minutes, of what cannot be undone
	Again     float64         `json:"again"`          // minutes of measuring again
	Fails     float64         `json:"fails"`          // the chance that something that work can change then fails
	Then      float64         `json:"then"`           // minutes expected from there on
	Back      float64         `json:"back"`           // for returning a part in any case, since something fails that no work changes
	Expected  float64         `json:"expected"`       // minutes + price + again + fails * then + back
	Next      *int            `json:"next,omitempty"` // the plan that comes next then, from 0 among all of the kit's
	P         *float64        `json:"p,omitempty"`
	Curable   *float64        `json:"p_curable,omitempty"`
	Weakest   *jsonWeakest    `json:"weakest,omitempty"`
	Swing     *jsonSwing      `json:"swing,omitempty"`
	SwingU    *float64        `json:"swing_u,omitempty"`     // standard uncertainty of its ends
	Bass      *[2]float64     `json:"play_bass,omitempty"`   // at mouth and end
	Treble    *[2]float64     `json:"play_treble,omitempty"` // likewise
	Waits     bool            `json:"waits,omitempty"`       // for the answer to its asks: nothing can be drilled before
	Asks      []string        `json:"asks,omitempty"`
	Barred    []string        `json:"barred,omitempty"` // why it cannot be carried out as it stands
	Holes     []jsonHole      `json:"holes,omitempty"`
	Predicted []jsonPredicted `json:"predicted,omitempty"`
}

type jsonWeakest struct {
	Name string  `json:"name"`
	P    float64 `json:"p"`
}

// jsonAction has the numbers that its work uses, noughts too.
type jsonAction struct {
	Work   string   `json:"work"`
	Say    string   `json:"say"`
	Check  string   `json:"check,omitempty"` // what to measure after it, and what that must read
	Wall   string   `json:"wall,omitempty"`
	Mouth  *float64 `json:"mouth,omitempty"`
	End    *float64 `json:"end,omitempty"`
	Across *float64 `json:"across,omitempty"`
	Along  *float64 `json:"along,omitempty"`
	Turn   *float64 `json:"turn,omitempty"`
	Size   *float64 `json:"size,omitempty"`
	Std    float64  `json:"std"` // of what the hand sets, mm, and three of them as costs.csv has it
	Worst  float64  `json:"worst"`
	Law    string   `json:"distribution"`
	Stock  string   `json:"stock,omitempty"`
	Part   string   `json:"part,omitempty"`
}

// jsonHole is a hole of the schedule; x and y are of the kit's frame.
type jsonHole struct {
	Hole    string   `json:"hole"`
	Mark    int      `json:"mark"`
	Work    string   `json:"work"`
	OldX    *float64 `json:"old_x,omitempty"`
	OldY    *float64 `json:"old_y,omitempty"`
	NewX    float64  `json:"new_x"`
	NewY    float64  `json:"new_y"`
	Behind  *float64 `json:"behind_pocket_end,omitempty"`
	Beside  float64  `json:"beside_centre_line"`
	Moved   float64  `json:"moved"`
	Within  float64  `json:"within"`       // radius of the circle that the right place lies in with 95 %
	Old     float64  `json:"old_diameter"` // like the plug's and the bit's 0 where there is none
	Plug    float64  `json:"plug"`
	Bit     float64  `json:"bit"`
	Through bool     `json:"through"`
	Depth   *float64 `json:"depth,omitempty"` // of a blind hole, where it is known
	Say     string   `json:"say"`
	Refused string   `json:"refused,omitempty"`
}

// jsonFrame says where x and y of a kit's holes are counted from, in mm: x tailward, y toward treble. The stations of the
// pocket's mouth and end are given in it where they are known.
type jsonFrame struct {
	Way    string   `json:"way"`
	Name   string   `json:"name"`
	Origin string   `json:"origin"`
	X      string   `json:"x"`
	Y      string   `json:"y"`
	Mouth  *float64 `json:"mouth_station,omitempty"` // of the pocket
	Middle *float64 `json:"mouth_offset,omitempty"`  // of its middle there
	End    *float64 `json:"end_station,omitempty"`
}

type jsonPredicted struct {
	Name    string   `json:"name"`
	Value   float64  `json:"value"`
	U       float64  `json:"u"`
	Lower   *float64 `json:"lower,omitempty"`
	Upper   *float64 `json:"upper,omitempty"`
	P       *float64 `json:"p,omitempty"`
	Changed bool     `json:"changed"`
}

// Kit writes an object.
func (j *remedyJSONL) Kit(r *fit.Result, a *remedy.Advice) error {
	if err := Check(r); err != nil {
		return err
	}
	return writeJSON(j.out, jsonAdviceOf(r, a, j.plans))
}

// jsonAdviceOf is a kit's advice with so many plans at most.
func jsonAdviceOf(r *fit.Result, a *remedy.Advice, plans int) *jsonAdvice {
	out := &jsonAdvice{Kit: r.Kit, Verdict: words.Verdict(r.Verdict), Do: words.WhatToDo(r, a), Suspect: jsonRows(delivery.RowsOf(a.Suspect)), Why: words.Why(a), Judged: []string{}, Cannot: list(words.Cannot(a)), Untried: list(words.Untried(a)), Waits: len(a.Waits) > 0, Assumed: words.WithAssumed(nil, r.Gauges)}
	for i := range a.Plans[:min(plans, len(a.Plans))] {
		p := &a.Plans[i]
		if words.Handles(p) {
			out.Cautions = words.WorkCautions()
		}
		out.Plans = append(out.Plans, jsonPlanOf(r, p))
	}
	if a.Own {
		out.Plans[0].Own = true
	}
	if r.Way != fit.NoWay {
		name, origin := words.Frame(r.Way)
		out.Frame = &jsonFrame{Way: words.Way(r.Way), Name: name, Origin: origin, X: "tailward", Y: "toward treble"}
		if p := a.Play; p != nil && p.Placed {
			end := p.MouthX + p.Length
			out.Frame.Mouth, out.Frame.Middle, out.Frame.End = &p.MouthX, &p.MouthY, &end
		}
	}
	for i := range a.Plans {
		for _, q := range a.Plans[i].Predicted {
			if q.Judged {
				out.Judged = append(out.Judged, r.Characteristics[q.Index].ID.String())
			}
		}
		if len(out.Judged) > 0 { // alike for all plans but a return
			break
		}
	}
	return out
}

// Close has nothing left to do.
func (j *remedyJSONL) Close() error { return nil }

func jsonPlanOf(r *fit.Result, p *remedy.Plan) jsonPlan {
	out := jsonPlan{
		Brief: words.Plan(p), Kind: p.Kind.String(), Level: words.Level(p.Level), Minutes: p.Minutes, Price: p.Price,
		Again: p.Again, Fails: p.Fails, Then: p.Then, Back: p.Back, Expected: p.Expected,
		Waits: p.Waits(), Asks: words.Asks(r.Kit, p), Barred: words.Barred(p),
	}
	if p.Next >= 0 {
		out.Next = &p.Next
	}
	for i, s := range words.Steps(r, p) {
		out.Actions = append(out.Actions, jsonActionOf(p, &p.Actions[i], s))
	}
	out.OneOf = p.OneOf
	for _, part := range p.Return {
		out.Return = append(out.Return, part.String())
	}
	if p.Level == remedy.Returned {
		return out
	}
	out.P, out.Curable = &p.P, &p.Curable
	out.Weakest = &jsonWeakest{p.Weakest.ID.String(), p.Weakest.P}
	if p.Swing != nil {
		out.Swing, out.SwingU = &jsonSwing{p.Swing.Low, p.Swing.High}, &p.SwingStd
	}
	if p.Drilling != nil {
		for i := range p.Drilling.Holes {
			out.Holes = append(out.Holes, jsonHoleOf(&p.Drilling.Holes[i]))
		}
	}
	if p.After != nil {
		out.Bass, out.Treble = &p.After.Bass, &p.After.Treble
	}
	for i := range p.Predicted {
		q := &p.Predicted[i]
		then := jsonPredicted{
			Name: r.Characteristics[q.Index].ID.String(), Value: q.Value, U: q.StdUncertainty,
			Lower: closed(&q.Lower), Upper: closed(&q.Upper), Changed: q.Changed,
		}
		if q.Judged {
			then.P = &q.P
		}
		out.Predicted = append(out.Predicted, then)
	}
	return out
}

func jsonActionOf(p *remedy.Plan, a *remedy.Action, s words.Step) jsonAction {
	out := jsonAction{Work: a.Work.String(), Say: s.Do, Check: s.Check, Wall: a.Wall.String(), Std: a.Std, Worst: remedy.Worst * a.Std, Law: "normal", Stock: a.Name}
	switch a.Work {
	case measure.SideShim, measure.RelieveWall, measure.Reseat:
		out.Mouth, out.End = &a.Mouth, &a.End
	case measure.BridgeMove, measure.PlugBridge:
		out.Across, out.Along, out.Turn = &a.Across, &a.Along, &a.Turn
	case measure.SlotBridge:
		out.Across, out.Along, out.Turn, out.Size = &a.Across, &a.Along, &a.Turn, &a.Size
	case measure.PitchShim:
		out.Turn, out.Size = &a.Turn, &a.Size
	case measure.RiseShim, measure.ReamScrews, measure.SlotScrews, measure.EaseCorner, measure.SquareCorner, measure.SlotStrings,
		measure.DeepenFloor, measure.TrimHeel:
		out.Size = &a.Size
	case measure.SendBack:
		out.Part = words.Parts(p.Return, p.OneOf)
	case measure.NoWork, measure.Leave, measure.ReadAgain, measure.LevelFloor, measure.PlugNeck, measure.PlugStrings:
	}
	return out
}

func jsonHoleOf(h *remedy.Hole) jsonHole {
	out := jsonHole{
		Hole: h.Feature.String(), Mark: h.Mark, Work: words.HoleWork(h.Work), NewX: h.New.X, NewY: h.New.Y,
		Beside: h.Beside, Moved: h.Move, Within: h.Within, Old: h.OldDiameter, Plug: h.Plug, Bit: h.Pilot, Through: h.Through,
		Say: words.Depth(h), Refused: words.Remark(h.Refused),
	}
	if h.Depth > 0 {
		out.Depth = &h.Depth
	}
	if h.HasOld {
		out.OldX, out.OldY = &h.Old.X, &h.Old.Y
	}
	if !math.IsNaN(h.Behind) {
		out.Behind = &h.Behind
	}
	return out
}

// remedyCSV writes a line for each step of each plan.
type remedyCSV struct {
	out     io.Writer
	plans   int
	written bool // the headings
}

// Kit writes its lines, below the headings.
func (b *remedyCSV) Kit(r *fit.Result, a *remedy.Advice) error {
	if err := Check(r); err != nil {
		return err
	}
	lines := &record{}
	b.head(lines)
	j := jsonAdviceOf(r, a, b.plans)
	for i, p := range j.Plans {
		for k, s := range p.Actions {
			lines.row(j.Kit, j.Verdict, i+1, p.Brief, p.Level, p.Minutes, p.P, p.Curable, p.Price, p.Again, p.Fails, p.Then, p.Back, p.Expected,
				k+1, s.Work, s.Wall, s.Mouth, s.End, s.Across, s.Along, s.Turn, s.Size, s.Stock, s.Part, s.Say, s.Check, j.Do, strings.Join(j.Assumed, "; "))
		}
	}
	return lines.write(b.out)
}

func (b *remedyCSV) head(lines *record) {
	if !b.written {
		lines.row("kit", "verdict", "plan", "brief", "level", "minutes", "p", "p_curable",
			"price", "again", "fails", "then", "back", "expected", "step", "work", "wall",
			"mouth_mm", "end_mm", "across_mm", "along_mm", "turn_deg", "size_mm", "stock", "part", "say", "check", "what_to_do", "assumed_gauges")
	}
	b.written = true
}

// Close makes a table without kits a header at least.
func (b *remedyCSV) Close() error {
	lines := &record{}
	b.head(lines)
	return lines.write(b.out)
}
