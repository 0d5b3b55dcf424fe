package report

import "strings"

// grid lays out rows of cells in columns as wide as they must be, two spaces apart. Columns whose
// letter in align is r are set to the right. Lines are no longer than 100 columns: the last cell of
// a row is wrapped under itself.
func grid(align string, rows [][]string) []string {
	wide := make([]int, len(align))
	for _, r := range rows {
		for i, cell := range r {
			wide[i] = max(wide[i], width(cell))
		}
	}
	var lines []string
	for _, r := range rows {
		first := ""
		for i, cell := range r[:len(r)-1] {
			if align[i] == 'r' {
				cell = padLeft(cell, wide[i])
			}
			first += pad(cell, wide[i]) + "  "
		}
		last := r[len(r)-1]
		if align[len(r)-1] == 'r' {
			last = padLeft(last, wide[len(r)-1])
			lines = append(lines, strings.TrimRight(clip(first+last, columns), " "))
			continue
		}
		lines = append(lines, wrap(first, last)...)
	}
	return lines
}
