package remedy

import (
	"encoding/csv"
	"encoding/json"
	"math"
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

// The lead-hole ratios against the reference, whose status is that they are recalled.
func TestPilotRatios(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published-wood/wood_screw_withdrawal_fpl.json")
	if err != nil {
		t.Fatal(err)
	}
	var reference struct {
		LeadHole struct {
			Soft float64 `json:"wood_screw_withdrawal_softwood_pct_of_root_diameter"`
			Hard float64 `json:"wood_screw_withdrawal_hardwood_pct_of_root_diameter"`
		} `json:"lead_hole"`
	}
	if err := json.Unmarshal(text, &reference); err != nil {
		t.Fatal(err)
	}
	for wood, share := range map[string]float64{"alder": reference.LeadHole.Soft, "Hard Maple": reference.LeadHole.Hard} {
		got, known := Pilot(3, wood) // a root of 2 mm
		if want := 2 * share / 100; !known || share == 0 || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %g, want %g", wood, got, want)
		}
	}
	if got, known := Pilot(3, "plywood"); known || math.Abs(got-1.4) > 1e-12 {
		t.Errorf("unknown wood: %g, %v", got, known)
	}
}
