package fit

import (
	"fmt"

	"neckfit/measure"
)

// suspects puts the rows that adjust finds out of line into words. Nothing is dropped for it.
func (a *assembly) suspects() []Suspect {
	var list []Suspect
	for _, s := range a.fit.Suspects() {
		r := a.source[s.Row]
		if r == nil {
			continue
		}
		read := a.problem.Rows[s.Row].Value
		if r.Datum == measure.DatumEdgeTreble && read < 0 { // its row counts outward
			read, s.Error = -read, -s.Error
		}
		list = append(list, Suspect{
			What: r.Describe(), Place: r.Place, W: s.W, Critical: s.Critical,
			Read: read, Expected: read - s.Error,
		})
	}
	return list
}

// warnings are what the reader of the report should know before trusting it.
func (a *assembly) warnings() []string {
	var list []string
	if a.fit.Scale > 1 && a.fit.PValue < 0.05 {
		list = append(list, fmt.Sprintf(
			"the readings differ among themselves by %.1f times what their gauges claim; all uncertainties are raised by as much", a.fit.Scale))
	}
	if a.strings > 0 && !a.compensated() {
		list = append(list, fmt.Sprintf("no compensation is built in for %d strings: saddle reserves are for the bare scale length (strings.csv sets it)", a.strings))
	}
	return list
}
