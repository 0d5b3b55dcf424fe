package measure

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// known are characteristics for the tests' limits.
var known = map[string]Dimension{"centre-line-error": Length, "bridge-skew": Angle, "pocket-gap-mouth": Length}

// folder writes files into a new folder and gives its path.
func folder(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// readAll opens a batch and reads its kits, on one worker and on three, which must agree.
func readAll(t testing.TB, path string, stdin string) ([]*Kit, error) {
	t.Helper()
	read := func(workers int) ([]*Kit, error) {
		b, err := Open(path, Options{Characteristics: known, Stdin: strings.NewReader(stdin)})
		if err != nil {
			t.Fatal(err)
		}
		defer func() {
			if err := b.Close(); err != nil {
				t.Error(err)
			}
		}()
		return kitsOf(b, workers)
	}
	kits, err := read(1)
	again, againErr := read(3)
	if fmt.Sprint(err) != fmt.Sprint(againErr) {
		t.Errorf("one worker says %v, three %v", err, againErr)
	}
	if !reflect.DeepEqual(kits, again) {
		t.Error("one worker and three differ:", cmp.Diff(kits, again))
	}
	return kits, err
}

// kitsOf reads a batch on some workers.
func kitsOf(b *Batch, workers int) (all []*Kit, err error) {
	err = Kits(context.Background(), b, workers, (*Kit).Clone,
		func(k *Kit) error { all = append(all, k); return nil },
		func() error { all = nil; return nil })
	if err != nil {
		return nil, err
	}
	return all, nil
}

// mustRead reads the text of a readings.csv that is good.
func mustRead(t testing.TB, text string) []*Kit {
	t.Helper()
	kits, err := readAll(t, "-", text)
	if err != nil {
		t.Fatal(err)
	}
	return kits
}

// noPlaces leaves the places out of a comparison.
var noPlaces = cmp.FilterPath(func(p cmp.Path) bool { return p.Last().Type() == reflect.TypeFor[Place]() }, cmp.Ignore())

// messages takes the folder out of an error's text and splits it into lines.
func messages(err error, dir string) []string {
	if err == nil {
		return nil
	}
	text := err.Error()
	if dir != "" {
		text = strings.ReplaceAll(text, dir+string(filepath.Separator), "")
	}
	return strings.Split(text, "\n")
}
