package measure

import (
	"math"
	"testing"
)

// The gap that a reading stands for: half way from the leaf that enters to the next, a quarter of a step where none does.
func TestRoomOfAFeeler(t *testing.T) {
	leaves, other := &Gauge{Kind: "feeler", Resolution: 0.1}, &Gauge{Kind: "calliper", Resolution: 0.1}
	for _, c := range []struct {
		g          *Gauge
		read, want float64
	}{{leaves, 0.3, 0.35}, {leaves, 0, 0.025}, {other, 0.3, 0.3}, {other, 0, 0}} {
		if got := (&Reading{Gauge: c.g, Size: c.read}).Room(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s, %v read: %v, want %v", c.g.Kind, c.read, got, c.want)
		}
	}
}
