//go:build !unix

package main

import (
	"os"
	"syscall"
)

// outputSignals come when nobody reads any more.
var outputSignals = []os.Signal{syscall.SIGPIPE}
