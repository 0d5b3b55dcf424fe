package main

import (
	"fmt"
	"math/rand/v2"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// demoOpening stands above the header of every table.
const demoOpening = `# Demonstration data. All of it is invented: no instrument, delivery, supplier or workshop is real.
# A community workshop has received kits of a short-scale four-string bass, bodies from one
# supplier and necks from another, and measures them before anything is glued or drilled.
`

// demo is the demonstration batch.
func demo() batch {
	kitNotes := "# What is wrong with each kit:\n"
	var kits []*measure.Kit
	for i, s := range stories {
		// Every kit has its own chance, so that a change of one leaves the others as they are.
		kits = append(kits, s.kit(rand.New(rand.NewPCG(seed, uint64(i)))))
		kitNotes += fmt.Sprintf("#   %-6s  %s\n", s.name, s.what)
	}
	return batch{opening: demoOpening, kits: kits, gauges: workshopGauges(), notes: map[string]string{
		"readings.csv": `# Kits SSB-01 to SSB-24 are loose parts, EC-01 and EC-02 edge checks, DF-01 and DF-02 dry fits.
`,
		"kits.csv": kitNotes,
		"gauges.csv": `# The workshop's own gauges: a 150 mm digital calliper and a depth gauge, a 1000 mm steel rule, a
# 1000 mm vernier and a set of feelers. The repeatabilities are the workshop's, from a gauge study of
# its own on wood.
`,
	}}
}

// seed makes the batch the same at every run. It was chosen among others so that no chance error
// tells a second story: with 31 characteristics of 28 kits and a 5 % chance of a suspect in each
// kit, most seeds have one or two.
const seed = 1036

// kit makes the parts, reads them and writes down what the workshop knows of them. The scale is
// what was ordered.
func (s story) kit(rng *rand.Rand) *measure.Kit {
	in := s.instrument(rng)
	read := s.plan
	if read == nil {
		read = simulate.LooseParts
	}
	// The sides of heel and pocket decide where the neck points and are short, so they are read at five
	// places, twice over.
	g := workshopGauges()
	readings := read(in, rng, simulate.Setup{
		Offset: &g[0], Depth: &g[1], Station: &g[2], Long: &g[3], Gap: &g[4],
		Heights: true, SideStations: 5, Trials: 2,
	})
	if s.slip != nil {
		readings = s.slip(readings)
	}
	kit := in.Kit(s.name, tidy(readings))
	kit.Info.Scale = simulate.ShortScaleBass().Scale
	switch { // by when the kit came: two deliveries of twelve, and a few that were fitted together
	case s.plan != nil:
		kit.Info.Lot = "assembled"
	case s.name <= "SSB-12":
		kit.Info.Lot = "first"
	default:
		kit.Info.Lot = "second"
	}
	kit.Info.LeftHanded = s.left
	kit.Info.Supplier = "bodies A, necks B"
	kit.Info.Wood = "alder"
	return kit
}

// ordinary is a kit as the suppliers' processes make it when nothing goes wrong.
func ordinary(rng *rand.Rand) simulate.Instrument {
	in := simulate.ShortScaleBass()
	normal := func(sd float64) float64 { return sd * rng.NormFloat64() }
	heel, clearance := normal(0.06), 0.27
	in.HeelMouth, in.HeelEnd = in.HeelMouth+heel, in.HeelEnd+heel+normal(0.02)
	in.PocketMouth, in.PocketEnd = in.HeelMouth+clearance+normal(0.03), in.HeelEnd+clearance+normal(0.03)
	in.HeelStation += normal(0.1)
	in.HeelSideways, in.HeelHeading = normal(0.03), normal(0.01)
	in.HeelEndAngle, in.PocketEndAngle = normal(0.03), normal(0.03)
	in.Scale += normal(0.05)
	in.CentreLineError, in.BridgeSkew = normal(0.1), normal(0.03)
	in.BridgeStation += normal(0.3)
	in.NeckScrewSize = 5.7 // 1.2 mm wider than the screw, so that it may stand 0.6 mm off centre
	in.HeelScrewErrors = map[int]simulate.Point{}
	for k := range in.NeckScrews {
		in.HeelScrewErrors[k+1] = simulate.Point{Station: normal(0.11), Offset: normal(0.11)}
	}
	in.PocketDepth, in.FretHeight = in.PocketDepth+normal(0.1), in.FretHeight+normal(0.1)
	in.FloorPitch, in.FloorRoll = normal(0.05), normal(0.03)
	for _, p := range []*simulate.Pose{&in.BodyPose, &in.NeckPose, &in.BridgePose} {
		p.Turn = normal(0.2)
		p.Zero.Station += normal(3)
		p.Zero.Offset += normal(3)
	}
	return in
}

// instrument is the kit's parts with what is wrong with them.
func (s story) instrument(rng *rand.Rand) simulate.Instrument {
	in := ordinary(rng)
	if s.part != nil {
		s.part(&in)
	}
	return in
}

// workshopGauges are what the workshop reads with. The figures are of the usual order for such gauges in practised
// hands, on wood: common practice, no source.
func workshopGauges() []measure.Gauge {
	return []measure.Gauge{
		{ID: "cal150", Kind: "calliper", Resolution: 0.01, MaxError: 0.02, Repeatability: 0.03},
		{ID: "depth150", Kind: "depth gauge", Resolution: 0.01, MaxError: 0.02, Repeatability: 0.015},
		{ID: "rule1000", Kind: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.1},
		{ID: "ver1000", Kind: "vernier", Resolution: 0.02, MaxError: 0.04, Repeatability: 0.025},
		{ID: "feelers", Kind: "feeler", Resolution: 0.05, MaxError: 0.01, Repeatability: 0.02},
	}
}
