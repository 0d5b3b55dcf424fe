package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/html"
)

// checkOptions are check's flags and its argument.
type checkOptions struct {
	path, format, rule, kit, out, colour string
	full, remedies                       bool
	remedy                               remedy.Options // of the batch, for a page
}

func (p *program) checkCommand() *cobra.Command {
	var o checkOptions
	c := &cobra.Command{
		Use:   "check PATH",
		Short: "Fit every kit and hold it against its limits",
		Long: `Check reads a batch, fits each kit and holds it against its limits. PATH is a folder with
readings.csv and, if there are any, gauges.csv, limits.csv, kits.csv and strings.csv; or a
readings file of any name, beside which the other tables lie; or - for readings from standard
input, with the other tables from the folder that --tables names.

A batch of one kit gives its whole table; more kits give a tally and a line each. A wrong cell
anywhere means that nothing is judged: all wrong cells are listed with their places.

The formats csv and jsonl hold exact numbers, text rounded ones. In csv a text that a
spreadsheet would take for a formula gets an apostrophe before it; jsonl keeps every name as it
is. html is one page with drawings for a browser, on paper or on a phone, which needs no network.

` + codeTable,
		Example: `  neckfit check testdata/demo
  neckfit check testdata/demo --kit SSB-03
  neckfit check testdata/demo --format csv --out kits-checked.csv
  neckfit check testdata/demo --format html --out kits.html
  neckfit check testdata/demo/readings.csv --format jsonl > kits.jsonl`,
		Args: oneArgument("the PATH of a batch"),
		RunE: func(c *cobra.Command, args []string) error {
			o.path = args[0]
			if o.remedies && o.format != "jsonl" {
				return misusef("--remedy goes with --format jsonl; neckfit remedy has it as text, and html shows it anyhow")
			}
			return p.check(c.Context(), o)
		},
	}
	f := c.Flags()
	p.tablesFlag(c)
	f.Var(newChoice(&o.format, append(report.Formats(), pageFormat)...), "format", "how to write the results")
	f.Var(newChoice(&o.rule, "guarded", "simple"), "rule", "guarded: pass or fail only at 95 % probability; simple: value against limits")
	f.StringVar(&o.kit, "kit", "", "only the kit of this `name`, with its whole table")
	f.BoolVar(&o.full, "full", false, "the whole table of every kit, after the list")
	f.BoolVar(&o.remedies, "remedy", false, "with jsonl: the recommended remedy of every kit that does not pass, too")
	f.StringVar(&o.out, "out", "", "write the results to this `file` instead of standard output")
	f.Var(newChoice(&o.colour, "auto", "never", "always"), "color", "colour the text; auto: on a terminal, unless NO_COLOR is set")
	return c
}

// check opens what it needs, judges and hands on the results when they are whole.
func (p *program) check(ctx context.Context, o checkOptions) (err error) {
	if err := p.refuseInput(o.out, o.path); err != nil {
		return err
	}
	batch, err := p.open(o.path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	o.remedy = remedy.Options{Stock: batch.Stock, Costs: batch.Costs}
	out, err := p.openOutput(o.out)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.close()) }()
	found, err := p.judge(ctx, batch, out, o)
	if err != nil {
		return err
	}
	if err := found.complaint(o.kit); err != nil {
		return err
	}
	if err := out.deliver(ctx); err != nil {
		return err
	}
	if found.passing < found.judged {
		return errNotGood
	}
	return nil
}

// found counts the kits of a run.
type found struct {
	kits, judged, passing int
	some                  []string // the first few names
}

// complaint is for a run that had nothing to judge.
func (f *found) complaint(wanted string) error {
	switch {
	case f.kits == 0:
		return misusef("there are no readings in the batch, only a header: fill in readings.csv (neckfit sheet gives its rows)")
	case f.judged == 0:
		return misusef("there is no kit %q in the batch; it has %s", wanted, strings.Join(f.some, ", "))
	}
	return nil
}

// judge runs over the batch, twice when kits lie scattered in it.
func (p *program) judge(ctx context.Context, batch *measure.Batch, out *output, o checkOptions) (*found, error) {
	found, err := p.pass(ctx, batch, out, o)
	var scattered *measure.ScatteredError
	if !errors.As(err, &scattered) {
		return found, err
	}
	if err := batch.Gather(err); err != nil {
		return nil, err
	}
	if err := out.Reset(); err != nil {
		return nil, err
	}
	return p.pass(ctx, batch, out, o)
}

// lines is the format when its kits stand by themselves.
func (o checkOptions) lines() (report.Lines, bool) {
	if o.remedies {
		return report.JSONLWithRemedies(o.remedy), true
	}
	return report.LinesOf(o.format)
}

// pageFormat is the format with drawings, which need the kit's geometry.
const pageFormat = "html"

func (o checkOptions) writer(p *program, out io.Writer) (report.Writer, error) {
	if o.format == pageFormat {
		return html.New(out, html.Options{Batch: o.path, Remedy: o.remedy}), nil
	}
	return report.New(o.format, out, report.Options{Full: o.full, Colour: o.colours(p)})
}

// note counts a kit and keeps the first few names for a complaint.
func (f *found) note(name string) {
	const shown = 5
	f.kits++
	switch {
	case f.kits <= shown:
		f.some = append(f.some, fmt.Sprintf("%q", name))
	case f.kits == shown+1:
		f.some = append(f.some, "and more")
	}
}

func (o checkOptions) colours(p *program) bool {
	if o.out != "" {
		return o.colour == "always"
	}
	return colourWanted(o.colour, p.stdout)
}

func (o checkOptions) fit(batch *measure.Batch) fit.Options {
	drawn := o.format == pageFormat // only the page shows budgets, and a table no advice
	options := fit.Options{
		Rule: fit.Guarded, Limits: batch.Limits, Specs: batch.Specs, Model: drawn || o.remedies, Brief: !drawn, Terse: o.format == "csv",
	}
	if o.rule == "simple" {
		options.Rule = fit.Simple
	}
	if s := batch.Compensation(); len(s) > 0 {
		options.Compensation = s // a table that is only a header leaves the built-in ones in force
	}
	return options
}
