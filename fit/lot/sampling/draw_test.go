package sampling

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestDrawIsRepeatable(t *testing.T) {
	a, errA := Draw(200, 32, 7)
	b, errB := Draw(200, 32, 7)
	c, errC := Draw(200, 32, 8)
	if errA != nil || errB != nil || errC != nil {
		t.Fatal(errA, errB, errC)
	}
	if !cmp.Equal(a, b) || cmp.Equal(a, c) {
		t.Errorf("seed 7 gave %v and %v, seed 8 %v", a, b, c)
	}
	for i := range a {
		if a[i] < 0 || a[i] >= 200 || i > 0 && a[i] <= a[i-1] {
			t.Fatalf("%v is not 32 different pieces, ascending", a)
		}
	}
}

// Over many seeds every pair of pieces is drawn equally often, as sampling without replacement
// demands: 3 of 6 holds a given pair with probability 3*2/(6*5).
func TestDrawIsFair(t *testing.T) {
	const seeds = 30000
	var pairs [6][6]float64
	for seed := range uint64(seeds) {
		d, err := Draw(6, 3, seed)
		if err != nil {
			t.Fatal(err)
		}
		for i, a := range d {
			for _, b := range d[i+1:] {
				pairs[a][b]++
			}
		}
	}
	const p = 0.2
	for a := range 6 {
		for b := a + 1; b < 6; b++ {
			// Five standard deviations (69 each) of a binomial count: 15 pairs are looked at.
			if d := pairs[a][b] - seeds*p; d < -5*70 || d > 5*70 {
				t.Errorf("pieces %d and %d were drawn together %v times, want about %v", a, b, pairs[a][b], seeds*p)
			}
		}
	}
}

func TestDrawEdges(t *testing.T) {
	all, err := Draw(4, 4, 1)
	if err != nil || !cmp.Equal(all, []int{0, 1, 2, 3}) {
		t.Errorf("%v, %v", all, err)
	}
	if none, err := Draw(0, 0, 1); err != nil || len(none) != 0 {
		t.Errorf("%v, %v", none, err)
	}
	for _, bad := range [][2]int{{3, 4}, {3, -1}, {-1, 0}} {
		if _, err := Draw(bad[0], bad[1], 1); err == nil {
			t.Errorf("no error for %v", bad)
		}
	}
}
