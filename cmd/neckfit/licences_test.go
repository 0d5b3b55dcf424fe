package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// README.md tells the licence of every module that is linked into the program, and of no other; -update writes
// the table anew.
func TestReadmeHasTheLicences(t *testing.T) {
	list := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}", ".")
	list.Env = append(os.Environ(), "CGO_ENABLED=0")
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	want, seen := "| module | licence |\n|---|---|\n", map[string]bool{}
	for line := range strings.Lines(string(out)) {
		module, dir, _ := strings.Cut(strings.TrimSpace(line), " ")
		if module == "" || seen[module] {
			continue
		}
		seen[module] = true
		want += "| " + module + " | " + licenceIn(t, dir) + " |\n"
	}
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	table := regexp.MustCompile(`(?m)^\| module \| licence \|\n(\|.*\n)+`)
	want = sorted(want)
	if *update {
		if err := os.WriteFile("../../README.md", table.ReplaceAllLiteral(text, []byte(want)), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if got := string(table.Find(text)); got != want {
		t.Errorf("README.md has\n%s\nthe program is linked from\n%s", got, want)
	}
}

// sorted puts the rows of a table below its first two lines in order.
func sorted(table string) string {
	lines := strings.SplitAfter(table, "\n")
	rows := lines[2 : len(lines)-1]
	slices.Sort(rows)
	return strings.Join(lines, "")
}

// licenceIn tells licences by the sentences that no other one has, after SPDX.
func licenceIn(t *testing.T, dir string) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "LICENSE*"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no licence in %s: %v", dir, err)
	}
	var found []string
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		words := strings.Join(strings.Fields(string(text)), " ")
		name := ""
		for sentence, licence := range map[string]string{
			"Permission is hereby granted, free of charge, to any person obtaining a copy of this software": "MIT",
			"Apache License Version 2.0, January 2004":                                                      "Apache-2.0",
			"SIL OPEN FONT LICENSE Version 1.1":                                                             "OFL-1.1",
			"Neither the name":                                                                              "BSD-3-Clause",
		} {
			if strings.Contains(words, sentence) {
				name = licence
			}
		}
		if name == "" {
			t.Fatalf("%s: a licence that is not known here", file)
		}
		found = append(found, name)
	}
	return strings.Join(found, ", ")
}
