package measure

import (
	"io"

	"neckfit/measure/csvtext"
)

// PlanStep is one work of a plan that somebody wants to have worked out. Lengths in mm, Turn in degrees;
// which of them a work uses is the remedies' affair, and what it does not use is 0.
type PlanStep struct {
	Work          Work
	Treble        bool    // the treble wall, not the bass one
	Mouth, End    float64 // thickness or depth there; of a re-seated heel how far toward treble of the middle
	Across, Along float64 // of a bridge, toward treble and tailward
	Turn          float64 // of a bridge, its tail toward treble; of a wedge above nothing when it is thick at the pocket's end
	Size          float64
	Place         Place
}

// planRow is a row of such a plan as it is written.
type planRow struct {
	Work   string `csv:"work"`
	Wall   string `csv:"wall"`
	Mouth  string `csv:"mouth"`
	End    string `csv:"end"`
	Across string `csv:"across"`
	Along  string `csv:"along"`
	Turn   string `csv:"turn"`
	Size   string `csv:"size"`
	Unit   string `csv:"unit"`
}

// planTable is no table of a batch: its file has any name.
var planTable = csvtext.NewTable[planRow]("plan.csv", "work")

// ReadPlan reads a plan: a row a work, in any order. The error is Errors for cells that are wrong, or the
// stream's own.
func ReadPlan(file string, in io.Reader) ([]PlanStep, error) {
	var steps []PlanStep
	errs := &csvtext.Collector{}
	err := read(planTable, file, in, errs, func(w *planRow, r *csvtext.Row) {
		if s := w.decode(r); !r.Bad {
			steps = append(steps, s)
		}
	})
	if err != nil {
		return nil, err
	}
	return steps, errs.Err()
}

func (w *planRow) decode(r *csvtext.Row) PlanStep {
	s := PlanStep{Work: Work(r.Word("work", w.Work, workWords)), Place: r.Place}
	unit := r.Unit(w.Unit)
	if w.Wall != "" {
		s.Treble = r.Word("wall", w.Wall, sideWords) == 2
	}
	s.Mouth, _ = r.Number("mouth", w.Mouth, unit)
	s.End, _ = r.Number("end", w.End, unit)
	s.Across, _ = r.Number("across", w.Across, unit)
	s.Along, _ = r.Number("along", w.Along, unit)
	s.Turn, _ = r.Number("turn", w.Turn, csvtext.Degrees)
	s.Size, _ = r.NotNegative("size", w.Size, unit)
	if (s.Work == SideShim || s.Work == RelieveWall) && w.Wall == "" && !r.Bad {
		r.Fail("wall", "wall is blank", "bass or treble")
	}
	return s
}
