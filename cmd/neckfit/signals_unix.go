//go:build unix

package main

import (
	"os"
	"syscall"
)

// outputSignals come when nobody reads any more, and when a file may not grow further.
var outputSignals = []os.Signal{syscall.SIGPIPE, syscall.SIGXFSZ}
