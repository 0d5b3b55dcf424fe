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
	if uint(n) < uint(len(fretShares)) {
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
	byFirst, bySecond float64 // derivatives of the angle by the edges' slopes
}

// heading takes the direction from the sum of unit vectors along the edges, without angles.
func (f Fretboard) heading(x []float64) heading {
	b1, b2 := x[f.First.B], x[f.Second.B]
	w1, w2 := 1/(1+b1*b1), 1/(1+b2*b2)
	c1, c2 := math.Sqrt(w1), math.Sqrt(w2)
	along, across := c1+c2, b1*c1+b2*c2
	unit := 1 / math.Sqrt(along*along+across*across)
	return heading{across * unit, along * unit, w1 / 2, w2 / 2}
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

// AppendUnknowns adds the edges' slopes and the frets' start and scale.
func (f fretAt) AppendUnknowns(list []int) []int {
	return append(list, f.board.First.B, f.board.Second.B, f.board.S0, f.board.L)
}

// Eval is the station of the fret at its offset, mm.
func (f fretAt) Eval(x, grad []float64) float64 {
	h := f.board.heading(x)
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

// AppendUnknowns adds both edges', and the frets' start and scale.
func (f fretOnCentre) AppendUnknowns(list []int) []int {
	b := f.board
	return append(list, b.First.A, b.First.B, b.Second.A, b.Second.B, b.S0, b.L)
}

// Eval is the station of the fret on the centre line, mm.
func (f fretOnCentre) Eval(x, grad []float64) float64 {
	h := f.board.heading(x)
	sin, cos := h.sin, h.cos
	n1, n2 := f.board.First.hesse(x), f.board.Second.hesse(x)
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

// Beside is a straightedge laid along a side, with its zero anywhere: Zero is the unknown station
// that it shows at the foot of the square from the frame's origin.
type Beside struct {
	Side
	Zero int
}

type alongSide struct {
	edge Beside
	x, y int
}

// Station is the station that the straightedge shows of the point whose coordinates are the
// unknowns x and y: (x + b y)/sqrt(1 + b^2) + zero.
func (e Beside) Station(x, y int) Model { return alongSide{e, x, y} }

// AppendUnknowns adds the edge's slope and zero, and the point's coordinates.
func (m alongSide) AppendUnknowns(list []int) []int {
	return append(list, m.edge.B, m.edge.Zero, m.x, m.y)
}

// Eval is what the straightedge shows of the point, mm.
func (m alongSide) Eval(x, grad []float64) float64 {
	b := x[m.edge.B]
	h := math.Sqrt(1 + b*b)
	grad[m.x] += 1 / h
	grad[m.y] += b / h
	grad[m.edge.B] += (x[m.y] - b*x[m.x]) / (h * h * h)
	grad[m.edge.Zero]++
	return (x[m.x]+b*x[m.y])/h + x[m.edge.Zero]
}

type fromSide struct {
	side Side
	x, y int
}

// From is how far the point whose coordinates are the unknowns x and y lies from the side, square
// to it and positive toward growing y: n.p - d.
func (s Side) From(x, y int) Model { return fromSide{s, x, y} }

// AppendUnknowns adds the side's two, and the point's coordinates.
func (m fromSide) AppendUnknowns(list []int) []int {
	return append(list, m.side.A, m.side.B, m.x, m.y)
}

// Eval is the point's distance from the side, mm.
func (m fromSide) Eval(x, grad []float64) float64 {
	n := m.side.hesse(x)
	px, py := x[m.x], x[m.y]
	grad[m.x] += n.nx
	grad[m.y] += n.ny
	grad[m.side.A] -= n.dA
	grad[m.side.B] += n.nxB*px + n.nyB*py - n.dB
	return n.nx*px + n.ny*py - n.d
}

type fretBeside struct {
	board Fretboard
	edge  Beside
	share float64
	from  float64
}

// FretBeside is the station that a straightedge along one side of the board shows of fret n (0 is
// the nut), read at the distance from (positive toward growing y) from that side. The fret stands
// square to the bisector, which is turned by phi from the side; with n.p = d + from on the fret's
// spot, station = (s0 + L (1 - 2^(-n/12)) - (d + from) sin(phi)) / cos(phi) + zero.
// The edge's Side is one of the board's.
func FretBeside(board Fretboard, edge Beside, n int, from float64) Model {
	if edge.Side != board.First && edge.Side != board.Second {
		panic("adjust: the straightedge lies along neither side of the board")
	}
	return fretBeside{board, edge, FretShare(n), from}
}

// AppendUnknowns adds those of the edge, the board and the straightedge's zero.
func (m fretBeside) AppendUnknowns(list []int) []int {
	b := m.board
	return append(list, m.edge.A, b.First.B, b.Second.B, b.S0, b.L, m.edge.Zero)
}

// Eval is the station that the straightedge shows of the fret, mm.
func (m fretBeside) Eval(x, grad []float64) float64 {
	h := m.board.heading(x)
	n := m.edge.hesse(x)
	b := x[m.edge.B]
	sin, cos := h.sin*n.ny+h.cos*n.nx, h.cos*n.ny-h.sin*n.nx // of the angle less the edge's
	spot := n.d + m.from
	fret := x[m.board.S0] + x[m.board.L]*m.share
	byPhi := (fret*sin - spot) / (cos * cos)
	grad[m.board.First.B] += byPhi * h.byFirst
	grad[m.board.Second.B] += byPhi * h.bySecond
	grad[m.edge.B] -= byPhi/(1+b*b) + n.dB*sin/cos
	grad[m.edge.A] -= n.dA * sin / cos
	grad[m.board.S0] += 1 / cos
	grad[m.board.L] += m.share / cos
	grad[m.edge.Zero]++
	return (fret-spot*sin)/cos + x[m.edge.Zero]
}
