package adjust

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The factor on standard deviations is taken from the scatter beyond the printed upper quantiles of chi-square: 20 % from four degrees of
// freedom on, 1 % below. Of deviations that are only relative it always is, and without redundancy never.
func TestBirgesFactor(t *testing.T) {
	for dof, quantile := range map[int]float64{1: 6.635, 2: 9.210, 3: 11.345, 4: 5.989, 5: 7.289, 10: 13.442, 30: 36.250} {
		for _, by := range []float64{0.99, 1.01} {
			s := spread{chi2: by * quantile, dof: dof}
			s.birge(false)
			want := 1.0
			if by > 1 {
				want = math.Sqrt(s.chi2 / float64(dof))
			}
			near(t, "factor", s.scale, want, 1e-12)
		}
		for _, chi2 := range []float64{0, 0.5 * float64(dof), 40} {
			s := spread{chi2: chi2, dof: dof}
			s.birge(true)
			near(t, "relative factor", s.scale, math.Sqrt(chi2/float64(dof)), 1e-12)
		}
	}
	for _, relative := range []bool{false, true} {
		s := spread{chi2: 100}
		if s.birge(relative); s.scale != 1 {
			t.Errorf("without redundancy the factor is %v", s.scale)
		}
	}
}

// Welch and Satterthwaite: the variance squared over the sum of squares of each estimated part over its degrees of freedom. Of two
// thousand and more there is no end.
func TestDegreesOfFreedomOfASum(t *testing.T) {
	a, b, fixed := spread{by: 4, scale: 2}, spread{by: 10, scale: 3}, spread{by: 7, scale: 1}
	spent := 0.0
	variance := a.scaled(0.01, &spent) + b.scaled(0.02, &spent) + fixed.scaled(0.05, &spent)
	near(t, "variance", variance, 0.04+0.18+0.05, 1e-15)
	u := Uncertainty{Independent: math.Sqrt(variance), Common: []float64{0.3, -0.4}, Doubt: 0.6}
	u.total(spent)
	all := 0.27 + 0.25 + 0.36
	near(t, "standard uncertainty", u.Std, math.Sqrt(all), 1e-15)
	near(t, "degrees of freedom", u.DOF, all*all/(0.04*0.04/4+0.18*0.18/10), 1e-10)
	for dof, want := range map[float64]float64{1999: 1999, 2001: 0, 1: 1} {
		u := Uncertainty{Independent: 1}
		u.total(1 / dof)
		near(t, "many degrees of freedom", u.DOF, want, 1e-9)
	}
}

// readAgain is one quantity read so often with a standard deviation of 1: first so far off the others' mean that Baarda's ratio is w,
// and the others in pairs that scatter by chi2 in all about it.
func readAgain(n int, w, chi2 float64) *Problem {
	p := &Problem{Start: []float64{0}}
	others := float64(n - 1)
	pairs := (n - 1) / 2
	a := math.Sqrt(chi2 / float64(2*pairs))
	p.Rows = append(p.Rows, Row{Value: w * math.Sqrt((others+1)/others), Sigma: 1, Terms: []Term{{0, 1}}})
	for k := range n - 1 {
		value := []float64{a, -a}[k%2]
		if k == 2*pairs {
			value = 0
		}
		p.Rows = append(p.Rows, Row{Value: value, Sigma: 1, Terms: []Term{{0, 1}}})
	}
	return p
}

