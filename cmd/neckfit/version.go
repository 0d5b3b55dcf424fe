package main

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func (p *program) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Tell which version this is",
		Example: "  neckfit version",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintln(p.stdout, version(debug.ReadBuildInfo()))
			return err
		},
	}
}

// version is what the build left in the program.
func version(info *debug.BuildInfo, ok bool) string {
	if !ok {
		return "neckfit, built without version information"
	}
	text := "neckfit " + info.Main.Version
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			text += ", commit " + s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			text += " with changes"
		}
	}
	return text + ", " + info.GoVersion
}
