//go:build unix

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// somebody is a user who owns nothing here. Of other users' files only a system's owner can make
// any, so that without it there is less to try.
const somebody = 65534

// asSomebody makes the program's command for a user other than the system's owner.
func asSomebody(t *testing.T, dir string, args ...string) *exec.Cmd {
	t.Helper()
	program := filepath.Join(dir, "neckfit")
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(program); err != nil {
		text, err := os.ReadFile(self)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(program, text, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	c := exec.Command(program, args...)
	c.Dir = dir
	c.Env = append(os.Environ(), "TMPDIR="+filepath.Join(dir, "tmp"))
	if os.Getuid() == 0 {
		c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: somebody, Gid: somebody}}
	}
	return c
}

// A file that may be written in a folder that may not, or that is somebody else's, gets the results in
// its place: it is still the same file.
func TestFilesWrittenInTheirPlace(t *testing.T) {
	dir := t.TempDir()
	for d := dir; d != os.TempDir() && d != "/"; d = filepath.Dir(d) {
		if err := os.Chmod(d, 0o755); err != nil {
			break // not ours: it was open before
		}
	}
	for name, mode := range map[string]os.FileMode{"tmp": 0o777, "shut": 0o555, "common": 0o777} {
		if err := os.Mkdir(filepath.Join(dir, name), 0o755); err != nil {
			t.Fatal(err)
		}
		if name != "tmp" {
			writeFile(t, filepath.Join(dir, name, "kits.txt"), strings.Repeat("an old and longer report\n", 1000))
			if err := os.Chmod(filepath.Join(dir, name, "kits.txt"), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.Chmod(filepath.Join(dir, name), mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { _ = os.Chmod(filepath.Join(dir, "shut"), 0o755) })
	readings := filepath.Join(dir, "readings.csv")
	writeFile(t, readings, surveyHeader+survey("A1", 0, 0, 100, 200, 300))
	if err := os.Chmod(readings, 0o644); err != nil {
		t.Fatal(err)
	}
	want := produced(t, "check", readings)
	for _, folder := range []string{"shut", "common"} {
		file := filepath.Join(dir, folder, "kits.txt")
		before, err := os.Stat(file)
		if err != nil {
			t.Fatal(err)
		}
		if said, err := asSomebody(t, dir, "check", readings, "--out", file).CombinedOutput(); err != nil && !strings.Contains(err.Error(), "status 1") {
			t.Errorf("%s: %v\n%s", folder, err, said)
		}
		after, err := os.Stat(file)
		if err != nil {
			t.Fatal(err)
		}
		if os.Getuid() == 0 && !os.SameFile(before, after) {
			t.Errorf("%s: another file is there", folder)
		}
		if text, err := os.ReadFile(file); err != nil || string(text) != want {
			t.Errorf("%s: %v, %d bytes, want %d:\n%.300s", folder, err, len(text), len(want), text)
		}
		left, err := os.ReadDir(filepath.Join(dir, folder))
		if err != nil || len(left) != 1 {
			t.Errorf("%s: %v %v", folder, left, err)
		}
	}
	said, err := asSomebody(t, dir, "check", readings, "--out", filepath.Join(dir, "shut", "new.txt")).CombinedOutput()
	if err == nil || !strings.Contains(string(said), "permission denied") {
		t.Errorf("%v %s", err, said)
	}
}

// Who may replace another's file leaves it to that owner.
func TestOwnerIsKept(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("only the system's owner can have a file of somebody else's and replace it")
	}
	dir := batchOf(t, surveyHeader+survey("A1", 0, 0, 100, 200, 300), "")
	file := filepath.Join(dir, "kits.txt")
	writeFile(t, file, "old")
	if err := os.Chown(file, somebody, somebody); err != nil {
		t.Fatal(err)
	}
	produced(t, "check", dir, "--out", file)
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	owner := info.Sys().(*syscall.Stat_t)
	if owner.Uid != somebody || owner.Gid != somebody || info.Mode().Perm() != 0o600 {
		t.Errorf("owner %d:%d, mode %v", owner.Uid, owner.Gid, info.Mode())
	}
	text, err := os.ReadFile(file)
	if err != nil || !strings.Contains(string(text), "A1") {
		t.Errorf("%v %s", err, text)
	}
}
