// Package workers does the same work on many things at once and hands on what came of it in their order.
package workers

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Each works on the numbers below n, each once, on all cores.
func Each(n int, work func(int)) {
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	group.Wait()
}

// Map works on what source yields, on several goroutines at once, and emits the results in the order
// of what they were made of. Source and emit run on one goroutine each, emit on the caller's; a few
// things a worker are under way at a time. When yield is false nobody wants more.
//
// The error is emit's, which ends all at once; that of the context, which is heeded even while source
// waits for a stream that may never go on; or source's, after all that came before it was emitted. But
// for a source that waits, nothing runs any more when Map is back.
func Map[In, Out any](ctx context.Context, workers int, source func(yield func(In) bool) error, work func(In) Out, emit func(Out) error) error {
	ctx, cancel := context.WithCancel(ctx)
	type job struct {
		in  In
		out chan Out
	}
	jobs, order := make(chan job), make(chan job, 2*workers)
	var ended error // of the source, once order is closed
	go func() {
		defer close(order)
		ended = source(func(in In) bool {
			j := job{in, make(chan Out, 1)}
			for _, to := range []chan job{order, jobs} {
				select {
				case to <- j:
				case <-ctx.Done():
					return false
				}
			}
			return true
		})
	}()
	var group sync.WaitGroup
	defer group.Wait()
	defer cancel()
	for range max(1, workers) {
		group.Go(func() {
			for {
				select {
				case j := <-jobs:
					j.out <- work(j.in)
				case <-ctx.Done():
					return
				}
			}
		})
	}
	for {
		var next job
		var more bool
		select {
		case next, more = <-order:
		case <-ctx.Done():
			return ctx.Err()
		}
		if !more {
			if err := ctx.Err(); err != nil {
				return err
			}
			return ended
		}
		select {
		case out := <-next.out:
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := emit(out); err != nil {
				return err
			}
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}
