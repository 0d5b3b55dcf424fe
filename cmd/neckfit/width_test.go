package main

import (
	"os/exec"
	"strings"
	"testing"
	"unicode/utf8"
)

// spoken are the commands that write text for people.
var spoken = []string{
	"check testdata/demo --full", "check testdata/example", "check testdata/demo --kit SSB-24",
	"remedy testdata/demo", "remedy testdata/demo --kit SSB-18 --plans 9", "drill testdata/demo --kit SSB-18",
	"", "help", "help lot", "help check", "help sheet", "help bench", "help remedy", "help drill", "help start", "explain", "explain station", "explain margin-bass", "explain cautions",
	"lot testdata/lots", "lot --size 500 --sample 50", "gauge testdata/gauge", "pair testdata/pairs",
}

// No line is wider than the screen, and no word is broken to make it so: a word of a narrow screen is
// one of a wide one.
func TestTextFitsTheScreen(t *testing.T) {
	dir := inScratch(t)
	for _, command := range spoken {
		wide := map[string]bool{}
		for _, word := range wordsAt(t, dir, command, "120") {
			wide[word] = true
		}
		if len(wide) < 10 {
			t.Errorf("neckfit %s says next to nothing", command)
		}
		for _, columns := range []string{"60", "80", "100"} {
			for _, word := range wordsAt(t, dir, command, columns) {
				if !wide[word] {
					t.Errorf("neckfit %s at %s columns has the word %q", command, columns, word)
				}
			}
		}
	}
}

// wordsAt are the words that a command prints on a screen of that width.
func wordsAt(t *testing.T, dir, command, columns string) (list []string) {
	t.Helper()
	c := exec.Command("bash", "-c", "COLUMNS="+columns+" neckfit "+command)
	c.Dir = dir
	out, _ := c.Output() // other tests judge the exit code
	example := false     // a line to be copied, which stays whole
	limit := map[string]int{"60": 60, "80": 80, "100": 100, "120": 120}[columns]
	for _, line := range strings.Split(string(out), "\n") {
		example = line == "Examples:" || example && line != ""
		if example {
			continue
		}
		if n := utf8.RuneCountInString(strings.TrimRight(line, " ")); n > limit {
			t.Errorf("neckfit %s at %s columns has a line of %d: %s", command, columns, n, line)
		}
		for _, word := range strings.Fields(line) {
			if word = strings.TrimRight(word, ";,"); strings.Trim(word, "-") != "" {
				list = append(list, word)
			}
		}
	}
	return list
}
