package adjust

import "math"

// arena is the memory of one solution: slices cut from slabs, which reset hands out again. The zero
// arena is ready to use.
type arena struct {
	floats slab[float64]
	ints   slab[int]
	lists  slab[[]float64]
}

func (m *arena) reset() {
	m.floats.reset()
	m.ints.reset()
	m.lists.reset()
}

// grid is a matrix of zeros.
func (m *arena) grid(rows, cols int) grid { return grid{rows, cols, m.floats.take(rows * cols)} }

// raw is a grid for those who write all of it.
func (m *arena) raw(rows, cols int) grid { return grid{rows, cols, m.floats.raw(rows * cols)} }

// slab hands out slices of one type.
type slab[T any] struct {
	room []T
	used int // of room
	all  int // since reset, former rooms included
}

// leastRoom is where a slab begins: a small survey fits.
const leastRoom = 256

// take returns n zeros that are the caller's until reset.
func (s *slab[T]) take(n int) []T {
	got := s.raw(n)
	clear(got)
	return got
}

// raw is take for those who write all of it.
func (s *slab[T]) raw(n int) []T {
	if s.used+n > len(s.room) {
		s.room, s.used = make([]T, max(2*len(s.room), n, leastRoom)), 0
	}
	got := s.room[s.used : s.used+n : s.used+n]
	s.used += n
	s.all += n
	return got
}

// reset takes everything back. A room that was too small is made large enough for as much again.
func (s *slab[T]) reset() {
	if s.all > len(s.room) {
		s.room = make([]T, s.all)
	}
	*s = slab[T]{room: s.room}
}

// grid is a dense matrix, row after row, that may have no rows or no columns. Its methods do not copy it: a processor waits
// where what was just written is copied in other pieces.
type grid struct {
	rows, cols int
	v          []float64
}

func (g *grid) row(i int) []float64 { return g.v[i*g.cols : (i+1)*g.cols] }

// times adds g x to into, which has a place for each row.
func (g *grid) times(x, into []float64) {
	for i := range into {
		into[i] += dot(g.row(i), x)
	}
}

// timesT adds g^T y to into, which has a place for each column.
func (g *grid) timesT(y, into []float64) {
	for i, w := range y {
		if w != 0 {
			addTo(into, w, g.row(i))
		}
	}
}

// transpose writes g^T to into.
func (g *grid) transpose(into grid) {
	for i := range g.rows {
		for j, v := range g.row(i) {
			into.v[j*into.cols+i] = v
		}
	}
}

// dot sums in two strands, for a processor waits for one addition to begin the next.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	even, odd := 0.0, 0.0
	i := 0
	for ; i < len(a)-1; i += 2 {
		even += a[i] * b[i]
		odd += a[i+1] * b[i+1]
	}
	if i < len(a) {
		even += a[i] * b[i]
	}
	return even + odd
}

// addTo adds by times b to a.
func addTo(a []float64, by float64, b []float64) {
	b = b[:len(a)]
	for i := range a {
		a[i] += by * b[i]
	}
}

func scaleBy(a []float64, by float64) {
	for i := range a {
		a[i] *= by
	}
}

func norm(a []float64) float64 { return math.Sqrt(dot(a, a)) }

// sum2 is a running sum in twice the working precision: every product and every addition keeps
// what rounding took from it (Ogita, Rump, Oishi, "Accurate sum and dot product", 2005).
type sum2 struct{ hi, lo float64 }

func (s *sum2) add(x float64) {
	t := s.hi + x
	z := t - s.hi
	s.lo += (s.hi - (t - z)) + (x - z)
	s.hi = t
}

func (s *sum2) addProduct(a, b float64) {
	p := a * b
	s.lo += math.FMA(a, b, -p)
	s.add(p)
}

func (s *sum2) value() float64 { return s.hi + s.lo }
