package measure

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// parted parts a whole file by the splitter and gives its rows by the header's names.
func parted(t *testing.T, text []byte) []map[string]string {
	t.Helper()
	s := &splitter{layout: &layout{comma: ','}}
	var header []string
	rows := []map[string]string{}
	for len(text) > 0 {
		var cells []string
		n, _, o := s.parts(text, true, func(_ int, cell []byte) { cells = append(cells, string(cell)) })
		if o != isRow {
			t.Fatalf("outcome %d at %.40q", o, text)
		}
		text, s.text = text[n:], s.text[:0]
		if header == nil {
			header = cells
			continue
		}
		row := map[string]string{}
		for i, cell := range cells {
			row[header[i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

// throughRecords parts a whole file as readTable does, by way of the csv package.
func throughRecords(t *testing.T, text []byte) []map[string]string {
	t.Helper()
	clean, err := newRecords(bytes.NewReader(text), "x.csv", &collector{})
	if err != nil || clean == nil {
		t.Fatal(err)
	}
	all, err := csvReader(clean).ReadAll()
	if err != nil || len(all) == 0 || !clean.errs.empty() {
		t.Fatal(err, clean.errs.list)
	}
	rows := []map[string]string{}
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, cell := range cells {
			row[all[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

// The corpus csv-spectrum (see testdata/measure/csv-spectrum/README.md) says beside each file what is
// in it.
func TestCSVSpectrum(t *testing.T) {
	files, err := filepath.Glob("../testdata/measure/csv-spectrum/*.csv")
	if err != nil || len(files) != 11 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		said, err := os.ReadFile(strings.TrimSuffix(file, ".csv") + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var want []map[string]string
		if err := json.Unmarshal(said, &want); err != nil {
			t.Fatal(err)
		}
		for _, row := range want {
			for _, name := range slices.Collect(maps.Keys(row)) {
				row[name] = strings.ReplaceAll(row[name], "\r\n", "\n") // a note's line ends are line feeds here
			}
		}
		for way, got := range map[string][]map[string]string{"splitter": parted(t, text), "records": throughRecords(t, text)} {
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s by way of %s: %s", filepath.Base(file), way, diff)
			}
		}
		for _, line := range bytes.SplitAfter(text, []byte("\n")) {
			checkPlain(t, line)
		}
	}
}

// checkPlain holds the quick splitting of a line against the careful one, where it dares.
func checkPlain(t *testing.T, line []byte) {
	t.Helper()
	line = append(line, "\nthe next one"...)
	l := &layout{comma: ','}
	for i := range 1 + bytes.Count(line, []byte(",")) {
		l.columns = append(l.columns, uint8(i))
	}
	quick, careful := splitter{layout: l}, splitter{layout: l}
	n, o := quick.plain(line)
	if o != isRow {
		return
	}
	m, o := careful.next(line, false)
	if n != m || o != isRow {
		t.Errorf("%q: %d bytes, and %d (%d)", line, n, m, o)
	}
	for i := range l.columns {
		if a, b := bytes.TrimSpace(quick.at(i)), careful.at(i); !bytes.Equal(a, b) {
			t.Errorf("%q: cell %d is %q and %q", line, i, a, b)
		}
	}
}
