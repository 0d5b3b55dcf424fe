package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
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

// oneArgument is for a command that needs exactly one.
func oneArgument(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		switch {
		case len(args) == 0:
			return fmt.Errorf("%s needs %s", c.Name(), what)
		case len(args) > 1:
			return fmt.Errorf("%s takes one argument, %s, and got %d", c.Name(), what, len(args))
		case strings.TrimSpace(args[0]) == "":
			return fmt.Errorf("%s needs %s, and got a blank one", c.Name(), what)
		}
		return nil
	}
}