// When an error is named: beyond the normal quantile of 0.02 spread over all rows that can be judged; where the others do not agree with
// their deviations, with chi-square's chance below 0.05, beyond Pope's value too, or 8 deviations and five times what is left.
func TestWhenAnErrorIsNamed(t *testing.T) {
	critical := func(n float64, alpha float64) float64 {
		return distuv.UnitNormal.Quantile(1 - (1-math.Pow(1-alpha, 1/n))/2)
	}
	for _, c := range []struct {
		what  string
		p     *Problem
		alpha float64
		named bool
		held  float64 // against; 0 for Pope's
	}{
		{"below the quantile", readAgain(12, 0.99*critical(12, 0.02), 5), 0, false, 0},
		{"beyond it", readAgain(12, 1.01*critical(12, 0.02), 5), 0, true, critical(12, 0.02)},
		{"below another's", readAgain(12, 0.99*critical(12, 0.1), 5), 0.1, false, 0},
		{"beyond another's", readAgain(12, 1.01*critical(12, 0.1), 5), 0.1, true, critical(12, 0.1)},
		// chi-square of 10 degrees of freedom has 0.05 above 18.307; Pope would want 5.2
		{"the others just agree", readAgain(12, 5, 18.2), 0, true, critical(12, 0.02)},
		{"the others just do not", readAgain(12, 5, 18.4), 0, false, 0},
		{"but Pope is met", readAgain(12, 6, 18.4), 0, true, 0},
		// Pope would want 8.04; 8^2 times 5 is 320, and 25 times 12.5 is 313
		{"nearly 8 deviations", readAgain(7, 7.98, 12.5), 0, false, 0},
		{"8 deviations", readAgain(7, 8.02, 12.5), 0, true, critical(7, 0.02)},
		// Pope would want 9.3; 9^2 times 2 is 162, and 25 times 6.48 is that
		{"five times what is left", readAgain(4, 9, 6.3), 0, true, critical(4, 0.02)},
		{"nearly five times", readAgain(4, 9, 6.6), 0, false, 0},
	} {
		s := mustSolve(t, c.p, Options{Alpha: c.alpha})
		found := s.Suspects()
		if len(found) != 0 != c.named {
			t.Errorf("%s: named %v", c.what, found)
			continue
		}
		known := mustSolve(t, c.p, Options{Alpha: c.alpha, KnownScale: true}).Suspects() // then the others' scatter does not count
		if len(known) != 0 != (c.named || c.held == 0 && math.Abs(c.p.Rows[0].Value) > 4) {
			t.Errorf("%s, the scale known: named %v", c.what, known)
		}
		if !c.named {
			continue
		}
		w := c.p.Rows[0].Value / math.Sqrt(float64(len(c.p.Rows))/float64(len(c.p.Rows)-1))
		near(t, c.what+": w", found[0].W, w, 1e-12)
		near(t, c.what+": error", found[0].Error, c.p.Rows[0].Value, 1e-12) // the others' mean is 0
		if c.held == 0 {
			n := len(c.p.Rows)
			before := s.ChiSquare / float64(n-1)
			c.held = popeTau(1-math.Pow(0.98, 1/float64(n)), n-1) * math.Sqrt(before)
		}
		near(t, c.what+": held against", found[0].Critical, c.held, 1e-9)
		if found[0].Row != 0 || found[0].Place || len(found) != 1 {
			t.Errorf("%s: found %+v", c.what, found)
		}
	}
}

// What is surely no scatter does not raise the factor, but by as much as it moves what hangs on it is in doubt; what may be scatter is
// counted as that. Of each, the uncertainty by hand.
func TestWhatAnErrorAddsToTheUncertainty(t *testing.T) {
	for _, c := range []struct {
		what    string
		p       *Problem
		scatter bool
	}{
		{"8 deviations and more", readAgain(7, 8.02, 12.5), false},
		{"beyond Pope's", readAgain(12, 5.6, 12), false},
		{"beyond the normal quantile only", readAgain(12, 3.3, 16), true},
	} {
		s := mustSolve(t, c.p, Options{})
		if len(s.Suspects()) != 1 {
			t.Fatalf("%s: named %v", c.what, s.Suspects())
		}
		n := float64(len(c.p.Rows))
		moves := c.p.Rows[0].Value / n // of the mean
		chi2, dof := s.ChiSquare, n-1
		if c.scatter {
			moves = 0
		} else {
			chi2, dof = chi2-s.Suspects()[0].W*s.Suspects()[0].W, dof-1
		}
		scale := max(1, math.Sqrt(chi2/dof))
		if survival(chi2, int(dof)) >= 0.2 {
			scale = 1
		}
		u := s.Uncertainty([]float64{1})
		near(t, c.what+": moves", s.Suspects()[0].Moves([]float64{2}), 2*moves, 1e-12)
		near(t, c.what+": doubt", u.Doubt, math.Abs(moves), 1e-12)
		near(t, c.what+": independent", u.Independent, scale/math.Sqrt(n), 1e-12)
		near(t, c.what+": factor", s.ScaleOf(1), scale, 1e-12)
		near(t, c.what+": variance", s.Covariance([]float64{1}, []float64{1}), u.Std*u.Std, 1e-12)
		near(t, c.what+": variance among several", s.Covariances([][]float64{{1}})[0][0], u.Std*u.Std, 1e-12)
	}
}

