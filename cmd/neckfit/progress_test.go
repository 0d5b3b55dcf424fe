package main

import (
	"bytes"
	"testing"
	"time"
)

// A long run counts its kits and wipes the line; a short one, or one without a terminal, is silent.
func TestProgress(t *testing.T) {
	var out bytes.Buffer
	long := &progress{out: &out, begun: time.Now().Add(-time.Hour)}
	long.kit()
	long.done()
	if want := "\rkits: 1\r\x1b[K"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
	out.Reset()
	short := &progress{out: &out, begun: time.Now().Add(time.Hour)}
	short.kit()
	short.done()
	silent := newProgress(&out)
	silent.begun = time.Now().Add(-time.Hour)
	silent.kit()
	silent.done()
	if out.Len() > 0 || silent.kits != 1 {
		t.Errorf("%q after %d kits", out.String(), silent.kits)
	}
}
