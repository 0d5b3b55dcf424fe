package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Results like the input have its delimiter and decimal sign, the same numbers, and every name as it is,
// those that look like numbers as well; of every command that writes CSV.
func TestCSVLikeInput(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args      []string
		batch     string
		delimiter string
		decimal   string
	}{
		{[]string{"check"}, "demo", ";", ","},
		{[]string{"check"}, "demo", "\t", "."},
		{[]string{"check"}, "demo", ",", "."},
		{[]string{"remedy"}, "demo", ";", ","},
		{[]string{"drill", "--kit", asNumber("SSB-18")}, "demo", ";", ","},
		{[]string{"lot"}, "lots", ";", ","},
		{[]string{"lot", "--show", "kits"}, "lots", ";", ","},
		{[]string{"gauge"}, "gauge", ";", ","},
		{[]string{"pair"}, "pairs", ";", ","},
	} {
		from, to := filepath.Join("..", "..", "testdata", c.batch), filepath.Join(dir, strings.Join(c.args, "")+c.delimiter)
		plain := to + "plain"
		for _, folder := range []string{to, plain} {
			if err := os.Mkdir(folder, 0o777); err != nil {
				t.Fatal(err)
			}
		}
		tables, err := filepath.Glob(filepath.Join(from, "*.csv"))
		if err != nil || len(tables) == 0 {
			t.Fatal(from, err)
		}
		for _, table := range tables {
			text, err := os.ReadFile(table)
			if err != nil {
				t.Fatal(err)
			}
			in := csv.NewReader(strings.NewReader(string(text)))
			in.Comment, in.FieldsPerRecord = '#', -1
			rows, err := in.ReadAll()
			if err != nil {
				t.Fatal(table, err)
			}
			var like, as strings.Builder
			for _, row := range rows {
				for i, cell := range row {
					name := rows[0][i]
					if isName(name) && cell != "" && cell != name {
						row[i] = asNumber(cell)
					}
				}
				as.WriteString(quotedLine(row, ","))
				for i, cell := range row {
					if decimal(cell) && !isName(rows[0][i]) {
						row[i] = strings.Replace(cell, ".", c.decimal, 1)
					}
				}
				like.WriteString(quotedLine(row, c.delimiter))
			}
			for folder, text := range map[string]string{to: like.String(), plain: as.String()} {
				if err := os.WriteFile(filepath.Join(folder, filepath.Base(table)), []byte(text), 0o666); err != nil {
					t.Fatal(err)
				}
			}
		}
		args := append(append([]string(nil), c.args[0], "", "--format", "csv"), c.args[1:]...)
		args[1] = plain
		want := records(t, produced(t, args...), ',')
		args[1] = to
		got := records(t, produced(t, append(args, "--csv-like-input")...), rune(c.delimiter[0]))
		for _, row := range got {
			for i, cell := range row {
				switch point := strings.Replace(cell, ",", ".", 1); {
				case c.decimal == "." || cell == point || !decimal(point):
				case isName(got[0][i]):
					t.Errorf("%v: the name %s", c.args, cell)
				default:
					row[i] = point
				}
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%v, %q: %s", c.args, c.delimiter, diff)
		}
	}
}

func isName(column string) bool {
	return slices.Contains([]string{"kit", "lot", "supplier", "neck", "body"}, column)
}

// asNumber is a name that looks like a number.
func asNumber(name string) string {
	digits, sum := "", 1
	for _, c := range []byte(name) {
		if c >= '0' && c <= '9' {
			digits += string(c)
		} else {
			sum += int(c)
		}
	}
	return fmt.Sprintf("%d.%s5", sum, digits)
}

// decimal tells a number with a decimal point.
func decimal(text string) bool {
	return strings.Count(text, ".") == 1 && strings.Trim(text, "-+0123456789.e") == "" && len(text) > 1
}

func quotedLine(cells []string, delimiter string) string {
	for i, cell := range cells {
		cells[i] = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
	}
	line := strings.Join(cells, delimiter) + "\n"
	for i, cell := range cells {
		cells[i] = strings.ReplaceAll(cell[1:len(cell)-1], `""`, `"`)
	}
	return line
}

// records reads a table and takes out the places of readings, whose folder is not the same.
func records(t *testing.T, text string, delimiter rune) [][]string {
	t.Helper()
	in := csv.NewReader(strings.NewReader(places.ReplaceAllString(text, "")))
	in.Comma, in.FieldsPerRecord = delimiter, -1
	all, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return all
}
