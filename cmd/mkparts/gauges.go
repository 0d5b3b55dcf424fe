package main

import (
	"fmt"
	"math"
	"math/rand/v2"

	"neckfit/measure"
)

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
	b := batch{about: gaugesAbout}
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
