package main

import (
	"errors"
	"io"
	"runtime/debug"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/html"
	"neckfit/report/words"
)

// remedyOptions are remedy's flags and its argument.
type remedyOptions struct {
	path, format, kit, out, after, try, show string
	plans, plan                              int
	why                                      bool
}

func (o *remedyOptions) command(p *program) *cobra.Command {
	c := &cobra.Command{
		Use:   "remedy PATH",
		Short: "Find the least drastic remedy for every kit that does not pass",
		Long: `Remedy judges a batch as check does and finds, for every kit that does not pass, what to do:
re-seat the neck, shim or relieve the pocket's walls, lay a wedge, move the bridge, open or plug
and re-drill holes, return a part, and combinations of these, out of the sizes in stock.csv. Each
plan says what it will leave and how likely all then passes. The best plan of each kind stands
beside the others; the first is the one that is expected to cost least: minutes, what it is worth
that something cannot be undone, measuring again, and what comes next where it fails (costs.csv);
--why shows that sum, which csv, jsonl and the page always have.

With --try, a plan of your own is worked out the same way and stands before the others: a table of
works (columns work, wall, mouth, end, across, along, turn, size, unit; a row a work).

With --after, kits that were measured again after the work are held against what their recommended
plan predicted; the readings of a heel that was set anew must be taken in the pocket. They may be a
batch of their own, or rows of the same one whose stage is reworked: then --after names PATH again.
Another of a kit's plans that was carried out is named by --plan, one of your own by --try. From four kits on whose plan was the same
one work, how exactly that is done comes out, and --show costs writes it into a costs.csv.

A batch of one kit, or --kit, gives the plans; more kits give a tally and what to do with each.

` + codeTable,
		Example: `  neckfit remedy testdata/demo
  neckfit remedy testdata/demo --kit SSB-03 --plans 5
  neckfit remedy testdata/demo --format jsonl > remedies.jsonl
  neckfit remedy testdata/demo --kit SSB-03 --try mine.csv
  neckfit remedy testdata/demo --format html --out remedies.html`,
		Args: oneArgument("the PATH of a batch"),
		RunE: func(c *cobra.Command, args []string) error {
			o.path = args[0]
			if o.plans < 1 {
				return misusef("--plans must be 1 or more")
			}
			return o.run(p)
		},
	}
	f := c.Flags()
	p.tablesFlag(c)
	f.Var(newChoice(&o.format, append(report.Formats(), pageFormat, "xlsx")...), "format", "how to write the plans")
	f.StringVar(&o.kit, "kit", "", "only the kit of this `name`, with its plans")
	f.StringVar(&o.after, "after", "", "the `PATH` of a batch with the same kits measured again after the work")
	f.IntVar(&o.plan, "plan", 0, "with --after and --kit: the plan of this `number`, as remedy shows them, was carried out; 0 for the recommended one")
	f.StringVar(&o.try, "try", "", "a plan of your own, a table in this `file`")
	f.Var(newChoice(&o.show, "plans", "costs"), "show", "with --after, costs: a costs.csv with how exactly the works were done")
	f.BoolVar(&o.why, "why", false, "show how the cost of each plan comes about")
	f.IntVar(&o.plans, "plans", 3, "how many plans of a kit to show")
	f.StringVar(&o.out, "out", "", "write the plans to this `file` instead of standard output")
	return c
}

// advised is a kit's result and what is to be done with it.
type advised struct {
	result *fit.Result
	advice *remedy.Advice
}

func (o *remedyOptions) run(p *program) error {
	if o.show == "costs" && o.after == "" {
		return misusef("--show costs is of kits that were measured again: name them by --after")
	}
	if o.plan != 0 && (o.after == "" || o.kit == "") {
		return misusef("--plan is of a kit that was measured again: name it by --kit, and the batch by --after")
	}
	own, err := p.ownPlan(o)
	if err != nil {
		return err
	}
	if o.after != "" {
		list, batch, err := gather(p, o.path, o.kit, func(batch *measure.Batch) func(*measure.Kit) advised { return adviser(batch, o, own) })
		if err != nil {
			return err
		}
		if n := o.plan; n != 0 {
			plans := list[0].advice.Plans
			if n < 0 || n > len(plans) || plans[n-1].Level == remedy.Returned {
				return misusef("--plan %d: kit %q has %d plans, and one that returns a part is not measured again", n, o.kit, len(plans))
			}
			list[0].advice.Plans = plans[n-1 : n]
		}
		return p.remedyAfter(o, list, batch.Costs)
	}
	return p.streamed(o.path, o.out, func(batch *measure.Batch, out *output) (good bool, err error) {
		var w report.RemedyWriter
		begin := func() (err error) { // a second time where kits lie scattered
			if w != nil {
				err = w.Close()
			}
			if err = errors.Join(err, out.Reset()); err != nil {
				return err
			}
			good = true
			if o.format == pageFormat {
				w = html.NewRemedies(untilEnded{p.ctx, out}, o.path, o.plans)
				return nil
			}
			page := p.page(o.out)
			page.Why = o.why
			w, err = report.NewRemedy(o.format, out, o.plans, page)
			return err
		}
		defer debug.SetGCPercent(debug.SetGCPercent(rarely))
		err = eachKit(p, batch, o.kit, begin, adviser(batch, o, own), func(one advised) error {
			good = good && one.result.Verdict == fit.Pass
			return w.Kit(one.result, one.advice)
		})
		if w != nil {
			err = errors.Join(err, newProgress(p.stderr).during("writing", w.Close))
		}
		return good, err
	})
}

