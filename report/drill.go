package report

import (
	"fmt"
	"io"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report/words"
)

// Drilling is a hole schedule and what it belongs to.
type Drilling struct {
	Result   *fit.Result
	Plan     *remedy.Plan
	Number   int // of the plan, from 1; 1 is the recommended one
	Schedule *remedy.Schedule
}

// DrillText writes a hole schedule for people.
func DrillText(w io.Writer, d *Drilling, o Options) error {
	t := newText(o)
	t.add("", fmt.Sprintf("%s: %s.", words.Harmless(d.Result.Kit), words.DrillHeadline(d.Schedule)))
	if d.Number > 1 {
		t.add("", words.OtherPlan(d.Plan, d.Number))
	}
	t.opened()
	t.section("")
	rows := [][]string{{"hole", "do", "behind", "beside", "moved", "within", "old", "plug", "bit", "wood left"}}
	var notes [][]string
	for i := range d.Schedule.Holes {
		h := &d.Schedule.Holes[i]
		rows = append(rows, []string{words.HoleName(h.Name()), words.HoleWork(h.Work), words.Known(h.Behind), words.Beside(h.Beside), words.Fixed(h.Move, 2), words.Size(h.Within),
			words.Size(h.OldDiameter), words.Size(h.Plug), words.Size(h.Pilot), words.Known(h.Ligament)})
		notes = append(notes, words.Minding(h))
	}
	t.tableWithNotes("llrrrrrrrr", rows, notes)
	t.section("")
	t.add("", words.DrillNote)
	for _, n := range words.HoleNotes(d.Schedule) {
		t.add("", n+".")
	}
	t.section(words.WorksHeading)
	t.steps(d.Result, d.Plan)
	t.cautions()
	return t.write(w)
}

// tableWithNotes adds rows, each of one line where there is room, with notes below each but the first.
func (t *text) tableWithNotes(align string, rows [][]string, notes [][]string) {
	lines := words.Table(t.columns, align, rows)
	if len(lines) != len(rows) { // there is no room for a line a row
		lines = nil
		for _, row := range rows[1:] {
			lines = append(lines, strings.Join(words.Table(t.columns, align, [][]string{rows[0], row}), "\n"))
		}
	} else {
		t.lines = append(t.lines, strings.TrimRight(lines[0], " "))
		lines = lines[1:]
	}
	for i, line := range lines {
		t.lines = append(t.lines, strings.TrimRight(line, " "))
		for _, note := range notes[i] {
			t.add("    ", note)
		}
	}
}

// DrillCSV writes a hole schedule exactly, in mm; x (tailward) and y (toward treble) are of the frame that is named: the
// pocket, or the straightedge of that datum.
func DrillCSV(w io.Writer, d *Drilling) error {
	var out record
	out.row("kit", "hole", "mark", "work", "frame", "old_x", "old_y", "new_x", "new_y", "behind_pocket_end", "beside_centre_line",
		"moved", "within", "old_diameter", "plug", "bit", "shared", "straddles", "ligament", "next", "cavity", "edge", "old_hole", "depth", "warnings", "refused")
	frame, _ := words.Frame(d.Result.Way)
	for i := range d.Schedule.Holes {
		h := &d.Schedule.Holes[i]
		out.row(d.Result.Kit, h.Feature.String(), h.Mark, words.HoleWork(h.Work), frame, h.Old.X, h.Old.Y, h.New.X, h.New.Y, h.Behind, h.Beside,
			h.Move, h.Within, h.OldDiameter, h.Plug, h.Pilot, h.Shared, h.Straddles, h.Ligament, words.HoleName(h.Next), h.Cavity, h.Edge,
			words.Sight(h.Sight), words.Depth(h), strings.Join(words.Remarks(h), "; "), words.Remark(h.Refused))
	}
	return out.write(w)
}
