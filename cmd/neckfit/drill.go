package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/draw"
	"neckfit/report/words"
)

// drillOptions are drill's flags and its argument.
type drillOptions struct {
	path, kit, format, paper, out string
	plan                          int
}

func (o *drillOptions) command(p *program) *cobra.Command {
	c := &cobra.Command{
		Use:   "drill PATH --kit NAME",
		Short: "Write a kit's hole schedule and its full-size drill template",
		Long: `Drill takes the first of a kit's plans that plugs and re-drills (or --plan, as remedy numbers
them) and says for every hole whether it is used as it is, drilled fresh, or plugged and drilled
anew, with places, plug and bit, and what is near. The formats pdf and svg are the template, full
size, with a bar to check the printer by; svg has a file a sheet, so --out body.svg writes
body-1.svg, body-2.svg and so on.

Exit codes: 0 every hole can be drilled, 1 some cannot, or something is to be read before any is, 2
wrong use, bad input or nothing to drill, 3 cannot read or write.`,
		Example: `  neckfit drill testdata/demo --kit SSB-18
  neckfit drill testdata/demo --kit SSB-18 --format csv
  neckfit drill testdata/demo --kit SSB-18 --format pdf --out template.pdf`,
		Args: oneArgument("the PATH of a batch"),
		RunE: func(c *cobra.Command, args []string) error {
			o.path = args[0]
			if o.kit == "" {
				return misusef("--kit is missing: whose holes?")
			}
			return o.run(p)
		},
	}
	f := c.Flags()
	p.tablesFlag(c)
	f.StringVar(&o.kit, "kit", "", "the kit of this `name`")
	f.Var(newChoice(&o.format, "text", "csv", "pdf", "svg"), "format", "text and csv: the schedule; pdf and svg: the template")
	f.StringVar(&o.paper, "paper", "a4", "a4 or letter")
	f.IntVar(&o.plan, "plan", 0, "the plan of this `number`, as remedy shows them; 0 for the first that drills")
	f.StringVar(&o.out, "out", "", "write to this `file` instead of standard output")
	return c
}

func (o *drillOptions) run(p *program) error {
	paper, err := draw.ParsePaper(o.paper)
	if err != nil {
		return misuse{err}
	}
	if o.format == "svg" && o.out == "" {
		return misusef("the format svg has several sheets: give --out")
	}
	d, err := p.drilling(o)
	if err != nil {
		return err
	}
	if err := p.writeDrilling(o, paper, d); err != nil {
		return err
	}
	if d.Schedule.Refusals > 0 || words.BeforeDrilling(d.Result, d.Advice) != "" {
		return errNotGood
	}
	return nil
}

// drilling judges the kit, and schedules the holes of the wanted plan.
func (p *program) drilling(o *drillOptions) (*report.Drilling, error) {
	results, batch, err := gather(p, o.path, o.kit, func(batch *measure.Batch) func(*measure.Kit) *fit.Result {
		options := checkOf(batch, "guarded")
		options.Model = true
		return func(kit *measure.Kit) *fit.Result { return fit.Check(kit.Clone(), options) }
	})
	if err != nil {
		return nil, err
	}
	r, shelf := results[0], remedy.Options{Stock: batch.Stock, Costs: batch.Costs}
	a := remedy.For(r, shelf)
	plans := a.Plans
	if o.plan > len(plans) || o.plan < 0 {
		return nil, misusef("--plan %d: kit %q has %d plans", o.plan, o.kit, len(plans))
	}
	for i := range plans {
		if o.plan != 0 && o.plan != i+1 || o.plan == 0 && plans[i].Level != remedy.Redrilled {
			continue
		}
		if plans[i].Waits() {
			return nil, misusef("plan %d waits for an answer. %s", i+1, strings.Join(words.Asks(r.Kit, &plans[i]), " "))
		}
		schedule, lack := remedy.Drill(r, &plans[i], shelf)
		if lack != remedy.NoLack {
			return nil, misusef("%s", words.Lack(&plans[i], lack))
		}
		return &report.Drilling{Result: r, Advice: a, Plan: &plans[i], Number: i + 1, Schedule: schedule}, nil
	}
	return nil, misusef("no plan of kit %q plugs and re-drills; remedy says: %s", o.kit, words.WhatToDo(r, a))
}

func (p *program) writeDrilling(o *drillOptions, paper draw.Paper, d *report.Drilling) error {
	inputs := []string{o.path}
	switch o.format {
	case "csv":
		return p.write(o.out, inputs, func(w io.Writer) error { return report.DrillCSV(w, d) })
	case "pdf":
		template := report.DrillTemplate(d)
		return p.write(o.out, inputs, func(w io.Writer) error { return template.PDF(w, paper) })
	case "svg":
		sheets, err := report.DrillTemplate(d).Sheets(paper)
		if err != nil {
			return misuse{err}
		}
		names, writers := make([]string, len(sheets)), make([]func(io.Writer) error, len(sheets))
		for i := range sheets {
			names[i], writers[i] = numbered(o.out, i+1), sheets[i].SVG
		}
		if err := p.writeAll(names, inputs, writers); err != nil {
			return err
		}
		for n := len(sheets) + 1; ; n++ {
			if _, err := os.Stat(numbered(o.out, n)); err != nil {
				return nil
			}
			p.say("%s is of another template: this one has %d sheets", numbered(o.out, n), len(sheets))
		}
	}
	return p.write(o.out, inputs, func(w io.Writer) error { return report.DrillText(w, d, p.page(o.out)) })
}

// numbered puts a sheet's number before a name's ending.
func numbered(name string, n int) string {
	ending := filepath.Ext(name)
	return fmt.Sprintf("%s-%d%s", strings.TrimSuffix(name, ending), n, ending)
}
