package remedy

import (
	"slices"
	"testing"

	"neckfit/measure"
)

// Every work that changes a kit has its place in the order, once.
func TestEveryWorkHasItsPlace(t *testing.T) {
	for _, w := range measure.Works() {
		n := 0
		for _, b := range order {
			if b == w {
				n++
			}
		}
		if want := w != measure.Leave && w != measure.ReadAgain && w != measure.SendBack; want != (n == 1) {
			t.Errorf("%s is there %d times", w, n)
		}
	}
	got := inOrder([]Action{{Work: measure.PlugBridge}, {Work: measure.SideShim, Wall: Bass}, {Work: measure.SideShim, Wall: Treble}, {Work: measure.RelieveWall}})
	want := []Action{{Work: measure.RelieveWall}, {Work: measure.SideShim, Wall: Bass}, {Work: measure.SideShim, Wall: Treble}, {Work: measure.PlugBridge}}
	if !slices.Equal(got, want) {
		t.Error(got)
	}
}
