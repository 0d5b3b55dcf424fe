package main

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// committedPairs is how many necks and bodies the example has; one neck more is over.
const committedPairs = 8

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
		readings := tidy(simulate.LooseParts(in, rand.New(rand.NewPCG(seed+1, uint64(i))), setup()))
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
	return batch{about: pairsAbout, kits: kits}
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
