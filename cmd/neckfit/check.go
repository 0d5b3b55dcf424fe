package main

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"sync"

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
	full, remedies, plan                 bool
	remedy                               remedy.Options // of the batch, for a page
	terms                                *report.Terms  // likewise, for jsonl
}

func (o *checkOptions) command(p *program) *cobra.Command {
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
			if o.plan {
				return p.plan(o)
			}
			return p.streamed(o.path, o.out, func(batch *measure.Batch, out *output) (bool, error) {
				o.remedy, o.terms = remedy.Options{Stock: batch.Stock, Costs: batch.Costs}, termsOf(batch, o.rule)
				return p.judge(batch, out, o)
			})
		},
	}
	f := c.Flags()
	p.tablesFlag(c)
	f.Var(newChoice(&o.format, append(report.Formats(), pageFormat, "xlsx")...), "format", "how to write the results")
	f.Var(newChoice(&o.rule, "guarded", "simple"), "rule", "guarded: pass or fail only at 95 % probability; simple: value against limits")
	f.StringVar(&o.kit, "kit", "", "only the kit of this `name`, with its whole table")
	f.BoolVar(&o.full, "full", false, "the whole table of every kit, after the list")
	f.BoolVar(&o.remedies, "remedy", false, "with jsonl: the recommended remedy of every kit that does not pass, too")
	f.BoolVar(&o.plan, "plan", false, "before anything is read: which uncertainty each characteristic will have with the rows and gauges that are there, and which limits they cannot decide; as text, csv or jsonl")
	f.StringVar(&o.out, "out", "", "write the results to this `file` instead of standard output")
	f.Var(newChoice(&o.colour, "auto", "never", "always"), "color", "colour the text; auto: on a terminal, unless NO_COLOR is set")
	return c
}

// plan tells what the rows of a batch will give, read or not. It is not good where something that a kit is to be judged
// on cannot be decided.
func (p *program) plan(o *checkOptions) error {
	if !slices.Contains(report.Formats(), o.format) {
		return misusef("--plan goes with --format text, csv or jsonl")
	}
	if err := p.refuseInput(o.out, o.path); err != nil {
		return err
	}
	p.planned = true
	kits, _, err := gather(p, o.path, o.kit, func(batch *measure.Batch) func(*measure.Kit) report.Forecast {
		options := o.fit(batch)
		var known sync.Map // forecasts of kits with the same rows
		return func(k *measure.Kit) report.Forecast {
			info := k.Info
			info.Kit, info.Lot, info.Supplier, info.Place = "", "", "", measure.Place{}
			rows := []any{info}
			for _, r := range k.Readings {
				rows = append(rows, r.Datum, r.Feature, r.Kind, r.Mark, r.To, r.Gauge.ID, r.StationGauge.ID, r.Trial)
			}
			key := fmt.Sprint(rows...)
			forecast, there := known.Load(key)
			if !there {
				f := fit.Plan(k.Readings, k.Info, options)
				f.Cures(k.Readings, k.Info, options)
				forecast, _ = known.LoadOrStore(key, f)
			}
			return report.Forecast{Kit: k.Name, Forecast: forecast.(fit.Forecast)}
		}
	})
	if err != nil {
		return err
	}
	if err := p.write(o.out, nil, func(w io.Writer) error { return report.Plans(w, o.format, kits, p.page(o.out)) }); err != nil {
		return err
	}
	for _, k := range kits {
		for i := range k.Characteristics {
			if c := &k.Characteristics[i]; c.Wanted && (c.TooCoarse || !c.Missing.None()) {
				return errNotGood
			}
		}
	}
	return nil
}

// judged is what a worker makes of a kit.
type judged struct {
	passing bool
	line    *[]byte     // in a format of lines; back to room after use
	result  *fit.Result // in any other
	err     error
}

// rarely is how much memory may be left behind, in percent of what is in use, before it is collected
// while kits pass by that nobody keeps: some 10 MiB more than usual, for 4 % less time.
const rarely = 400

// checkers are those of the workers, and room is for the lines of kits on their way to the output.
var (
	checkers = sync.Pool{New: func() any { return new(fit.Checker) }}
	room     = sync.Pool{New: func() any { return new([]byte) }}
)

// judge runs over the batch, writes into the spool and tells whether every kit passes. A format in
// which every kit stands by itself is written by the workers too.
func (p *program) judge(batch *measure.Batch, out *output, o *checkOptions) (good bool, err error) {
	options := o.fit(batch)
	lines, byLine := o.lines()
	var w report.Writer // of any other format
	begin := func() (err error) {
		if w != nil {
			err = w.Close() // what it wrote goes with the rest
		}
		if err = errors.Join(err, out.Reset()); err != nil {
			return err
		}
		good = true
		if byLine {
			_, err = out.Write(lines.Header(fit.Check(&measure.Kit{}, options)))
			return err
		}
		if o.format == pageFormat {
			w = html.New(p.ctx, untilEnded{p.ctx, out}, html.Options{Batch: o.path, Remedy: o.remedy})
			return nil
		}
		page := p.page(o.out)
		page.Full, page.Colour = o.full, o.colour == "always" || o.out == "" && colourWanted(o.colour, p.stdout)
		w = report.NewText(out, page)
		return nil
	}
	judge := func(kit *measure.Kit) (j judged) {
		if !byLine {
			j.result = fit.Check(kit.Clone(), options) // a result may point at its readings
			j.passing = j.result.Verdict == fit.Pass
			return j
		}
		checker := checkers.Get().(*fit.Checker)
		defer checkers.Put(checker)
		r := checker.Check(kit, options)
		j.passing, j.line = r.Verdict == fit.Pass, room.Get().(*[]byte)
		*j.line, j.err = lines.Append((*j.line)[:0], r)
		return j
	}
	if byLine {
		defer debug.SetGCPercent(debug.SetGCPercent(rarely))
	}
	err = eachKit(p, batch, o.kit, begin, judge, func(j judged) error {
		good = good && j.passing
		switch {
		case j.err != nil:
			return j.err
		case !byLine:
			return w.Kit(j.result)
		}
		_, err := out.Write(*j.line)
		room.Put(j.line)
		return err
	})
	if w != nil {
		err = errors.Join(err, newProgress(p.stderr).during("writing", w.Close))
	}
	return good, err
}

// lines is the format when its kits stand by themselves.
func (o *checkOptions) lines() (report.Lines, bool) {
	if o.remedies {
		return report.JSONLWithRemedies(o.remedy, o.terms), true
	}
	return report.LinesOf(o.format, o.terms)
}

// pageFormat is the format with drawings, which need the kit's geometry.
const pageFormat = "html"

func (o *checkOptions) fit(batch *measure.Batch) fit.Options {
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

// termsOf tells on what terms a batch's kits are checked by a rule.
func termsOf(batch *measure.Batch, rule string) *report.Terms {
	return report.TermsOf(version(debug.ReadBuildInfo()), batch, checkOf(batch, rule))
}

// checkOf gives the options for judging a batch's kits by a rule.
func checkOf(batch *measure.Batch, rule string) fit.Options {
	return (&checkOptions{rule: rule}).fit(batch)
}
