package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// An interrupt ends every command within 0.3 s, wherever it is, with code 3 and nothing left behind. A busy
// machine may be late; it has six tries.
func TestInterruptsAreAnswered(t *testing.T) {
	dir := t.TempDir()
	repeated(t, "demo", dir, 150)
	repeated(t, "pairs", dir, 40)
	for _, command := range []string{
		"check demo --format html --out x.html", "check demo --format jsonl --remedy --out x.jsonl", "remedy demo --out x.txt",
		"remedy demo --format html --out x.html", "lot demo --format html --out x.html", "pair pairs --remedies --out x.txt",
	} {
		const prompt, tries = 300 * time.Millisecond, 6
		for try := range tries {
			tmp := t.TempDir()
			c := exec.Command("neckfit", strings.Fields(command)...)
			var said bytes.Buffer
			c.Dir, c.Env, c.Stderr = dir, append(os.Environ(), "TMPDIR="+tmp), &said
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
			time.Sleep(time.Duration(try+1) * 200 * time.Millisecond)
			asked := time.Now()
			if err := c.Process.Signal(os.Interrupt); err != nil {
				t.Fatal(command, err)
			}
			_ = c.Wait()
			took := time.Since(asked)
			if code := c.ProcessState.ExitCode(); code != noAccess || !strings.Contains(said.String(), "interrupted; nothing was written") {
				t.Errorf("%s: code %d %s", command, code, said.String())
			}
			left, err := filepath.Glob(filepath.Join(dir, "*x.*"))
			spools, err2 := filepath.Glob(filepath.Join(dir, ".neckfit-*"))
			temporary, err3 := os.ReadDir(tmp)
			if err != nil || err2 != nil || err3 != nil || len(left)+len(spools)+len(temporary) > 0 {
				t.Errorf("%s: left %v %v %v", command, left, spools, temporary)
			}
			if took <= prompt {
				break
			}
			if try == tries-1 {
				t.Errorf("%s: ended %v after the interrupt", command, took)
			}
		}
	}
}

// repeated copies a batch of testdata with its kits many times over, under names of their own.
func repeated(t *testing.T, batch, dir string, times int) {
	t.Helper()
	folder := filepath.Join("..", "..", "testdata", batch)
	if err := os.Mkdir(filepath.Join(dir, batch), 0o777); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(folder, "readings.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var rows []string
	for line := range strings.Lines(string(text)) {
		if !strings.HasPrefix(line, "#") && !strings.HasPrefix(line, "BR,") { // a bridge for all bodies is there once
			rows = append(rows, line)
		}
	}
	var all strings.Builder
	all.WriteString(rows[0])
	for i := range times {
		for _, row := range rows[1:] {
			fmt.Fprintf(&all, "%d-%s", i, row)
		}
	}
	gauges, err := os.ReadFile(filepath.Join(folder, "gauges.csv"))
	if err != nil {
		t.Fatal(err)
	}
	writeFile(t, filepath.Join(dir, batch, "readings.csv"), all.String())
	writeFile(t, filepath.Join(dir, batch, "gauges.csv"), string(gauges))
}
