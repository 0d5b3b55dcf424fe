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

// batch is what a folder is made of.
type batch struct {
	opening string            // stands above the header of every table
	notes   map[string]string // what follows it, by table
	kits    []*measure.Kit
	gauges  []measure.Gauge
	extra   map[string]string // files besides the tables, as they stand
}

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
		{"gauges.csv", func(w io.Writer) error { return measure.WriteGauges(w, b.used()) }},
		{"strings.csv", func(w io.Writer) error {
			return measure.WriteStrings(w, simulate.ShortScaleBass().Compensation)
		}},
	} {
		text := bytes.NewBufferString(b.opening + b.notes[t.name])
		if err := t.write(text); err != nil {
			return fmt.Errorf("%s: %w", t.name, err)
		}
		if err := os.WriteFile(filepath.Join(dir, t.name), text.Bytes(), 0o666); err != nil {
			return err
		}
	}
	for name, text := range b.extra {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			return err
		}
	}
	return nil
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

// used are the gauges that a reading names.
func (b batch) used() []measure.Gauge {
	names := map[string]bool{}
	for _, k := range b.kits {
		for i := range k.Readings {
			for _, g := range []*measure.Gauge{k.Readings[i].Gauge, k.Readings[i].StationGauge} {
				if g != nil {
					names[g.ID] = true
				}
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(b.gauges), func(g measure.Gauge) bool { return !names[g.ID] })
}
