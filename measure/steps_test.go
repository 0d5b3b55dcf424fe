package measure

import (
	"math"
	"testing"
)

// multiples are so many times a step.
func multiples(step float64, times ...float64) (list []float64) {
	for _, n := range times {
		list = append(list, n*step)
	}
	return list
}

// How coarsely a gauge was read is believed as soon as a finer step would look so by chance once in a hundred times or less, by hand: of tenths taken for halves one
// in five fits, so that three halves tell; of halves taken for whole millimetres one in two, so that seven wholes do. What was claimed is no news, and what is as fine
// as anything has no step.
func TestHowCoarselyAGaugeWasRead(t *testing.T) {
	odd := []float64{1, 3, 7, 11, 13, 17, 19}
	const fine = 0.001
	for _, c := range []struct {
		claimed float64
		numbers []float64
		want    float64
	}{
		{fine, multiples(1, odd...), 1}, {fine, multiples(1, odd[:6]...), 0.5},
		{fine, multiples(0.5, odd[:3]...), 0.5}, {fine, multiples(0.5, odd[:2]...), 0.01},
		{fine, multiples(0.1, odd...), 0.1}, {fine, multiples(0.1, odd[:6]...), 0.05}, {fine, multiples(0.05, odd[:3]...), 0.05}, {fine, multiples(0.05, odd[:2]...), 0.01},
		{fine, multiples(0.02, odd...), 0.02}, {fine, multiples(0.02, odd[:6]...), 0.01}, {fine, multiples(0.01, odd[:2]...), 0.01}, {fine, multiples(0.01, odd[0]), 0},
		{fine, multiples(25.4/4, odd...), 25.4 / 4}, {fine, multiples(25.4/8, odd...), 25.4 / 8}, {fine, multiples(25.4/16, odd...), 25.4 / 16}, {fine, multiples(25.4/32, odd...), 25.4 / 32},
		{fine, multiples(25.4/4, odd[:6]...), 25.4 / 64}, {fine, multiples(25.4/32, odd[:6]...), 25.4 / 64}, {fine, multiples(25.4/64, 3), 25.4 / 64},
		{0.3, multiples(0.5, 1, 3, 7, 11, 13, 17, 19, 23, 29, 31), 0}, {0.25, multiples(0.5, odd...), 0.5}, {0.25, multiples(0.5, odd[:6]...), 0}, {0.5, multiples(0.5, odd...), 0}, {0.5 * (1 - 1e-12), multiples(0.5, odd...), 0},
		{fine, multiples(0.5, 1, 1, 1, 1, 1), 0}, {fine, []float64{0.0011, 0.5, 1.5, 2.5}, 0}, {fine, []float64{0.5000001, 1.5, 2.5000002}, 0.5}, {fine, []float64{0.500002, 1.5, 2.5, 3.5, 5.5, 6.5, 7.5}, 0}, {fine, nil, 0},
	} {
		s := &steps{}
		g := s.of(&Gauge{Resolution: c.claimed})
		for _, x := range c.numbers {
			g.add(x)
		}
		if got := g.step(); got != c.want {
			t.Errorf("claimed %g, %v: a step of %g, by hand %g", c.claimed, c.numbers, got, c.want)
		}
	}
	// Numbers that differ count, the first eight of them: whole millimetres for one that claims 0.55 would take nine.
	g := (&steps{}).of(&Gauge{Resolution: 0.585})
	for i := range 40 {
		g.add(float64(i))
	}
	if g.step() != 0 || len(g.numbers) != 8 {
		t.Errorf("%g after %v", g.step(), g.numbers)
	}
}

// Of readings the numbers count that were read off the gauge, each off its own; what only says where is chosen. The same gauge as it was read is one throughout.
func TestGaugesAsTheyWereRead(t *testing.T) {
	size, place := &Gauge{ID: "cal", Resolution: 0.01}, &Gauge{ID: "rule", Resolution: 0.1}
	width := func(station, size float64, a, b *Gauge) Reading {
		return Reading{Feature: Pocket, Kind: Width, HasStation: true, Station: station, Size: size, Gauge: a, StationGauge: b}
	}
	s := &steps{}
	list := []Reading{width(40.123, 63.5, size, place), width(50.5, 64.5, size, place), width(60.77, 65.5, size, place)}
	s.floor(list)
	for i := range list {
		if g := list[i].Gauge; g == size || g.Resolution != 0.5 || g.Claimed != 0.01 || g.ID != "cal" || list[i].StationGauge != place {
			t.Errorf("width %d: %+v, %+v", i, g, list[i].StationGauge)
		}
	}
	first := list[0].Gauge
	list = []Reading{width(1, 7.5, size, place), width(2, 8.5, size, place), width(3, 9.5, size, place)}
	if s.floor(list); list[0].Gauge != first || size.Resolution != 0.01 || size.Claimed != 0 {
		t.Errorf("read again: %p and %p, %+v", list[0].Gauge, first, size)
	}
	points := []Reading{}
	for _, x := range []float64{1.5, 2.5, 3.5} {
		points = append(points, Reading{Feature: BridgeScrew, Kind: Point, HasStation: true, HasOffset: true, Station: x, Offset: x + math.Sqrt2, Gauge: size, StationGauge: place})
	}
	if s.floor(points); points[0].StationGauge.Resolution != 0.5 || points[0].Gauge != size {
		t.Errorf("%+v, %+v", points[0].StationGauge, points[0].Gauge)
	}
	for kind, read := range map[Kind]bool{Point: true, Offset: true, OffsetNear: true, OffsetFar: true, Station: false, StationNear: false, StationFar: false} {
		across := []Reading{}
		for _, x := range []float64{1.5, 2.5, 3.5} {
			across = append(across, Reading{Feature: BridgeScrew, Kind: kind, HasStation: true, HasOffset: true, Station: x + math.Sqrt2, Offset: x, Gauge: size, StationGauge: place})
		}
		if s.floor(across); (across[0].Gauge.Resolution == 0.5) != read || across[0].StationGauge != place {
			t.Errorf("%v across: %+v, %+v", kind, across[0].Gauge, across[0].StationGauge)
		}
	}
}

// One reading's variance, by hand: a step of 0.6 mm is a rectangle of variance 0.03, persons add theirs.
func TestVarianceOfAGauge(t *testing.T) {
	for _, c := range []struct {
		g    Gauge
		want float64
	}{
		{Gauge{Resolution: 0.6}, 0.03}, {Gauge{Repeatability: 0.3}, 0.09}, {Gauge{Reproducibility: 0.4}, 0.16}, {Gauge{Resolution: 0.6, Repeatability: 0.3, Reproducibility: 0.4, MaxError: 9}, 0.28},
	} {
		if got := c.g.Variance(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%+v: %g, by hand %g", c.g, got, c.want)
		}
	}
}

// A gauge that is uncertain in one way alone is one, also where two of its numbers are alike; one with none is not.
func TestGaugesUncertainInOneWay(t *testing.T) {
	for row, good := range map[string]bool{"0.1,,,": true, ",0.1,,": true, ",,0.1,": true, ",,,0.1": true, "0.1,0.1,0.1,0.1": true, "0.1,0.1,,": true, ",0.1,0.1,": true, ",,0.1,0.1": true, "0.1,,,0.1": true, ",,,": false, "0,0,0,0": false} {
		files := map[string]string{"readings.csv": "kit,datum,feature,kind\n", "gauges.csv": "gauge,resolution,max_error,repeatability,reproducibility\ng," + row + "\n"}
		if _, err := readAll(t, folder(t, files), ""); (err == nil) != good {
			t.Errorf("%s: %v", row, err)
		}
	}
}