// Two errors are rivals when chi-square would be less than 6 longer with the other set aside, and half of the squares of what they do to
// the residuals is common. Three rows of one unknown whose column is (a, a, b) of length 1: what two rows alike show has the cosine
// a^2 / (1 - a^2), so that with d for the misfit chi-square is longer by d^2 (1 - cos^2).
func TestWhenTwoErrorsAreRivals(t *testing.T) {
	for _, c := range []struct {
		square, w, alpha float64
		rivals           int
	}{
		{0.42, 3.50, 0, 1}, {0.42, 3.60, 0, 0}, // 0.524 in common; 5.83 and 6.17
		{0.40, 3.20, 0, 0}, {0.416, 3.20, 0, 1}, // 0.444 and 0.507 in common
		{0.42, 2, 0.5, 1},
	} {
		a, b := math.Sqrt(c.square), math.Sqrt(1-2*c.square)
		p := &Problem{Start: []float64{0, 0}, Rows: []Row{
			{Value: 5, Sigma: 1, Terms: []Term{{0, 1}, {1, 1}}}, // all that tells the second, and so no rival of anything
			{Value: c.w / math.Sqrt(1-c.square), Sigma: 1, Terms: []Term{{0, a}}}, {Value: 0, Sigma: 1, Terms: []Term{{0, a}}}, {Value: 0, Sigma: 1, Terms: []Term{{0, b}}},
		}}
		found := mustSolve(t, p, Options{Alpha: c.alpha}).Suspects()
		if len(found) != 1 || found[0].Row != 1 || len(found[0].Rivals) != c.rivals {
			t.Fatalf("%v, misfit %v: %+v", c.square, c.w, found)
		}
		near(t, "w", found[0].W, c.w, 1e-12)
		if c.rivals > 0 {
			// With row 2 set aside instead rows 1 and 3 alone tell x: what row 2 then is out by.
			x := a * p.Rows[1].Value / (a*a + b*b)
			if r := found[0].Rivals[0]; r.Row != 2 || r.Place {
				t.Errorf("the rival is %+v", r)
			}
			near(t, "a rival's error", found[0].Rivals[0].Error, -a*x, 1e-12)
		}
	}
}

// No more than five errors are named in one set, the worst first.
func TestFiveSuspectsAtMost(t *testing.T) {
	p := &Problem{Start: []float64{0}}
	for i := range 30 {
		row := Row{Value: 0.01 * float64(i%3), Sigma: 1, Terms: []Term{{0, 1}}}
		if i < 6 {
			row.Value = math.Pow(10, float64(7-i))
		}
		p.Rows = append(p.Rows, row)
	}
	found := mustSolve(t, p, Options{}).Suspects()
	if len(found) != 5 {
		t.Fatalf("%d named", len(found))
	}
	for i, f := range found {
		if f.Row != i {
			t.Errorf("suspect %d is row %d", i, f.Row)
		}
	}
}

// A row whose redundancy is below a millionth cannot be judged, and is not counted among those that are; all rows of one
// degree of freedom are one test.
func TestHardlyRedundantRows(t *testing.T) {
	for redundancy, row := range map[float64]int{1.05e-6: 0, 0.95e-6: 1} {
		for others := 1.0; others <= 2; others++ {
			p := &Problem{Start: []float64{0, 0}, Rows: []Row{
				{Value: 0, Sigma: math.Sqrt(redundancy / (1 - redundancy) / others), Terms: []Term{{0, 1}}}, {Value: 9, Sigma: 1, Terms: []Term{{0, 1}}},
				{Value: 9, Sigma: 1, Terms: []Term{{1, 1}}}, // none
			}}
			judged := 1.0
			if others == 2 {
				p.Rows = append(p.Rows, Row{Value: -8, Sigma: 1, Terms: []Term{{0, 1}}})
				judged = 3 - float64(row)
			}
			found := mustSolve(t, p, Options{KnownScale: true}).Suspects()
			if len(found) == 0 || found[0].Row != []int{row, 1}[int(others)-1] {
				t.Fatalf("redundancy %g: %+v", redundancy, found)
			}
			near(t, "held against", found[0].Critical, distuv.UnitNormal.Quantile(1-(1-math.Pow(0.98, 1/judged))/2), 1e-12)
		}
	}
}

