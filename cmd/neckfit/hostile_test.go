package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"neckfit/measure"
	"unicode"
)

// hostileNames are names of kits that would do something if they were taken for anything but names.
var hostileNames = []string{
	`=HYPERLINK("http://example.invalid";"x")`, `+1+1`, `-1+1`, `@SUM(A1)`, `=1`, "\u00a0=1+1", `'=1`,
	`../../outside`, `/etc/passwd`, `a/b\c:d*e?`, `CON`, `.`, `$(touch hacked)`, "`touch hacked`", `--out`,
	`<script>window.hacked=1</script>`, `</script><b>`, `"><img src=x onerror=alert(1)>`, `&lt;b&gt;`, `{{.}}`,
	"a\u202egnp.exe", "x\u2028y", "z\ufeff", `%s%n%d`, `) Tj ET (`,
}

// produced runs the program in this process and gives its standard output. The codes of results are
// good, others are not.
func produced(t *testing.T, args ...string) string {
	t.Helper()
	var out, talk bytes.Buffer
	if code := run(args, strings.NewReader(""), &out, &talk); code != allPass && code != notGood {
		t.Fatalf("%q: code %d\n%s", args, code, talk.String())
	}
	noControls(t, args, talk.String())
	return out.String()
}

// noControls fails for what a terminal would obey, or turn the writing by.
func noControls(t *testing.T, args []string, text string) {
	t.Helper()
	for _, c := range text {
		if c != '\n' && c != '\t' && (unicode.IsControl(c) || unicode.In(c, unicode.Bidi_Control, unicode.Zl, unicode.Zp)) {
			t.Errorf("%q: %U in the output", args, c)
			return
		}
	}
}

// noFormulas fails for a cell that a spreadsheet would reckon out.
func noFormulas(t *testing.T, args []string, text string) {
	t.Helper()
	in := csv.NewReader(strings.NewReader(text))
	in.FieldsPerRecord = -1
	rows, err := in.ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%q: %d rows, %v", args, len(rows), err)
	}
	for _, row := range rows {
		for _, cell := range row {
			_, err := strconv.ParseFloat(cell, 64)
			if bare := strings.TrimSpace(cell); bare != "" && strings.Contains("=+-@", bare[:1]) && err != nil {
				t.Errorf("%q: cell %q is a formula", args, cell)
			}
		}
	}
}

// sound holds an output against what its format must never have.
func sound(t *testing.T, name, format string, args []string, text string) {
	t.Helper()
	switch format {
	case "text":
		noControls(t, args, text)
	case "csv":
		noControls(t, args, text)
		noFormulas(t, args, text)
	case "jsonl":
		for line := range strings.Lines(text) {
			if !json.Valid([]byte(line)) {
				t.Errorf("%q: no JSON: %.200q", args, line)
			}
		}
	case "html":
		if strings.ContainsAny(name, "<>") && strings.Contains(text, name) {
			t.Errorf("%q: the name stands in the page as it is", args)
		}
	}
}

// hostileBatch is the demo's rows of one kit, under another name and with texts of that kind wherever
// a table takes one.
func hostileBatch(t *testing.T, table, from, kit, name string) string {
	t.Helper()
	dir := t.TempDir()
	for _, file := range []string{"gauges.csv", "strings.csv"} {
		text, err := os.ReadFile(filepath.Join("../../testdata", table, file))
		if err != nil {
			t.Fatal(err)
		}
		writeFile(t, filepath.Join(dir, file), string(text))
	}
	for _, file := range []string{"readings.csv", "kits.csv"} {
		writeFile(t, filepath.Join(dir, file), renamed(t, filepath.Join(from, file), kit, name))
	}
	return dir
}

