package measure

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The numbers of the built-in tables as README and their sources have them, once more and in words of
// their own: a slip in one of them changes every verdict, plan or sheet that rests on it.
func TestBuiltInNumbers(t *testing.T) {
	var got []string
	for _, g := range BuiltInGauges() {
		got = append(got, fmt.Sprintf("%s %v %v %v", g.ID, g.Resolution, g.MaxError, g.Repeatability))
	}
	for _, c := range BuiltInCosts() {
		got = append(got, fmt.Sprintf("%v %v + %v min %v", c.Work, c.Minutes, c.Price, c.Worst))
	}
	bits := 0
	for _, s := range BuiltInStock() {
		switch {
		case s.Kind == DrillStock:
			bits++
		case s.Angle > 0:
			got = append(got, fmt.Sprintf("%v %v deg", s.Kind, s.Angle))
		default:
			got = append(got, fmt.Sprintf("%v %.5f", s.Kind, s.Size))
		}
	}
	want := strings.Split(strings.TrimSpace(`
calliper 0.01 0.03 0.05
calliper-inside 0.01 0.03 0.05
rule 0.5 0.15 0.15
feeler 0.05 0.01 0.02
straightedge 0 0 0.05
leave 0 + 0 min 0
read-again 10 + 0 min 0
re-seat 10 + 0 min 0.1
side-shim 20 + 5 min 0.05
pitch-shim 20 + 0 min 0.05
rise-shim 15 + 0 min 0.05
bridge-move 15 + 0 min 0.25
ream-screws 10 + 20 min 0
slot-screws 20 + 30 min 0
ease-corner 15 + 20 min 0.5
square-corner 20 + 25 min 0.3
slot-strings 20 + 20 min 0
slot-bridge 40 + 60 min 0
relieve-wall 30 + 45 min 0.1
level-floor 20 + 20 min 0.1
deepen-floor 60 + 100 min 0.15
trim-heel 40 + 60 min 0.3
plug-neck 60 + 90 min 0.2
plug-strings 75 + 120 min 0.3
plug-bridge 90 + 150 min 0.15
send-back 30 + 450 min 0
hour 60 + 0 min 0
scrap 0 + 600 min 0
snug 0 + 240 min 0
side-shim 0.10000
side-shim 0.25000
side-shim 0.50000
side-shim 0.60000
side-shim 0.79375
side-shim 1.00000
wedge 0.25 deg
wedge 0.5 deg
wedge 0.75 deg
wedge 1 deg
floor-shim 0.25000
floor-shim 0.50000
floor-shim 0.79375
floor-shim 1.50000
plug 4.00000
plug 4.76250
plug 6.00000
plug 6.35000
plug 8.00000
plug 10.00000
plug 12.00000`), "\n")
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	// tenths from 1 to 4 mm, quarters from 4.25 to 12 mm
	if bits != 31+32 {
		t.Errorf("%d bits", bits)
	}
	for _, s := range BuiltInStock() {
		if s.Kind == DrillStock && (s.Size < 1 || s.Size > 12) {
			t.Errorf("bit %+v", s)
		}
	}
}

// A string is described by its compensation, or by core, weight and pitch, all three.
func TestStringsTable(t *testing.T) {
	const head = "string,compensation,core,unit_weight,pitch,unit\n"
	for row, want := range map[string]string{
		"4,2.5,,,,":       "",
		"4,,0.5,5.8,41.2": "",
		"4,,,5.8,41.2":    "compensation is blank",
		"4,,0.5,,41.2":    "compensation is blank",
		"4,,0.5,5.8,":     "compensation is blank",
		"4,,0.5,-5.8,41":  `unit_weight "-5.8" is no such number, expected a mass in grams per metre`,
		"4,,0.5,5.8,0":    `pitch "0" is no such number, expected a frequency in hertz`,
		"4,,0,5.8,41":     `core "0" is not above zero`,
	} {
		dir := folder(t, map[string]string{"readings.csv": onePocket[:len("kit,datum,feature,kind,station,size,gauge\n")], "strings.csv": head + row + "\n"})
		_, err := readAll(t, dir, "")
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%s: %v, want %q", row, err, want)
		}
	}
	dir := folder(t, map[string]string{"readings.csv": "kit,datum,feature,kind\n", "strings.csv": head + "4,1/16,,,,in\n3,,1/64,5.8,55,in\n"})
	b, err := Open(dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// 1/16 in = 1.5875 mm, 1/64 in = 0.396875 mm; weight and pitch have their own units.
	if got := b.Compensation()[4]; got != 1.5875 {
		t.Errorf("compensation %v", got)
	}
	if got, want := b.Specs[3], (StringSpec{Core: 0.396875, UnitWeight: 5.8, Pitch: 55}); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
}
