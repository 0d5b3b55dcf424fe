package report

import (
	"io"

	"neckfit/fit"
	"neckfit/fit/remedy"
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
	Why      string     `json:"why,omitempty"`
	Cannot   []string   `json:"cannot"`
	Untried  []string   `json:"untried"`
	Waits    bool       `json:"waits,omitempty"` // a cure cannot be worked out before more is read
	Cautions []string   `json:"cautions,omitempty"`
}

type jsonPlan struct {
	Brief     string          `json:"brief"`
	Actions   []jsonAction    `json:"actions"`
	Level     string          `json:"level"`
	Return    []string        `json:"return,omitempty"` // the parts that go back
	Minutes   float64         `json:"minutes"`
	P         *float64        `json:"p,omitempty"`
	Curable   *float64        `json:"p_curable,omitempty"`
	Swing     *jsonSwing      `json:"swing,omitempty"`
	Bass      *[2]float64     `json:"play_bass,omitempty"`   // at mouth and end
	Treble    *[2]float64     `json:"play_treble,omitempty"` // likewise
	Predicted []jsonPredicted `json:"predicted,omitempty"`
}

type jsonAction struct {
	Work   string   `json:"work"`
	Say    string   `json:"say"`
	Wall   string   `json:"wall,omitempty"`
	Mouth  *float64 `json:"mouth,omitempty"`
	End    *float64 `json:"end,omitempty"`
	Across *float64 `json:"across,omitempty"`
	Along  *float64 `json:"along,omitempty"`
	Turn   *float64 `json:"turn,omitempty"`
	Size   *float64 `json:"size,omitempty"`
	Stock  string   `json:"stock,omitempty"`
	Part   string   `json:"part,omitempty"`
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

func (j *remedyJSONL) Kit(r *fit.Result, a *remedy.Advice) error {
	if err := Check(r); err != nil {
		return err
	}
	return writeJSON(j.out, jsonAdviceOf(r, a, j.plans))
}

// jsonAdviceOf is a kit's advice with so many plans at most.
func jsonAdviceOf(r *fit.Result, a *remedy.Advice, plans int) *jsonAdvice {
	out := &jsonAdvice{Kit: r.Kit, Verdict: words.Verdict(r.Verdict), Why: words.Why(a), Cannot: list(words.Cannot(a)), Untried: list(words.Untried(a)), Waits: len(a.Waits) > 0}
	for i := range a.Plans[:min(plans, len(a.Plans))] {
		p := &a.Plans[i]
		if words.Handles(p) {
			out.Cautions = words.WorkCautions()
		}
		out.Plans = append(out.Plans, jsonPlanOf(r, p))
	}
	return out
}

func (j *remedyJSONL) Close() error { return nil }

func jsonPlanOf(r *fit.Result, p *remedy.Plan) jsonPlan {
	out := jsonPlan{Brief: words.Plan(p), Level: words.Level(p.Level), Minutes: p.Minutes}
	for _, a := range p.Actions {
		out.Actions = append(out.Actions, jsonAction{
			Work: a.Work.String(), Say: words.Step(p, a), Wall: a.Wall.String(), Mouth: unlessZero(a.Mouth), End: unlessZero(a.End),
			Across: unlessZero(a.Across), Along: unlessZero(a.Along), Turn: unlessZero(a.Turn), Size: unlessZero(a.Size),
			Stock: a.Name, Part: words.Parts(p.Return),
		})
	}
	for _, part := range p.Return {
		out.Return = append(out.Return, part.String())
	}
	if p.Level == remedy.Returned {
		return out
	}
	out.P, out.Curable = &p.P, &p.Curable
	if p.Swing != nil {
		out.Swing = &jsonSwing{p.Swing.Low, p.Swing.High}
	}
	if p.After != nil {
		out.Bass, out.Treble = &p.After.Bass, &p.After.Treble
	}
	for i := range p.Predicted {
		out.Predicted = append(out.Predicted, jsonPredictedOf(r, &p.Predicted[i]))
	}
	return out
}

func jsonPredictedOf(r *fit.Result, q *remedy.Predicted) jsonPredicted {
	out := jsonPredicted{
		Name: r.Characteristics[q.Index].ID.String(), Value: q.Value, U: q.StdUncertainty,
		Lower: closed(&q.Lower), Upper: closed(&q.Upper), Changed: q.Changed,
	}
	if q.Judged {
		out.P = &q.P
	}
	return out
}

// remedyCSV writes a line for each step of each plan.
type remedyCSV struct {
	out     io.Writer
	plans   int
	written bool // the headings
}

func (b *remedyCSV) Kit(r *fit.Result, a *remedy.Advice) error {
	if err := Check(r); err != nil {
		return err
	}
	lines := &record{}
	b.head(lines)
	j := jsonAdviceOf(r, a, b.plans)
	for i, p := range j.Plans {
		for k, s := range p.Actions {
			lines.text(j.Kit)
			lines.words(j.Verdict)
			lines.whole(i + 1)
			lines.words(p.Brief, p.Level)
			lines.number(p.Minutes)
			lines.numberIf(p.P)
			lines.numberIf(p.Curable)
			lines.whole(k + 1)
			lines.words(s.Work, s.Wall)
			for _, x := range []*float64{s.Mouth, s.End, s.Across, s.Along, s.Turn, s.Size} {
				lines.numberIf(x)
			}
			lines.text(s.Stock)
			lines.text(s.Part)
			lines.text(s.Say)
			lines.end()
		}
	}
	return lines.write(b.out)
}

func (b *remedyCSV) head(lines *record) {
	if !b.written {
		lines.words("kit", "verdict", "plan", "brief", "level", "minutes", "p", "p_curable", "step", "work", "wall",
			"mouth_mm", "end_mm", "across_mm", "along_mm", "turn_deg", "size_mm", "stock", "part", "say")
		lines.end()
	}
	b.written = true
}

// Close makes a table without kits a header at least.
func (b *remedyCSV) Close() error {
	lines := &record{}
	b.head(lines)
	return lines.write(b.out)
}

func unlessZero(x float64) *float64 {
	if x == 0 {
		return nil
	}
	return &x
}