func writeFile(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// renamed keeps the rows of a kit, gives it the name, and writes the name into free texts too.
func renamed(t *testing.T, file, kit, name string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	in := csv.NewReader(bytes.NewReader(text))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	free := map[string]bool{"kit": true, "lot": true, "supplier": true, "by": true, "note": true}
	kept := rows[:1]
	for _, row := range rows[1:] {
		if row[0] != kit {
			continue
		}
		for i, column := range rows[0] {
			if free[column] {
				row[i] = name
			}
		}
		kept = append(kept, row)
	}
	var out strings.Builder
	if err := csv.NewWriter(&out).WriteAll(kept); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// Whatever a kit, a lot or a supplier is called, no report in any format is harmed by it, nor does it
// become the name of a file.
func TestHostileNames(t *testing.T) {
	demo, err := filepath.Abs("../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range hostileNames {
		t.Run(strconv.Quote(name), func(t *testing.T) {
			t.Parallel()
			dir := hostileBatch(t, "demo", demo, "SSB-18", name)
			kit := "--kit=" + strings.TrimSpace(name)
			for _, c := range []struct {
				formats string
				args    []string
			}{
				{"text csv jsonl html", []string{"check"}},
				{"text jsonl html", []string{"remedy", kit}},
				{"text csv", []string{"drill", kit}},
				{"text csv jsonl html", []string{"lot"}},
			} {
				for format := range strings.FieldsSeq(c.formats) {
					args := append(append([]string{c.args[0], dir}, c.args[1:]...), "--format", format)
					text := produced(t, args...)
					sound(t, name, format, args, text)
				}
			}
			template := t.TempDir()
			produced(t, "drill", dir, kit, "--format", "svg", "--out", filepath.Join(template, "t.svg"))
			produced(t, "drill", dir, kit, "--format", "pdf", "--out", filepath.Join(template, "t.pdf"))
			files, err := filepath.Glob(filepath.Join(template, "*"))
			for _, f := range files {
				if base := filepath.Base(f); !strings.HasPrefix(base, "t.pdf") && !strings.HasPrefix(base, "t-") {
					t.Errorf("a file %q", base)
				}
			}
			if err != nil || len(files) < 2 {
				t.Errorf("%d files, %v", len(files), err)
			}
		})
	}
}

// What JSON Lines say of a name is the name.
func TestNamesStayInJSONLines(t *testing.T) {
	demo, err := filepath.Abs("../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range hostileNames {
		var kit struct{ Kit, Lot, Supplier string }
		text := produced(t, "check", hostileBatch(t, "demo", demo, "SSB-18", name), "--format", "jsonl")
		if err := json.Unmarshal([]byte(text), &kit); err != nil {
			t.Fatal(err)
		}
		if want := strings.TrimSpace(name); kit.Kit != measure.Canonical(name) || kit.Lot != want || kit.Supplier != want {
			t.Errorf("%q became %q", want, kit)
		}
	}
}

// Two loose parts of such names are paired without harm.
func TestHostileParts(t *testing.T) {
	for _, name := range hostileNames {
		bare := strings.TrimSpace(name)
		quoted := func(end string) string { return `"` + strings.ReplaceAll(bare, `"`, `""`) + end + `"` }
		text := "kit,datum,feature,kind,station,offset\n"
		for _, row := range []string{"heel-bass,offset,500,0", "heel-bass,offset,570,0", "heel-treble,offset,500,63.4", "heel-treble,offset,570,63.4", "heel-end,station,576,10", "heel-end,station,576,50"} {
			text += quoted("") + ",neck," + row + "\n"
		}
		for _, row := range []string{"pocket-bass,offset,10,20", "pocket-bass,offset,75,20", "pocket-treble,offset,10,83.65", "pocket-treble,offset,75,83.65", "pocket-end,station,80,30", "pocket-end,station,80,70"} {
			text += quoted("-2") + ",body," + row + "\n"
		}
		file := filepath.Join(t.TempDir(), "parts.csv")
		writeFile(t, file, text)
		for _, format := range []string{"text", "csv", "jsonl", "html"} {
			args := []string{"pair", file, "--format", format}
			sound(t, name, format, args, produced(t, args...))
		}
	}
}

// A mistake in a row of such a kit is told without harm, and so is a name that is not there.
func TestHostileNamesInMessages(t *testing.T) {
	for _, name := range append(hostileNames, "esc\x1b]0;title\a", "bell\a", "cr\rover", "\x9b31m") {
		file := filepath.Join(t.TempDir(), "readings.csv")
		writeFile(t, file, "kit,datum,feature,kind\n\""+strings.ReplaceAll(name, `"`, `""`)+"\",\""+strings.ReplaceAll(name, `"`, `""`)+"\",top,height\n")
		for _, args := range [][]string{{"check", file}, {"check", "../../testdata/example", "--kit", name}, {"check", name}, {"check", file, "--format", name}} {
			var out, talk bytes.Buffer
			if code := run(args, strings.NewReader(""), &out, &talk); code != wrongUse && code != noAccess || out.Len() > 0 {
				t.Errorf("%q: code %d, %q", args, code, out.String())
			}
			noControls(t, args, talk.String())
		}
	}
}
