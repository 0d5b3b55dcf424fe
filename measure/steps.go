package measure

import (
	"math"
	"slices"
)

// scaleSteps are the steps that a scale is read in, in mm, coarse ones first, each with the coarsest finer
// one that it may be mistaken for: parts of a millimetre, then of an inch. The finest of an
// inch has only what is claimed.
var scaleSteps = [...]struct{ step, finer float64 }{
	{1, 0.5}, {0.5, 0.1}, {0.1, 0.05}, {0.05, 0.01}, {0.02, 0.01}, {0.01, 0.001},
	{inch / 4, inch / 8}, {inch / 8, inch / 16}, {inch / 16, inch / 32}, {inch / 32, inch / 64}, {inch / 64, 0},
}

const inch = 25.4 // mm

// byChance is how likely it may be that numbers of a finer step all fall on a coarser one, for the coarser
// one to be believed: a little above 1 %, so that three halves are enough, and two hundredths.
const byChance = 0.012

// steps finds out how coarsely gauges were read. A gauge that was read no finer than in halves of a
// millimetre is no hundredth of one, whatever gauges.csv claims.
type steps struct {
	seen   []gaugeSteps         // of one kit
	coarse map[coarseKey]*Gauge // those made so far, so that one is one throughout the batch
}

type gaugeSteps struct {
	gauge   *Gauge
	fits    [len(scaleSteps)]bool
	fine    bool      // none fits
	numbers []float64 // the first few that differ
}

type coarseKey struct {
	gauge *Gauge
	step  float64
}

// floor gives the readings of a kit gauges whose resolution is no finer than their numbers.
func (s *steps) floor(readings []Reading) {
	s.seen = s.seen[:0]
	for i := range readings {
		s.read(&readings[i], func(gauge **Gauge, x float64) {
			if g := s.of(*gauge); !g.fine {
				g.add(x)
			}
		})
	}
	coarse := false
	for i := range s.seen {
		coarse = coarse || s.seen[i].step() > s.seen[i].gauge.Resolution
	}
	for i := range readings {
		if coarse {
			s.read(&readings[i], func(gauge **Gauge, _ float64) { *gauge = s.made(*gauge) })
		}
	}
}

// read visits the numbers that were read off a gauge; those that only say where were chosen.
func (s *steps) read(g *Reading, visit func(gauge **Gauge, x float64)) {
	if g.HasStation && !g.Kind.placedBy(Station) {
		visit(&g.StationGauge, g.Station)
	}
	switch {
	case g.HasOffset && !g.Kind.placedBy(Offset):
		visit(&g.Gauge, g.Offset)
	case g.Size != 0:
		visit(&g.Gauge, g.Size)
	}
}

// of finds what is known of a gauge.
func (s *steps) of(gauge *Gauge) *gaugeSteps {
	for i := range s.seen {
		if s.seen[i].gauge == gauge {
			return &s.seen[i]
		}
	}
	if len(s.seen) < cap(s.seen) {
		s.seen = s.seen[:len(s.seen)+1]
	} else {
		s.seen = append(s.seen, gaugeSteps{})
	}
	g := &s.seen[len(s.seen)-1]
	g.gauge, g.fine, g.numbers = gauge, false, g.numbers[:0]
	for i := range g.fits {
		g.fits[i] = scaleSteps[i].step > gauge.Resolution // the claimed step is no news
	}
	return g
}

// add notes a number.
func (g *gaugeSteps) add(x float64) {
	const enough = 8 // numbers: even halves of a step come together by chance once in 256 times
	g.fine = true
	for i := range scaleSteps {
		if g.fits[i] {
			n := x / scaleSteps[i].step
			g.fits[i] = math.Abs(n-math.Round(n)) < 1e-6 // far above what rounding leaves, far below a finer step
			g.fine = g.fine && !g.fits[i]
		}
	}
	if !g.fine && len(g.numbers) < enough && !slices.Contains(g.numbers, x) {
		g.numbers = append(g.numbers, x)
	}
}

// step is the coarsest step that all numbers have, so many of them that a finer one would hardly look so;
// 0 when that is no coarser than what is claimed.
func (g *gaugeSteps) step() float64 {
	coarsest := 0.0
	for i, fits := range g.fits {
		step, finer := scaleSteps[i].step, max(scaleSteps[i].finer, g.gauge.Resolution)
		if fits && step > coarsest && math.Pow(finer/step, float64(len(g.numbers))) < byChance {
			coarsest = step
		}
	}
	return coarsest
}

// made is the gauge as it was read.
func (s *steps) made(gauge *Gauge) *Gauge {
	for i := range s.seen {
		step := s.seen[i].step()
		if s.seen[i].gauge != gauge || step <= gauge.Resolution {
			continue
		}
		key := coarseKey{gauge, step}
		if s.coarse[key] == nil {
			if s.coarse == nil {
				s.coarse = map[coarseKey]*Gauge{}
			}
			as := *gauge
			as.Resolution, as.Claimed = step, gauge.Resolution
			s.coarse[key] = &as
		}
		return s.coarse[key]
	}
	return gauge
}
