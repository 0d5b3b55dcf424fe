package remedy

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
)

// The built-in specific gravities against the table (Wood Handbook; see the README beside it).
func TestGravityIsTheTables(t *testing.T) {
	f, err := os.Open("../../testdata/published-wood/wood_specific_gravity.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	published := map[string]string{}
	for _, row := range rows[1:] {
		published[row[0]] = row[2]
	}
	names := map[string]string{
		"ash": "Ash, white", "alder": "Alder, red", "basswood": "Basswood, American", "birch": "Birch, yellow", "cherry": "Cherry, black",
		"maple": "Maple, sugar (hard)", "soft maple": "Maple, silver (soft)", "walnut": "Walnut, black", "poplar": "Yellow-poplar", "spruce": "Spruce, Sitka",
	}
	for wood, g := range gravity {
		if want, err := strconv.ParseFloat(published[names[wood]], 64); err != nil || g != want {
			t.Errorf("%s: %g, published %q", wood, g, published[names[wood]])
		}
	}
}

// Pilots as repairers give them: 3.0 to 3.2 mm in a maple heel for a screw of 4.5 mm, and for the usual
// bridge screw of 3.5 mm a lighter body is drilled to 0.7 to 0.8 of the core, two thirds of that.
func TestPilotsAreTheTrades(t *testing.T) {
	for _, c := range []struct {
		screw     float64
		core      float64
		wood      string
		known     bool
		low, high float64
	}{
		{4.5, 0, "maple", true, 3.0, 3.2}, {4.5, 0, "Hard Maple", true, 3.0, 3.2}, {3.5, 2.57, "alder", true, 2.5, 2.6},
		{3.5, 0, "alder", true, 0.7 * 3.5 * 2 / 3, 0.8 * 3.5 * 2 / 3}, {3.5, 0, "swamp ash", true, 0.9 * 3.5 * 2 / 3, 3.5},
		{3.5, 0, "plywood", false, 0.7 * 3.5 * 2 / 3, 0.8 * 3.5 * 2 / 3},
	} {
		if got, known := Pilot(c.screw, c.core, c.wood); got < c.low || got > c.high || known != c.known {
			t.Errorf("%g mm in %s: %.2f (%v), the trade says %.2f to %.2f", c.screw, c.wood, got, known, c.low, c.high)
		}
	}
}

// A wood that is in no table has no gravity, and the last word of a name is enough.
func TestWoodsByName(t *testing.T) {
	for wood, want := range map[string]float64{"": 0, " ": 0, "plastic": 0, "Maple": 0.63, " swamp ASH ": 0.60, "soft maple": 0.47, "hard maple": 0.63, "maple top": 0} {
		if g, known := Gravity(wood); g != want || known != (want > 0) {
			t.Errorf("%q: %g, %v", wood, g, known)
		}
	}
}
