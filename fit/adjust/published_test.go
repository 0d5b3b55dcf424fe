package adjust

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"
)

// published reads a file of testdata/published, whose README names the sources.
func published(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// sameDigits compares got with a printed value to half a unit of its last printed place, or to
// the given number of significant digits where that is less.
func sameDigits(t *testing.T, what string, got float64, printed string, most int) {
	t.Helper()
	want := number(t, printed)
	limit := max(halfLastPlace(t, printed), 0.5*math.Abs(want)*math.Pow(10, float64(1-most)))
	if math.Abs(got-want) > limit {
		t.Errorf("%s = %.16g, published %s (off by %.2g, allowed %.2g)", what, got, printed, got-want, limit)
	}
}

func halfLastPlace(t *testing.T, printed string) float64 {
	mantissa, exponent := printed, 0.0
	if at := strings.IndexAny(printed, "eE"); at >= 0 {
		mantissa, exponent = printed[:at], number(t, printed[at+1:])
	}
	places := 0
	if at := strings.IndexByte(mantissa, '.'); at >= 0 {
		places = len(mantissa) - at - 1
	}
	return 0.5 * math.Pow(10, exponent-float64(places)) * (1 + 1e-6) // the limit itself is a rounded number
}

func unit(n, j int) []float64 {
	g := make([]float64, n)
	g[j] = 1
	return g
}

// sd is the standard uncertainty of unknown j.
func sd(s *Solution, j int) float64 { return s.Uncertainty(unit(len(s.X), j)).Std }

type nistSet struct {
	Parameters int
	Model      string
	Data       [][]float64
	Certified  struct {
		Estimates          []string
		StandardDeviations []string `json:"standard_deviations"`
		ResidualSD         string   `json:"residual_sd"`
		DOF                int      `json:"df_residual"`
		SSResidual         string   `json:"ss_residual"`
	}
}

func (s nistSet) problem() *Problem {
	p := &Problem{Start: make([]float64, s.Parameters)}
	for _, d := range s.Data {
		row := Row{Value: d[0], Sigma: 1}
		for j := range s.Parameters {
			coef := 1.0
			switch {
			case len(d) == 2: // a polynomial
				coef = math.Pow(d[1], float64(j))
			case j > 0:
				coef = d[j]
			}
			row.Terms = append(row.Terms, Term{j, coef})
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

// NIST Statistical Reference Datasets, Linear Least Squares. Certified values have 15 digits;
// how many double precision keeps depends on the condition of the columns, which are taken as
// they come, without centring.
func TestNIST(t *testing.T) {
	for _, c := range []struct {
		file                  string
		estimates, deviations int // digits asked for
		exact                 bool
	}{
		{"norris", 14, 13, false},
		{"longley", 13, 11, false},
		{"wampler1", 14, 0, true},
		{"wampler2", 13, 0, true},
	} {
		t.Run(c.file, func(t *testing.T) {
			var set nistSet
			published(t, "nist_strd_"+c.file+".json", &set)
			s, err := Solve(set.problem(), Options{UnknownScale: true})
			if err != nil {
				t.Fatal(err)
			}
			if s.DOF != set.Certified.DOF {
				t.Errorf("DOF = %d, certified %d", s.DOF, set.Certified.DOF)
			}
			t.Logf("condition %.3g", s.Condition)
			for j := range s.X {
				sameDigits(t, fmt.Sprintf("estimate %d", j), s.X[j], set.Certified.Estimates[j], c.estimates)
				if !c.exact {
					sameDigits(t, fmt.Sprintf("sd %d", j), sd(s, j), set.Certified.StandardDeviations[j], c.deviations)
				} else if got := sd(s, j); got > 1e-13 { // exact data of size 1: some hundred roundings
					t.Errorf("sd %d = %g, certified 0", j, got)
				}
			}
			if !c.exact {
				sameDigits(t, "residual sd", s.Scale, set.Certified.ResidualSD, 13)
				sameDigits(t, "residual sum of squares", s.ChiSquare, set.Certified.SSResidual, 13)
			} else if s.Scale > 1e-9 { // values up to 3e6 have roundings of 5e-10
				t.Errorf("residual sd = %g, certified 0", s.Scale)
			}
		})
	}
}

// JCGM 100:2008 (GUM), annex H.3: calibration of a thermometer, with the correction at 30 degrees.
func TestGUMThermometer(t *testing.T) {
	var set struct {
		T         []float64 `json:"t_k"`
		B         []float64 `json:"b_k"`
		T0        float64
		Published struct {
			Y1, Y2, S   string
			SY1         string `json:"s_y1"`
			SY2         string `json:"s_y2"`
			Correlation string
			DOF         int
			B30         string `json:"b_30C"`
			U30         string `json:"u_b_30C"`
		}
	}
	published(t, "gum_h3_thermometer.json", &set)
	p := &Problem{Start: make([]float64, 2)}
	for i, at := range set.T {
		p.Rows = append(p.Rows, Row{Value: set.B[i], Sigma: 1, Terms: OnLine(0, 1, set.T0, at)})
	}
	f := mustSolve(t, p, Options{UnknownScale: true})
	at30 := []float64{1, 30 - set.T0}
	u1, u2 := unit(2, 0), unit(2, 1)
	for _, v := range []struct {
		what string
		got  float64
		want string
	}{
		{"y1", f.X[0], set.Published.Y1}, {"s(y1)", sd(f, 0), set.Published.SY1},
		{"y2", f.X[1], set.Published.Y2}, {"s(y2)", sd(f, 1), set.Published.SY2},
		{"r", f.Covariance(u1, u2) / (sd(f, 0) * sd(f, 1)), set.Published.Correlation},
		{"s", f.Scale, set.Published.S}, {"b(30)", dot(at30, f.X), set.Published.B30}, {"u(b(30))", f.Uncertainty(at30).Std, set.Published.U30},
	} {
		sameDigits(t, v.what, v.got, v.want, 15)
	}
	if f.DOF != set.Published.DOF {
		t.Errorf("dof %d, published %d", f.DOF, set.Published.DOF)
	}
}

// K. Pearson's data with D. York's weights, errors in both coordinates: York, Evensen, Martinez, De Basabe Delgado,
// Am. J. Phys. 72 (2004) 367-375, and the longer results of Ogren, Norton 1992 and Reed 1992. Each point's true x is
// an unknown, so that least squares is the maximum likelihood.
func TestYorkPearson(t *testing.T) {
	var set struct {
		X, Y      []float64
		WX        []float64 `json:"weight_x"`
		WY        []float64 `json:"weight_y"`
		Published struct {
			A, B     string
			York2004 struct {
				S string `json:"S_over_n_minus_2"`
			}
			Errors struct {
				A string `json:"sigma_a"`
				B string `json:"sigma_b"`
			} `json:"standard_errors_least_squares_unscaled"`
		}
	}
	published(t, "york_pearson_errors_in_both.json", &set)
	p := &Problem{Start: []float64{5, -0.5}}
	for i, x := range set.X {
		p.Start = append(p.Start, x)
		p.Rows = append(p.Rows,
			Row{Value: x, Sigma: 1 / math.Sqrt(set.WX[i]), Terms: []Term{{2 + i, 1}}},
			Row{Value: set.Y[i], Sigma: 1 / math.Sqrt(set.WY[i]), Model: bilinear{0, 1, 2 + i}})
	}
	s := mustSolve(t, p, Options{})
	// Solve stops within 1e-9 standard deviations, at a rate of some tenths
	sameDigits(t, "a", s.X[0], set.Published.A, 8)
	sameDigits(t, "b", s.X[1], set.Published.B, 8)
	sameDigits(t, "sigma a", sd(s, 0)/s.Scale, set.Published.Errors.A, 7)
	sameDigits(t, "sigma b", sd(s, 1)/s.Scale, set.Published.Errors.B, 7)
	sameDigits(t, "S/(n-2)", s.ChiSquare/float64(s.DOF), set.Published.York2004.S, 7)
}

// bilinear is y = a + b xi, with xi an unknown.
type bilinear struct{ a, b, xi int }

func (m bilinear) AppendUnknowns(list []int) []int { return append(list, m.a, m.b, m.xi) }

func (m bilinear) Eval(x, grad []float64) float64 {
	grad[m.a]++
	grad[m.b] += x[m.xi]
	grad[m.xi] += x[m.b]
	return x[m.a] + x[m.b]*x[m.xi]
}

// Plane distance networks as F. Krumm, Geodetic Network Adjustment Examples 3.5 (2020), prints
// them, after C. D. Ghilani, Adjustment Computations (2010), and G. Strang, K. Borre, Linear
// Algebra, Geodesy, and GPS (1997). Standard deviations are scaled by the estimated sigma.
func TestDistanceNetworks(t *testing.T) {
	for _, name := range []string{"trilateration_ghilani14_5_fix", "trilateration_strangborre_fix"} {
		t.Run(name, func(t *testing.T) { checkNetwork(t, name) })
	}
}

func checkNetwork(t *testing.T, name string) {
	var set struct {
		Datum     struct{ Fixed []string }
		Start     map[string][2]float64 `json:"approximate_coordinates"`
		Distances []struct {
			From  string `json:"from_"`
			To    string
			D, SD float64
		}
		Published map[string]struct {
			X, Y float64
			SDX  float64 `json:"sd_x_cm"`
			SDY  float64 `json:"sd_y_cm"`
		} `json:"published_adjusted"`
		Recomputed struct {
			DOF        int
			Sigma0     float64   `json:"sigma0_hat"`
			Redundancy []float64 `json:"redundancy_numbers"`
		}
		Sigma0 float64
	}
	published(t, name+".json", &set)
	p, pins := &Problem{}, []Row(nil)
	places := map[string][2]int{} // the unknowns of x and y
	var names []string
	for n := range set.Start {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		xy := set.Start[n]
		places[n] = [2]int{len(p.Start), len(p.Start) + 1}
		p.Start = append(p.Start, xy[0], xy[1])
		if slices.Contains(set.Datum.Fixed, "x"+n) { // by a row of next to no variance
			for k, at := range xy {
				pins = append(pins, Row{Value: at, Sigma: 1e-7, Terms: []Term{{places[n][k], 1}}})
			}
		}
	}
	for _, d := range set.Distances {
		a, b := places[d.From], places[d.To]
		p.Rows = append(p.Rows, Row{Value: d.D, Sigma: d.SD, Model: DistanceBetween(a[0], a[1], b[0], b[1])})
	}
	p.Rows = append(p.Rows, pins...)
	s := mustSolve(t, p, Options{UnknownScale: true})
	if s.DOF != set.Recomputed.DOF {
		t.Errorf("dof %d, want %d", s.DOF, set.Recomputed.DOF)
	}
	for n, want := range set.Published {
		j := places[n][0]
		// coordinates are printed to 4 decimals, deviations in centimetres to 3
		near(t, n+" x", s.X[j], want.X, 0.5e-4)
		near(t, n+" y", s.X[j+1], want.Y, 0.5e-4)
		near(t, n+" sd x", 100*sd(s, j), want.SDX, 0.5e-3)
		near(t, n+" sd y", 100*sd(s, j+1), want.SDY, 0.5e-3)
	}
	// The rest is recomputed, not printed: to 10 and 6 digits.
	near(t, "sigma", s.Scale*set.Sigma0, set.Recomputed.Sigma0, 1e-9)
	for i, want := range set.Recomputed.Redundancy {
		near(t, fmt.Sprintf("redundancy %d", i), s.Redundancy(i), want, 1e-6)
	}
}

func near(t *testing.T, what string, got, want, most float64) {
	t.Helper()
	if !(got >= want-most && got <= want+most) {
		t.Errorf("%s = %.12g, want %.12g to within %g", what, got, want, most)
	}
}

// W. Gander, G. H. Golub, R. Strebel, BIT 34 (1994) 558-578: algebraic and geometric circle. The
// standard deviations are recomputed (see testdata/published/README.md), not in the paper.
func TestCircleGander(t *testing.T) {
	var set struct {
		Points     [][2]float64
		Published  struct{ Algebraic, Geometric struct{ X, Y, R string } }
		Recomputed struct {
			Geometric struct {
				SS  float64 `json:"sum_sq_residuals"`
				SDX float64 `json:"sd_x"`
				SDY float64 `json:"sd_y"`
				SDR float64 `json:"sd_r"`
			}
		}
	}
	published(t, "circle_gander_golub_strebel_1994.json", &set)
	var points []Point
	for _, p := range set.Points {
		points = append(points, Point{p[0], p[1]})
	}
	x, y, r, err := algebraicCircle(points, Point{})
	if err != nil {
		t.Fatal(err)
	}
	a, g := set.Published.Algebraic, set.Published.Geometric
	for what, v := range map[string]struct {
		got  float64
		want string
	}{"x": {x, a.X}, "y": {y, a.Y}, "r": {r, a.R}} {
		sameDigits(t, "algebraic "+what, v.got, v.want, 15)
	}
	s, err := Circle(points, Options{UnknownScale: true})
	if err != nil {
		t.Fatal(err)
	}
	for j, want := range []string{g.X, g.Y, g.R} {
		sameDigits(t, fmt.Sprintf("geometric %d", j), s.X[j], want, 15)
	}
	re := set.Recomputed.Geometric
	for j, want := range []float64{re.SDX, re.SDY, re.SDR} {
		if got := sd(s, j); math.Abs(got-want) > 1e-5*want { // given to six digits
			t.Errorf("sd %d = %g, recomputed %g", j, got, want)
		}
	}
	if math.Abs(s.ChiSquare-re.SS) > 1e-9 { // given to ten decimals, the iteration stops at 1e-9
		t.Errorf("sum of squares %.12g, recomputed %.12g", s.ChiSquare, re.SS)
	}
}

// similarity is one coordinate of a known point turned by the unknown 0, enlarged by the unknown 3 and shifted by the
// unknowns 1 and 2; with rigid it keeps its size.
type similarity struct {
	p     Point
	y     bool
	rigid bool
}

func (m similarity) Eval(x, grad []float64) float64 {
	sin, cos := math.Sincos(x[0])
	px, py, shift := cos*m.p.X-sin*m.p.Y, sin*m.p.X+cos*m.p.Y, 1
	v, turn := px, -py
	if m.y {
		v, turn, shift = py, px, 2
	}
	scale := 1.0
	if !m.rigid {
		scale = x[3]
		grad[3] += v
	}
	grad[0] += scale * turn
	grad[shift]++
	return x[shift] + scale*v
}

// S. Umeyama, IEEE PAMI 13(4) (1991) 376-380, numerical example: the best orthogonal matrix is a
// reflection, the rotation must still be proper. The rigid result is recomputed, not published.
func TestPatternUmeyama(t *testing.T) {
	var set struct {
		A, B      [][2]float64
		Published struct {
			R [2][2]string
			T [2]string
			C string
		}
		Recomputed struct {
			MSE float64 `json:"mean_sq_error"`
		}
		Rigid struct {
			T   [2]float64
			MSE float64 `json:"mean_sq_error"`
			Deg float64 `json:"angle_deg"`
		} `json:"recomputed_rigid_c_1"`
	}
	published(t, "registration_umeyama_1991.json", &set)
	solve := func(rigid bool, start ...float64) *Solution {
		p := &Problem{Start: start}
		for i, a := range set.A {
			for k := range 2 {
				p.Rows = append(p.Rows, Row{Value: set.B[i][k], Sigma: 1, Model: similarity{Point{a[0], a[1]}, k == 1, rigid}})
			}
		}
		return mustSolve(t, p, Options{UnknownScale: true})
	}
	s := solve(false, 0, 0, 0, 1)
	sin, cos := math.Sincos(s.X[0])
	// Gauss-Newton converges linearly where residuals are as large as here: to 1e-9 of them
	sameDigits(t, "R11", cos, set.Published.R[0][0], 7)
	sameDigits(t, "R12", -sin, set.Published.R[0][1], 7)
	sameDigits(t, "t1", s.X[1], set.Published.T[0], 7)
	sameDigits(t, "t2", s.X[2], set.Published.T[1], 7)
	sameDigits(t, "c", s.X[3], set.Published.C, 7)
	near(t, "mean square error", s.ChiSquare/3, set.Recomputed.MSE, 1e-11) // given to 12 digits
	s = solve(true, 0, 0, 0)
	near(t, "rigid angle", s.X[0]*180/math.Pi, set.Rigid.Deg, 1e-6)
	near(t, "rigid t1", s.X[1], set.Rigid.T[0], 1e-8)
	near(t, "rigid t2", s.X[2], set.Rigid.T[1], 1e-8)
	near(t, "rigid mean square error", s.ChiSquare/3, set.Rigid.MSE, 1e-8)
}

// The end-gauge of JCGM 100:2008, annex H.1: six sums, each with its own uncertainty from repeats of its own, and the degrees
// of freedom of all together by Welch and Satterthwaite, which the source cuts to a whole number.
func TestEndGaugeOfTheGUM(t *testing.T) {
	var set struct {
		Components []struct {
			U   float64 `json:"u_nm"`
			DOF int     `json:"dof"`
		} `json:"components"`
		Published struct {
			U  string `json:"u_c_nm"`
			Nu string `json:"nu_eff"`
		} `json:"published"`
		Recomputed struct {
			U  float64 `json:"u_c_nm"`
			Nu float64 `json:"nu_eff"`
		} `json:"recomputed"`
	}
	published(t, "gum_h1_end_gauge.json", &set)
	p := &Problem{}
	for k, c := range set.Components {
		n := float64(c.DOF + 1)
		p.Start = append(p.Start, 0)
		for i := range c.DOF + 1 { // whose mean has that uncertainty
			value := 0.0
			if i < 2 {
				value = c.U * math.Sqrt(n*(n-1)/2) * float64(1-2*i)
			}
			p.Rows = append(p.Rows, Row{Value: value, Sigma: 1, Terms: []Term{{k, 1}}})
		}
	}
	sum := make([]float64, len(p.Start))
	for k := range sum {
		sum[k] = 1
	}
	u := mustSolve(t, p, Options{UnknownScale: true}).Uncertainty(sum)
	if math.Abs(u.Std-set.Recomputed.U) > 1e-5 || math.Abs(u.DOF-set.Recomputed.Nu) > 1e-3 {
		t.Errorf("u %.6f with %.4f degrees of freedom, recomputed %v with %v", u.Std, u.DOF, set.Recomputed.U, set.Recomputed.Nu)
	}
	if got := strconv.Itoa(int(math.Round(u.Std))); got != set.Published.U {
		t.Errorf("u %s, published %s", got, set.Published.U)
	}
	if got := strconv.Itoa(int(u.DOF)); got != set.Published.Nu {
		t.Errorf("%s degrees of freedom, published %s", got, set.Published.Nu)
	}
}

// The e-Handbook's nested example as readings at places: a machine's mean is the unknown, an operator's five pins are one
// place; and a second time with the machines as places about one mean. Chi-square splits into the printed sums of squares,
// each over its own expected mean square, sigma^2 and sigma^2 + n form^2, whatever the two are.
func TestNestedPinsOfTheEHandbook(t *testing.T) {
	var set struct {
		Day, Night [][]float64
		Published  map[string]string
	}
	published(t, "nist_ehandbook_nested_pins.json", &set)
	for _, c := range []struct {
		name, between, within string
		sigma, form           float64
		places, n             int // places, and readings of each
		unknown, place        func(operator, machine int) int
	}{
		{"operators", "SS_operator_within_machine", "SS_residual", 0.003, 0.002, 10, 5,
			func(_, m int) int { return m }, func(o, m int) int { return 5*o + m }},
		{"operators of little form", "SS_operator_within_machine", "SS_residual", 0.004, 0.0001, 10, 5,
			func(_, m int) int { return m }, func(o, m int) int { return 5*o + m }},
		{"machines", "SS_machine", "", 0.003, 0.0026, 5, 10, func(int, int) int { return 0 }, func(_, m int) int { return m }},
	} {
		p := &Problem{}
		for range c.places {
			p.Places = append(p.Places, c.form)
		}
		for o, operator := range [][][]float64{set.Day, set.Night} {
			for m, pins := range operator {
				for len(p.Start) <= c.unknown(o, m) {
					p.Start = append(p.Start, 0)
				}
				for _, pin := range pins {
					p.Rows = append(p.Rows, Row{Value: pin, Sigma: c.sigma, Place: c.place(o, m) + 1, Terms: []Term{{c.unknown(o, m), 1}}})
				}
			}
		}
		s := mustSolve(t, p, Options{Alpha: 1e-9})
		pure, dof := 0.0, 0
		for _, k := range s.components {
			pure, dof = pure+k.pure.chi2, dof+k.pure.dof
		}
		between := c.sigma*c.sigma + float64(c.n)*c.form*c.form
		sameDigits(t, c.name+": sum of squares between places", (s.ChiSquare-pure)*between, set.Published[c.between], 9)
		if c.within != "" {
			sameDigits(t, c.name+": sum of squares within places", pure*c.sigma*c.sigma, set.Published[c.within], 9)
		}
		if dof != 50-c.places || s.DOF != 50-len(p.Start) {
			t.Errorf("%s: %d degrees of freedom, %d of them of the gauge", c.name, s.DOF, dof)
		}
		near(t, c.name+": variance of a mean", math.Pow(sd(s, 0)/s.components[0].all.scale, 2), between/float64(50/len(p.Start)), 1e-15)
	}
}
