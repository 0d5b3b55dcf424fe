package main

import (
	"fmt"
	"math/rand/v2"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

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
	b := batch{about: lotsAbout, extra: map[string]string{"history.csv": earlier}}
	for l, name := range []string{"April", "May"} {
		for i := range kitsPerLot {
			const seed = 47
			rng := rand.New(rand.NewPCG(seed, uint64(l*kitsPerLot+i)))
			b.kits = append(b.kits, lotKit(rng, name, i, float64(l)*0.05))
		}
	}
	return b
}

// lotKit is one kit; drift is added to the centre-line error with every kit, in mm.
func lotKit(rng *rand.Rand, name string, i int, drift float64) *measure.Kit {
	in := simulate.ShortScaleBass()
	normal := func(sd float64) float64 { return sd * rng.NormFloat64() }
	width := normal(0.04)
	in.PocketMouth, in.PocketEnd = in.PocketMouth+0.07+width, in.PocketEnd+0.07+width+normal(0.02)
	in.CentreLineError = normal(0.1) + drift*float64(i)
	in.BridgeSkew = normal(0.03)
	in.Scale += normal(0.05)
	k := in.Kit(fmt.Sprintf("%s-%02d", name, i+1), tidy(simulate.EdgeCheck(in, rng, setup())))
	k.Info.Lot, k.Info.Supplier, k.Info.Scale = name, "bodies A", simulate.ShortScaleBass().Scale
	return k
}
