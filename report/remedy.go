package report

import (
	"fmt"
	"io"
	"strings"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/report/words"
)

// RemedyFormats lists what NewRemedy takes, the default first.
func RemedyFormats() []string { return []string{"text", "jsonl"} }

// RemedyWriter writes what should be done with each kit of a batch.
type RemedyWriter interface {
	Kit(r *fit.Result, a *remedy.Advice) error
	Close() error
}

// NewRemedy gives the writer of a format; plans is how many plans of a kit are shown at most.
func NewRemedy(format string, w io.Writer, plans int) (RemedyWriter, error) {
	switch format {
	case "text":
		return &remedyText{out: w, plans: plans}, nil
	case "jsonl":
		return newRemedyJSONL(w, plans), nil
	}
	return nil, fmt.Errorf("format %q is unknown, expected one of %s", format, strings.Join(RemedyFormats(), ", "))
}

// remedyText keeps the lines until it is known whether there is only one kit, which gets all.
type remedyText struct {
	out     io.Writer
	plans   int
	kits    int
	tally   map[remedy.Level]int
	lines   []string
	only    []string
	handled bool // some plan cuts, drills or glues
}

func (t *remedyText) Kit(r *fit.Result, a *remedy.Advice) error {
	if err := Check(r); err != nil {
		return err
	}
	if t.tally == nil {
		t.tally = map[remedy.Level]int{}
	}
	t.kits++
	t.tally[a.Plans[0].Level]++
	t.lines = append(t.lines, words.Wrap(words.Pad(words.ShortName(r.Kit, t.kits), longestShown)+" ", words.WhatToDo(r, a))...)
	t.only = nil
	if t.kits == 1 {
		t.only = remedySheet(r, a, t.plans)
	}
	for _, p := range a.Plans[:min(t.plans, len(a.Plans))] {
		t.handled = t.handled || words.Handles(&p)
	}
	return nil
}

// longestShown is the room for a kit's name in a list; longer ones push their line out.
const longestShown = 8

func (t *remedyText) Close() error {
	if t.kits == 0 {
		return nil
	}
	lines := t.only
	if lines == nil {
		lines = append(words.Wrap("", t.headline()), "")
		lines = append(lines, t.lines...)
		lines = append(lines, "", "--kit NAME gives a kit's plans, what each leaves and why the first is the first.")
	}
	if t.handled {
		lines = append(lines, remedyCautions()...)
	}
	return writeLines(t.out, lines)
}

func (t *remedyText) headline() string { return words.RemedyHeadline(t.kits, t.tally) }

// remedyCautions are the cautions, under a heading.
func remedyCautions() []string {
	lines := []string{"", "Before anything is cut, drilled or glued:"}
	for _, c := range words.WorkCautions() {
		lines = append(lines, words.Wrap("  - ", c)...)
	}
	return lines
}
