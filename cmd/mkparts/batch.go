package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// batch is the tables of a folder.
type batch struct {
	about string
	kits  []*measure.Kit
	extra map[string]string // files besides the tables
}

// opening stands above the header of every table.
const opening = `# Example data. All of it is invented: no instrument, delivery, supplier or workshop is real.
`

// write makes the folder's tables anew.
func (b batch) write(dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	var infos []measure.Info
	for _, k := range b.kits {
		infos = append(infos, k.Info)
	}
	for _, t := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"readings.csv", func(w io.Writer) error { return measure.WriteReadings(w, slices.Values(b.kits)) }},
		{"kits.csv", func(w io.Writer) error { return measure.WriteKits(w, infos) }},
		{"gauges.csv", func(w io.Writer) error { return measure.WriteGauges(w, drawer()) }},
		{"strings.csv", func(w io.Writer) error {
			return measure.WriteStrings(w, simulate.ShortScaleBass().Compensation)
		}},
	} {
		text := bytes.NewBufferString(opening + b.about)
		if err := t.write(text); err != nil {
			return fmt.Errorf("%s: %w", t.name, err)
		}
		if err := os.WriteFile(filepath.Join(dir, t.name), text.Bytes(), 0o666); err != nil {
			return err
		}
	}
	for name, text := range b.extra {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(opening+text), 0o666); err != nil {
			return err
		}
	}
	return nil
}

// drawer is a workshop's gauges. The figures are of the usual order for such gauges on wood: common
// practice, no source. The ruler is the one that the gauge study is about.
func drawer() []measure.Gauge {
	return []measure.Gauge{
		{ID: "cal150", Kind: "calliper", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.03},
		{ID: "rule1000", Kind: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.1},
		{ID: "ver600", Kind: "vernier", Resolution: 0.05, MaxError: 0.05, Repeatability: 0.05},
		{ID: "ruler", Kind: "rule", Resolution: 0.05, MaxError: 0.1, Repeatability: 0.05},
	}
}

func setup() simulate.Setup {
	g := drawer()
	return simulate.Setup{Offset: &g[0], Station: &g[1], Long: &g[2]}
}

// tidy leaves the cell of a gauge blank that read nothing.
func tidy(readings []measure.Reading) []measure.Reading {
	for i := range readings {
		r := &readings[i]
		if !r.HasStation {
			r.StationGauge = nil
		}
		if r.Kind == measure.Station && !r.HasOffset {
			r.Gauge = nil
		}
	}
	return readings
}
