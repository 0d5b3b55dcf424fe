package measure

import (
	"slices"
	"strings"
	"testing"
)

// The table must be in the order of the constants, for features are looked up by number.
func TestRulesAreInOrder(t *testing.T) {
	for i, r := range rules {
		if int(r.feature) != i+1 {
			t.Errorf("rule %d is of %v", i+1, r.feature)
		}
	}
	if len(rules) != int(PlateEdge) {
		t.Errorf("%d rules for %d features", len(rules), PlateEdge)
	}
}

// What holds of every feature and kind, whatever the table says.
func TestRulesMakeSense(t *testing.T) {
	for _, r := range rules {
		if r.part == NoPart || len(r.datums) == 0 || len(r.kinds) == 0 {
			t.Errorf("%s lacks a part, a datum or a kind", r.name)
		}
		for kind, n := range r.kinds {
			if sized := !slices.Contains([]Kind{Point, Offset, Station, OffsetNear, OffsetFar, StationNear, StationFar}, kind); sized != (n.size == Required) || n.size == Optional {
				t.Errorf("%s %s: size does not suit the kind", r.name, kind)
			}
			if stationed := kind == Point || kind == Station || kind == StationNear || kind == StationFar; stationed && n.station != Required {
				t.Errorf("%s %s needs its station", r.name, kind)
			}
			if offsetted := kind == Point || kind == Offset || kind == OffsetNear || kind == OffsetFar; offsetted && n.offset != Required {
				t.Errorf("%s %s needs its offset", r.name, kind)
			}
			if n.to != (kind == Distance) || n.to && !r.mark.numbered() {
				t.Errorf("%s %s: a second mark is for distances between numbers", r.name, kind)
			}
			for _, d := range n.datums {
				if !slices.Contains(r.datums, d) {
					t.Errorf("%s %s: %v is no datum of the feature", r.name, kind, d)
				}
			}
		}
		for _, d := range r.datums {
			if d == DatumNeck && r.part != NeckPart || d == DatumBridge && r.part != BridgePart {
				t.Errorf("%s is of another part than datum %v", r.name, d)
			}
		}
		if !slices.Contains(r.datums, DatumBody) {
			t.Errorf("%s cannot be read with everything in place", r.name)
		}
	}
}

// What callers see is a copy.
func TestDatumsIsACopy(t *testing.T) {
	Nut.Datums()[0] = NoDatum
	if Nut.Datums()[0] != DatumNeck {
		t.Error("the table was changed")
	}
	if NoFeature.Part() != NoPart {
		t.Error("no feature has a part")
	}
}

// Which part each feature belongs to, in the words of the format's description.
func TestParts(t *testing.T) {
	for part, list := range map[Part]string{
		NeckPart:   "edge-bass edge-treble fingerboard heel-bass heel-treble heel heel-end heel-corner nut nut-slot fret heel-screw fret-top",
		BodyPart:   "pocket-bass pocket-treble pocket pocket-end pocket-corner pocket-floor top bridge-screw string-hole neck-screw cavity outline",
		BridgePart: "plate-screw plate-hole saddle saddle-front saddle-back saddle-low saddle-high plate-edge",
	} {
		for _, word := range strings.Fields(list) {
			if f, ok := ParseFeature(word); !ok || f.Part() != part {
				t.Errorf("%s is of part %v", word, f.Part())
			}
		}
	}
}

// The quick check with a straightedge along an edge reaches the nut and what lies at the bridge,
// and no more: features and datums in every pairing.
func TestEdgeDatums(t *testing.T) {
	edge := strings.Fields("heel pocket pocket-end nut nut-slot fret bridge-screw string-hole plate-screw plate-hole saddle saddle-front saddle-back")
	for _, f := range Features() {
		for _, d := range []Datum{DatumEdgeBass, DatumEdgeTreble} {
			if got, want := slices.Contains(f.Datums(), d), slices.Contains(edge, f.String()); got != want {
				t.Errorf("%v from %v: %v, want %v", f, d, got, want)
			}
		}
	}
}
