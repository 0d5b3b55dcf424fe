package lot

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ANOVALine is one line of an analysis of variance. F is held against the equipment line; F and P
// are 0 where there is nothing to compare.
type ANOVALine struct {
	SumOfSquares float64
	DOF          int
	MeanSquare   float64 // 0 without degrees of freedom
	F, P         float64 // P is the chance of so large an F without an effect
}

// ANOVA is the table of a crossed study with interaction.
type ANOVA struct {
	Appraiser, Part, Interaction, Equipment, Total ANOVALine
	Pooled                                         bool    // the interaction was not significant and counts as equipment
	PooledMeanSquare                               float64 // of both together, when Pooled
}

// poolingLevel is the significance above which the interaction is pooled (AIAG, Measurement Systems
// Analysis, chapter III, analysis of variance method).
const poolingLevel = 0.25

// roundingShare of the total sum of squares is what sums of float64 differences can leave where there
// is nothing: 1e-12 of the spread. No gauge reads that fine.
const roundingShare = 1e-24

// GaugeANOVA judges a crossed, balanced study by analysis of variance with interaction (AIAG,
// Measurement Systems Analysis, chapter III). Tolerance is the width between the limits, 0 for none.
// One person alone is allowed: what persons do is then not known and counts as 0. Negative variance
// components are set to 0. An unbalanced study is an error.
func GaugeANOVA(readings []GaugeReading, tolerance float64) (*GaugeStudy, error) {
	t, err := newTable(readings, tolerance)
	if err != nil {
		return nil, err
	}
	s := t.study(tolerance)
	s.ANOVA = t.analyse()
	s.Variation = s.ANOVA.components(float64(t.parts), float64(t.appraisers), float64(t.trials))
	s.judge()
	return s, nil
}

// analyse splits the sum of squares.
func (t *table) analyse() *ANOVA {
	partMeans, personMeans := t.partMeans(), t.personMeans()
	grand, _ := meanSD(partMeans)
	trials := float64(t.trials)
	var a ANOVA
	for p, part := range partMeans {
		a.Part.SumOfSquares += square(part-grand) * float64(t.appraisers) * trials
		for k, person := range personMeans {
			cell := t.cellMean(p, k)
			a.Interaction.SumOfSquares += square(cell-part-person+grand) * trials
			for _, v := range t.cells[p][k] {
				a.Equipment.SumOfSquares += square(v - cell)
				a.Total.SumOfSquares += square(v - grand)
			}
		}
	}
	for _, person := range personMeans {
		a.Appraiser.SumOfSquares += square(person-grand) * float64(t.parts) * trials
	}
	for _, l := range []*ANOVALine{&a.Appraiser, &a.Part, &a.Interaction, &a.Equipment} {
		if l.SumOfSquares < roundingShare*a.Total.SumOfSquares {
			l.SumOfSquares = 0
		}
	}
	a.Appraiser.DOF, a.Part.DOF = t.appraisers-1, t.parts-1
	a.Interaction.DOF = a.Appraiser.DOF * a.Part.DOF
	a.Equipment.DOF = t.parts * t.appraisers * (t.trials - 1)
	a.Total.DOF = t.parts*t.appraisers*t.trials - 1
	a.test()
	return &a
}

func square(x float64) float64 { return x * x }

// test fills in mean squares, F ratios and the pooling.
func (a *ANOVA) test() {
	for _, l := range []*ANOVALine{&a.Appraiser, &a.Part, &a.Interaction, &a.Equipment, &a.Total} {
		if l.DOF > 0 {
			l.MeanSquare = l.SumOfSquares / float64(l.DOF)
		}
	}
	for _, l := range []*ANOVALine{&a.Appraiser, &a.Part, &a.Interaction} {
		l.compare(a.Equipment)
	}
	// Without equipment spread there is no test, and any interaction is real.
	significant := a.Interaction.MeanSquare > 0
	if a.Equipment.MeanSquare > 0 {
		significant = a.Interaction.DOF > 0 && a.Interaction.P < poolingLevel
	}
	a.Pooled = !significant
	if a.Pooled {
		squares := a.Interaction.SumOfSquares + a.Equipment.SumOfSquares
		a.PooledMeanSquare = squares / float64(a.Interaction.DOF+a.Equipment.DOF)
	}
}

func (l *ANOVALine) compare(equipment ANOVALine) {
	if l.DOF == 0 || equipment.MeanSquare == 0 {
		return
	}
	l.F = l.MeanSquare / equipment.MeanSquare
	l.P = distuv.F{D1: float64(l.DOF), D2: float64(equipment.DOF)}.Survival(l.F)
}

// components are the variance components of the random model, from the expected mean squares.
func (a *ANOVA) components(parts, appraisers, trials float64) Variation {
	noise, base := a.Equipment.MeanSquare, a.Interaction.MeanSquare
	if a.Pooled {
		noise, base = a.PooledMeanSquare, a.PooledMeanSquare
	}
	component := func(meanSquare, less, times float64) float64 {
		return math.Sqrt(math.Max(0, (meanSquare-less)/times))
	}
	v := Variation{
		Equipment: math.Sqrt(noise),
		Appraiser: component(a.Appraiser.MeanSquare, base, parts*trials),
		Part:      component(a.Part.MeanSquare, base, appraisers*trials),
	}
	if !a.Pooled {
		v.Interaction = component(a.Interaction.MeanSquare, noise, trials)
	}
	v.combine()
	return v
}
