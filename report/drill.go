package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
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

// DrillText writes a hole schedule for people, within 100 words.Columns.
func DrillText(w io.Writer, d *Drilling) error {
	s := &sheet{}
	s.add("", fmt.Sprintf("%s: %s.", words.Harmless(d.Result.Kit), words.DrillHeadline(d.Schedule)))
	if d.Number > 1 {
		s.add("", fmt.Sprintf("This is plan %d, %s. The recommended plan is another: neckfit remedy tells.", d.Number, words.Plan(d.Plan)))
	}
	s.section("")
	s.lines = append(s.lines, drillRow("hole", "do", "behind", "beside", "moved", "old", "plug", "bit", "wood left"))
	for i := range d.Schedule.Holes {
		s.hole(&d.Schedule.Holes[i])
	}
	s.section("")
	s.add("", "Behind: mm behind the pocket's end. Beside: mm from the neck's centre line, positive toward treble. Moved: mm from the old hole. "+
		"Old, plug, bit: diameters in mm. Wood left: mm to the nearest other hole.")
	for _, n := range words.HoleNotes(d.Schedule) {
		s.add("", n+".")
	}
	return writeLines(w, append(s.lines, remedyCautions()...))
}

func drillRow(cells ...string) string {
	line := words.Pad(cells[0], 17) + words.Pad(cells[1], 15)
	for i, c := range cells[2:] {
		line += words.PadLeft(c, []int{9, 9, 8, 8, 8, 8, 11}[i])
	}
	return strings.TrimRight(line, " ")
}

// hole is a line of the schedule and what is to be minded at the hole.
func (s *sheet) hole(h *remedy.Hole) {
	s.lines = append(s.lines, drillRow(words.HoleName(h.Name()), words.HoleWork(h.Work), words.Known(h.Behind), words.Fixed(h.Beside, 2), words.Fixed(h.Move, 2),
		words.Size(h.OldDiameter), words.Size(h.Plug), words.Size(h.Pilot), words.Known(h.Ligament)))
	if h.Refused.Kind != remedy.NoRemark {
		s.add("    ", "CANNOT BE PLACED: "+words.Remark(h.Refused)+".")
	}
	if h.Work == remedy.Reuse {
		return
	}
	s.add("    ", words.Minding(h))
}

// DrillCSV writes a hole schedule exactly, in mm; x and y are of the assembled frame.
func DrillCSV(w io.Writer, d *Drilling) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"kit", "hole", "mark", "work", "old_x", "old_y", "new_x", "new_y", "behind_pocket_end", "beside_centre_line",
		"moved", "old_diameter", "plug", "bit", "shared", "straddles", "ligament", "next", "cavity", "edge", "old_hole", "depth", "warnings", "refused"}}
	for i := range d.Schedule.Holes {
		h := &d.Schedule.Holes[i]
		rows = append(rows, []string{
			d.Result.Kit, h.Feature.String(), strconv.Itoa(h.Mark), words.HoleWork(h.Work),
			number(h.Old.X), number(h.Old.Y), number(h.New.X), number(h.New.Y), number(h.Behind), number(h.Beside),
			number(h.Move), number(h.OldDiameter), number(h.Plug), number(h.Pilot), number(h.Shared), strconv.FormatBool(h.Straddles),
			number(h.Ligament), words.HoleName(h.Next), number(h.Cavity), number(h.Edge), words.Sight(h.Sight), words.Depth(h), strings.Join(words.Remarks(h), "; "), words.Remark(h.Refused),
		})
	}
	for _, row := range rows {
		for i := range row {
			row[i] = drillCell(row[i])
		}
	}
	return out.WriteAll(rows)
}

// drillCell makes a text harmless; numbers stay.
func drillCell(text string) string {
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return text
	}
	return noFormula(text)
}

func number(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}
