package fit

import (
	"slices"

	"neckfit/fit/autodiff"
	"neckfit/measure"
)

// Move is something that a remedy does to the assembled kit.
type Move uint8

// The moves, all zero for the kit as it was measured.
const (
	HeelMouth    Move = iota // the heel shifted toward treble at the pocket's mouth, mm
	HeelEnd                  // and at the pocket's end, mm
	HeelAlong                // the neck slid tailward along itself, mm
	BridgeAlong              // the bridge shifted tailward along the centre line, mm
	BridgeAcross             // the bridge shifted toward treble, mm
	BridgeTurn               // the bridge turned about its middle, its tail toward treble, degrees
	FloorEnd                 // a wedge under the heel, this thick at the pocket's end and nothing at its mouth, mm
	FloorAll                 // a shim under the whole heel, mm

	Moves = 8 // how many there are
)

// Model is how a kit's characteristics answer to moves, with the measurement's own covariance. What a
// characteristic is the least or the longest of is kept apart, string by string and hole by hole, since a
// move may make another one the worst. To first order an element becomes value + Response . moves;
// Values works it out on the moved parts.
type Model struct {
	Geometry *Geometry

	Measured   []int            // the characteristics that have a value, as indices into Result.Characteristics
	First      []int            // of each, its first element; one more for the end
	Taken      []Taken          // of each, how its value is taken from its elements
	Elements   []Element        // of all
	Covariance [][]float64      // of the elements
	Response   [][Moves]float64 // how each element changes per unit of each move

	solved  *solved
	options Options
	nudges  *nudges // nil where nothing can be moved
	end     autodiff.Mark
}

// Taken is how a characteristic's value is taken from its elements.
type Taken uint8

// The ways.
const (
	Alone     Taken = iota // it is the one element
	LeastOf                // it is the least of them
	LongestOf              // each two are the coordinates of a hole's distance, and it is the longest
)

// Element is a part of a characteristic: of a string or a hole, or all of it.
type Element struct {
	Mark  int // the string, the hole, or 0 and 1 for bass and treble; 0 for a characteristic that is one element
	Value float64
}

// nudges are moves, as unknowns that no reading touches, and what they move about.
type nudges struct {
	moves      [Moves]autodiff.Variable
	along      autodiff.Vector // of the centre line
	slide      autodiff.Vector // of the heel, along which it slides: its own bisector where it is known
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
		n.moves[i] = a.tape.Unknown(len(a.Problem.Start)+i, 0)
	}
	if n.slide = n.along; a.seat != nil { // the assembled frame is the pocket's, and the seated heel's too
		n.slide = fixed(1, 0)
	}
	if p, lack := a.findPlay(); lack.None() && p.placed {
		n.mouth, n.perLength, n.knowsMouth = p.mouth.Fixed(), 1/p.length().Value, true
	}
	return n
}

// at are the same nudges with fixed moves.
func (n *nudges) at(moves *[Moves]float64) *nudges {
	out := *n
	for i, m := range moves {
		out.moves[i] = autodiff.Constant(m)
	}
	return &out
}

// neck is what the moves do to the neck.
func (n *nudges) neck() autodiff.Motion {
	slid := autodiff.TurnAbout(autodiff.Constant(0), n.bridge, n.slide.Times(n.moves[HeelAlong]))
	if !n.knowsMouth {
		return slid
	}
	angle := n.moves[HeelEnd].Minus(n.moves[HeelMouth]).Scaled(n.perLength)
	return slid.Then(autodiff.TurnAbout(angle, n.mouth, n.across.Times(n.moves[HeelMouth])))
}

// laid is what they do to the bridge.
func (n *nudges) laid() autodiff.Motion {
	shift := n.along.Times(n.moves[BridgeAlong]).Plus(n.across.Times(n.moves[BridgeAcross]))
	return autodiff.TurnAbout(n.moves[BridgeTurn].Radians(), n.bridge, shift)
}

// lift is what they do to the fret plane.
func (n *nudges) lift(s surface) surface {
	return surface{
		at: func(p autodiff.Vector) autodiff.Variable { return s.at(p).Plus(n.packing(p)) },
		slope: func(v autodiff.Vector) autodiff.Variable {
			return s.slope(v).Plus(n.moves[FloorEnd].Scaled(n.perLength).Times(n.along.Dot(v)))
		},
	}
}

// packing is how thick what they lay under the heel is at a place; a floor that is deepened lies lower.
func (n *nudges) packing(p autodiff.Vector) autodiff.Variable {
	thick := n.moves[FloorAll]
	if n.knowsMouth {
		thick = thick.Plus(n.moves[FloorEnd].Scaled(n.perLength).Times(n.along.Dot(p.Minus(n.mouth))))
	}
	return thick
}

