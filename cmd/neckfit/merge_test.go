package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// split parts a batch's readings among n folders, the kits in their order, each with the batch's other tables.
func split(t *testing.T, from string, n int) (dirs []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(from, "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for i := range n {
		dir := filepath.Join(t.TempDir(), fmt.Sprint("part", i+1))
		if err := os.Mkdir(dir, 0o700); err != nil {
			t.Fatal(err)
		}
		dirs = append(dirs, dir)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if filepath.Base(file) != "readings.csv" {
			for _, dir := range dirs {
				put(t, filepath.Join(dir, filepath.Base(file)), string(text))
			}
			continue
		}
		var head string
		var kits []string // the lines of each
		names := map[string]int{}
		for _, line := range strings.SplitAfter(string(text), "\n") {
			name, _, _ := strings.Cut(line, ",")
			switch at, ok := names[name]; {
			case line == "" || line[0] == '#':
			case head == "":
				head = line
			case ok:
				kits[at] += line
			default:
				names[name] = len(kits)
				kits = append(kits, line)
			}
		}
		for i, dir := range dirs {
			put(t, filepath.Join(dir, "readings.csv"), head+strings.Join(kits[i*len(kits)/n:(i+1)*len(kits)/n], ""))
		}
	}
	return dirs
}

func put(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// tell runs the program and gives what it writes; exit is what it must end with.
func tell(t *testing.T, stdin string, exit int, args ...string) string {
	t.Helper()
	var out, talk bytes.Buffer
	if code := run(args, strings.NewReader(stdin), &out, &talk); code != exit {
		t.Fatalf("neckfit %s: exit %d, want %d: %s", strings.Join(args, " "), code, exit, talk.String())
	}
	if exit > 1 {
		return talk.String()
	}
	return out.String()
}

// A delivery that was checked in four parts gives byte for byte the papers of the undivided one, as files, through
// standard input, and put together in one file; whatever the format.
func TestPartsGiveTheSamePapers(t *testing.T) {
	whole := "../../testdata/lots"
	dirs := split(t, whole, 4)
	var files []string
	all := ""
	for _, dir := range dirs {
		var out, talk bytes.Buffer
		if code := run([]string{"check", dir, "--format", "jsonl", "--remedy"}, strings.NewReader(""), &out, &talk); code > 1 {
			t.Fatal(talk.String())
		}
		file := dir + ".jsonl"
		put(t, file, out.String())
		files, all = append(files, file), all+out.String()
	}
	undivided := filepath.Join(t.TempDir(), "whole.jsonl")
	put(t, undivided, tell(t, "", 1, "check", whole, "--format", "jsonl", "--remedy"))
	first := filepath.Join(t.TempDir(), "first.jsonl")
	end := strings.Index(all, "\n") + 1
	put(t, first, all[:end])
	for i, asked := range [][]string{
		{"--format", "html"}, {"--show", "letter"}, {"--format", "text"}, {"--format", "csv"}, {"--format", "jsonl"}, {"--format", "xlsx"},
		{"--show", "kits"}, {"--show", "kits", "--format", "csv"}, {"--show", "kits", "--format", "jsonl"}, {"--unsure", "bad", "--seed", "7"}, {"--lot", "May"},
	} {
		want := tell(t, "", 1, append([]string{"lot", undivided}, asked...)...)
		if got := tell(t, "", 1, append(append([]string{"lot"}, files...), asked...)...); got != want {
			t.Errorf("%v: four files differ from the undivided one: %s", asked, unlike(got, want))
		}
		if got := tell(t, all[end:], 1, append([]string{"lot", first, "-"}, asked...)...); got != want {
			t.Errorf("%v: a file and standard input differ from the undivided one: %s", asked, unlike(got, want))
		}
		const slow = 1 // which work out every remedy anew
		if i >= slow {
			continue
		}
		if got := tell(t, "", 1, append([]string{"lot", whole}, asked...)...); got != want {
			t.Errorf("%v: the batch itself differs: %s", asked, unlike(got, want))
		}
	}
	// Of a part alone, kits.csv tells what else was delivered.
	want := tell(t, "", 1, "lot", dirs[0])
	if got := tell(t, "", 1, "lot", files[0], "--tables", whole); got != want {
		t.Errorf("a part with the tables differs from its batch: %s", unlike(got, want))
	}
}

// unlike shows where two texts part.
func unlike(got, want string) string {
	at := 0
	for at < min(len(got), len(want)) && got[at] == want[at] {
		at++
	}
	from := max(0, at-60)
	return fmt.Sprintf("got %.160q, want %.160q", got[from:], want[from:])
}

// Parts that were not checked alike are refused, and it is said which differs in what; so are kits that are there twice.
func TestPartsThatDifferAreRefused(t *testing.T) {
	dirs := split(t, "../../testdata/lots", 4)
	check := func(dir string, change func(string) string) string {
		var out, talk bytes.Buffer
		if code := run([]string{"check", dir, "--format", "jsonl"}, strings.NewReader(""), &out, &talk); code > 1 {
			t.Fatal(talk.String())
		}
		file := filepath.Join(t.TempDir(), filepath.Base(dir)+".jsonl")
		put(t, file, change(out.String()))
		return file
	}
	as := func(text string) string { return text }
	first := check(dirs[0], as)
	table := func(name, text string) func() string {
		return func() string {
			dir := split(t, "../../testdata/lots", 4)[1]
			put(t, filepath.Join(dir, name), text)
			return check(dir, as)
		}
	}
	for what, c := range map[string]struct {
		other func() string
		says  []string
	}{
		"limits": {table("limits.csv", "characteristic,lower,upper,class\npocket-gap-mouth,0.05,0.4,major\n"),
			[]string{"limits.csv gives pocket-gap-mouth 0.05 to 0.4 major, not the built-in limit"}},
		"costs": {table("costs.csv", "work,minutes\nside-shim,25\n"),
			[]string{"costs.csv gives side-shim 25 minutes", "not the built-in cost"}},
		"gauges": {table("gauges.csv", "gauge,kind,resolution,max_error,repeatability,unit\ncal150,calliper,0.1,0.05,0.05,mm\nver600,vernier,0.05,0.05,0.05,mm\nrule1000,rule,0.5,0.15,0.1,mm\n"),
			[]string{"its gauge is ", "steps of 0.1 mm", "steps of 0.01 mm"}},
		"version": {func() string {
			return check(dirs[1], func(text string) string {
				return strings.ReplaceAll(text, `"version":"neckfit`, `"version":"neckfit v9`)
			})
		}, []string{"by neckfit v9", "not by neckfit"}},
		"nothing told": {func() string {
			return check(dirs[1], func(text string) string {
				return strings.ReplaceAll(text, `"terms":`, `"was":`)
			})
		}, []string{"does not tell by which version"}},
		"aims": {
			table("kits.csv", "kit,lot,supplier,aim\nApril-16,April,bodies A,centre-line-error\n"),
			[]string{"kits of one lot are judged on centre-line-error, not on everything"},
		},
		"strings": {table("strings.csv", "string,compensation\n1,3\n2,3\n3,3\n4,3\n"), []string{"with another strings.csv"}},
		"stock":   {table("stock.csv", "kind,size,name\nside-shim,0.3,card\n"), []string{"with another stock.csv"}},
		"twice":   {func() string { return check(dirs[0], as) }, []string{`"April-01" in `, "and in ", "and 10 more"}},
	} {
		file := c.other()
		said := tell(t, "", 2, "lot", first, file)
		for _, want := range append(c.says, filepath.Base(file)) {
			if !strings.Contains(said, want) {
				t.Errorf("%s: %q does not say %q", what, said, want)
			}
		}
	}
	// So is a batch beside what was checked already, and one that is decided by another rule.
	costs := split(t, "../../testdata/lots", 4)[1]
	put(t, filepath.Join(costs, "costs.csv"), "work,minutes\nside-shim,25\n")
	if said := tell(t, "", 2, "lot", first, costs); !strings.Contains(said, "costs.csv gives side-shim 25 minutes") || !strings.Contains(said, costs) {
		t.Errorf("another batch: %q", said)
	}
	var out, talk bytes.Buffer
	run([]string{"check", dirs[1], "--format", "jsonl", "--rule", "simple"}, strings.NewReader(""), &out, &talk)
	simple := filepath.Join(t.TempDir(), "simple.jsonl")
	put(t, simple, out.String())
	if said := tell(t, "", 2, "lot", first, simple); !strings.Contains(said, "with --rule simple, not guarded") {
		t.Errorf("another rule: %q", said)
	}
}
