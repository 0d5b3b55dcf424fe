// Mkdemo writes the demonstration batch into a folder: go run ./cmd/mkdemo DIR. The data are
// invented, and the same at every run.
package main

import (
	"fmt"
	"io"
	"os"
)

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

// run gives the exit code: 0 written, 2 wrong use, 3 cannot write.
func run(args []string, stderr io.Writer) int {
	if len(args) != 1 {
		fmt.Fprintln(stderr, "usage: mkdemo DIR")
		return 2
	}
	if err := write(args[0]); err != nil {
		fmt.Fprintln(stderr, "mkdemo:", err)
		return 3
	}
	return 0
}
