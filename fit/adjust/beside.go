package adjust

import "math"

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

func (m alongSide) AppendUnknowns(list []int) []int {
	return append(list, m.edge.B, m.edge.Zero, m.x, m.y)
}

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

func (m fromSide) AppendUnknowns(list []int) []int {
	return append(list, m.side.A, m.side.B, m.x, m.y)
}

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

func (m fretBeside) AppendUnknowns(list []int) []int {
	b := m.board
	return append(list, m.edge.A, b.First.B, b.Second.B, b.S0, b.L, m.edge.Zero)
}

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
