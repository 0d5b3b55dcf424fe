//go:build unix

package measure

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// A named pipe comes once and is read twice.
func TestNamedPipe(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	text := tableOf(t, manyKits(3000))
	done := make(chan error, 1)
	go func() { done <- os.WriteFile(pipe, []byte(text), 0) }()
	b, err := Open(pipe, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if kits, err := kitsOf(b, 2); err != nil || len(kits) != 3000 {
		t.Errorf("%d kits, %v", len(kits), err)
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
	if kits, err := b.All(t.Context()); err != nil || len(kits) != 3000 {
		t.Errorf("a second reading has %d kits, %v", len(kits), err)
	}
}
