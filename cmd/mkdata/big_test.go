package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
)

// read reads a batch that mkdata wrote.
func read(t *testing.T, dir string) []*measure.Kit {
	t.Helper()
	b, err := measure.Open(dir, measure.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	kits, err := b.All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return kits
}

// Every kit has forty readings that give the centre-line error, and one that repeats another with
// its straightedges moved has the same.
func TestKits(t *testing.T) {
	dir := t.TempDir()
	var talk bytes.Buffer
	if code := run([]string{"big", dir, "--kits", "210"}, &talk); code != 0 {
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
		if c.ID.String() != "centre-line-error" || !c.Measured() {
			t.Fatalf("%s: %s: %v", k.Name, c.ID, c.Missing)
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

// However the rows are dealt out, a kit has the same readings; a varied one lacks the one of its number.
func TestScatteredAndVaried(t *testing.T) {
	dir := t.TempDir()
	made := map[string][]*measure.Kit{}
	for name, b := range map[string]bigBatch{
		"whole": {kits: 45}, "dealt": {kits: 45, scattered: true}, "varied": {kits: 45, varied: true}, "both": {kits: 45, scattered: true, varied: true},
	} {
		if err := b.write(filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
		made[name] = read(t, filepath.Join(dir, name))
		slices.SortFunc(made[name], func(a, b *measure.Kit) int { return strings.Compare(a.Name, b.Name) })
	}
	text := func(r *measure.Reading) string {
		return fmt.Sprint(r.Datum, r.Feature, r.Mark, r.Kind, r.Station, r.Offset, r.Size)
	}
	for i, whole := range made["whole"] {
		var all []string
		for r := range whole.Readings {
			all = append(all, text(&whole.Readings[r]))
		}
		fewer := slices.Delete(slices.Clone(all), i%len(all), i%len(all)+1)
		for name, want := range map[string][]string{"dealt": all, "varied": fewer, "both": fewer} {
			k := made[name][i]
			var got []string
			for r := range k.Readings {
				got = append(got, text(&k.Readings[r]))
			}
			if k.Name != whole.Name || !slices.Equal(got, want) {
				t.Fatalf("%s: kit %d is %s with %q, want %q", name, i, k.Name, got, want)
			}
		}
	}
}