// Repeated medians by hand: of (0, 0), (1, 1), (2, 4) the slopes at each point have the medians 1.5, 2 and 2.5. On a line of seven points
// two that are spoilt move nothing, whichever they are; moved and tilted points move and tilt it.
func TestMedianLine(t *testing.T) {
	check := func(what string, points []Point, a, b float64) {
		t.Helper()
		gotA, gotB := MedianLine(points)
		near(t, what+": a", gotA, a, 1e-12)
		near(t, what+": b", gotB, b, 1e-12)
	}
	check("three", []Point{{2, 4}, {0, 0}, {1, 1}}, 0, 2)
	check("tilted and moved", []Point{{2, 4 + 6 + 5}, {0, 5}, {1, 1 + 3 + 5}}, 5, 5)
	check("stretched", []Point{{20, 4}, {0, 0}, {10, 1}}, 0, 0.2)
	check("two", []Point{{1, 3}, {3, 4}}, 2.5, 0.5)
	check("one", []Point{{4, 7}}, 7, 0)
	check("at one x", []Point{{4, 7}, {4, 9}, {4, 8}}, 8, 0)
	check("two at one x", []Point{{0, 1}, {0, 3}, {2, 6}}, 2, 2) // slopes 2.5; 1.5; 2.5 and 1.5: 2; then 1, 3 and 2
	for spoilt := range 4 {
		points := []Point{{0, 1}, {1, 3}, {2, 5}, {5, 11}, {6, 13}, {9, 19}, {12, 25}}
		for k := range 2 {
			points[(2*k+spoilt)%7].Y += float64(50 * (k + 1))
		}
		check("spoilt", points, 1, 2)
	}
	for _, c := range []struct {
		values []float64
		want   float64
	}{{[]float64{3}, 3}, {[]float64{3, 1}, 2}, {[]float64{9, 1, 4}, 4}, {[]float64{9, 1, 4, 2}, 3}} {
		if got := Median(c.values); got != c.want {
			t.Errorf("median %v, want %v", got, c.want)
		}
	}
}

// byPlaces is one quantity read at places, each so often: a place's rows read its deviation and their own.
func byPlaces(form, sigma float64, deviations []float64, reads [][]float64) (*Problem, [][]int) {
	p, rows := &Problem{Start: []float64{0}}, make([][]int, len(reads))
	for k, list := range reads {
		p.Places = append(p.Places, form)
		for _, read := range list {
			rows[k] = append(rows[k], len(p.Rows))
			p.Rows = append(p.Rows, Row{Value: 40 + deviations[k] + read, Sigma: sigma, Place: k + 1, Terms: []Term{{0, 1}}})
		}
	}
	return p, rows
}

// How gauges scatter is told by the rows of one place about their mean, and a place's deviation is as sure as they are. Of a place one of
// whose rows was misread nothing is told of that.
func TestScatterOfThePlacesWithoutAMisreadRow(t *testing.T) {
	reads := [][]float64{{0, 0, 0}, {0.2, 0, -0.2}, {0.25, -0.25, 0}, {0.1, -0.2, 0.1}}
	for _, misread := range []float64{0, 3, -3} {
		reads[0][1] = misread
		p, rows := byPlaces(0.3, 0.1, []float64{0.1, -0.2, 0.3, 0}, reads)
		s := mustSolve(t, p, Options{Alpha: 1e-3})
		found := s.Suspects()
		if len(found) > 0 != (misread != 0) || misread != 0 && (len(found) != 1 || found[0].Row != 1 || found[0].Place) {
			t.Fatalf("misread by %v: %+v", misread, found)
		}
		chi2 := (0.04 + 0.04 + 0.0625 + 0.0625 + 0.01 + 0.04 + 0.01) / 0.01 // about means of 0
		dof := 6.0
		if misread == 0 {
			dof = 8 // the first place agrees with itself
		}
		scale := math.Sqrt(chi2 / dof)
		// The four places weigh alike: a deviation is 3/4 of its own mean's error and 1/4 of each of three others'.
		claimed := 0.1 / math.Sqrt(3) * math.Sqrt(9.0/16+3.0/16)
		value, u := s.Deviation(rows[2])
		near(t, "deviation", value, 0.3-(0.1-0.2+0.3+misread/3)/4, 1e-12)
		near(t, "its uncertainty", u.Independent, scale*claimed, 1e-12)
		near(t, "its degrees of freedom", u.DOF, dof, 1e-9)
	}
}

