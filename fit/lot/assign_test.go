package lot

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Sources are in the file: scipy's tests and documentation, Project Euler 345, R package clue.
func TestAssignPublished(t *testing.T) {
	var ref struct {
		Problems []struct {
			Name      string
			Cost      [][]float64
			Objective string
			Total     float64   `json:"published_total"`
			Package   float64   `json:"package_total"`
			Selected  []float64 `json:"published_selected_costs"`
			Columns   []int     `json:"published_columns_zero_based"`
		}
	}
	readPublished(t, "assignment_problems.json", &ref)
	if len(ref.Problems) != 7 {
		t.Fatalf("%d problems", len(ref.Problems))
	}
	for _, p := range ref.Problems {
		sign := 1.0
		if p.Objective == "max" {
			sign = -1
		}
		a := mustAssign(t, scaled(p.Cost, sign))
		if got, want := sign*a.Total, p.Total+p.Package; got != want { // whole numbers
			t.Errorf("%s: total %v, published %v", p.Name, got, want)
		}
		for i, want := range p.Selected {
			if got := p.Cost[i][a.Column[i]]; got != want {
				t.Errorf("%s: row %d costs %v, published %v", p.Name, i, got, want)
			}
		}
		if p.Columns != nil && !cmp.Equal(a.Column, p.Columns) {
			t.Errorf("%s: columns %v, published %v", p.Name, a.Column, p.Columns)
		}
	}
}

