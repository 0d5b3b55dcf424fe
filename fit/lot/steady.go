package lot

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// A page of many charts accuses steady processes far too often when each keeps the usual run rules: they
// accuse one in four steady deliveries of 24 kits, and of pages with fourteen charts nearly all. A chart
// therefore asks two questions only: does the level move somewhere on the way, and does a point lie beyond
// limits that are wide enough for this number of points? The first has most of the rate, since a point that
// matters is a failing kit anyway.
const shiftShare = 0.95

// thresholds are what a steady process of n normal values exceeds as seldom as was asked for.
type thresholds struct {
	point float64 // largest distance of a point from the mean, in sigmas of the moving range
	shift float64 // largest change of level, as largestShift has it
}

// drawnValues is how many values are drawn to find thresholds: a fifth of a second of work or so.
const drawnValues = 8_000_000

// fewestBeyond is how many of the drawn processes must lie beyond a threshold for it to be read off
// them: its rate is then known to a fifth.
const fewestBeyond = 25

type thresholdKey struct {
	n    int
	rate float64
}

var steadyThresholds sync.Map // of thresholdKey; they cost some time and do not change

// thresholdsFor finds them by simulating steady processes, with a fixed seed: mean and sigma are
// estimated from the values themselves, so that no table of known ones will do.
func thresholdsFor(n int, rate float64) thresholds {
	key := thresholdKey{n, rate}
	if known, ok := steadyThresholds.Load(key); ok {
		return known.(thresholds)
	}
	draws := max(1000, drawnValues/n)
	rng := rand.New(rand.NewPCG(uint64(n), 0x5eed))
	points, shifts := make([]float64, draws), make([]float64, draws)
	values := make([]float64, n)
	two := factorsOfTwo()
	for i := range draws {
		ranges := 0.0
		for k := range values {
			values[k] = rng.NormFloat64()
			if k > 0 {
				ranges += math.Abs(values[k] - values[k-1])
			}
		}
		centre, _ := MeanSD(values)
		sigma := ranges / float64(n-1) / two.RangeMean
		farthest := 0.0
		for _, v := range values {
			farthest = max(farthest, math.Abs(v-centre))
		}
		points[i] = farthest / sigma
		_, shifts[i] = largestShift(values)
	}
	t := thresholds{upperQuantile(points, rate*(1-shiftShare)), upperQuantile(shifts, rate*shiftShare)}
	steadyThresholds.Store(key, t)
	return t
}

// upperQuantile is what a share of the values exceeds; it sorts them. Where too few values lie beyond
// it is carried on from those that do as an exponential tail would, which is longer than the true one:
// then steady processes are accused more seldom than was asked for.
func upperQuantile(values []float64, share float64) float64 {
	slices.Sort(values)
	n := float64(len(values))
	if share*n >= fewestBeyond {
		return values[len(values)-1-int(share*n)]
	}
	near, far := values[len(values)-1-4*fewestBeyond], values[len(values)-1-fewestBeyond]
	return far + (far-near)*math.Log(fewestBeyond/n/share)/math.Log(4)
}

// largestShift finds where the mean of the values up to there differs most from that of the others, as
// Student's t of two samples with one standard deviation (K. J. Worsley, J. Amer. Statist. Assoc. 74
// (1979) 365, from memory); first is the index of the first value of the new level. Either level lasts a
// quarter of the values at least: shorter ones would widen the threshold more than they are worth.
func largestShift(values []float64) (first int, size float64) {
	mean, sd := MeanSD(values)
	n, sum, most := float64(len(values)), 0.0, 0.0
	for k := 1; k < len(values); k++ {
		sum += values[k-1] - mean
		before, after := float64(k), n-float64(k)
		if min(before, after) < n/4 {
			continue
		}
		// Of the squares, what the two means account for, over n: where it is largest, so is t.
		if between := sum * sum / (before * after); between > most {
			first, most = k, between
		}
	}
	if most == 0 {
		return 0, 0
	}
	squares := sd * sd * (n - 1)
	size = math.Sqrt(most * n * (n - 2) / max(0, squares-most*n))
	return first, size
}

// unsteady lists the points beyond the chart's limits and the place where the level moves.
func (c *Chart) unsteady(t thresholds) (found []Signal) {
	for i, v := range c.Values {
		if v < c.Lower || v > c.Upper {
			found = append(found, Signal{Rule: BeyondLimits, Points: []int{i}})
		}
	}
	if first, size := largestShift(c.Values); size > t.shift {
		before, _ := MeanSD(c.Values[:first])
		after, _ := MeanSD(c.Values[first:])
		found = append(found, Signal{Rule: LevelShift, Points: []int{first}, Step: after - before})
	}
	return found
}

// Trend is a straight line through values in their order, by least squares.
type Trend struct {
	Slope float64 // change from one value to the next
	Std   float64 // standard uncertainty of it, from the scatter about the line
	DOF   int     // of Std: the number of values less two
	U     float64 // expanded, by Student's t with DOF
	First float64 // the line at the first value
	Last  float64 // and at the last
}

// NewTrend fits it to at least three finite values; U holds the slope with the confidence given
// (NIST/SEMATECH e-Handbook 4.1.4.1; the standard error of a slope is that of NIST's StRD).
func NewTrend(values []float64, confidence float64) (Trend, error) {
	n := len(values)
	if n < 3 {
		return Trend{}, fmt.Errorf("a trend needs 3 or more values, there are %d", n)
	}
	if err := checkFinite(values); err != nil {
		return Trend{}, err
	}
	if !(confidence > 0 && confidence < 1) {
		return Trend{}, errors.New("a confidence lies between 0 and 1")
	}
	mean, _ := MeanSD(values)
	middle := float64(n-1) / 2
	var xx, xy float64
	for i, v := range values {
		x := float64(i) - middle
		xx += x * x
		xy += x * (v - mean)
	}
	t := Trend{Slope: xy / xx, DOF: n - 2}
	var left float64
	for i, v := range values {
		e := v - mean - t.Slope*(float64(i)-middle)
		left += e * e
	}
	t.Std = math.Sqrt(left / float64(t.DOF) / xx)
	t.U = t.Std * distuv.StudentsT{Sigma: 1, Nu: float64(t.DOF)}.Quantile((1+confidence)/2)
	t.First, t.Last = mean-t.Slope*middle, mean+t.Slope*middle
	return t, nil
}

// Seen tells whether the slope differs from none by more than its expanded uncertainty.
func (t Trend) Seen() bool { return math.Abs(t.Slope) > t.U }
