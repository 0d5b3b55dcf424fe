package main

import (
	"fmt"
	"slices"
	"strings"
)

// choice is a flag that takes one of a few words; the first is its default.
type choice struct {
	word  *string
	words []string
}

func newChoice(word *string, words ...string) choice {
	*word = words[0]
	return choice{word, words}
}

func (c choice) String() string { return *c.word }

func (c choice) Type() string { return strings.Join(c.words, "|") }

func (c choice) Set(word string) error {
	if !slices.Contains(c.words, word) {
		return fmt.Errorf("expected one of %s", strings.Join(c.words, ", "))
	}
	*c.word = word
	return nil
}
