package measure

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Readings that are written to, replaced or cut off while they are read are noticed, whether what was read
// was good or not; so is a change between the readings of scattered kits.
func TestReadingsThatChange(t *testing.T) {
	good := tableOf(t, manyKits(3000))
	head, row, _ := strings.Cut(strings.SplitAfterN(good, "\n", 3)[0]+strings.SplitAfterN(good, "\n", 3)[1], "\n")
	scattered := good + strings.Replace(row, ",1,", ",9,", 1)
	for name, change := range map[string]func(path string) error{
		"appended to": func(path string) error {
			f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
			if err != nil {
				return err
			}
			_, err = f.WriteString("\n")
			return errors.Join(err, f.Close())
		},
		"replaced": func(path string) error {
			now, err := os.Stat(path)
			return errors.Join(err, os.WriteFile(path+".new", []byte(good), 0o600), os.Chtimes(path+".new", now.ModTime(), now.ModTime()), os.Rename(path+".new", path))
		},
		"cut off":    func(path string) error { return os.Truncate(path, int64(len(head)+1)) },
		"gone":       os.Remove,
		"saved anew": func(path string) error { return os.Chtimes(path, time.Time{}, time.Now().Add(time.Hour)) },
		"not":        func(string) error { return nil },
	} {
		for kind, text := range map[string]string{"good": good, "bad": good + "x,y\n", "scattered": scattered} {
			path := filepath.Join(folder(t, map[string]string{"readings.csv": text}), "readings.csv")
			b, err := Open(path, Options{})
			if err != nil {
				t.Fatal(err)
			}
			done := false
			once := func() error {
				if done {
					return nil
				}
				done = true
				return change(path)
			}
			err = Kits(t.Context(), b, 2, (*Kit).Clone, func(*Kit) error {
				if kind == "scattered" {
					return nil
				}
				return once()
			}, once)
			noticed := err != nil && strings.Contains(err.Error(), path+" was changed while it was read")
			if want := name != "not"; noticed != want && !(want && kind == "scattered" && err != nil) {
				t.Errorf("%s, %s: %v", name, kind, err)
			}
		}
	}
}
