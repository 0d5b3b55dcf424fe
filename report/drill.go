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
)

// Drilling is a hole schedule and what it belongs to.
type Drilling struct {
	Result   *fit.Result
	Plan     *remedy.Plan
	Number   int // of the plan, from 1; 1 is the recommended one
	Schedule *remedy.Schedule
}

// DrillText writes a hole schedule for people, within 100 columns.
func DrillText(w io.Writer, d *Drilling) error {
	s := &sheet{}
	s.add("", fmt.Sprintf("%s: %s.", harmless(d.Result.Kit), drillHeadline(d)))
	if d.Number > 1 {
		s.add("", fmt.Sprintf("This is plan %d, %s. The recommended plan is another: neckfit remedy tells.", d.Number, d.Plan.Brief()))
	}
	s.section("")
	s.lines = append(s.lines, drillRow("hole", "do", "behind", "beside", "moved", "old", "plug", "bit", "wood left"))
	for i := range d.Schedule.Holes {
		s.hole(&d.Schedule.Holes[i])
	}
	s.section("")
	s.add("", "Behind: mm behind the pocket's end. Beside: mm from the neck's centre line, positive toward treble. Moved: mm from the old hole. "+
		"Old, plug, bit: diameters in mm. Wood left: mm to the nearest other hole.")
	for _, n := range d.Schedule.Notes {
		s.add("", harmless(n)+".")
	}
	return writeLines(w, append(s.lines, remedyCautions()...))
}

func drillHeadline(d *Drilling) string {
	count := map[remedy.HoleWork]int{}
	for i := range d.Schedule.Holes {
		count[d.Schedule.Holes[i].Work]++
	}
	text := fmt.Sprintf("%d holes: %d plugged and drilled anew, %d drilled fresh, %d used as they are",
		len(d.Schedule.Holes), count[remedy.PlugFirst], count[remedy.Fresh], count[remedy.Reuse])
	if n := d.Schedule.Refusals; n > 0 {
		text = fmt.Sprintf("%d of the holes cannot be placed, do not drill; ", n) + text
	}
	return text
}

func drillRow(cells ...string) string {
	line := pad(cells[0], 17) + pad(cells[1], 15)
	for i, c := range cells[2:] {
		line += padLeft(c, []int{9, 9, 8, 8, 8, 8, 11}[i])
	}
	return strings.TrimRight(line, " ")
}

// hole is a line of the schedule and what is to be minded at the hole.
func (s *sheet) hole(h *remedy.Hole) {
	s.lines = append(s.lines, drillRow(h.Name(), h.Work.String(), known(h.Behind), fixed(h.Beside, 2), fixed(h.Move, 2),
		size(h.OldDiameter), size(h.Plug), size(h.Pilot), known(h.Ligament)))
	if h.Refused != "" {
		s.add("    ", "CANNOT BE PLACED: "+h.Refused+".")
	}
	if h.Work == remedy.Reuse {
		return
	}
	s.add("    ", minding(h))
}

// minding is what is to be said of a hole besides its numbers.
func minding(h *remedy.Hole) string {
	list := []string{h.Depth}
	if h.Shared > 0 {
		list = append(list, fmt.Sprintf("%.0f %% of it lies in the old hole", 100*h.Shared))
	}
	if h.FaceGrain {
		list = append(list, "face-grain plug of the same wood")
	}
	if h.Hidden != "" {
		list = append(list, "the old hole is "+h.Hidden)
	}
	if !math.IsInf(h.Cavity, 1) {
		list = append(list, fmt.Sprintf("%.1f mm to a cavity", h.Cavity))
	}
	if !math.IsInf(h.Edge, 1) {
		list = append(list, fmt.Sprintf("%.1f mm to the edge", h.Edge))
	}
	return harmless(strings.Join(append(list, h.Warnings...), "; ")) + "."
}

// known writes a number that may be missing.
func known(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "-"
	}
	return fixed(x, 2)
}

// size writes a diameter; nought is none.
func size(x float64) string {
	if x == 0 {
		return "-"
	}
	return fixed(x, 2)
}

// DrillCSV writes a hole schedule exactly, in mm; x and y are of the assembled frame.
func DrillCSV(w io.Writer, d *Drilling) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"kit", "hole", "mark", "work", "old_x", "old_y", "new_x", "new_y", "behind_pocket_end", "beside_centre_line",
		"moved", "old_diameter", "plug", "bit", "shared", "straddles", "ligament", "next", "cavity", "edge", "old_hole", "depth", "warnings", "refused"}}
	for i := range d.Schedule.Holes {
		h := &d.Schedule.Holes[i]
		rows = append(rows, []string{
			d.Result.Kit, h.Feature.String(), strconv.Itoa(h.Mark), h.Work.String(),
			number(h.Old.X), number(h.Old.Y), number(h.New.X), number(h.New.Y), number(h.Behind), number(h.Beside),
			number(h.Move), number(h.OldDiameter), number(h.Plug), number(h.Pilot), number(h.Shared), strconv.FormatBool(h.Straddles),
			number(h.Ligament), h.Next, number(h.Cavity), number(h.Edge), h.Hidden, h.Depth, strings.Join(h.Warnings, "; "), h.Refused,
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
