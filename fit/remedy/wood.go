package remedy

import "strings"

// gravity is the specific gravity of woods that bodies and necks are made of (oven-dry weight,
// volume at 12 % moisture): Wood Handbook, FPL-GTR-190, tables 5-3 and 5-5; walnut and poplar from
// memory.
var gravity = map[string]float64{
	"ash": 0.60, "alder": 0.41, "basswood": 0.37, "birch": 0.62, "cherry": 0.50,
	"maple": 0.63, "soft maple": 0.47, "walnut": 0.55, "poplar": 0.42, "spruce": 0.40,
}

// dense is the specific gravity from which a wood takes the larger pilot. Fastening tables put the
// step at 0.6; white ash, on the line, is worked as a hard wood in this trade (common practice, no
// source).
const dense = 0.60

// Pilot holes by the screw's root (core) diameter. Structural tables ask for 70 % of it in lighter woods
// and 90 % in dense ones (Wood Handbook, chapter 8; recalled, not seen in a copy). Guitar repairers drill
// wider, lest the screw shears or the wood splits: 3.2 mm in a maple heel for a screw of about 4.2 mm, and
// to the measured core, 2.6 mm for 2.57, in the body. So dense woods get the core and a little more, lighter
// ones three quarters of it; a core that was measured is drilled as it is (common practice, no source). The
// root is two thirds of the screw's outside diameter (a secondary page) where it was not measured.
const (
	lightRatio = 0.75
	denseRatio = 1.03
	rootShare  = 2.0 / 3
)

// Pilot is the pilot's diameter in mm for a screw of an outside diameter, and of a core where that was
// measured (else 0), in a wood by its name. An unknown wood is taken as a lighter one, and known is false.
func Pilot(screw, core float64, wood string) (diameter float64, known bool) {
	g, known := Gravity(wood)
	if core > 0 {
		return core, known
	}
	ratio := lightRatio
	if known && g >= dense {
		ratio = denseRatio
	}
	return screw * rootShare * ratio, known
}

// Gravity finds a wood by its name or by the last word of it: "swamp ash" is an ash.
func Gravity(wood string) (float64, bool) {
	wood = strings.ToLower(strings.TrimSpace(wood))
	if g, ok := gravity[wood]; ok {
		return g, true
	}
	words := strings.Fields(wood)
	if len(words) == 0 {
		return 0, false
	}
	g, ok := gravity[words[len(words)-1]]
	return g, ok
}
