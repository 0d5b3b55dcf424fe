package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"time"
)

// The batches that are measured, in kits of forty readings.
const (
	small, large = 25_000, 100_000
	thousands    = 40 // rows of a thousand kits, in thousands
)

// stage is one thing that is timed.
type stage struct {
	name    string
	command func(p *programs, dir string) *exec.Cmd
}

var stages = []stage{
	{"bare encoding/csv", child("bare")},
	{"decoding only", child("decode")},
	{"all but deciding, csv", child("csv")},
	{"the same, jsonl", child("jsonl")},
	{"check, csv", func(p *programs, dir string) *exec.Cmd { return p.check(dir, "csv") }},
	{"check, jsonl", func(p *programs, dir string) *exec.Cmd { return p.check(dir, "jsonl") }},
}

// child runs a stage in a program of its own.
func child(stage string) func(*programs, string) *exec.Cmd {
	return func(p *programs, dir string) *exec.Cmd {
		return exec.Command(p.self, "--stage", stage, filepath.Join(dir, "readings.csv"))
	}
}

// programs are the two executables that are run.
type programs struct{ self, neckfit string }

func (p *programs) check(dir, format string) *exec.Cmd {
	return exec.Command(p.neckfit, "check", dir, "--format", format, "--out", os.DevNull)
}

// took is what one run cost.
type took struct {
	wall, cpu time.Duration
	peak      float64 // greatest resident set, MiB
}

// measureAll makes the batches that are not there yet, times every stage and prints the table.
func measureAll(dir string, times int, out io.Writer) error {
	temp, err := os.MkdirTemp("", "mkbig-")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(temp) }() // the system clears what is left
	p, err := build(temp)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "%d cores, least of %d runs; wall and cpu in s, ratio to the bare read of the same rows, peak in MiB\n", runtime.NumCPU(), times)
	fmt.Fprintf(out, "%-22s %10s %8s %8s %8s %8s\n", "stage", "rows", "wall", "cpu", "ratio", "peak")
	walls := map[string][]time.Duration{}
	for _, kits := range []int{small, large} {
		batch := filepath.Join(dir, fmt.Sprintf("kits-%d", kits))
		if err := ensure(batch, kits, false); err != nil {
			return err
		}
		var bare time.Duration
		for _, s := range stages {
			t, err := least(times, func() *exec.Cmd { return s.command(p, batch) })
			if err != nil {
				return fmt.Errorf("%s: %w", s.name, err)
			}
			if bare == 0 {
				bare = t.wall
			}
			walls[s.name] = append(walls[s.name], t.wall)
			printRow(out, s.name, kits, t, bare)
		}
	}
	for _, s := range stages {
		w := walls[s.name]
		fmt.Fprintf(out, "%-22s time grows as rows to the power %.2f\n", s.name, math.Log(w[1].Seconds()/w[0].Seconds())/math.Log(float64(large)/small))
	}
	return measureScattered(dir, p, times, walls[stages[0].name][0], out)
}

// measureScattered times the worst case: no two rows of a kit stand together.
func measureScattered(dir string, p *programs, times int, bare time.Duration, out io.Writer) error {
	batch := filepath.Join(dir, "scattered")
	if err := ensure(batch, small, true); err != nil {
		return err
	}
	t, err := least(times, func() *exec.Cmd { return p.check(batch, "csv") })
	if err != nil {
		return err
	}
	printRow(out, "check, scattered", small, t, bare)
	return nil
}

func printRow(out io.Writer, name string, kits int, t took, bare time.Duration) {
	fmt.Fprintf(out, "%-22s %9dk %8.2f %8.2f %8.2f %8.1f\n", name, kits/1000*thousands, t.wall.Seconds(), t.cpu.Seconds(),
		t.wall.Seconds()/bare.Seconds(), t.peak)
}

// build makes neckfit of the same source.
func build(temp string) (*programs, error) {
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	p := &programs{self, filepath.Join(temp, "neckfit")}
	c := exec.Command("go", "build", "-o", p.neckfit, "neckfit/cmd/neckfit")
	c.Stderr = os.Stderr
	return p, c.Run()
}

// ensure makes a batch that is not there.
func ensure(dir string, kits int, scattered bool) error {
	if _, err := os.Stat(filepath.Join(dir, "readings.csv")); err == nil {
		return nil
	}
	return write(dir, kits, scattered)
}

// least runs a command several times and keeps the shortest time, and the greatest peak.
func least(times int, command func() *exec.Cmd) (took, error) {
	best := took{wall: math.MaxInt64}
	for range max(1, times) {
		t, err := timed(command())
		if err != nil {
			return took{}, err
		}
		best = took{min(best.wall, t.wall), best.cpu, max(best.peak, t.peak)}
		if best.wall == t.wall {
			best.cpu = t.cpu
		}
	}
	return best, nil
}

// timed runs a child and watches its memory.
func timed(c *exec.Cmd) (took, error) {
	c.Stderr = os.Stderr
	begun := time.Now()
	if err := c.Start(); err != nil {
		return took{}, err
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	var t took
	for {
		select {
		case err := <-ended:
			t.wall, t.cpu = time.Since(begun), c.ProcessState.UserTime()+c.ProcessState.SystemTime()
			if exit := (*exec.ExitError)(nil); errors.As(err, &exit) && exit.ExitCode() == 1 {
				err = nil // some kit does not pass
			}
			return t, err
		case <-time.After(glance):
			t.peak = max(t.peak, peakOf(c.Process.Pid))
		}
	}
}

// glance is how often a child's memory is looked at. The system keeps the peak, so that only what
// grows in the last moment is missed.
const glance = 5 * time.Millisecond

var highWater = regexp.MustCompile(`(?m)^VmHWM:\s+(\d+) kB$`)

// peakOf is a running process' greatest resident set in MiB, 0 where the system does not tell.
func peakOf(pid int) float64 {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0
	}
	m := highWater.FindSubmatch(status)
	if m == nil {
		return 0
	}
	kib, _ := strconv.ParseFloat(string(m[1]), 64) // digits only
	return kib / 1024
}