// adviser judges kits and finds their plans, of which one's own stands first.
func adviser(batch *measure.Batch, o *remedyOptions, own []remedy.Action) func(*measure.Kit) advised {
	options := checkOf(batch, "guarded")
	options.Model = true
	shelf := remedy.Options{Stock: batch.Stock, Costs: batch.Costs}
	return func(kit *measure.Kit) advised {
		kit = kit.Clone()
		if o.after != "" {
			kit = kit.Staged(measure.Received) // plans were made of the kits as they came
		}
		r := fit.Check(kit, options)
		one := advised{r, remedy.For(r, shelf)}
		if own != nil {
			if plan, untried := remedy.Try(r, own, shelf); plan != nil {
				one.advice = one.advice.Before(plan)
			} else {
				one.advice.Vain = untried
			}
		}
		if o.format != pageFormat {
			r.Model = nil // large, and of no more use
		}
		return one
	}
}

// ownPlan reads the plan of --try; nil without one.
func (p *program) ownPlan(o *remedyOptions) ([]remedy.Action, error) {
	if o.try == "" {
		return nil, nil
	}
	f, err := p.openTable(o.try)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	steps, err := measure.ReadPlan(o.try, f)
	if err != nil {
		return nil, err
	}
	if len(steps) == 0 {
		return nil, misusef("%s has no work", o.try)
	}
	var list []remedy.Action
	for _, s := range steps {
		a := remedy.Action{Work: s.Work, Mouth: s.Mouth, End: s.End, Across: s.Across, Along: s.Along, Turn: s.Turn, Size: s.Size}
		if a.Wall = remedy.Bass; s.Treble {
			a.Wall = remedy.Treble
		}
		if s.Work != measure.SideShim && s.Work != measure.RelieveWall {
			a.Wall = remedy.NoWall
		}
		list = append(list, a)
	}
	return list, nil
}

// remedyAfter holds kits that were measured again against what their plans predicted.
func (p *program) remedyAfter(o *remedyOptions, before []advised, costs []measure.Cost) error {
	planned := map[string]advised{}
	for _, one := range before {
		planned[one.result.Kit] = one
	}
	checked, _, err := gather(p, o.after, "", func(batch *measure.Batch) func(*measure.Kit) *fit.Result {
		options := checkOf(batch, "guarded")
		return func(kit *measure.Kit) *fit.Result {
			if _, ok := planned[kit.Name]; !ok || o.after == o.path && !kit.WasReworked() {
				return nil
			}
			return fit.Check(kit.Clone(), options)
		}
	})
	if err != nil {
		return err
	}
	var list []remedy.Worked
	good := true
	for _, r := range checked {
		if r == nil {
			continue
		}
		good = good && r.Verdict == fit.Pass
		one := planned[r.Kit]
		for i := range one.advice.Plans {
			if one.advice.Plans[i].Level != remedy.Returned {
				list = append(list, remedy.Worked{Before: one.result, After: r, Plan: &one.advice.Plans[i]})
				break
			}
		}
	}
	if len(list) == 0 {
		return misusef("no kit of %s was measured again in %s", o.path, o.after)
	}
	learnt := remedy.Learn(list)
	if o.show == "costs" && len(learnt) == 0 {
		return misusef("%s", words.NothingLearnt)
	}
	err = p.write(o.out, []string{o.path, o.after}, func(w io.Writer) error {
		switch {
		case o.show == "costs":
			return report.LearntCosts(w, learnt, costs)
		case o.format == pageFormat:
			return html.RemedyAfter(w, list, o.path, o.after)
		}
		return report.RemedyAfter(o.format, w, list, p.page(o.out))
	})
	if err == nil && !good {
		err = errNotGood
	}
	return err
}
