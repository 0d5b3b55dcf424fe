package measure

import (
	"context"
	"errors"
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

// readAll opens a batch and reads its kits, gathering once when that is needed. It does so by Each
// and by Map, which must agree.
func readAll(t testing.TB, path string, stdin string) ([]*Kit, error) {
	t.Helper()
	read := func(read func(*Batch, func(*Kit) error) error) (kits []*Kit, err error) {
		b, err := Open(path, Options{Characteristics: known, Stdin: strings.NewReader(stdin)})
		if err != nil {
			t.Fatal(err)
		}
		defer func() {
			if err := b.Close(); err != nil {
				t.Error(err)
			}
		}()
		collect := func(k *Kit) error {
			kits = append(kits, k)
			return nil
		}
		err = read(b, collect)
		if scattered := (*ScatteredError)(nil); errors.As(err, &scattered) {
			kits = nil
			if err = b.Gather(err); err == nil {
				err = read(b, collect)
			}
		}
		return kits, err
	}
	kits, err := read((*Batch).Each)
	byMap, mapErr := read(func(b *Batch, fn func(*Kit) error) error {
		return Map(context.Background(), b, 2, (*Kit).Clone, fn)
	})
	if fmt.Sprint(err) != fmt.Sprint(mapErr) {
		t.Errorf("Each says %v, Map %v", err, mapErr)
	}
	if err == nil && !reflect.DeepEqual(kits, byMap) {
		t.Error("Each and Map differ:", cmp.Diff(kits, byMap))
	}
	return kits, err
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
