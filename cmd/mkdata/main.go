// Mkdata makes the batches that come with neckfit, and big ones to time it by. The data are invented,
// and the same at every run.
//
//	go run ./cmd/mkdata examples testdata        the batches of testdata, each in a folder of its own
//	go run ./cmd/mkdata pairs DIR --pairs N      N bodies, a neck more, and a bridge
//	go run ./cmd/mkdata big DIR --kits N         N kits of loose parts, of 40 readings each
package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

// run gives the exit code: 0 written, 2 wrong use, 3 cannot write.
func run(args []string, stderr io.Writer) int {
	root := &cobra.Command{Use: "mkdata", SilenceErrors: true, SilenceUsage: true}
	started := false
	add := func(use, short string, write func(dir string) error) *cobra.Command {
		c := &cobra.Command{Use: use + " DIR", Short: short, Args: cobra.ExactArgs(1), RunE: func(_ *cobra.Command, args []string) error {
			started = true
			return write(args[0])
		}}
		root.AddCommand(c)
		return c
	}
	add("examples", "Make the batches of testdata", func(dir string) error {
		for name, b := range map[string]batch{"demo": demo(), "lots": lots(), "gauge": gauges(), "pairs": pairs(examplePairs)} {
			if err := b.write(filepath.Join(dir, name)); err != nil {
				return err
			}
		}
		return nil
	})
	var bodies int
	add("pairs", "Make a batch of necks and bodies", func(dir string) error { return pairs(bodies).write(dir) }).
		Flags().IntVar(&bodies, "pairs", examplePairs, "how many bodies the batch has")
	var o bigBatch
	flags := add("big", "Make a big batch", func(dir string) error { return o.write(dir) }).Flags()
	flags.IntVar(&o.kits, "kits", 1000, "how many kits the batch has")
	flags.BoolVar(&o.scattered, "scattered", false, "deal the rows out so that no kit's stand together")
	flags.BoolVar(&o.varied, "varied", false, "let every kit leave out another reading, so that no two that follow each other have the same rows")
	root.SetArgs(args)
	root.SetOut(stderr)
	root.SetErr(stderr)
	c, err := root.ExecuteC()
	switch {
	case err == nil && started:
		return 0
	case !started:
		fmt.Fprintf(stderr, "mkdata: %v\n\n%s", err, c.UsageString())
		return 2
	}
	fmt.Fprintln(stderr, "mkdata:", err)
	return 3
}

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
