package main

import (
	"bytes"
	"errors"
	"regexp"
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

// What takes long without kits to count says so, with its seconds, and wipes that.
func TestProgressOfOneThing(t *testing.T) {
	var out bytes.Buffer
	failed := errors.New("failed")
	long := &progress{out: &out, begun: time.Now().Add(-time.Hour)}
	err := long.during("matching", func() error { time.Sleep(2*pace + pace/2); return failed })
	if shown := regexp.MustCompile(`^(\rmatching: 360[01] s)+\r\x1b\[K$`); err != failed || !shown.MatchString(out.String()) {
		t.Errorf("%v, %q", err, out.String())
	}
	out.Reset()
	short := &progress{out: &out, begun: time.Now()}
	if err := short.during("matching", func() error { time.Sleep(2 * pace); return nil }); err != nil || out.Len() > 0 {
		t.Errorf("%v, %q", err, out.String())
	}
}
