package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/html"
)

// remedyOptions are remedy's flags and its argument.
type remedyOptions struct {
	path, format, kit, out, after string
	plans                         int
}

func (p *program) remedyCommand() *cobra.Command {
	var o remedyOptions
	c := &cobra.Command{
		Use:   "remedy PATH",
		Short: "Find the least drastic remedy for every kit that does not pass",
		Long: `Remedy judges a batch as check does and finds, for every kit that does not pass, what to do:
re-seat the neck, shim or relieve the pocket's walls, lay a wedge, move the bridge, open or plug
and re-drill holes, return a part, and combinations of these, out of the sizes in stock.csv. Each
plan says what it will leave and how likely all then passes; the first is the recommendation.

Of the plans within a tenth of the likeliest, reversible ones come first, then those that cut a
little wood, then those that plug and drill; then fewer works, then fewer minutes.

With --after, kits that were measured again after the work are held against what their recommended
plan predicted; the readings of a heel that was set anew must be taken in the pocket. They may be a
batch of their own, or rows of the same one whose stage is reworked: then --after names PATH again.

A batch of one kit, or --kit, gives the plans; more kits give a tally and what to do with each.

` + codeTable,
		Example: `  neckfit remedy testdata/demo
  neckfit remedy testdata/demo --kit SSB-03 --plans 5
  neckfit remedy testdata/demo --format jsonl > remedies.jsonl
  neckfit remedy testdata/demo --format html --out remedies.html`,
		Args: oneArgument("the PATH of a batch"),
		RunE: func(c *cobra.Command, args []string) error {
			o.path = args[0]
			if o.plans < 1 {
				return misusef("--plans must be 1 or more")
			}
			return p.remedy(c.Context(), o)
		},
	}
	f := c.Flags()
	p.tablesFlag(c)
	f.Var(newChoice(&o.format, append(report.RemedyFormats(), pageFormat)...), "format", "how to write the plans")
	f.StringVar(&o.kit, "kit", "", "only the kit of this `name`, with its plans")
	f.StringVar(&o.after, "after", "", "the `PATH` of a batch with the same kits measured again after the work")
	f.IntVar(&o.plans, "plans", 3, "how many plans of a kit to show")
	f.StringVar(&o.out, "out", "", "write the plans to this `file` instead of standard output")
	return c
}

// advised is a kit's result and what is to be done with it.
type advised struct {
	result *fit.Result
	advice *remedy.Advice
	page   *html.Advised // for a page
}

func (p *program) remedy(ctx context.Context, o remedyOptions) error {
	kits, batch, err := p.allKits(ctx, o.path)
	if err != nil {
		return err
	}
	kits, err = only(kits, o.kit)
	if err != nil {
		return err
	}
	if o.after != "" { // plans were made of the kits as they came
		for i, k := range kits {
			kits[i] = k.Staged(measure.Received)
		}
	}
	list, err := adviseAll(ctx, kits, batch, o)
	if err != nil {
		return err
	}
	if o.after != "" {
		return p.remedyAfter(ctx, o, list)
	}
	err = p.write(o.out, []string{o.path}, func(w io.Writer) error { return writeRemedies(w, list, o) })
	if err != nil {
		return err
	}
	for _, one := range list {
		if one.result.Verdict != fit.Pass {
			return errNotGood
		}
	}
	return nil
}

func writeRemedies(w io.Writer, list []advised, o remedyOptions) error {
	if o.format == pageFormat {
		pages := make([]*html.Advised, len(list))
		for i := range list {
			pages[i] = list[i].page
		}
		return html.Remedies(w, pages, o.path)
	}
	out, err := report.NewRemedy(o.format, w, o.plans)
	if err != nil {
		return err
	}
	for _, one := range list {
		if err := out.Kit(one.result, one.advice); err != nil {
			return err
		}
	}
	return out.Close()
}

// only picks the kit of a name, or all for "".
func only(kits []*measure.Kit, name string) ([]*measure.Kit, error) {
	if len(kits) == 0 {
		return nil, noReadings()
	}
	if name == "" {
		return kits, nil
	}
	var some []string
	for _, k := range kits {
		if k.Name == name {
			return []*measure.Kit{k}, nil
		}
		if len(some) < 5 {
			some = append(some, fmt.Sprintf("%q", k.Name))
		}
	}
	return nil, misusef("there is no kit %q in the batch; it has %s", name, strings.Join(some, ", "))
}

// adviseAll works on all processors; the order stays.
func adviseAll(ctx context.Context, kits []*measure.Kit, batch *measure.Batch, o remedyOptions) ([]advised, error) {
	options := checkOf(batch, "guarded")
	options.Model = true
	shelf := remedy.Options{Stock: batch.Stock, Costs: batch.Costs}
	list, failed := make([]advised, len(kits)), make([]error, len(kits))
	var group sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := range next {
				r := fit.Check(kits[i], options)
				list[i] = advised{result: r, advice: remedy.For(r, shelf)}
				if o.format == pageFormat {
					list[i].page, failed[i] = html.Advise(r, list[i].advice, i+1, o.plans, shelf)
				}
				r.Model = nil // large, and of no more use
			}
		})
	}
	for i := range kits {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	group.Wait()
	return list, errors.Join(append(failed, ctx.Err())...)
}
