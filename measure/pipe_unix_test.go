//go:build unix

package measure

import (
	"context"
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
	n := 0
	if err := Map(context.Background(), b, 2, func(*Kit) int { return 1 }, func(one int) error { n += one; return nil }); err != nil || n != 3000 {
		t.Errorf("%d kits, %v", n, err)
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
	if err := b.Each(func(*Kit) error { n--; return nil }); err != nil || n != 0 {
		t.Errorf("a second reading leaves %d kits, %v", n, err)
	}
}
