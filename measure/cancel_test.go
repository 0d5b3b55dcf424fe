package measure

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"testing"
	"time"
)

// delivery is a stream of good kits without an end.
type delivery struct {
	kits int
	left []byte
}

func (d *delivery) Read(p []byte) (int, error) {
	if len(d.left) == 0 {
		if d.kits == 0 {
			d.left = []byte("kit,datum,feature,kind,station,size\n")
		}
		d.left = fmt.Appendf(d.left, "kit-%d,body,pocket,width,%d,63.2\n", d.kits, d.kits%90)
		d.kits++
	}
	n := copy(p, d.left)
	d.left = d.left[n:]
	return n, nil
}

// A moment is long for a person, and far longer than a chunk takes on a busy machine.
const moment = 2 * time.Second

// goroutinesSettle waits until there are no more goroutines than before.
func goroutinesSettle(t *testing.T, before int) {
	t.Helper()
	for end := time.Now().Add(moment); runtime.NumGoroutine() > before; time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			stacks := make([]byte, 1<<16)
			t.Fatalf("%d goroutines more than before\n%s", runtime.NumGoroutine()-before, stacks[:runtime.Stack(stacks, true)])
		}
	}
}

// Cancelling in the middle of a big file ends within a moment and leaves no goroutine, and so does
// whatever else ends a reading early.
func TestCancelInTheMiddle(t *testing.T) {
	enough := errors.New("enough")
	for name, c := range map[string]struct {
		emit func(n int, cancel func()) error
		want error
	}{
		"cancelled": {func(n int, cancel func()) error {
			if n == 5000 {
				cancel()
			}
			return nil
		}, context.Canceled},
		"an error of emit": {func(n int, _ func()) error {
			if n == 5000 {
				return enough
			}
			return nil
		}, enough},
	} {
		before := runtime.NumGoroutine()
		b, err := Open("-", Options{Stdin: &delivery{}})
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		kits, ended := 0, time.Time{}
		err = Kits(ctx, b, 3, func(k *Kit) int { return len(k.Readings) }, func(int) error {
			kits++
			ended = time.Now()
			return c.emit(kits, cancel)
		}, nil)
		if took := time.Since(ended); !errors.Is(err, c.want) || kits != 5000 || took > moment {
			t.Errorf("%s: %d kits, %v, %v after the last one", name, kits, err, took)
		}
		cancel()
		goroutinesSettle(t, before)
		if err := b.Close(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// While a stream keeps its reader waiting, an end of the context is heeded all the same; the read
// that waits ends with the stream.
func TestCancelWhileWaiting(t *testing.T) {
	before := runtime.NumGoroutine()
	in, feed := io.Pipe()
	text, fed := tableOf(t, manyKits(5000)), make(chan error, 1) // more than is looked at for the header
	go func() {
		_, err := io.WriteString(feed, text)
		fed <- err
	}()
	b, err := Open("-", Options{Stdin: in})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() {
		ended <- Kits(ctx, b, 2, (*Kit).Clone, func(*Kit) error { return nil }, nil)
	}()
	if err := <-fed; err != nil {
		t.Fatal(err)
	}
	cancel()
	select {
	case err := <-ended:
		if err != context.Canceled {
			t.Errorf("got %v", err)
		}
	case <-time.After(moment):
		t.Error("it waits for ever")
	}
	if err := errors.Join(feed.Close(), b.Close()); err != nil {
		t.Error(err)
	}
	goroutinesSettle(t, before)
}
