package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// exampleOpening stands above the header of every table.
const exampleOpening = `# Example data. All of it is invented: no instrument, delivery, supplier or workshop is real.
`

// exampleGauges are a workshop's. The figures are of the usual order for such gauges on wood: common
// practice, no source. The ruler is the one that the gauge study is about.
func exampleGauges() []measure.Gauge {
	return []measure.Gauge{
		{ID: "cal150", Kind: "calliper", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.03},
		{ID: "rule1000", Kind: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.1},
		{ID: "ver600", Kind: "vernier", Resolution: 0.05, MaxError: 0.05, Repeatability: 0.05},
		{ID: "ruler", Kind: "rule", Resolution: 0.05, MaxError: 0.1, Repeatability: 0.05},
	}
}

func exampleSetup() simulate.Setup {
	g := exampleGauges()
	return simulate.Setup{Offset: &g[0], Station: &g[1], Long: &g[2]}
}

const lotsAbout = `# Two lots of 30 kits of a short-scale four-string bass, quickly checked along the fingerboard's edges.
# In the second lot the supplier's jig wears: the bridge creeps toward treble from kit to kit.
`

// earlier are the supplier's lots before these.
const earlier = `lot,accepted
January,yes
February,no
March,yes
`

const kitsPerLot = 30

// lots are a good lot and one that drifts.
func lots() batch {
	b := batch{opening: exampleOpening + lotsAbout, gauges: exampleGauges(), extra: map[string]string{"history.csv": exampleOpening + earlier}}
	for l, name := range []string{"April", "May"} {
		for i := range kitsPerLot {
			const seed = 47
			rng := rand.New(rand.NewPCG(seed, uint64(l*kitsPerLot+i)))
			normal := func(sd float64) float64 { return sd * rng.NormFloat64() }
			in := simulate.ShortScaleBass()
			width := normal(0.04)
			in.PocketMouth, in.PocketEnd = in.PocketMouth+0.07+width, in.PocketEnd+0.07+width+normal(0.02)
			drift := float64(l) * 0.05 // mm, from kit to kit
			in.CentreLineError = normal(0.1) + drift*float64(i)
			in.BridgeSkew = normal(0.03)
			in.Scale += normal(0.05)
			k := in.Kit(fmt.Sprintf("%s-%02d", name, i+1), tidy(simulate.EdgeCheck(in, rng, exampleSetup())))
			k.Info.Lot, k.Info.Supplier, k.Info.Scale = name, "bodies A", simulate.ShortScaleBass().Scale
			b.kits = append(b.kits, k)
		}
	}
	return b
}

const gaugesAbout = `# A gauge study: ten necks and bodies, the heel's width read with the calliper and the pocket's with a
# ruler, three times by each of three people, who read the ruler differently.
`

// reader is a person, with what they read too much with the ruler, in mm.
type reader struct {
	name string
	bias float64
}

// gauges is a crossed study of two gauges.
func gauges() batch {
	const seed = 53
	rng := rand.New(rand.NewPCG(seed, 0))
	b := batch{opening: exampleOpening + gaugesAbout, gauges: exampleGauges()}
	const parts, trials = 10, 3
	for i := range parts {
		name := fmt.Sprintf("K%02d", i+1)
		heel, pocket := 63.5+0.1*rng.NormFloat64(), 63.75+0.1*rng.NormFloat64()
		k := &measure.Kit{Name: name, Info: measure.Info{Kit: name, Lot: "study"}}
		for _, by := range []reader{{"reader 1", 0}, {"reader 2", 0.06}, {"reader 3", -0.05}} {
			for t := range trials {
				k.Readings = append(k.Readings,
					width(measure.DatumNeck, measure.Heel, "cal150", by.name, t+1, heel+0.006*rng.NormFloat64(), 0.01),
					width(measure.DatumBody, measure.Pocket, "ruler", by.name, t+1, pocket+by.bias+0.03*rng.NormFloat64(), 0.05))
			}
		}
		b.kits = append(b.kits, k)
	}
	return b
}

