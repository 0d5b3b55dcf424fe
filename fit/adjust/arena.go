package adjust

// arena is the memory of one solution: slices cut from slabs, which reset hands out again. The zero
// arena is ready to use.
type arena struct {
	floats slab[float64]
	ints   slab[int]
	bools  slab[bool]
	sums   slab[sum2]
	lists  slab[[]float64]
}

func (m *arena) reset() {
	m.floats.reset()
	m.ints.reset()
	m.bools.reset()
	m.sums.reset()
	m.lists.reset()
}

// grid is a matrix of zeros.
func (m *arena) grid(rows, cols int) grid { return grid{rows, cols, m.floats.take(rows * cols)} }

// raw is a grid for those who write all of it.
func (m *arena) raw(rows, cols int) grid { return grid{rows, cols, m.floats.raw(rows * cols)} }

// again is a matrix of zeros in the room of one that is done with, where it fits.
func (m *arena) again(old grid, rows, cols int) grid {
	if n := rows * cols; n <= cap(old.v) {
		old = grid{rows, cols, old.v[:n]}
		clear(old.v)
		return old
	}
	return m.grid(rows, cols)
}

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
	s.used, s.all = 0, 0
}
