package main

import (
	"flag"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"neckfit/report/words"
)

// Every command has an example in its help, and every line of it runs.
func TestExamples(t *testing.T) {
	p := &program{stdout: io.Discard, stderr: io.Discard}
	lines := 0
	var walk func(*cobra.Command)
	walk = func(c *cobra.Command) {
		if c.Example == "" {
			t.Errorf("%s has no example", c.CommandPath())
		}
		dir := inScratch(t)
		for _, line := range strings.Split(c.Example, "\n") {
			if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
				lines++
				documented(t, dir, line)
			}
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(p.root())
	if lines < 8 { // root, start, sheet, check and version have 10 at the time of writing
		t.Errorf("only %d lines", lines)
	}
}

// The command lines that README.md shows run, in their order in one folder.
func TestReadme(t *testing.T) {
	const call = "go run ./cmd/neckfit"
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	dir := inScratch(t)
	lines := 0
	for _, line := range fenced(string(text)) {
		if strings.HasPrefix(line, call) {
			lines++
			documented(t, dir, "neckfit"+strings.TrimPrefix(line, call))
		}
	}
	if lines == 0 {
		t.Errorf("README.md shows no line that begins with %s", call)
	}
}

// fenced gives the lines of the blocks that are marked sh.
func fenced(markdown string) []string {
	var lines []string
	inside := false
	for _, line := range strings.Split(markdown, "\n") {
		switch {
		case strings.HasPrefix(line, "```"):
			inside = line == "```sh"
		case inside:
			lines = append(lines, strings.TrimSpace(line))
		}
	}
	return lines
}

// What README.md shows below a command is what the command prints; a line of dots stands for any
// lines left out.
func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	dir := inScratch(t)
	shown := regexp.MustCompile("(?s)```sh\ngo run ./cmd/(neckfit [^\n]*)\n```\n\n```text\n(.*?)```").FindAllStringSubmatch(string(text), -1)
	if len(shown) == 0 {
		t.Fatal("README.md shows no output")
	}
	for _, m := range shown {
		c := exec.Command("bash", "-c", m[1])
		c.Dir = dir
		out, _ := c.Output() // TestReadme judges the exit code
		rest := string(out)
		for _, piece := range strings.Split(m[2], "...\n") {
			at := strings.Index(rest, piece)
			if at < 0 {
				t.Errorf("%s does not print\n%s\nbut\n%s", m[1], piece, rest)
				break
			}
			rest = rest[at+len(piece):]
		}
	}
}

var update = flag.Bool("update", false, "write the tables of characteristics and of licences into README.md")

// README.md's table of characteristics is the program's own catalogue.
func TestReadmeHasTheCatalogue(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	table := regexp.MustCompile(`(?m)^\| characteristic \|.*\n(\|.*\n)+`)
	want := catalogue()
	if *update {
		text = table.ReplaceAllLiteral(text, []byte(want))
		if err := os.WriteFile("../../README.md", text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got := string(table.Find(text)); got != want {
		t.Errorf("README.md has another table of characteristics than the program (-update writes it):\n%s\nwant\n%s", got, want)
	}
}

// catalogue is what explain says of the characteristics, in short, as a table in Markdown.
func catalogue() string {
	table := "| characteristic | what it is | limits |\n|---|---|---|\n"
	for _, e := range words.Entries() {
		if e.Group != "characteristic" {
			continue
		}
		limits := ""
		for _, f := range e.Facts {
			if f.Heading == "limits" {
				limits, _, _ = strings.Cut(strings.TrimSuffix(f.Text, ", unless limits.csv sets them."), " (")
			}
		}
		table += "| " + e.Word + " | " + strings.TrimSuffix(e.What, ".") + " | " + limits + " |\n"
	}
	return table
}
