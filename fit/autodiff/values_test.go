package autodiff

import (
	"math"
	"testing"
)

// What vectors, lines and motions come to, worked out by hand on numbers that are easy to draw.
func TestValuesByHand(t *testing.T) {
	at := func(x, y float64) Vector { return Vector{Constant(x), Constant(y)} }
	quarter := Motion{Cos: Constant(0), Sin: Constant(1), ShiftX: Constant(10), ShiftY: Constant(20)}
	axis := Line{N: at(0, 1), D: Constant(3)}    // y = 3
	upright := Line{N: at(1, 0), D: Constant(7)} // x = 7
	moved, direction, line := quarter.Place(at(3, 4)), quarter.Direction(at(3, 4)), quarter.Line(axis)
	x, y := quarter.At(at(3, 4))
	back, backward := quarter.Undo(moved), quarter.UndoDirection(direction)
	turned := TurnAbout(Constant(math.Pi/2), at(1, 1), at(0, 5))
	about := turned.Place(at(3, 1))
	twice := quarter.Then(quarter)
	there := twice.Place(at(1, 0))
	frame := FrameOf(Line{N: at(0, 1), D: Constant(3)})
	inside := frame.Place(at(5, 8))
	rigid := Rigid([]Vector{at(0, 0), at(2, 0), at(0, 4)}, []Vector{at(5, 5), at(5, 7), at(1, 5)})
	laid := rigid.Place(at(2, 4))
	cross, halfway, centre := Meet(axis, upright), Middle(at(1, 2), at(5, -4)), Centroid([]Vector{at(0, 0), at(6, 0), at(3, 9)})
	through := Through(at(0, 3), at(9, 3))
	side := Side{A: Constant(30), B: Constant(0.5), C: 10}
	between := Bisector(Line{N: at(0, 1), D: Constant(2)}, Line{N: at(0, 1), D: Constant(8)})
	for name, c := range map[string][2]float64{
		"a quarter turn's x": {moved.X.Value, 6}, "its y": {moved.Y.Value, 23},
		"as plain numbers, x": {x, 6}, "as plain numbers, y": {y, 23},
		"a direction's x": {direction.X.Value, -4}, "a direction's y": {direction.Y.Value, 3},
		"a line's normal x": {line.N.X.Value, -1}, "a line's distance": {line.D.Value, -7},
		"undone x": {back.X.Value, 3}, "undone y": {back.Y.Value, 4},
		"undone direction x": {backward.X.Value, 3}, "undone direction y": {backward.Y.Value, 4},
		"turned about a place, x": {about.X.Value, 1}, "turned about a place, y": {about.Y.Value, 8},
		"twice, x": {there.X.Value, -11}, "twice, y": {there.Y.Value, 30},
		"in a line's frame, x": {inside.X.Value, 5}, "in a line's frame, y": {inside.Y.Value, 5},
		"laid on a pattern, x": {laid.X.Value, 1}, "laid on a pattern, y": {laid.Y.Value, 7},
		"where lines meet, x": {cross.X.Value, 7}, "where lines meet, y": {cross.Y.Value, 3},
		"halfway, x": {halfway.X.Value, 3}, "halfway, y": {halfway.Y.Value, -1},
		"the centroid's x": {centre.X.Value, 3}, "the centroid's y": {centre.Y.Value, 3},
		"through two places, normal": {through.N.Y.Value, 1}, "through two places, distance": {through.D.Value, 3},
		"above a line": {axis.SignedDistance(at(50, 5)).Value, 2}, "below a line": {axis.SignedDistance(at(50, 1)).Value, -2},
		"off a line": {axis.Off(50, 5), 2}, "off an end": {upright.Off(4, 9), -3},
		"a side at x": {side.YAt(14).Value, 32}, "the middle of two": {between.D.Value, 5},
		"short of an end": {upright.Ahead(at(4, 9)).Value, 3},
		"cross":           {at(2, 0).Cross(at(0, 3)).Value, 6}, "dot": {at(2, 1).Dot(at(4, 3)).Value, 11},
		"angle": {at(1, 0).AngleTo(at(0, 2)).Value, 90}, "length": {at(3, 4).Length().Value, 5},
		"unit": {at(3, 4).Unit().Y.Value, 0.8}, "direction of a normal": {at(0, 1).Direction().X.Value, 1},
		"normal of a direction": {at(1, 0).Normal().Y.Value, 1},
		"least":                 {Least(Constant(4), Constant(-2), Constant(3)).Value, -2}, "greatest": {Greatest(Constant(4), Constant(-2)).Value, 4},
		"mean": {Mean(Constant(4), Constant(-2), Constant(7)).Value, 3}, "over": {Constant(6).Over(Constant(4)).Value, 1.5},
		"negated": {Constant(6).Negated().Value, -6}, "radians": {Constant(180).Radians().Value, math.Pi},
		"straight on": {Straight(at(0, 2), at(10, 4), Constant(20)).Value, 6},
	} {
		if math.Abs(c[0]-c[1]) > 1e-12 {
			t.Errorf("%s is %v, by hand %v", name, c[0], c[1])
		}
	}
}

// Nothing that is made of constants stands on a tape; what depends on an unknown does.
func TestConstants(t *testing.T) {
	var tape Tape
	tape.Reset(2)
	q := tape.Unknown(1, 5)
	if !Constant(3).Plus(Constant(4)).IsConstant() || q.Plus(Constant(1)).IsConstant() || !q.Times(Constant(0)).IsConstant() {
		t.Error("constants are those that no unknown moves")
	}
	if g := tape.Gradient(q.Times(q)); g[0] != 0 || g[1] != 10 {
		t.Errorf("the gradient of a square at 5 is %v", g)
	}
	if g := tape.Gradient(Constant(7)); g[0] != 0 || g[1] != 0 || tape.Unknowns() != 2 {
		t.Errorf("the gradient of a constant is %v", g)
	}
}
