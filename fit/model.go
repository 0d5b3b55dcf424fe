package fit

import "neckfit/fit/autodiff"

// Move is something that a remedy does to the assembled kit.
type Move uint8

// The moves, all zero for the kit as it was measured.
const (
	HeelMouth    Move = iota // the heel shifted toward treble at the pocket's mouth, mm
	HeelEnd                  // and at the pocket's end, mm
	HeelAlong                // the neck shifted tailward, mm
	BridgeAlong              // the bridge shifted tailward along the centre line, mm
	BridgeAcross             // the bridge shifted toward treble, mm
	BridgeTurn               // the bridge turned about its middle, its tail toward treble, degrees
	FloorEnd                 // a wedge under the heel, this thick at the pocket's end and nothing at its mouth, mm
	FloorAll                 // a shim under the whole heel, mm

	Moves = 8 // how many there are
)

// Model is how a kit's characteristics would answer to moves: to first order
// value + Response . moves, with the measurement's own covariance. A move of 3 mm over a lever of
// 300 mm is out by less than its square over the lever, 0.03 mm, and most are far smaller.
type Model struct {
	Geometry *Geometry

	Measured   []int            // the characteristics that have a value, as indices into Result.Characteristics
	Covariance [][]float64      // of their values
	Response   [][Moves]float64 // how each changes per unit of each move
}

// nudges are the moves as unknowns of value 0 that no reading touches.
type nudges struct {
	moves      [Moves]autodiff.Variable
	along      autodiff.Vector // of the centre line
	across     autodiff.Vector
	mouth      autodiff.Vector
	bridge     autodiff.Vector
	perLength  float64 // one over the length from mouth to end
	knowsMouth bool
}

// newNudges is nil where there is no centre line to move along.
func (a *assembly) newNudges() *nudges {
	if !a.uncentred.None() || !a.bridge.known() {
		return nil
	}
	n := &nudges{along: a.along.Fixed(), across: a.centre.N.Fixed(), bridge: a.bridge.middle.Fixed()}
	for i := range n.moves {
		n.moves[i] = a.tape.Unknown(len(a.problem.Start)+i, 0)
	}
	if p, lack := a.findPlay(); lack.None() && p.placed {
		n.mouth, n.perLength, n.knowsMouth = p.mouth.Fixed(), 1/p.length().Value, true
	}
	return n
}

// neck is what the moves do to the neck.
func (n *nudges) neck() autodiff.Motion {
	shift := n.along.Times(n.moves[HeelAlong])
	if !n.knowsMouth {
		return autodiff.SmallTurn(autodiff.Constant(0), n.bridge, shift)
	}
	angle := n.moves[HeelEnd].Minus(n.moves[HeelMouth]).Scaled(n.perLength)
	return autodiff.SmallTurn(angle, n.mouth, shift.Plus(n.across.Times(n.moves[HeelMouth])))
}

// laid is what they do to the bridge.
func (n *nudges) laid() autodiff.Motion {
	shift := n.along.Times(n.moves[BridgeAlong]).Plus(n.across.Times(n.moves[BridgeAcross]))
	return autodiff.SmallTurn(n.moves[BridgeTurn].Radians(), n.bridge, shift)
}

// lift is what they do to the fret plane.
func (n *nudges) lift(s surface) surface {
	if !n.knowsMouth {
		return s
	}
	rise := n.moves[FloorEnd].Scaled(n.perLength)
	return surface{
		at: func(p autodiff.Vector) autodiff.Variable {
			return s.at(p).Plus(n.moves[FloorAll]).Plus(rise.Times(n.along.Dot(p.Minus(n.mouth))))
		},
		slope: func(v autodiff.Vector) autodiff.Variable { return s.slope(v).Plus(rise.Times(n.along.Dot(v))) },
	}
}

// model reads every characteristic off the nudged assembly.
func (s *solved) model(plain *assembly, r *Result) *Model {
	m := &Model{Geometry: plain.geometry()}
	a := plain
	if n := plain.newNudges(); n != nil {
		a = assembleKit(s, plain.options, n)
	}
	var gradients [][]float64
	for i := range catalogue {
		if !r.Characteristics[i].Missing.None() {
			continue
		}
		f := catalogue[i].find(a)
		full := s.tape.Gradient(f.value)
		gradients = append(gradients, full[:len(s.problem.Start)])
		m.Measured = append(m.Measured, i)
		m.Response = append(m.Response, [Moves]float64(full[len(s.problem.Start):]))
	}
	m.Covariance = make([][]float64, len(gradients))
	for i := range gradients {
		m.Covariance[i] = make([]float64, len(gradients))
		for j := range i {
			c := s.fit.Covariance(gradients[i], gradients[j])
			m.Covariance[i][j], m.Covariance[j][i] = c, c
		}
		u := r.Characteristics[m.Measured[i]].StdUncertainty
		m.Covariance[i][i] = u * u
	}
	return m
}
