package words

import (
	"fmt"
	"math"
	"strings"

	"neckfit/fit/remedy"
)

// DrillHeadline counts the holes of a schedule by what is to be done, and says first which cannot be placed.
func DrillHeadline(s *remedy.Schedule) string {
	count := map[remedy.HoleWork]int{}
	for i := range s.Holes {
		count[s.Holes[i].Work]++
	}
	text := fmt.Sprintf("%d holes: %d plugged and drilled anew, %d drilled fresh, %d used as they are",
		len(s.Holes), count[remedy.PlugFirst], count[remedy.Fresh], count[remedy.Reuse])
	if n := s.Refusals; n > 0 {
		text = fmt.Sprintf("%d of the holes cannot be placed, do not drill; ", n) + text
	}
	return text
}

// Minding is what is to be said of a hole besides its numbers.
func Minding(h *remedy.Hole) string {
	list := []string{h.Depth}
	if h.Shared > 0 {
		list = append(list, fmt.Sprintf("%.0f %% of it lies in the old hole", 100*h.Shared))
	}
	if h.FaceGrain {
		list = append(list, "face-grain plug of the same wood")
	}
	if h.Hidden != "" {
		list = append(list, "the old hole is "+h.Hidden)
	}
	if !math.IsInf(h.Cavity, 1) {
		list = append(list, fmt.Sprintf("%.1f mm to a cavity", h.Cavity))
	}
	if !math.IsInf(h.Edge, 1) {
		list = append(list, fmt.Sprintf("%.1f mm to the edge", h.Edge))
	}
	return Harmless(strings.Join(append(list, h.Warnings...), "; ")) + "."
}
