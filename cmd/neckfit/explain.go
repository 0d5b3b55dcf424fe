package main

import (
	"strings"

	"github.com/spf13/cobra"

	"neckfit/report"
	"neckfit/report/words"
)

// explainOptions are none.
type explainOptions struct{}

func (*explainOptions) command(p *program) *cobra.Command {
	return &cobra.Command{
		Use:   "explain [WORD]",
		Short: "Tell what a word of the tables and reports means",
		Long: `Explain tells what a word of the tables and reports means: every characteristic, feature, kind
of reading, datum, work, verdict and term. Of a characteristic it says how it follows, what to
read for it and whose its limits are. Without a word it lists all of them.`,
		Example: `  neckfit explain
  neckfit explain centre-line-error
  neckfit explain cautions`,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return report.Words(p.stdout, p.page(""))
			}
			word := strings.Join(args, "-")
			found, near := words.Explain(word)
			switch {
			case len(found) > 0:
				return report.Explain(p.stdout, found, p.page(""))
			case len(near) > 0:
				return misusef("%q is not explained; did you mean %s?", word, strings.Join(near, ", "))
			}
			return misusef("%q is not explained; neckfit explain lists the words that are", word)
		},
	}
}
