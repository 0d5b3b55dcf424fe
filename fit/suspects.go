package fit

import "neckfit/measure"

// suspects are the readings behind the rows that adjust finds out of line. Nothing is dropped for it.
func (a *assembly) suspects() []Suspect {
	var list []Suspect
	for _, s := range a.fit.Suspects() {
		r := a.Source[s.Row]
		if r == nil {
			continue
		}
		read := a.Problem.Rows[s.Row].Value
		if r.Datum == measure.DatumEdgeTreble && read < 0 { // its row counts outward
			read, s.Error = -read, -s.Error
		}
		list = append(list, Suspect{
			Reading: r, W: s.W, Critical: s.Critical,
			Read: read, Expected: read - s.Error,
		})
	}
	return list
}

// warnings are what the reader of the report should know before trusting it.
func (a *assembly) warnings() []Warning {
	var list []Warning
	if a.NoCircle {
		list = append(list, Warning{Kind: NoCircle})
	}
	if a.AlongNeck {
		list = append(list, Warning{Kind: AlongNeck})
	}
	if a.fit.Scale > 1 && a.fit.PValue < 0.05 {
		list = append(list, Warning{Kind: ScaledUp, Ratio: a.fit.Scale})
	}
	if a.Strings > 0 && !a.compensated() {
		list = append(list, Warning{Kind: NoCompensation, Strings: a.Strings})
	}
	return list
}