// A place that leaves the form is named as one, with all its rows, and not each of them; how far it does is its rows' mean less what the
// other places say. Of a place read once the row is named.
func TestAPlaceThatLeavesTheForm(t *testing.T) {
	p, rows := byPlaces(0.1, 0.02, []float64{2, 0, 0.1, -0.1, 0}, [][]float64{{0.01, -0.01}, {0.01, -0.01}, {0.01, -0.01}, {0.01, -0.01}, {0}})
	found := mustSolve(t, p, Options{}).Suspects()
	if len(found) != 1 || found[0].Row != rows[0][0] || !found[0].Place || len(found[0].Rivals) != 0 {
		t.Fatalf("%+v", found)
	}
	variance := 0.01 + 0.0002 // of a place's mean; the last place's is 0.01 + 0.0004
	weights := 3/variance + 1/0.0104
	near(t, "error", found[0].Error, 2, 1e-9) // the others' mean is 0
	near(t, "w", found[0].W, 2/math.Sqrt(variance+1/weights), 1e-9)
	p, rows = byPlaces(0.1, 0.02, []float64{0, 0, 0.1, -0.1, 2}, [][]float64{{0.01, -0.01}, {0.01, -0.01}, {0.01, -0.01}, {0.01, -0.01}, {0}})
	if found = mustSolve(t, p, Options{}).Suspects(); len(found) != 1 || found[0].Row != rows[4][0] || found[0].Place {
		t.Fatalf("%+v", found)
	}
}

// A further unknown is estimated from the components that its column touches, places and common causes included, as if it had been there;
// the others, whose deviations may be scaled, have no part in it.
func TestAddedTouchesItsComponents(t *testing.T) {
	for _, o := range []Options{{}, {UnknownScale: true}} {
		p, rows := byPlaces(0.1, 0.05, []float64{0.1, -0.05, 0.02, 0}, [][]float64{{0.05, -0.1}, {0, 0.02, 0.04}, {0.03}, {-0.02, 0}})
		p.Start, p.Causes = append(p.Start, 0, 0), []float64{0.2, 0.7}
		for k, wild := range []float64{3, -3, 2, -2, 4, -5} { // ten times as claimed
			p.Rows = append(p.Rows, Row{Value: wild, Sigma: 0.3, Terms: []Term{{1 + k%2, 1}}, Shifts: []Shift{{1, 1}}})
		}
		for i := range p.Rows[:4] {
			p.Rows[i].Shifts = []Shift{{0, 1 + float64(i)}}
		}
		col := make([]float64, len(p.Rows))
		for k, list := range rows { // the same for all rows of a place
			for _, i := range list {
				col[i] = float64(k*k) + 1
			}
		}
		value, u, _, ok := mustSolve(t, p, o).Added(col)
		only := *p
		only.Start, only.Rows = []float64{0, 0}, nil
		for i := range 8 {
			row := p.Rows[i]
			row.Terms = []Term{{0, 1}, {1, col[i]}}
			only.Rows = append(only.Rows, row)
		}
		full := mustSolve(t, &only, o)
		want := full.Uncertainty([]float64{0, 1})
		if !ok {
			t.Fatal("four places do not determine it")
		}
		near(t, "value", value, full.X[1], 1e-9)
		for what, pair := range map[string][2]float64{
			"uncertainty": {u.Std, want.Std}, "independent": {u.Independent, want.Independent}, "one cause": {u.Common[0], want.Common[0]},
			"the other cause": {u.Common[1], 0}, "degrees of freedom": {u.DOF, want.DOF},
		} {
			near(t, what, pair[0], pair[1], 1e-9*(1+math.Abs(pair[1])))
		}
	}
	s := mustSolve(t, readAgain(6, 0.5, 3), Options{})
	for off, ok := range map[float64]bool{1.2e-9: true, 0.8e-9: false} { // of the column's length beside one that is there
		col := []float64{1 + 0.5*off*math.Sqrt(6), 1, 1, 1 - 0.5*off*math.Sqrt(6), 1, 1}
		col[0] += off * math.Sqrt(6) * (1/math.Sqrt2 - 0.5)
		col[3] -= off * math.Sqrt(6) * (1/math.Sqrt2 - 0.5)
		if _, _, _, got := s.Added(col); got != ok {
			t.Errorf("a column %g off: %v", off, got)
		}
	}
}