func mustAssign(t *testing.T, costs [][]float64) *Assignment {
	t.Helper()
	a, err := Assign(costs)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func scaled(costs [][]float64, by float64) [][]float64 {
	out := make([][]float64, len(costs))
	for i, row := range costs {
		for _, c := range row {
			out[i] = append(out[i], by*c)
		}
	}
	return out
}

func transposed(costs [][]float64) [][]float64 {
	out := make([][]float64, len(costs[0]))
	for _, row := range costs {
		for j, c := range row {
			out[j] = append(out[j], c)
		}
	}
	return out
}

// randomCosts are whole numbers, so that sums are exact; a share of the pairs cannot be.
func randomCosts(r *rand.Rand, rows, columns int, impossible float64) [][]float64 {
	costs := make([][]float64, rows)
	for i := range costs {
		costs[i] = make([]float64, columns)
		for j := range costs[i] {
			costs[i][j] = float64(r.IntN(100) - 20)
			if r.Float64() < impossible {
				costs[i][j] = math.Inf(1)
			}
		}
	}
	return costs
}

// tied makes costs of a few values, so that many matches are alike.
func tied(costs [][]float64) [][]float64 {
	for _, row := range costs {
		for j, c := range row {
			if !math.IsInf(c, 1) {
				row[j] = math.Trunc(c / 30)
			}
		}
	}
	return costs
}

// exhaust tries every match: most pairs first, then least cost.
func exhaust(costs [][]float64, row int, taken []bool) price {
	if row == len(costs) {
		return price{}
	}
	best := exhaust(costs, row+1, taken).plus(price{1, 0}) // the row left out
	for j, c := range costs[row] {
		if taken[j] || math.IsInf(c, 1) {
			continue
		}
		taken[j] = true
		if p := exhaust(costs, row+1, taken).plus(price{0, c}); p.less(best) {
			best = p
		}
		taken[j] = false
	}
	return best
}

func TestAssignEqualsExhaustion(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	sizes := [][2]int{{1, 1}, {1, 5}, {5, 1}, {4, 4}, {4, 7}, {7, 4}, {6, 6}, {8, 8}}
	for _, size := range sizes {
		for _, impossible := range []float64{0, 0.4, 0.8, 1} {
			for _, costs := range [][][]float64{randomCosts(r, size[0], size[1], impossible), tied(randomCosts(r, size[0], size[1], impossible))} {
				a := mustAssign(t, costs)
				best := exhaust(costs, 0, make([]bool, size[1]))
				if got := (price{size[0] - a.Matched, a.Total}); got != best {
					t.Errorf("%v, %v impossible: left out %v, best %v", size, impossible, got, best)
				}
				checkMatch(t, costs, a)
				var asked map[Cell]bool
				b := AssignPriced(size[0], size[1], lowered(costs), oracle(t, costs, &asked))
				if b.Matched != a.Matched || b.Total != a.Total {
					t.Errorf("%v, %v impossible: by bounds %d for %v, else %d for %v", size, impossible, b.Matched, b.Total, a.Matched, a.Total)
				}
				checkMatch(t, costs, b)
			}
		}
	}
}

// lowered are bounds of costs that tell little of them.
func lowered(costs [][]float64) func(i, j int) float64 {
	return func(i, j int) float64 {
		if math.IsInf(costs[i][j], 1) {
			return float64(j%3) - 20
		}
		return costs[i][j] - float64((5*i+3*j)%7)
	}
}

// oracle gives costs and notes what it was asked for, which must be once only.
func oracle(t *testing.T, costs [][]float64, asked *map[Cell]bool) func([]Cell) []float64 {
	*asked = map[Cell]bool{}
	return func(cells []Cell) (prices []float64) {
		for _, c := range cells {
			if (*asked)[c] {
				t.Errorf("%v was asked for twice", c)
			}
			(*asked)[c] = true
			prices = append(prices, costs[c.Row][c.Column])
		}
		return prices
	}
}

// checkMatch asserts that the match is one to one, possible, and that its lists agree.
func checkMatch(t *testing.T, costs [][]float64, a *Assignment) {
	t.Helper()
	used := map[int]bool{}
	for i, j := range a.Column {
		if j < 0 {
			continue
		}
		if used[j] || math.IsInf(costs[i][j], 1) {
			t.Errorf("row %d must not have column %d", i, j)
		}
		used[j] = true
	}
	rows, columns := len(costs), len(costs[0])
	if len(used) != a.Matched || len(a.UnmatchedRows) != rows-a.Matched || len(a.UnmatchedColumns) != columns-a.Matched {
		t.Errorf("%d matched, unmatched rows %v and columns %v", a.Matched, a.UnmatchedRows, a.UnmatchedColumns)
	}
	for _, i := range a.UnmatchedRows {
		if a.Column[i] >= 0 {
			t.Errorf("row %d is matched and unmatched", i)
		}
	}
	for _, j := range a.UnmatchedColumns {
		if used[j] {
			t.Errorf("column %d is matched and unmatched", j)
		}
	}
}

// Optimality proved by duality: no pair costs less than its two prices, matched pairs cost just that, rows that are
// left alone have the price of that and none a higher one, free columns are priced zero and no column above. This needs
// no other solver, at any size.
func TestAssignDualCertificate(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	for _, size := range [][2]int{{60, 60}, {50, 90}, {150, 150}} {
		for _, impossible := range []float64{0, 0.5, 0.97} {
			for k, costs := range [][][]float64{randomCosts(r, size[0], size[1], impossible), tied(randomCosts(r, size[0], size[1], impossible))} {
				m := newMatcher(size[0], size[1])
				var asked map[Cell]bool
				m.match(lowered(costs), oracle(t, costs, &asked))
				provenBest(t, m, costs)
				if size[0] == 150 && impossible == 0 && k == 0 && len(asked) > 150*150/4 {
					t.Errorf("%d of %d pairs were asked for", len(asked), 150*150)
				}
			}
		}
	}
}

func provenBest(t *testing.T, m *matcher, costs [][]float64) {
	t.Helper()
	for i, u := range m.rowPrice {
		if m.columnOf[i] < 0 && u != alone || alone.less(u) {
			t.Fatalf("row %d has column %d and is priced %v", i, m.columnOf[i], u)
		}
		for j := range m.columns {
			v := m.columns[j].price
			if math.IsInf(costs[i][j], 1) {
				continue
			}
			reduced := price{0, costs[i][j]}.minus(u).minus(v)
			if reduced.less(price{}) || m.columns[j].owner == i && reduced != (price{}) { // whole numbers: exact
				t.Fatalf("pair %d, %d has reduced cost %v", i, j, reduced)
			}
		}
	}
	for j, c := range m.columns {
		if c.owner < 0 && c.price != (price{}) || (price{}).less(c.price) {
			t.Fatalf("column %d is priced %v", j, c.price)
		}
	}
}

func TestAssignInvariances(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	costs := randomCosts(r, 30, 40, 0.3)
	a := mustAssign(t, costs)
	if b := mustAssign(t, transposed(costs)); b.Total != a.Total || b.Matched != a.Matched {
		t.Errorf("turned: %v and %v", a.Total, b.Total)
	}
	order := r.Perm(len(costs))
	shuffled := make([][]float64, len(costs))
	for i, from := range order {
		shuffled[i] = make([]float64, len(costs[from]))
		for j, c := range costs[from] {
			shuffled[i][j] = c + float64(i) // what is added to a whole row is paid in any full match
		}
	}
	b := mustAssign(t, shuffled)
	if want := a.Total + float64(len(costs)*(len(costs)-1)/2); a.Matched != len(costs) || b.Total != want {
		t.Errorf("shuffled and raised: %v, want %v", b.Total, want)
	}
	if diff := cmp.Diff(a, mustAssign(t, costs)); diff != "" {
		t.Errorf("a second time: %s", diff)
	}
}

func TestAssignEdges(t *testing.T) {
	for _, bad := range [][][]float64{nil, {{}}, {{1, 2}, {3}}, {{1, math.NaN()}}, {{math.Inf(-1)}}} {
		if _, err := Assign(bad); err == nil {
			t.Errorf("no error for %v", bad)
		}
	}
	inf := math.Inf(1)
	a := mustAssign(t, [][]float64{{inf, 1}, {inf, 2}, {inf, inf}})
	want := &Assignment{Column: []int{1, -1, -1}, Matched: 1, Total: 1, UnmatchedRows: []int{1, 2}, UnmatchedColumns: []int{0}}
	if diff := cmp.Diff(want, a); diff != "" {
		t.Error(diff)
	}
}

func BenchmarkAssign1000(b *testing.B) {
	costs := randomCosts(rand.New(rand.NewPCG(10, 3)), 1000, 1000, 0.1)
	for b.Loop() {
		if _, err := Assign(costs); err != nil {
			b.Fatal(err)
		}
	}
}
