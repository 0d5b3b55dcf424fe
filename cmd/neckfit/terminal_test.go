package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

// An interruptible stream gives what the stream gives, in whatever pieces.
func TestInterruptibleReads(t *testing.T) {
	text := strings.Repeat("a line of readings\n", 1000)
	for _, in := range []io.Reader{strings.NewReader(text), iotest.OneByteReader(strings.NewReader(text)), iotest.DataErrReader(strings.NewReader(text))} {
		got, err := io.ReadAll(interruptible{context.Background(), in})
		if err != nil || string(got) != text {
			t.Errorf("%d bytes of %d, %v", len(got), len(text), err)
		}
	}
}

// A Read that waits for ever ends with the context.
func TestInterruptibleEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	waiting, w := io.Pipe()
	defer w.Close()
	done := make(chan error)
	go func() {
		_, err := io.ReadAll(interruptible{ctx, waiting})
		done <- err
	}()
	if _, err := w.Write([]byte("x")); err != nil { // returns once it has been read
		t.Fatal(err)
	}
	cancel()
	if err := <-done; !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// What is asked for goes before what is found out; a buffer is no terminal.
func TestColourWanted(t *testing.T) {
	t.Setenv("NO_COLOR", "1")
	for when, want := range map[string]bool{"always": true, "never": false, "auto": false} {
		if got := colourWanted(when, &bytes.Buffer{}); got != want {
			t.Errorf("%s: %v", when, got)
		}
	}
}
