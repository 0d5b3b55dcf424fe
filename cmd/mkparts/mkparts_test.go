package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const committed = "../../testdata"

func TestCommittedBatchesAreWhatIsWritten(t *testing.T) {
	dir := t.TempDir()
	var stderr bytes.Buffer
	if code := run([]string{dir}, &stderr); code != 0 {
		t.Fatalf("code %d: %s", code, &stderr)
	}
	for _, name := range []string{"lots", "gauge", "pairs"} {
		files, err := os.ReadDir(filepath.Join(committed, name))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			want, err := os.ReadFile(filepath.Join(dir, name, f.Name()))
			if err != nil {
				t.Fatal(err)
			}
			got, err := os.ReadFile(filepath.Join(committed, name, f.Name()))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), string(got)); diff != "" {
				t.Errorf("%s/%s: run go run ./cmd/mkparts testdata\n%s", name, f.Name(), diff)
			}
		}
	}
}

func TestWrongUseAndUnwritableFolder(t *testing.T) {
	var stderr bytes.Buffer
	for _, args := range [][]string{nil, {"a", "b"}, {"-pairs", "-1", "a"}, {"-what", "a"}} {
		if code := run(args, &stderr); code != 2 {
			t.Errorf("code %d for %q, want 2", code, args)
		}
	}
	if code := run([]string{"mkparts_test.go"}, &stderr); code != 3 {
		t.Errorf("code %d for a file, want 3", code)
	}
}

func TestPartsAreNamedAndCounted(t *testing.T) {
	b := pairs(12)
	if len(b.kits) != 12+13+1 {
		t.Errorf("%d parts, want 13 necks, 12 bodies and a bridge", len(b.kits))
	}
	seen := map[string]bool{}
	for _, k := range b.kits {
		if seen[k.Name] || len(k.Readings) == 0 {
			t.Errorf("part %s is there twice or without readings", k.Name)
		}
		seen[k.Name] = true
	}
}
