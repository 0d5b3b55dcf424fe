package words

import (
	"slices"
	"strings"
	"testing"
)

func TestMoved(t *testing.T) {
	for want, move := range map[string][2]float64{
		"2.1 mm toward bass of the old one":                                {0.04, -2.1},
		"0.5 mm toward treble, 0.4 mm toward the tail of the old one":      {0.4, 0.5},
		"1.2 mm toward the headstock of the old one":                       {-1.2, 0},
		"where the old one is":                                             {-0.04, 0.04},
		"12.0 mm toward bass, 3.3 mm toward the headstock of the old one":  {-3.3, -12},
		"0.1 mm toward treble, 0.1 mm toward the headstock of the old one": {-0.05, 0.05},
	} {
		if got := Moved(move[0], move[1]); got != want {
			t.Errorf("%v: %q, want %q", move, got, want)
		}
	}
}

// The steps come in the order of the work: nothing is pricked before it is aligned, nothing drilled
// before it is checked, and what plugs spoil is marked before.
func TestTemplateSteps(t *testing.T) {
	for _, l := range []TemplateLay{{Pocket: true, OldHoles: true, Plugs: true, Body: true, Heel: true, Apart: 76.04, From: "a", To: "b"}, {Edges: true, Left: true, Body: true}} {
		steps := TemplateSteps(l)
		all := strings.Join(steps, "\n")
		order := []string{"Print", "Check the bars", "Cut", "Align", "Prick the centre of every upright", "Check on the wood", "Drill"}
		if l.Plugs {
			order = []string{"Print", "Check the bars", "Cut", "Align", "corners through into tape", "bore and glue the plugs", "prick the centre of every upright", "76.0 mm apart", "Drill"}
		}
		last := -1
		for _, word := range order {
			at := strings.Index(all, word)
			if at <= last {
				t.Errorf("%q stands at %d, after %d in %q", word, at, last, all)
			}
			last = at
		}
		if strings.Contains(all, "mirrored") != l.Left {
			t.Errorf("left %v: %s", l.Left, all)
		}
		align := steps[slices.IndexFunc(steps, func(s string) bool { return strings.HasPrefix(s, "Align") })]
		if strings.Contains(align, "walls") != l.Pocket || strings.Contains(align, "rings") != l.OldHoles || strings.Contains(align, "straightedge") != l.Edges {
			t.Errorf("%+v: %s", l, align)
		}
	}
}

// The heel's holes are marked through the body's once the plugs are in, and drilled after that.
func TestHeelSteps(t *testing.T) {
	all := strings.Join(TemplateSteps(TemplateLay{Heel: true, Plugs: true, Pocket: true, OldHoles: true, Apart: 63.7, From: "heel-screw 1", To: "heel-screw 4"}), "\n")
	last := -1
	for _, word := range []string{"Print", "Check the bars", "face down", "glue the plugs", "mark the new holes through the body's", "63.7 mm apart", "Drill"} {
		at := strings.Index(all, word)
		if at <= last {
			t.Errorf("%q stands at %d, after %d in %q", word, at, last, all)
		}
		last = at
	}
	if strings.Contains(all, "Align it on the body") {
		t.Errorf("a heel is aligned on the body: %s", all)
	}
}

func TestTemplateOf(t *testing.T) {
	if got, want := TemplateOf(762.14, 3), "Scale length 762.1 mm; plan 3 of neckfit remedy"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
