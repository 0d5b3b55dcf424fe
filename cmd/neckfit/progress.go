package main

import (
	"fmt"
	"io"
	"time"
)

// progress counts kits on a terminal while a long run goes on.
type progress struct {
	out   io.Writer // nil for silence
	begun time.Time
	last  time.Time
	kits  int
}

// Progress is shown once a run has taken a second, and then five times a second.
const (
	patience = time.Second
	pace     = 200 * time.Millisecond
)

func newProgress(out io.Writer) *progress {
	if !terminal(out) {
		out = nil
	}
	return &progress{out: out, begun: time.Now()}
}

func (p *progress) kit() {
	p.kits++
	if p.out == nil {
		return
	}
	if now := time.Now(); now.Sub(p.begun) > patience && now.Sub(p.last) > pace {
		fmt.Fprintf(p.out, "\rkits: %d", p.kits)
		p.last = now
	}
}

// done wipes the line.
func (p *progress) done() {
	if !p.last.IsZero() {
		fmt.Fprint(p.out, "\r\x1b[K")
	}
}
