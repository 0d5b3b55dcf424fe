package adjust

import "math"

// Fretboard is what fret readings depend on: two edges, whose bisector the frets stand square
// to, the unknown S0 (where the nut lies along the bisector, from the datum's zero) and the
// unknown L (the scale length).
type Fretboard struct {
	First, Second Side
	S0, L         int
}

// FretShare is the share of the scale length from the nut to fret n in equal temperament,
// 1 - 2^(-n/12); 0 for the nut.
func FretShare(n int) float64 {
	if 0 <= n && n < len(fretShares) {
		return fretShares[n]
	}
	return fretShare(n)
}

func fretShare(n int) float64 { return -math.Expm1(-float64(n) / 12 * math.Ln2) }

// fretShares are those of the frets that there are.
var fretShares = func() (shares [37]float64) {
	for n := range shares {
		shares[n] = fretShare(n)
	}
	return shares
}()

// heading is the bisector's angle to the x axis, half the sum of the edges' angles.
type heading struct {
	sin, cos          float64
	first, second     float64 // cosines of the edges' angles
	byFirst, bySecond float64 // derivatives of the angle by the edges' slopes
}

// heading takes the direction from the sum of unit vectors along the edges, without angles.
func (f Fretboard) heading(x []float64) heading {
	b1, b2 := x[f.First.B], x[f.Second.B]
	w1, w2 := 1/(1+b1*b1), 1/(1+b2*b2)
	c1, c2 := math.Sqrt(w1), math.Sqrt(w2)
	along, across := c1+c2, b1*c1+b2*c2
	unit := 1 / math.Sqrt(along*along+across*across)
	return heading{across * unit, along * unit, c1, c2, w1 / 2, w2 / 2}
}

type fretAt struct {
	board  Fretboard
	share  float64
	offset float64
}

// FretAt is the station x of fret n (0 is the nut) read at a known offset y. Along the bisector,
// at heading theta, x cos(theta) + y sin(theta) = s0 + L (1 - 2^(-n/12)), hence
// x = (s0 + L share - y sin(theta)) / cos(theta).
func FretAt(board Fretboard, n int, offset float64) Model {
	return fretAt{board, FretShare(n), offset}
}

func (f fretAt) AppendUnknowns(list []int) []int {
	return append(list, f.board.First.B, f.board.Second.B, f.board.S0, f.board.L)
}

func (f fretAt) Eval(x, grad []float64) float64 {
	h := f.board.heading(x)
	return f.eval(&h, x, grad)
}

func (f *fretAt) eval(h *heading, x, grad []float64) float64 {
	longer := 1 / h.cos
	station := (x[f.board.S0] + x[f.board.L]*f.share - f.offset*h.sin) * longer
	turn := station*h.sin*longer - f.offset
	grad[f.board.First.B] += turn * h.byFirst
	grad[f.board.Second.B] += turn * h.bySecond
	grad[f.board.S0] += longer
	grad[f.board.L] += f.share * longer
	return station
}

type fretOnCentre struct {
	board Fretboard
	share float64
}

// FretOnCentre is the station x of fret n (0 is the nut) read on the bisector itself. There
// y = e + x tan(theta), with e = (d1 + d2) / (n1y + n2y) from the edges' unit normals n.p = d,
// so x = cos(theta) (s0 + L (1 - 2^(-n/12)) - e sin(theta)).
func FretOnCentre(board Fretboard, n int) Model { return fretOnCentre{board, FretShare(n)} }

func (f fretOnCentre) AppendUnknowns(list []int) []int {
	b := f.board
	return append(list, b.First.A, b.First.B, b.Second.A, b.Second.B, b.S0, b.L)
}

func (f fretOnCentre) Eval(x, grad []float64) float64 {
	h := f.board.heading(x)
	return f.eval(&h, x, grad)
}

func (f *fretOnCentre) eval(h *heading, x, grad []float64) float64 {
	sin, cos := h.sin, h.cos
	n1, n2 := f.board.First.hesseAt(x, h.first), f.board.Second.hesseAt(x, h.second)
	share := 1 / (n1.ny + n2.ny)
	e := (n1.d + n2.d) * share
	along := x[f.board.S0] + x[f.board.L]*f.share

	turn := -sin*(along-e*sin) - cos*cos*e
	byE := -sin * cos * share
	grad[f.board.First.A] += byE * n1.dA
	grad[f.board.Second.A] += byE * n2.dA
	grad[f.board.First.B] += turn*h.byFirst + byE*(n1.dB-e*n1.nyB)
	grad[f.board.Second.B] += turn*h.bySecond + byE*(n2.dB-e*n2.nyB)
	grad[f.board.S0] += cos
	grad[f.board.L] += cos * f.share
	return cos * (along - e*sin)
}