// width is one reading across the mouth, 20 mm from the datum's zero, shown in steps.
func width(d measure.Datum, f measure.Feature, gauge, by string, trial int, size, step float64) measure.Reading {
	shown := math.Round(size/step) * step
	return measure.Reading{
		Datum: d, Feature: f, Kind: measure.Width, Station: 20, HasStation: true, Size: math.Round(shown*1000) / 1000,
		Gauge: &measure.Gauge{ID: gauge}, StationGauge: &measure.Gauge{ID: "rule1000"}, Trial: trial, By: by,
	}
}

// examplePairs is how many necks and bodies the example has; one neck more is over.
const examplePairs = 8

const pairsAbout = `# Necks N and bodies B of a short-scale four-string bass, each surveyed by itself; the one bridge BR
# stands for all bodies. Which goes with which is to be found.
`

// pairs are n bodies, one neck more, and a bridge. Heels and pockets vary more than one fit allows,
// so that it matters which goes with which.
func pairs(n int) batch {
	const seed = 31
	necks, bodies := make([]*measure.Kit, 0, n+1), make([]*measure.Kit, 0, n)
	var bridge *measure.Kit
	for i := range n + 1 {
		in := loosePart(rand.New(rand.NewPCG(seed, uint64(i))))
		readings := tidy(simulate.LooseParts(in, rand.New(rand.NewPCG(seed+1, uint64(i))), exampleSetup()))
		neck := part(in, fmt.Sprintf("N%0*d", digits(n+1), i+1), readings, measure.DatumNeck)
		neck.Info.BridgeScrew = 0
		necks = append(necks, neck)
		if i == n {
			break
		}
		body := part(in, fmt.Sprintf("B%0*d", digits(n+1), i+1), readings, measure.DatumBody)
		body.Info.Frets, body.Info.Scale, body.Info.NutSpread = 0, 0, 0
		bodies = append(bodies, body)
		if i == 0 {
			bridge = part(in, "BR", readings, measure.DatumBridge)
			bridge.Info = measure.Info{Kit: "BR", Lot: "pairs"}
		}
	}
	kits := append(append(necks, bodies...), bridge)
	return batch{opening: exampleOpening + pairsAbout, gauges: exampleGauges(), kits: kits}
}

func digits(n int) int { return len(fmt.Sprint(n)) }

// part keeps what was read from one datum.
func part(in simulate.Instrument, name string, readings []measure.Reading, d measure.Datum) *measure.Kit {
	k := in.Kit(name, slices.DeleteFunc(slices.Clone(readings), func(r measure.Reading) bool { return r.Datum != d }))
	k.Info.Lot, k.Info.Scale = "pairs", simulate.ShortScaleBass().Scale
	return k
}

// loosePart is an instrument of two suppliers who do not know of each other. Only the bridge's own
// shape is the same for all.
func loosePart(rng *rand.Rand) simulate.Instrument {
	in := simulate.ShortScaleBass()
	normal := func(sd float64) float64 { return sd * rng.NormFloat64() }
	heel, pocket := normal(0.2), normal(0.2)+0.1
	in.NeckScrewSize = 6 // holes with room, so that the screws are no trouble
	in.HeelMouth, in.HeelEnd = in.HeelMouth+heel, in.HeelEnd+heel+normal(0.02)
	in.PocketMouth, in.PocketEnd = in.PocketMouth+pocket, in.PocketEnd+pocket+normal(0.02)
	in.HeelStation += normal(0.3)
	in.HeelSideways, in.HeelHeading = normal(0.1), normal(0.05)
	in.CentreLineError, in.BridgeSkew = normal(0.7), normal(0.1)
	in.BridgeStation += normal(0.4)
	for _, p := range []*simulate.Pose{&in.BodyPose, &in.NeckPose} {
		p.Turn = normal(0.2)
		p.Zero.Station += normal(3)
		p.Zero.Offset += normal(3)
	}
	return in
}
