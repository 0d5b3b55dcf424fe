package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"
	"time"
)

// millionRows is how many kits of forty readings have a million rows.
const millionRows = 25_000

// BenchmarkMillionRows runs the program over a million rows and, before every run, reads the same file
// with nothing but encoding/csv, since a machine is quicker at one time and slower at another:
//
//	go test ./cmd/mkdata -run xxx -bench MillionRows -benchtime 7x
//
// It reports the least CPU time, the median ratio of the wall times and the greatest resident set.
func BenchmarkMillionRows(b *testing.B) {
	dir := b.TempDir()
	program := filepath.Join(dir, "neckfit")
	if out, err := exec.Command("go", "build", "-o", program, "neckfit/cmd/neckfit").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	for _, c := range []struct {
		name    string
		batch   bigBatch
		formats []string
	}{
		{"alike", bigBatch{kits: millionRows}, []string{"csv", "jsonl"}},
		{"varied", bigBatch{kits: millionRows, varied: true}, []string{"csv", "jsonl"}},
		{"scattered", bigBatch{kits: millionRows, scattered: true}, []string{"csv"}},
	} {
		folder := filepath.Join(dir, c.name)
		if err := c.batch.write(folder); err != nil {
			b.Fatal(err)
		}
		for _, format := range c.formats {
			b.Run(c.name+"/"+format, func(b *testing.B) {
				var cpu, ratios, peaks []float64
				for b.Loop() {
					bare := bareRead(b, filepath.Join(folder, "readings.csv"))
					wall, used, peak := timed(b, exec.Command(program, "check", folder, "--format", format, "--out", os.DevNull))
					cpu, ratios, peaks = append(cpu, used.Seconds()), append(ratios, wall.Seconds()/bare.Seconds()), append(peaks, peak)
				}
				slices.Sort(ratios)
				b.ReportMetric(slices.Min(cpu), "cpu-s")
				b.ReportMetric(ratios[len(ratios)/2], "x-bare")
				b.ReportMetric(slices.Max(peaks), "peak-MiB")
			})
		}
	}
}

// bareRead reads the records and does nothing with them.
func bareRead(b *testing.B, file string) time.Duration {
	begun := time.Now()
	f, err := os.Open(file)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.ReuseRecord = true
	for {
		if _, err := in.Read(); err == io.EOF {
			return time.Since(begun)
		} else if err != nil {
			b.Fatal(err)
		}
	}
}

// timed runs a child. Its memory is looked at every few milliseconds: the system keeps the peak, so
// that only what grows in the last moment is missed.
func timed(b *testing.B, c *exec.Cmd) (wall, cpu time.Duration, peak float64) {
	begun := time.Now()
	if err := c.Start(); err != nil {
		b.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	for {
		select {
		case err := <-ended:
			wall, cpu = time.Since(begun), c.ProcessState.UserTime()+c.ProcessState.SystemTime()
			if exit := (*exec.ExitError)(nil); err != nil && !(errors.As(err, &exit) && exit.ExitCode() == 1) { // 1: some kit does not pass
				b.Fatal(err)
			}
			return wall, cpu, peak
		case <-time.After(5 * time.Millisecond):
			peak = max(peak, residentPeak(c.Process.Pid))
		}
	}
}

var highWater = regexp.MustCompile(`(?m)^VmHWM:\s+(\d+) kB$`)

// residentPeak is a running process' greatest resident set in MiB, 0 where the system does not tell.
func residentPeak(pid int) float64 {
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
