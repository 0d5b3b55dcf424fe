// Mkbig makes a big batch and measures how fast it is read and checked:
//
//	go run ./cmd/mkbig DIR --kits N     writes a batch of N loose-parts kits of 40 readings
//	go run ./cmd/mkbig --measure DIR    measures batches of 25,000 and 100,000 kits, made in DIR
//
// The data are invented, and the same at every run.
package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run gives the exit code: 0 done, 2 wrong use, 3 cannot read or write.
func run(args []string, stdout, stderr io.Writer) int {
	var o options
	started := false
	c := &cobra.Command{
		Use:           "mkbig DIR",
		Short:         "Make a big batch, or measure how fast one is read and checked",
		Args:          cobra.ExactArgs(1),
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(_ *cobra.Command, args []string) error {
			started = true
			return o.run(args[0], stdout)
		},
	}
	c.Flags().IntVar(&o.kits, "kits", 1000, "how many kits the batch has")
	c.Flags().BoolVar(&o.scattered, "scattered", false, "deal the rows out so that no kit's stand together")
	c.Flags().BoolVar(&o.measure, "measure", false, "measure with 1 and 4 million rows instead, in DIR")
	c.Flags().IntVar(&o.times, "times", 3, "measure so often and take the shortest")
	c.Flags().StringVar(&o.stage, "stage", "", "run one stage over the readings file DIR: bare, decode, csv or jsonl (used by --measure)")
	c.SetArgs(args)
	c.SetOut(stderr)
	c.SetErr(stderr)
	err := c.Execute()
	switch {
	case err == nil:
		return 0
	case !started:
		fmt.Fprintf(stderr, "mkbig: %v\n\n%s", err, c.UsageString())
		return 2
	}
	fmt.Fprintln(stderr, "mkbig:", err)
	return 3
}

// options are the flags.
type options struct {
	kits, times        int
	scattered, measure bool
	stage              string
}

func (o options) run(dir string, stdout io.Writer) error {
	switch {
	case o.stage != "":
		return runStage(o.stage, dir)
	case o.measure:
		return measureAll(dir, o.times, stdout)
	}
	return write(dir, o.kits, o.scattered)
}
