// Mkdata makes the batches that come with neckfit, and big ones to time it by. The data are invented,
// and the same at every run.
//
//	go run ./cmd/mkdata examples testdata        the batches of testdata, each in a folder of its own
//	go run ./cmd/mkdata pairs DIR --pairs N      N bodies, a neck more, and a bridge
//	go run ./cmd/mkdata big DIR --kits N         N kits of loose parts, of 40 readings each
package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
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
