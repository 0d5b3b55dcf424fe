package main

import (
	"bytes"
	"context"
	"io"
	"math"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"
)

// A run whose memory is nearly used up ends with code 3 and says so; with room to spare it goes on.
func TestMemory(t *testing.T) {
	used := memoryUsed()
	if runtime.GOOS != "linux" {
		if limit := memoryLimit(); !math.IsInf(limit.size+limit.resident, 1) {
			t.Error("watched by what the system does not tell:", limit)
		}
		return
	}
	if used.size < used.resident || used.resident < 1<<20 {
		t.Fatal(used)
	}
	for _, c := range []struct {
		limit memory
		ends  bool
	}{
		{memory{used.size / 0.95, math.Inf(1)}, true},
		{memory{math.Inf(1), used.resident / 0.95}, true},
		{memory{10 * used.size, 10 * used.resident}, false},
		{memory{math.Inf(1), math.Inf(1)}, false},
	} {
		ctx, cancel := context.WithTimeout(context.Background(), 250*time.Millisecond)
		watched, end := context.WithCancelCause(ctx)
		watchMemory(watched, c.limit, end)
		if got := context.Cause(watched) == errMemory; got != c.ends && !math.IsInf(c.limit.size+c.limit.resident, 1) || c.ends && !got {
			t.Errorf("%+v of %+v: %v", c.limit, used, context.Cause(watched))
		}
		var talk bytes.Buffer
		p := &program{ctx: watched, stdout: io.Discard, stderr: &talk}
		if c.ends && (p.exit(nil, watched.Err()) != noAccess || !strings.HasPrefix(talk.String(), "neckfit: the memory is nearly used up")) {
			t.Errorf("said %q", talk.String())
		}
		end(nil)
		cancel()
	}
}

// The limit of the address space is that of the process, and the memory no more than the machine's; proc(5)
// shows how the files look.
func TestMemoryLimits(t *testing.T) {
	limits := []byte("Limit                     Soft Limit           Hard Limit           Units\nMax address space         2560000000           unlimited            bytes\n")
	if got := numberAfter(limits, "Max address space", 1); got != 2_560_000_000 {
		t.Error(got)
	}
	if got := numberAfter(bytes.Replace(limits, []byte("2560000000"), []byte("unlimited "), 1), "Max address space", 1); !math.IsInf(got, 1) {
		t.Error(got)
	}
	if got := numberAfter([]byte("MemTotal:       16316412 kB\nMemFree:   1 kB\n"), "MemTotal:", 1<<10); got != 16_316_412*1024 {
		t.Error(got)
	}
	if got := numberAfter([]byte("max\n"), "", 1); !math.IsInf(got, 1) {
		t.Error(got)
	}
	if _, err := os.Stat("/proc/meminfo"); err == nil && !(memoryLimit().resident > 1<<27) {
		t.Error(memoryLimit())
	}
}
