package adjust

import (
	"fmt"
	"slices"
	"sort"
	"testing"
)

// Plane distance networks as F. Krumm, Geodetic Network Adjustment Examples 3.5 (2020), prints
// them, after C. D. Ghilani, Adjustment Computations (2010), and G. Strang, K. Borre, Linear
// Algebra, Geodesy, and GPS (1997). Standard deviations are scaled by the estimated sigma.
func TestDistanceNetworks(t *testing.T) {
	for _, name := range []string{"trilateration_ghilani14_5_fix", "trilateration_strangborre_fix"} {
		t.Run(name, func(t *testing.T) { checkNetwork(t, name) })
	}
}

func checkNetwork(t *testing.T, name string) {
	var set struct {
		Datum     struct{ Fixed []string }
		Start     map[string][2]float64 `json:"approximate_coordinates"`
		Distances []struct {
			From  string `json:"from_"`
			To    string
			D, SD float64
		}
		Published map[string]struct {
			X, Y float64
			SDX  float64 `json:"sd_x_cm"`
			SDY  float64 `json:"sd_y_cm"`
		} `json:"published_adjusted"`
		Recomputed struct {
			DOF        int
			Sigma0     float64   `json:"sigma0_hat"`
			Redundancy []float64 `json:"redundancy_numbers"`
		}
		Sigma0 float64
	}
	published(t, name+".json", &set)
	p := &Problem{}
	places := map[string][2]Coord{}
	var names []string
	for n := range set.Start {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		xy := set.Start[n]
		if slices.Contains(set.Datum.Fixed, "x"+n) {
			places[n] = [2]Coord{Fixed(xy[0]), Fixed(xy[1])}
			continue
		}
		places[n] = [2]Coord{At(len(p.Start)), At(len(p.Start) + 1)}
		p.Start = append(p.Start, xy[0], xy[1])
	}
	for _, d := range set.Distances {
		a, b := places[d.From], places[d.To]
		p.Rows = append(p.Rows, Row{Value: d.D, Sigma: d.SD, Model: DistanceBetween(a[0], a[1], b[0], b[1])})
	}
	s, err := Solve(p, Options{UnknownScale: true})
	if err != nil {
		t.Fatal(err)
	}
	if s.DOF != set.Recomputed.DOF {
		t.Errorf("dof %d, want %d", s.DOF, set.Recomputed.DOF)
	}
	for n, want := range set.Published {
		j := places[n][0].unknown
		// coordinates are printed to 4 decimals, deviations in centimetres to 3
		near(t, n+" x", s.X[j], want.X, 0.5e-4)
		near(t, n+" y", s.X[j+1], want.Y, 0.5e-4)
		near(t, n+" sd x", 100*sd(s, j), want.SDX, 0.5e-3)
		near(t, n+" sd y", 100*sd(s, j+1), want.SDY, 0.5e-3)
	}
	// The rest is recomputed, not printed: to 10 and 6 digits.
	near(t, "sigma", s.Scale*set.Sigma0, set.Recomputed.Sigma0, 1e-9)
	for i, want := range set.Recomputed.Redundancy {
		near(t, fmt.Sprintf("redundancy %d", i), s.Redundancy[i], want, 1e-6)
	}
}

func near(t *testing.T, what string, got, want, most float64) {
	t.Helper()
	if !(got >= want-most && got <= want+most) {
		t.Errorf("%s = %.12g, want %.12g to within %g", what, got, want, most)
	}
}
