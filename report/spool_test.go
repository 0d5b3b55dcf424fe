package report

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A spool gives back what was written since its last Reset.
func TestSpoolCopy(t *testing.T) {
	dir := t.TempDir()
	s := newSpoolIn(t, dir)
	long := strings.Repeat("0123456789", 10000) // more than a buffer
	for _, text := range []string{long, "short"} {
		if err := s.Reset(); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	var out strings.Builder
	if err := s.CopyTo(&out); err != nil || out.String() != "short" {
		t.Errorf("%q, %v", out.String(), err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	checkEntries(t, dir)
}

// A spool becomes a file, whole and in place of an older one, or leaves nothing behind.
func TestSpoolMove(t *testing.T) {
	dir := t.TempDir()
	target := filepath.Join(dir, "result")
	if err := os.WriteFile(target, []byte("old and longer"), 0o600); err != nil {
		t.Fatal(err)
	}
	s := newSpoolIn(t, dir)
	if _, err := s.Write([]byte("new")); err != nil {
		t.Fatal(err)
	}
	if err := s.MoveTo(target, 0o640); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	if got, err := os.ReadFile(target); err != nil || string(got) != "new" {
		t.Errorf("%q, %v", got, err)
	}
	checkEntries(t, dir, "result")

	s = newSpoolIn(t, dir)
	if err := s.MoveTo(filepath.Join(dir, "no such folder", "result"), 0o640); err == nil {
		t.Error("moved into a folder that is not there")
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	checkEntries(t, dir, "result")
}

func newSpoolIn(t *testing.T, dir string) *Spool {
	t.Helper()
	s, err := NewSpool(dir)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func checkEntries(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}
