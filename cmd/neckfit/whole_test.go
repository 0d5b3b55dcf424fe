package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Several files are written whole or not at all: when the last one cannot take its place, the first has what
// it had before, and one that was not there is not there.
func TestSeveralFilesOrNone(t *testing.T) {
	dir := t.TempDir()
	names := []string{filepath.Join(dir, "a-1.svg"), filepath.Join(dir, "a-2.svg"), filepath.Join(dir, "a-3.svg")}
	writeFile(t, names[0], "old")
	p := &program{ctx: context.Background(), stdout: io.Discard, stderr: io.Discard}
	fails := false
	text := func(w io.Writer) error {
		if _, err := os.Stat(names[2]); fails && errors.Is(err, os.ErrNotExist) {
			if err := os.Mkdir(names[2], 0o777); err != nil { // which no file can replace
				return err
			}
		}
		_, err := io.WriteString(w, "new")
		return err
	}
	there := func() map[string]string {
		found := map[string]string{}
		files, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			text, err := os.ReadFile(filepath.Join(dir, f.Name()))
			if err != nil {
				text = []byte("a folder")
			}
			found[f.Name()] = string(text)
		}
		return found
	}
	fails = true
	if err := p.writeAll(names, nil, []func(io.Writer) error{text, text, text}); err == nil {
		t.Error("no error where a folder stands in the way")
	}
	if diff := cmp.Diff(map[string]string{"a-1.svg": "old", "a-3.svg": "a folder"}, there()); diff != "" {
		t.Error(diff)
	}
	fails = false
	if err := os.Remove(names[2]); err != nil {
		t.Fatal(err)
	}
	if err := p.writeAll(names, nil, []func(io.Writer) error{text, text, text}); err != nil {
		t.Error(err)
	}
	if diff := cmp.Diff(map[string]string{"a-1.svg": "new", "a-2.svg": "new", "a-3.svg": "new"}, there()); diff != "" {
		t.Error(diff)
	}
}