// A plane and a line are what they are read as at their places.
func TestTermsOfLinesAndPlanes(t *testing.T) {
	x := []float64{7, 0.5, -0.25}
	for _, c := range []struct {
		terms []Term
		want  float64
	}{{OnLine(0, 1, 100, 104), 9}, {Side{A: 0, B: 2, C: 10}.On(6), 8}, {OnPlane(0, 1, 2, 6, 4), 9}} {
		sum := 0.0
		for _, term := range c.terms {
			sum += term.Coef * x[term.Unknown]
		}
		near(t, "what is read", sum, c.want, 1e-15)
	}
}

// A quantity is determined when less than a millionth of its gradient lies along a free direction, in whatever unit. Of a line read at one
// place, x from the centre, the gradients (1, x) are, and what is across them is not.
func TestHowNearlyDetermined(t *testing.T) {
	for _, x := range []float64{1, -30} {
		s := mustSolve(t, &Problem{Start: []float64{0, 0}, Rows: []Row{{Value: 13, Sigma: 0.1, Terms: OnLine(0, 1, 0, x)}}}, Options{})
		for _, unit := range []float64{1e-4, 1, 1e4} {
			for off, ok := range map[float64]bool{0: true, 0.9e-6: true, 1.1e-6: false, 1: false} {
				// Scaled by the columns' lengths, 1 and |x|, both parts of (1, x) count alike: across it lies (1, -1).
				g := []float64{unit * (1 + off), unit * x * (1 - off)}
				if s.Estimable(g) != ok {
					t.Errorf("at %v, in units of %v, off by %v: estimable %v", x, unit, off, !ok)
				}
			}
		}
	}
}

// Where one direction is free the condition is that of the others: of rows three times as strong one way as the other it is three.
func TestConditionBesideAFreeDirection(t *testing.T) {
	a, b := 6/math.Sqrt(3), 2/math.Sqrt2
	p := &Problem{Start: make([]float64, 3), Reach: []float64{1, 1, 1}, Rows: []Row{
		{Value: 1, Sigma: 1, Terms: []Term{{0, a}, {1, a}, {2, a}}}, {Value: 1, Sigma: 1, Terms: []Term{{0, b}, {1, -b}}},
	}}
	s := mustSolve(t, p, Options{})
	near(t, "condition", s.Condition, 3, 1e-12)
	if len(s.Null) != 1 {
		t.Errorf("%d free directions", len(s.Null))
	}
}

// Of exact rows nothing is left that would make a further unknown unsure where deviations are only relative; one that the columns have
// already comes out as nothing.
func TestAddedToExactRows(t *testing.T) {
	p := edges(func() float64 { return 0 })
	p.Rows, p.Causes = p.Rows[:8], nil
	col := make([]float64, 8)
	for i := range p.Rows {
		p.Rows[i].Shifts, col[i] = nil, float64(i*i)
	}
	s := mustSolve(t, p, Options{UnknownScale: true})
	value, u, _, ok := s.Added(col)
	near(t, "value", value, 0, 1e-12)
	if near(t, "uncertainty", u.Std, 0, 1e-9); !ok {
		t.Error("eight rows do not determine it")
	}
	if value, _, _, ok := s.Added([]float64{1, 1, 1, 1, 0, 0, 0, 0}); ok || value != 0 {
		t.Errorf("what is there already comes to %v", value)
	}
}
