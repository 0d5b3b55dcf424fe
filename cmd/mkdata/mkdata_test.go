package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestCommittedBatchesAreWhatIsWritten(t *testing.T) {
	dir := t.TempDir()
	var stderr bytes.Buffer
	if code := run([]string{"examples", dir}, &stderr); code != 0 {
		t.Fatalf("code %d: %s", code, &stderr)
	}
	for _, name := range []string{"demo", "lots", "gauge", "pairs"} {
		files, err := os.ReadDir(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			want, err := os.ReadFile(filepath.Join(dir, name, f.Name()))
			if err != nil {
				t.Fatal(err)
			}
			got, err := os.ReadFile(filepath.Join("../../testdata", name, f.Name()))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), string(got)); diff != "" {
				t.Errorf("%s/%s: run go run ./cmd/mkdata examples testdata\n%s", name, f.Name(), diff)
			}
		}
	}
}

func TestWrongUseAndUnwritableFolder(t *testing.T) {
	var stderr bytes.Buffer
	for _, args := range [][]string{nil, {"examples"}, {"examples", "a", "b"}, {"pairs", "--pairs", "x", "a"}, {"what", "a"}, {"big"}} {
		stderr.Reset()
		if code := run(args, &stderr); code != 2 || !strings.Contains(stderr.String(), "Usage:") {
			t.Errorf("code %d for %q, want 2\n%s", code, args, &stderr)
		}
	}
	for _, what := range []string{"examples", "pairs", "big"} {
		if code := run([]string{what, "mkdata_test.go"}, &stderr); code != 3 {
			t.Errorf("%s: code %d for a file, want 3", what, code)
		}
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
