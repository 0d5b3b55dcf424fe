// Mkparts writes the small example batches of the commands lot, gauge and pair into a folder:
// go run ./cmd/mkparts testdata makes testdata/lots, testdata/gauge and testdata/pairs. The data
// are invented, and the same at every run. With -pairs N it writes instead one batch of N necks and
// N bodies, for timing.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

// run gives the exit code: 0 written, 2 wrong use, 3 cannot write.
func run(args []string, stderr io.Writer) int {
	flags := flag.NewFlagSet("mkparts", flag.ContinueOnError)
	flags.SetOutput(stderr)
	many := flags.Int("pairs", 0, "write one batch of so many necks and bodies into DIR itself")
	if err := flags.Parse(args); err != nil || flags.NArg() != 1 || *many < 0 {
		fmt.Fprintln(stderr, "usage: mkparts [-pairs N] DIR")
		return 2
	}
	dir := flags.Arg(0)
	batches := map[string]batch{"lots": lots(), "gauge": gauges(), "pairs": pairs(committedPairs)}
	if *many > 0 {
		batches = map[string]batch{"": pairs(*many)}
	}
	for name, b := range batches {
		if err := b.write(filepath.Join(dir, name)); err != nil {
			fmt.Fprintln(stderr, "mkparts:", err)
			return 3
		}
	}
	return 0
}
