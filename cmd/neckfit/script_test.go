package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// The scripts, and the shell of other tests, run this very program under the name neckfit.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"neckfit": main})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup:               demoBatch,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// demoBatch tells scripts where the demonstration batch is.
func demoBatch(e *testscript.Env) error {
	dir, err := filepath.Abs("../../testdata/demo")
	e.Setenv("DEMO", dir)
	return err
}

// exits runs a program that must end with a given code: exits 2 neckfit check.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits code program [args...]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var exit *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// inScratch makes a folder to run documented commands in: testdata is there, and what they write
// goes with the test.
func inScratch(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, batch := range []string{"/testdata/demo", "/testdata/example", "/testdata/lots", "/testdata/gauge", "/testdata/pairs"} {
		if err := os.CopyFS(dir+batch, os.DirFS("../.."+batch)); err != nil {
			t.Fatal(err)
		}
	}
	writeFile(t, filepath.Join(dir, "mine.csv"), "work,wall,mouth,end,unit\nside-shim,treble,0.5,0.5,mm\n") // for remedy --try
	return dir
}

// documented runs a command line that the documentation shows. It must be understood and its input
// must be good: the codes 0 and 1.
func documented(t *testing.T, dir, line string) {
	t.Helper()
	if strings.HasPrefix(line, "neckfit bench ") { // it goes on until somebody ends it
		line = "rm -f url; " + line + ` >url & until [ -s url ] || ! kill -0 $!; do sleep 0.02; done; kill -INT $!; wait $!`
	}
	c := exec.Command("bash", "-c", line)
	c.Dir = dir
	out, err := c.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !(errors.As(err, &exit) && exit.ExitCode() == notGood) {
		t.Errorf("%s: %v\n%s", line, err, out)
	}
}
