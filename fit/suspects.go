package fit

import (
	"math"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// suspects are the readings behind the rows that adjust finds out of line. Nothing is dropped for it. A place that reads the
// same again is no reading to doubt: the part is off there.
func (a *assembly) suspects() (list []Suspect, crooked []Warning) {
	for _, s := range a.fit.Suspects() {
		row, err, astray, own := s.Row, s.Error, s.Place, -1
		r := a.ReadingOf(row)
		if r == nil {
			continue
		}
		if r != a.Source[row] { // the place itself, by its row that says how far it may be from the line
			row, err, astray, own = slices.Index(a.Source, r), -err, true, a.Problem.Rows[row].Terms[0].Unknown
		}
		read := a.Problem.Rows[row].Value
		if _, outward := a.cell(row); outward {
			read, err = -read, -err
		}
		out := Suspect{Reading: r, W: s.W, Critical: s.Critical, Read: read, Expected: read - err, Crooked: astray || a.onlyRowOf(row)}
		if astray {
			if w, ok := a.offThere(&s, row, own, err); ok {
				crooked = append(crooked, w)
				continue
			}
		}
		for _, rival := range s.Rivals {
			other := a.ReadingOf(rival.Row)
			if other == r || rival.Place && a.Problem.Rows[rival.Row].Place == a.Problem.Rows[row].Place {
				out.Crooked = true
			}
			if other != nil && other != r && !slices.Contains(out.Rivals, other) {
				out.Rivals = append(out.Rivals, other)
			}
		}
		list = append(list, out)
	}
	return list, crooked
}

// offThere tells whether a place astray by so many mm reads so again, row being one of its own and its deviation from the line either
// what its rows share or an unknown: then no reading may be wrong instead.
func (a *assembly) offThere(s *adjust.Suspect, row, deviation int, err float64) (Warning, bool) {
	place := a.Problem.Rows[row].Place
	its := func(i int) bool {
		if s.Place && a.Problem.Rows[i].Place == place {
			return true
		}
		return deviation >= 0 && slices.ContainsFunc(a.Problem.Rows[i].Terms, func(t adjust.Term) bool { return t.Unknown == deviation })
	}
	for _, o := range s.Rivals {
		if !o.Place && !its(o.Row) {
			return Warning{}, false
		}
	}
	w := Warning{Kind: OffThere, Ratio: err}
	for i, r := range a.Source {
		if r != nil && its(i) && !slices.Contains(w.Readings, r) {
			w.Readings = append(w.Readings, r)
		}
	}
	return w, s.Place || len(w.Readings) > 1
}

// note notes a characteristic of which this is a gradient with the suspects that move it: their places' rows, were they as
// the others say.
func (a *assembly) note(list []Suspect, c *Characteristic, gradient []float64, f *finding) {
	const notable = 0.1  // of a standard uncertainty: less is nothing that reading again could show
	if f.direct != nil { // as its row's fitted value moves, that row being left out
		gradient = make([]float64, len(gradient))
		for _, t := range a.Problem.Rows[f.direct.row].Terms {
			gradient[t.Unknown] += t.Coef / a.fit.Redundancy(f.direct.row)
		}
	}
	for i := range list {
		s := &list[i]
		if slices.Contains(s.Moves, c.ID) {
			continue
		}
		sensitivity, by, place := a.fit.Sensitivity(gradient, nil), 0.0, 0
		for row, r := range a.Source {
			if r == s.Reading {
				place = a.Problem.Rows[row].Place
			}
			if r == s.Reading || r != nil && place != 0 && a.Problem.Rows[row].Place == place {
				by += sensitivity[row] * (s.Read - s.Expected)
			}
		}
		its := slices.ContainsFunc(f.form, func(d deviation) bool {
			return d.reading != nil && d.reading.Feature == s.Reading.Feature && d.reading.Datum == s.Reading.Datum
		})
		if its || math.Abs(by) > notable*c.StdUncertainty {
			s.Moves = append(s.Moves, c.ID)
		}
	}
}

// onlyRowOf tells whether a row is the only one of a place that may leave the ideal form.
func (a *assembly) onlyRowOf(row int) bool {
	place := a.Problem.Rows[row].Place
	if place == 0 || a.Problem.Places[place-1] == 0 {
		return false
	}
	for i := range a.Problem.Rows {
		if i != row && a.Problem.Rows[i].Place == place {
			return false
		}
	}
	return true
}

// warnings are what the reader of the report should know before trusting it.
func (a *assembly) warnings() []Warning {
	var list []Warning
	if len(a.Pasted) > 0 {
		list = append(list, Warning{Kind: PastedAgain, Readings: a.Pasted})
	}
	if a.NoCircle {
		list = append(list, Warning{Kind: NoCircle})
	}
	if a.AlongNeck {
		list = append(list, Warning{Kind: AlongNeck})
	}
	if a.untold != 0 {
		list = append(list, Warning{Kind: Fanned, Ratio: a.untold})
	}
	if a.fit.Scale > 1 && a.fit.PValue() < 0.05 {
		list = append(list, Warning{Kind: ScaledUp, Ratio: a.fit.Scale})
	}
	if builtInCompensation[a.Strings] == nil {
		for m := 1; m <= a.Strings; m++ {
			_, given := a.options.Compensation[m]
			if _, described := a.options.Specs[m]; !given && !described {
				list = append(list, Warning{Kind: NoCompensation, Strings: a.Strings})
				break
			}
		}
	}
	return list
}

// Residual is how far one number of a reading lies from what all readings together say.
type Residual struct {
	Reading  *measure.Reading
	Axis     measure.Kind // Station or Offset where a reading has both; NoKind where it has one number
	Residual float64      // mm, read less fitted
	W        float64      // over its standard deviation (Baarda), as for Suspect; 0 where Checked is false
	Checked  bool         // whether any other reading could show an error of this one
	Suspect  bool

	Placed bool    // whether X and Y are known
	X, Y   float64 // where it was read, mm in the frame of Geometry
}

// leastChecked is the redundancy below which a residual says nothing of its reading: an error
// would have to be a thousand times the residual to show.
const leastChecked = 1e-6

// residuals lists every number that was read and takes part in the fit, in the order of the
// equations, which is that of the readings. Odd are suspects that only their like tell.
func (a *assembly) residuals(odd []*measure.Reading) []Residual {
	suspect := map[int]bool{}
	for _, s := range a.fit.Suspects() {
		if suspect[s.Row] = true; a.Source[s.Row] == nil {
			odd = append(odd, a.ReadingOf(s.Row))
		}
	}
	list := make([]Residual, 0, len(a.Source))
	for i, r := range a.Source {
		if r == nil {
			continue
		}
		out := Residual{
			Reading: r, Axis: a.axisOf(i), Residual: a.fit.Residuals[i], Suspect: suspect[i] || slices.Contains(odd, r),
		}
		if out.Checked = a.fit.Redundancy(i) > leastChecked; out.Checked {
			out.W = a.fit.Normalised(i)
		}
		if _, outward := a.cell(i); outward {
			out.Residual, out.W = -out.Residual, -out.W
		}
		out.X, out.Y, out.Placed = a.spotOf(r)
		list = append(list, out)
	}
	return list
}

// axisOf tells the two rows of a point apart: its station comes first.
func (s *solved) axisOf(i int) measure.Kind {
	switch r := s.Source[i]; {
	case i+1 < len(s.Source) && s.Source[i+1] == r:
		return measure.Station
	case i > 0 && s.Source[i-1] == r:
		return measure.Offset
	}
	return measure.NoKind
}

// spotOf carries the place where a reading was taken into the assembled frame.
func (a *assembly) spotOf(r *measure.Reading) (x, y float64, ok bool) {
	if !r.HasStation || !r.HasOffset {
		return 0, 0, false
	}
	carry, ok := a.carrier(r.Datum, r.Feature)
	if !ok {
		return 0, 0, false
	}
	at := carry.Place(autodiff.Vector{X: autodiff.Constant(r.Station), Y: autodiff.Constant(r.Offset)})
	return at.X.Value, at.Y.Value, true
}
