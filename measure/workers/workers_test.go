package workers

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"
)

// count yields the numbers below n.
func count(n int) func(func(int) bool) error {
	return func(yield func(int) bool) error {
		for i := range n {
			if !yield(i) {
				return errors.New("nobody wants more")
			}
		}
		return nil
	}
}

// However long each takes, the squares come in the order of their roots, made by no more goroutines at a
// time than asked for.
func TestOrder(t *testing.T) {
	for _, workers := range []int{0, 1, 3, 8} {
		var running, most atomic.Int32
		square := func(i int) int {
			if n := running.Add(1); n > most.Load() {
				most.Store(n)
			}
			defer running.Add(-1)
			if i%7 == 0 {
				time.Sleep(100 * time.Microsecond)
			}
			return i * i
		}
		var got []int
		err := Map(t.Context(), workers, count(500), square, func(x int) error { got = append(got, x); return nil })
		want := make([]int, 500)
		for i := range want {
			want[i] = i * i
		}
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%d workers: %v, %v", workers, got, err)
		}
		if int(most.Load()) > max(1, workers) {
			t.Errorf("%d workers: %d at once", workers, most.Load())
		}
	}
}

// An error of the source comes after all that it yielded, one of emit at once, and a context's end is
// heeded; none leaves a goroutine behind.
func TestErrors(t *testing.T) {
	before := runtime.NumGoroutine()
	broken := errors.New("broken")
	emitted := 0
	source := func(yield func(int) bool) error { _ = count(20)(yield); return broken }
	same := func(i int) int { return i }
	if err := Map(t.Context(), 2, source, same, func(int) error { emitted++; return nil }); err != broken || emitted != 20 {
		t.Errorf("%d emitted, %v", emitted, err)
	}
	full := errors.New("full")
	emitted = 0
	if err := Map(t.Context(), 2, count(1e6), same, func(i int) error {
		if emitted++; i == 9 {
			return full
		}
		return nil
	}); err != full || emitted != 10 {
		t.Errorf("%d emitted, %v", emitted, err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	emitted = 0
	if err := Map(ctx, 2, count(1e6), same, func(i int) error {
		if emitted++; i == 9 {
			cancel()
		}
		return nil
	}); err != context.Canceled || emitted != 10 {
		t.Errorf("%d emitted, %v", emitted, err)
	}
	for end := time.Now().Add(2 * time.Second); runtime.NumGoroutine() > before && time.Now().Before(end); {
		time.Sleep(time.Millisecond)
	}
	if n := runtime.NumGoroutine(); n > before {
		t.Errorf("%d goroutines, %d before", n, before)
	}
}

// A source that waits for ever is not waited for.
func TestWaitingSource(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	gate := make(chan struct{})
	source := func(yield func(int) bool) error {
		yield(1)
		cancel()
		<-gate
		return nil
	}
	if err := Map(ctx, 2, source, func(i int) int { return i }, func(int) error { return nil }); err != context.Canceled {
		t.Errorf("got %v", err)
	}
	close(gate)
}

// Each number is worked on once, by no more goroutines at a time than there are cores.
func TestEach(t *testing.T) {
	for _, n := range []int{0, 1, 7, 500} {
		var running, most atomic.Int32
		times := make([]atomic.Int32, n)
		Each(n, func(i int) {
			if now := running.Add(1); now > most.Load() {
				most.Store(now)
			}
			times[i].Add(1)
			running.Add(-1)
		})
		for i := range times {
			if got := times[i].Load(); got != 1 {
				t.Errorf("of %d, %d came %d times", n, i, got)
			}
		}
		if int(most.Load()) > runtime.GOMAXPROCS(0) {
			t.Errorf("%d at a time", most.Load())
		}
	}
}