// model reads every characteristic off the nudged assembly. What it keeps of the kit's adjustment is
// good as long as the Checker's next kit has not come.
func (s *solved) model(plain *assembly, r *Result) *Model {
	m := &Model{Geometry: plain.geometry(), First: []int{0}, solved: s, options: plain.options, nudges: plain.newNudges()}
	m.end = s.tape.Mark()
	a := plain
	if m.nudges != nil {
		a = new(assembly).put(s, plain.way, plain.options, m.nudges)
	}
	unknowns := len(s.Problem.Start)
	var gradients [][]float64
	var besides []float64 // of each element, the standard uncertainty of what was not read
	for i := range catalogue {
		if !r.Characteristics[i].Missing.None() {
			continue
		}
		f := catalogue[i].find(a)
		from := f.parts
		if from == nil {
			value := f.value
			value.Value = r.Characteristics[i].Value
			from = &parts{[]autodiff.Variable{value}, []int{0}, Alone}
		}
		for k, e := range from.elements {
			full := slices.Clone(s.tape.Gradient(e))
			gradients = append(gradients, full[:unknowns])
			plain.note(r.Suspects, &r.Characteristics[i], full[:unknowns], &f)
			m.Elements = append(m.Elements, Element{from.marks[k], e.Value})
			m.Response = append(m.Response, [Moves]float64(full[unknowns:]))
			besides = append(besides, f.besides)
		}
		m.Measured, m.Taken, m.First = append(m.Measured, i), append(m.Taken, from.taken), append(m.First, len(m.Elements))
	}
	m.Covariance = s.fit.Covariances(gradients) // what is drawn of it is normal: Student's longer tails are a percent of a chance
	for i, u := range besides {
		m.Covariance[i][i] += u * u
	}
	for i, c := range m.Measured { // of residuals, which have no gradient, the characteristic's own
		if own := &m.Covariance[m.First[i]][m.First[i]]; *own == 0 {
			*own = r.Characteristics[c].StdUncertainty * r.Characteristics[c].StdUncertainty
		}
	}
	s.tape.Rewind(m.end)
	return m
}

// Turns tells whether it is known how the neck turns in its pocket.
func (m *Model) Turns() bool { return m.nudges != nil && m.nudges.knowsMouth }

// Moves tells whether it is known how the bridge lies beside the neck, so that it can be moved.
func (m *Model) Moves() bool { return m.nudges != nil }

// Values are the elements' values once the parts are moved, worked out anew string by string and hole
// by hole. What nothing moves keeps its value.
func (m *Model) Values(moves *[Moves]float64) []float64 {
	list := make([]float64, 0, len(m.Elements))
	if m.nudges == nil {
		for _, e := range m.Elements {
			list = append(list, e.Value)
		}
		return list
	}
	a := new(assembly).put(m.solved, wayOf(&m.solved.Survey), m.options, m.nudges.at(moves))
	for i, c := range m.Measured {
		f := catalogue[c].find(a)
		switch {
		case f.parts != nil:
			for _, e := range f.parts.elements {
				list = append(list, e.Value)
			}
		case f.direct != nil || f.form != nil: // what no move changes
			list = append(list, m.Elements[m.First[i]].Value)
		default:
			list = append(list, f.value.Value)
		}
	}
	m.solved.tape.Rewind(m.end)
	return list
}

// Placed is the geometry once the parts are moved: neck, bridge and their places; the body stays. Play
// is what it was before.
func (m *Model) Placed(moves *[Moves]float64) *Geometry {
	g := *m.Geometry
	if m.nudges == nil {
		return &g
	}
	n := m.nudges.at(moves)
	neck, bridge := n.neck(), n.laid()
	line := func(l *Line) *Line {
		if l == nil {
			return nil
		}
		moved := neck.Line(autodiff.Line{N: fixed(l.NX, l.NY), D: autodiff.Constant(l.D)})
		return &Line{moved.N.X.Value, moved.N.Y.Value, moved.D.Value}
	}
	g.Centre, g.HeelEnd = line(g.Centre), line(g.HeelEnd)
	for i := range g.Edges {
		g.Edges[i], g.Heel[i] = line(g.Edges[i]), line(g.Heel[i])
	}
	if g.Bridge != nil {
		at := bridge.Place(fixed(g.Bridge.X, g.Bridge.Y))
		g.Bridge = &Reference{at.X.Value, at.Y.Value, g.Bridge.Heading + moves[BridgeTurn], g.Bridge.Basis}
	}
	g.Places = append([]Place(nil), g.Places...)
	for i := range g.Places {
		p := &g.Places[i]
		at := fixed(p.X, p.Y)
		switch p.Feature.Part() {
		case measure.NeckPart:
			at = neck.Place(at)
		case measure.BridgePart:
			at = bridge.Place(at)
		case measure.BodyPart, measure.NoPart:
		}
		p.X, p.Y = at.X.Value, at.Y.Value
	}
	return &g
}

func fixed(x, y float64) autodiff.Vector {
	return autodiff.Vector{X: autodiff.Constant(x), Y: autodiff.Constant(y)}
}
