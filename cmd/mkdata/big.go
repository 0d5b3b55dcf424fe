package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// distinct is how many kits are simulated; the others repeat their readings under other names,
// with the straightedges laid a little elsewhere.
const distinct = 200

// kept says which readings of a full survey a kit keeps, by their number among those of the
// feature and kind, so that forty are left and the fit is still determined.
var kept = map[measure.Feature][]int{
	measure.EdgeBass: {0, 1, 3}, measure.EdgeTreble: {0, 2, 3}, measure.Nut: {0, 1}, measure.Fret: {5, 8}, measure.NutSlot: {0, 3},
	measure.HeelBass: {0, 2}, measure.HeelTreble: {0, 2}, measure.HeelEnd: {0, 1}, measure.HeelCorner: {0, 1},
	measure.PocketBass: {0, 2}, measure.PocketTreble: {0, 2}, measure.PocketEnd: {0, 1}, measure.PocketCorner: {0, 1},
	measure.BridgeScrew: {0, 1, 2, 3, 4}, measure.PlateScrew: {0, 1, 2, 3, 4}, measure.Saddle: {0, 3},
}

func thin(full []measure.Reading) []measure.Reading {
	var left []measure.Reading
	met := map[measure.Feature]int{}
	for _, r := range full {
		n := met[r.Feature]
		met[r.Feature]++
		for _, keep := range kept[r.Feature] {
			if keep == n {
				left = append(left, r)
			}
		}
	}
	return left
}

// bigBatch is a batch of kits of forty readings each.
type bigBatch struct {
	kits              int
	scattered, varied bool
}

// write makes the folder; a batch like this is too big to be held in memory.
func (b bigBatch) write(dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	setup := simulate.DefaultSetup()
	err := writeFile(filepath.Join(dir, "gauges.csv"), func(out io.Writer) error {
		return measure.WriteGauges(out, []measure.Gauge{*setup.Offset, *setup.Station, *setup.Long})
	})
	if err != nil {
		return err
	}
	return writeFile(filepath.Join(dir, "readings.csv"), b.writeReadings)
}

// writeReadings writes kit after kit, or the first reading of every kit, then the second and so on.
func (b bigBatch) writeReadings(out io.Writer) error {
	if err := measure.WriteHeader(out, "readings.csv"); err != nil {
		return err
	}
	var line []byte
	rng := rand.New(rand.NewPCG(40, 41))
	all := make([][]measure.Reading, distinct)
	for i := range all {
		all[i] = thin(simulate.LooseParts(simulate.Random(rng), rng, simulate.DefaultSetup()))
	}
	rows := len(all[0])
	for i := range b.kits * rows {
		kit, row := i/rows, i%rows
		if b.scattered {
			kit, row = i%b.kits, i/b.kits
		}
		if b.varied && row == kit%rows {
			continue
		}
		line = appendRow(line[:0], kit, &all[kit%distinct][row])
		if _, err := out.Write(line); err != nil {
			return err
		}
	}
	return nil
}

// appendRow writes a reading of one of the kits. Moving the straightedges by whole tenths of a
// millimetre changes what is written and nothing that follows from it.
func appendRow(line []byte, kit int, r *measure.Reading) []byte {
	const steps = 100
	shift := float64(kit/distinct%steps) / 10
	line = append(line, fmt.Sprintf("K%06d,", kit+1)...)
	for _, text := range []string{r.Datum.String(), r.Feature.String(), r.Mark.String(), "", r.Kind.String()} {
		line = append(append(line, text...), ',')
	}
	line = appendLength(line, r.HasStation, r.Station+shift)
	line = appendLength(line, r.HasOffset, r.Offset+shift)
	_, _, size, _ := r.Feature.Needs(r.Kind)
	line = appendLength(line, size == measure.Required, r.Size)
	line = append(line, "mm,"...)
	if r.Gauge.ID != measure.BlankGauge(r.Feature, r.Kind) {
		line = append(line, r.Gauge.ID...)
	}
	line = append(line, ',')
	if r.StationGauge.ID != measure.Rule {
		line = append(line, r.StationGauge.ID...)
	}
	return append(line, ",,,,\n"...) // nothing as trial, by, stage and note
}

func appendLength(line []byte, there bool, x float64) []byte {
	if there {
		line = strconv.AppendFloat(line, x, 'f', 2, 64) // the finest gauge shows hundredths
	}
	return append(line, ',')
}

func writeFile(name string, write func(io.Writer) error) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(f, 1<<20)
	return errors.Join(write(out), out.Flush(), f.Close())
}
