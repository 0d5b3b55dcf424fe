package main

import (
	"bytes"
	"context"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"time"
)

// errMemory ends a run before the system does, which would say nothing and leave temporary files behind.
var errMemory = errors.New("the memory is nearly used up; nothing was written. Check the delivery in parts: lot takes the .jsonl of several")

// watchMemory ends the context when nine tenths of the memory that the process may have are in use. Where the
// system does not tell (/proc of Linux), nothing is watched.
func watchMemory(ctx context.Context, limit memory, end context.CancelCauseFunc) {
	const often, most = 50 * time.Millisecond, 0.9
	if math.IsInf(limit.size, 1) && math.IsInf(limit.resident, 1) {
		return
	}
	for tick := time.NewTicker(often); ; {
		select {
		case <-ctx.Done():
			tick.Stop()
			return
		case <-tick.C:
			if now := memoryUsed(); now.size > most*limit.size || now.resident > most*limit.resident {
				end(errMemory)
			}
		}
	}
}

// memory is in bytes: the address space and what of it lies in memory.
type memory struct{ size, resident float64 }

// memoryLimit is what the process may have: its limit of address space (ulimit -v), and the smaller of what the
// machine has and what its control group allows.
func memoryLimit() memory {
	limit := memory{math.Inf(1), math.Inf(1)}
	if limits, err := os.ReadFile("/proc/self/limits"); err == nil {
		limit.size = numberAfter(limits, "Max address space", 1)
	}
	if info, err := os.ReadFile("/proc/meminfo"); err == nil {
		limit.resident = numberAfter(info, "MemTotal:", 1<<10)
	}
	if group, err := os.ReadFile("/sys/fs/cgroup/memory.max"); err == nil {
		limit.resident = min(limit.resident, numberAfter(group, "", 1))
	}
	return limit
}

// numberAfter is the first word after a label, in a unit; what is no number is no limit.
func numberAfter(text []byte, label string, unit float64) float64 {
	_, rest, _ := bytes.Cut(text, []byte(label))
	words := strings.Fields(string(rest))
	if len(words) > 0 {
		if n, err := strconv.ParseFloat(words[0], 64); err == nil && n > 0 {
			return n * unit
		}
	}
	return math.Inf(1)
}

// memoryUsed is what the process has.
func memoryUsed() memory {
	text, err := os.ReadFile("/proc/self/statm")
	words := strings.Fields(string(text))
	if err != nil || len(words) < 2 {
		return memory{}
	}
	page := float64(os.Getpagesize())
	size, _ := strconv.ParseFloat(words[0], 64) // a system that writes no numbers there is not watched
	resident, _ := strconv.ParseFloat(words[1], 64)
	return memory{size * page, resident * page}
}
