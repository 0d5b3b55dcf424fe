package main

import (
	"io"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"neckfit/fit/pair"
	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/html"
)

// pairOptions are pair's flags and its argument.
type pairOptions struct {
	path, format, rule, out string
	remedies                bool
	with                    []string
	own                     [][2]string // of with, the names of neck and body
}

func (o *pairOptions) command(p *program) *cobra.Command {
	c := &cobra.Command{
		Use:   "pair PATH",
		Short: "Match necks with bodies so that the least work is left",
		Long: `Pair reads necks and bodies that were surveyed as loose parts, each under a name of its own in
the column kit, and finds the one-to-one match that leaves the least work. What a part is, its
readings tell: only the datum neck makes it a neck, the datum body a body (its bridge, datum
bridge, with it). One bridge by itself stands for every body that has none.

First comes how many pairs need no work; then what matching by chance would cost; then each pair
with its verdict, what to do and the minutes of it; then the parts that are left over, and why.
With each pair stands the exchange
that would cost least, and with each part left over what would suit it. --with NECK=BODY makes a pair
that you want, and says what that costs.

As many pairs as can be are made, and of all such matches the cheapest is taken. The price of a pair
is that of the works it needs by its measured values, in the minutes of costs.csv; --remedies also
works out what exactly to do with the pairs that were chosen and do not pass.

Exit codes: 0 every part is in a pair that passes and needs no work, 1 some work, reading or part
is left, 2 wrong use or bad input, 3 cannot read or write.`,
		Example: `  neckfit pair testdata/pairs
  neckfit pair testdata/pairs --with N1=B2
  neckfit pair testdata/pairs --remedies
  neckfit pair testdata/pairs --format csv --out pairs.csv
  neckfit pair testdata/pairs --format html --out pairs.html`,
		Args: oneArgument("the PATH of a batch of loose parts"),
		RunE: func(c *cobra.Command, args []string) error {
			o.path = args[0]
			return o.run(p)
		},
	}
	f := c.Flags()
	p.tablesFlag(c)
	f.Var(newChoice(&o.format, append(report.Formats(), pageFormat, "xlsx")...), "format", "how to write the match")
	f.Var(newChoice(&o.rule, "guarded", "simple"), "rule", "guarded: pass or fail only at 95 % probability; simple: value against limits")
	f.BoolVar(&o.remedies, "remedies", false, "work out the remedy of each pair that does not pass: a tenth of a second each")
	f.StringArrayVar(&o.with, "with", nil, "make this pair, `neck=body`, whatever it costs; may be given again")
	f.StringVar(&o.out, "out", "", "write the match to this `file` instead of standard output")
	return c
}

func (o *pairOptions) run(p *program) error {
	kits, batch, err := gather(p, o.path, "", whole)
	if err != nil {
		return err
	}
	parts, err := pair.Sort(kits)
	if err != nil {
		return misuse{err}
	}
	wanted, err := o.pairsWanted(parts)
	if err != nil {
		return err
	}
	const tight = 50 // per cent of garbage beside a table of all pairs, which is mostly none
	defer debug.SetGCPercent(debug.SetGCPercent(tight))
	match, err := patiently(p, "matching", func() (*pair.Match, error) {
		return pair.Find(parts, pair.Options{
			Check: checkOf(batch, o.rule), Costs: batch.Costs, Stock: batch.Stock, Remedies: o.remedies, Drawn: o.format == pageFormat, Own: wanted,
		})
	})
	if err != nil {
		return err
	}
	err = p.write(o.out, []string{o.path}, func(w io.Writer) error {
		if o.format == pageFormat {
			return html.Pair(w, match, o.own, o.path)
		}
		return report.Pair(o.format, w, match, o.own, p.page(o.out))
	})
	if err != nil {
		return err
	}
	if match.Ready < len(match.Pairs) || len(match.Pairs) == 0 || len(match.LoneNecks)+len(match.LoneBodies) > 0 {
		return errNotGood
	}
	return nil
}

// pairsWanted finds the parts that --with names. A name may have an equals sign in it.
func (o *pairOptions) pairsWanted(parts *pair.Parts) (own []pair.Own, err error) {
	named := func(list []*measure.Kit, name string) int {
		return slices.IndexFunc(list, func(k *measure.Kit) bool { return k.Name == measure.Canonical(strings.TrimSpace(name)) })
	}
next:
	for _, text := range o.with {
		for at, c := range text {
			if c != '=' {
				continue
			}
			n, b := named(parts.Necks, text[:at]), named(parts.Bodies, text[at+1:])
			if n < 0 || b < 0 {
				continue
			}
			if slices.ContainsFunc(own, func(o pair.Own) bool { return o.Neck == n || o.Body == b }) {
				return nil, misusef("--with %s: one of the two has a partner by another --with", text)
			}
			own = append(own, pair.Own{Neck: n, Body: b})
			o.own = append(o.own, [2]string{parts.Necks[n].Name, parts.Bodies[b].Name})
			continue next
		}
		return nil, misusef("--with %s: want a neck and a body of the batch, as in --with N1=B2", text)
	}
	return own, nil
}
