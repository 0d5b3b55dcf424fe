package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

// read reads a batch that mkbig wrote.
func read(t *testing.T, dir string) []*measure.Kit {
	t.Helper()
	b, err := measure.Open(dir, measure.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	var kits []*measure.Kit
	collect := func(k *measure.Kit) error { kits = append(kits, k); return nil }
	if err := b.Each(collect); err != nil {
		kits = nil
		if err := b.Gather(err); err != nil {
			t.Fatal(err)
		}
		if err := b.Each(collect); err != nil {
			t.Fatal(err)
		}
	}
	return kits
}

// Every kit has forty readings that give the centre-line error, and one that repeats another with
// its straightedges moved has the same.
func TestKits(t *testing.T) {
	dir := t.TempDir()
	var talk bytes.Buffer
	if code := run([]string{dir, "--kits", "210"}, &talk, &talk); code != 0 {
		t.Fatal(code, talk.String())
	}
	kits := read(t, dir)
	if len(kits) != 210 {
		t.Fatalf("%d kits", len(kits))
	}
	errors := make([]float64, len(kits))
	for i, k := range kits {
		if len(k.Readings) != 40 {
			t.Fatalf("%s has %d readings", k.Name, len(k.Readings))
		}
		c := fit.Check(k, fit.Options{}).Characteristics[0]
		if c.Name != "centre-line-error" || c.Missing != "" {
			t.Fatalf("%s: %s: %s", k.Name, c.Name, c.Missing)
		}
		errors[i] = c.Value
	}
	for i := distinct; i < len(kits); i++ {
		// Readings of hundredths moved by whole tenths: nothing is lost but the last bits of sums of a few hundred mm.
		if d := errors[i] - errors[i-distinct]; d > 1e-6 || d < -1e-6 {
			t.Errorf("%s differs by %g mm", kits[i].Name, d)
		}
	}
}

func TestScattered(t *testing.T) {
	dir := t.TempDir()
	whole, dealt := filepath.Join(dir, "whole"), filepath.Join(dir, "dealt")
	if err := write(whole, 5, false); err != nil {
		t.Fatal(err)
	}
	if err := write(dealt, 5, true); err != nil {
		t.Fatal(err)
	}
	a, b := read(t, whole), read(t, dealt)
	for i := range a {
		if a[i].Name != b[i].Name || len(a[i].Readings) != len(b[i].Readings) {
			t.Errorf("kit %d: %s of %d and %s of %d", i, a[i].Name, len(a[i].Readings), b[i].Name, len(b[i].Readings))
		}
	}
}

func TestStages(t *testing.T) {
	dir := t.TempDir()
	if err := write(dir, 300, false); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "readings.csv")
	for _, stage := range []string{"bare", "decode", "csv", "jsonl"} {
		if err := runStage(stage, file); err != nil {
			t.Errorf("%s: %v", stage, err)
		}
	}
	var talk bytes.Buffer
	if code := run([]string{"--stage", "none", file}, &talk, &talk); code != 3 || !strings.Contains(talk.String(), "no stage") {
		t.Error(code, talk.String())
	}
	if code := run(nil, &talk, &talk); code != 2 || !strings.Contains(talk.String(), "Usage:") {
		t.Error(code, talk.String())
	}
}
