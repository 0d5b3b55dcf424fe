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
	"slices"
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
	ratio     float64 // of the wall time to that of the bare read
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
	fmt.Fprintf(out, "%d cores, least of %d rounds; wall and cpu in s, median ratio to the bare read of the same round, peak in MiB\n", runtime.NumCPU(), times)
	fmt.Fprintf(out, "%-22s %10s %8s %8s %8s %8s\n", "stage", "rows", "wall", "cpu", "ratio", "peak")
	walls := map[string][]time.Duration{}
	for _, kits := range []int{small, large} {
		batch := filepath.Join(dir, fmt.Sprintf("kits-%d", kits))
		if err := ensure(batch, kits, false); err != nil {
			return err
		}
		rows, err := rounds(times, stages, p, batch)
		if err != nil {
			return err
		}
		for i, s := range stages {
			walls[s.name] = append(walls[s.name], rows[i].wall)
			printRow(out, s.name, kits, rows[i])
		}
	}
	for _, s := range stages {
		w := walls[s.name]
		fmt.Fprintf(out, "%-22s time grows as rows to the power %.2f\n", s.name, math.Log(w[1].Seconds()/w[0].Seconds())/math.Log(float64(large)/small))
	}
	return measureScattered(dir, p, times, out)
}

// measureScattered times the worst case: no two rows of a kit stand together.
func measureScattered(dir string, p *programs, times int, out io.Writer) error {
	batch := filepath.Join(dir, "scattered")
	if err := ensure(batch, small, true); err != nil {
		return err
	}
	worst := stage{"check, scattered", func(p *programs, dir string) *exec.Cmd { return p.check(dir, "csv") }}
	rows, err := rounds(times, []stage{stages[0], worst}, p, batch)
	if err != nil {
		return err
	}
	printRow(out, worst.name, small, rows[1])
	return nil
}

// rounds runs all stages several times, round by round, since a machine is quicker at one time and
// slower at another. It gives of each the least time, the greatest peak and the median of the
// rounds' ratios to the first.
func rounds(times int, stages []stage, p *programs, dir string) ([]took, error) {
	best, ratios := make([]took, len(stages)), make([][]float64, len(stages))
	for round := range max(1, times) {
		var bare time.Duration
		for i, s := range stages {
			t, err := timed(s.command(p, dir))
			if err != nil {
				return nil, fmt.Errorf("%s: %w", s.name, err)
			}
			if i == 0 {
				bare = t.wall
			}
			ratios[i] = append(ratios[i], t.wall.Seconds()/bare.Seconds())
			t.peak = max(t.peak, best[i].peak)
			if round > 0 && t.wall > best[i].wall {
				t.wall, t.cpu = best[i].wall, best[i].cpu
			}
			best[i] = t
		}
	}
	for i := range best {
		slices.Sort(ratios[i])
		best[i].ratio = ratios[i][len(ratios[i])/2]
	}
	return best, nil
}

func printRow(out io.Writer, name string, kits int, t took) {
	fmt.Fprintf(out, "%-22s %9dk %8.2f %8.2f %8.2f %8.1f\n", name, kits/1000*thousands, t.wall.Seconds(), t.cpu.Seconds(), t.ratio, t.peak)
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
