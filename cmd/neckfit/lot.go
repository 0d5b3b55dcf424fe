package main

import (
	"bufio"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot/sampling"
	"neckfit/fit/remedy"
	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/html"
	"neckfit/report/words"
)

// lotOptions are lot's flags and its arguments.
type lotOptions struct {
	paths                            []string
	format, rule, out, show, only    string
	level, severity, unsure, history string
	variables                        string
	allowReduced, severityFixed      bool
	seed                             uint64
	size, sample                     int
	levelOf                          sampling.Level
	severityOf                       sampling.Severity
	aql                              [measure.Minor + 1]float64
}

// The severities and levels by their words.
var (
	severities = map[string]sampling.Severity{"normal": sampling.Normal, "tightened": sampling.Tightened, "reduced": sampling.Reduced}
	levels     = []string{"II", "I", "III", "S-1", "S-2", "S-3", "S-4"}
)

// quality is a flag that takes an acceptable quality level in percent; none is 0.
type quality struct{ aql *float64 }

// String is the percentage.
func (q quality) String() string {
	if q.aql == nil || *q.aql == 0 {
		return "none"
	}
	return strconv.FormatFloat(*q.aql, 'g', -1, 64)
}

// Type is what the help calls it.
func (quality) Type() string { return "percent" }

// Set takes a percentage of the tables, or none.
func (q quality) Set(text string) (err error) {
	if *q.aql = 0; text == "none" {
		return nil
	}
	if *q.aql, err = strconv.ParseFloat(text, 64); err != nil || math.IsNaN(*q.aql) {
		return fmt.Errorf("%q is neither a number nor none", text)
	}
	_, err = sampling.For(2, sampling.LevelII, *q.aql, sampling.Normal) // the tables refuse what they do not have
	return err
}

func (o *lotOptions) command(p *program) *cobra.Command {
	c := &cobra.Command{
		Use:   "lot PATH...",
		Short: "Accept a delivery, send it back, or sort it",
		Long: `Lot judges a delivery, lot by lot and supplier by supplier as kits.csv names them. A PATH is a
batch as check takes it, whose kits are then checked, or a .jsonl file that check --format jsonl
wrote. Several PATHs are one delivery, in the order given: a delivery that was checked in parts is
judged as if it had been checked as one.

Acceptance is by single sampling plans after MIL-STD-105E: the level and the AQL of each class of
characteristic give a sample, which is drawn at random but the same for the same kits and --seed.
The lot's size is the number of kits in kits.csv and in the readings, or --size. Kits that were
drawn and not checked, and unsure kits that could tip the scales, leave the lot undecided. With
--sample N nothing is read: it says which of a lot of N to draw.

With --variables NAME lots are judged by the values of one characteristic as well, by sampling plans after
MIL-STD-414 (standard deviation method): fewer kits tell as much, if the process is normal.

Normal inspection is where a supplier starts; --history, a table of earlier lots (lot, accepted,
and supplier if there are several), goes through the switching rules, as do the lots of this
delivery. Kits are in the order received; the sample is drawn from them in the order of names.

Exit codes: 0 every lot is accepted, 1 one is rejected, undecided or stopped, 2 wrong use or bad
input, 3 cannot read or write.`,
		Example: `  neckfit lot testdata/lots
  neckfit lot testdata/lots --history testdata/lots/history.csv --seed 2
  neckfit lot testdata/lots --lot May --show kits --format csv --out rework.csv
  neckfit lot testdata/lots --lot May --show letter --format html --out letter.html
  neckfit lot testdata/lots --variables pocket-gap-end
  neckfit lot --sample 200 --seed 7
  neckfit check testdata/lots --format jsonl > kits.jsonl
  neckfit lot kits.jsonl --aql-major 4 --aql-minor none --format csv
  neckfit lot testdata/lots --format html --out lots.html`,
		Args: func(_ *cobra.Command, args []string) error {
			o.paths = args
			switch {
			case o.sample != 0 && len(args) > 0:
				return errors.New("lot --sample reads nothing: leave out the PATH, or --sample")
			case o.sample == 0 && len(args) == 0:
				return errors.New("lot needs the PATH of a batch or of .jsonl files from check")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := o.settle(c); err != nil {
				return err
			}
			if o.sample > 0 {
				return p.drawLot(o)
			}
			return o.run(p)
		},
	}
	o.flags(c)
	p.tablesFlag(c)
	return c
}

func (o *lotOptions) flags(c *cobra.Command) {
	f := c.Flags()
	f.Var(newChoice(&o.format, append(report.Formats(), pageFormat, "xlsx")...), "format", "how to write the results")
	f.Var(newChoice(&o.rule, "guarded", "simple"), "rule", "guarded: pass or fail only at 95 % probability; simple: value against limits")
	f.StringVar(&o.out, "out", "", "write the results to this `file` instead of standard output")
	f.Var(newChoice(&o.level, levels...), "level", "inspection level")
	o.aql = [...]float64{measure.Critical: 0.65, measure.Major: 2.5, measure.Minor: 4} // common practice, no source
	f.Var(quality{&o.aql[measure.Critical]}, "aql-critical", "AQL of critical characteristics in `percent`, or none")
	f.Var(quality{&o.aql[measure.Major]}, "aql-major", "AQL of major characteristics in `percent`, or none")
	f.Var(quality{&o.aql[measure.Minor]}, "aql-minor", "AQL of minor characteristics in `percent`, or none")
	f.Var(newChoice(&o.severity, "normal", "tightened", "reduced"), "severity", "inspect every lot so, without the switching rules")
	f.StringVar(&o.history, "history", "", "earlier lots, a table in this `file`: lot, accepted, supplier")
	f.BoolVar(&o.allowReduced, "allow-reduced", false, "let the switching rules go to reduced inspection: production is steady and you want it")
	f.Var(newChoice(&o.unsure, "separate", "bad"), "unsure", "separate: unsure kits keep the decision open where they matter; bad: they count as bad")
	f.Uint64Var(&o.seed, "seed", 1, "`number` that fixes the draw")
	f.IntVar(&o.size, "size", 0, "`kits` delivered in the lot, when more than the tables name")
	f.Var(newChoice(&o.show, "lot", "kits", "letter"), "show", "lot: the whole; kits: those that do not pass, with what to do; letter: a draft to the supplier")
	f.StringVar(&o.only, "lot", "", "judge the lot of this `name` alone")
	f.StringVar(&o.variables, "variables", "", "judge lots by the values of this `characteristic` besides")
	f.IntVar(&o.sample, "sample", 0, "read nothing; say which of a lot of so many `kits` to draw")
}

// settle turns the flags into numbers.
func (o *lotOptions) settle(c *cobra.Command) (err error) {
	o.severityOf, o.severityFixed = severities[o.severity], c.Flags().Changed("severity")
	o.levelOf, err = sampling.ParseLevel(o.level)
	_, known := fit.Named(o.variables)
	switch {
	case err != nil:
		return misuse{err}
	case c.Flags().Changed("rule") && slices.ContainsFunc(o.paths, checkedAlready):
		return misusef("--rule is for kits that are still to be checked; those of a .jsonl file are judged already")
	case o.show == "letter" && o.format != "text" && o.format != pageFormat, o.show == "kits" && o.format == pageFormat:
		return misusef("--show %s has no format %s", o.show, o.format)
	case o.variables != "" && !known:
		return misusef("there is no characteristic %q: neckfit explain lists them", o.variables)
	case o.sample > 0 && o.format == pageFormat:
		return misusef("--sample has no page: use another --format")
	case o.history != "" && o.severityFixed:
		return misusef("--history says how to inspect, and so does --severity: leave one out")
	case o.sample < 0 || o.size < 0 || o.sample > maxLot || o.size > maxLot:
		return misusef("a lot has from 1 to %d kits", maxLot)
	}
	return nil
}

// maxLot is more kits than anybody receives; it keeps a slip of the finger from filling the memory.
const maxLot = 10_000_000

func (o *lotOptions) run(p *program) error {
	var past []delivery.Past
	if o.history != "" {
		f, err := p.openTable(o.history)
		if err != nil {
			return err
		}
		defer f.Close()
		lots, err := measure.ReadHistory(o.history, f)
		if err != nil {
			return err
		}
		for _, l := range lots {
			past = append(past, delivery.Past{Lot: l.Lot, Supplier: l.Supplier, Accepted: l.Accepted})
		}
	}
	in, err := p.gatherLots(o)
	if err != nil {
		return err
	}
	if o.only != "" && !in.delivery.Only(o.only) {
		return misusef("there is no lot %q in %s", o.only, strings.Join(o.paths, ", "))
	}
	judged, err := patiently(p, "judging the lots", func() (*delivery.Report, error) {
		return in.delivery.Judge(delivery.Options{
			Level: o.levelOf, AQL: o.aql, Fixed: o.severityFixed, Severity: o.severityOf, AllowReduced: o.allowReduced,
			History: past, UnsureBad: o.unsure == "bad", Seed: o.seed, Size: o.size, Costs: in.merge.Costs(), Variables: o.variables,
		})
	})
	if err != nil {
		return misuse{err}
	}
	if len(judged.Lots) == 0 {
		if len(in.from) == 0 && slices.ContainsFunc(o.paths, checkedAlready) {
			return misusef("there is no kit in %s", strings.Join(o.paths, ", "))
		}
		return errNoReadings
	}
	inputs := o.paths
	if o.history != "" {
		inputs = append(append([]string(nil), o.paths...), o.history)
	}
	if err := p.write(o.out, inputs, func(w io.Writer) error {
		switch {
		case o.show == "letter" && o.format == pageFormat:
			return html.Letters(w, judged, in.gauges())
		case o.show == "letter":
			return report.Letter(w, judged, in.gauges(), p.page(o.out))
		case o.show == "kits":
			return report.Rework(o.format, w, judged, p.page(o.out))
		case o.format == pageFormat:
			return html.Lot(w, judged)
		}
		return report.Lot(o.format, w, judged, p.page(o.out))
	}); err != nil {
		return err
	}
	if !judged.Accepted() {
		return errNotGood
	}
	return nil
}

// intake gathers kits from everywhere into one delivery.
type intake struct {
	delivery delivery.Delivery
	merge    report.Merge
	from     map[string]string // where each kit came from
	twice    [][3]string       // kit, where it was first, where it is again
	lists    []measure.Info    // kits that a batch names, checked or not
}

// add takes a kit in; one that is there already is noted.
func (in *intake) add(source string, k delivery.Kit) error {
	if before, ok := in.from[k.Name]; ok {
		in.twice = append(in.twice, [3]string{k.Name, before, source})
		return nil
	}
	in.from[k.Name] = source
	return in.delivery.Add(k)
}

// gatherLots reads all paths as one delivery.
func (p *program) gatherLots(o *lotOptions) (*intake, error) {
	in := &intake{from: map[string]string{}}
	checked := 0
	for _, path := range o.paths {
		lines, source, err := p.checkedLines(path)
		if err != nil {
			return nil, err
		}
		if lines == nil {
			if err := p.gatherBatch(path, o.rule, in); err != nil {
				return nil, err
			}
			continue
		}
		checked++
		err = report.ReadKits(lines, source, &in.merge, func(k delivery.Kit) error { return in.add(source, k) })
		if err := errors.Join(err, lines.Close()); err != nil {
			return nil, err
		}
	}
	if len(in.twice) > 0 {
		return nil, misusef("%s", words.Twice(in.twice))
	}
	if checked == len(o.paths) && p.tables != "" { // what was delivered, of which some may not be checked yet
		batch, err := measure.Open("-", measure.Options{Characteristics: fit.Characteristics(), Stdin: strings.NewReader("kit,datum,feature\n"), Tables: p.tables})
		if err != nil {
			return nil, err
		}
		in.list(batch)
		if err := batch.Close(); err != nil {
			return nil, err
		}
	}
	for _, k := range in.lists {
		in.delivery.List(k.Kit, k.Lot, k.Supplier)
	}
	return in, nil
}

// list takes in what kits.csv lists, in its order.
func (in *intake) list(batch *measure.Batch) {
	infos := slices.Collect(maps.Values(batch.Infos))
	slices.SortFunc(infos, func(a, b measure.Info) int { return cmp.Compare(a.Place.Line, b.Place.Line) })
	in.lists = append(in.lists, infos...)
}

// gauges are those that the delivery was read with, in words.
func (in *intake) gauges() (list []string) {
	for _, id := range slices.Sorted(maps.Keys(in.merge.Gauges)) {
		list = append(list, words.GaugeLine(in.merge.Gauges[id]))
	}
	return list
}

// checkedAlready tells by its name what check wrote from a batch.
func checkedAlready(path string) bool { return strings.HasSuffix(strings.ToLower(path), ".jsonl") }

// checkedLines opens what check wrote, a file or standard input that begins as such lines do; nil for a batch.
func (p *program) checkedLines(path string) (lines io.ReadCloser, source string, err error) {
	switch {
	case checkedAlready(path):
		lines, err = p.openTable(path)
		return lines, path, err
	case path != "-" || p.stdinTaken:
		return nil, "", nil
	}
	const enough = 64
	in := bufio.NewReader(p.stdin)
	begins, err := in.Peek(enough)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, "", fmt.Errorf("cannot read standard input: %w", err)
	}
	p.stdin = interruptible{p.ctx, in}
	if !bytes.HasPrefix(bytes.TrimLeft(begins, "\xef\xbb\xbf\xff\xfe\x00 \t\r\n"), []byte("{")) { // marks of an encoding, of which UTF-16 has a zero in each letter
		return nil, "", nil
	}
	p.stdinTaken = true
	return io.NopCloser(in), "standard input", nil
}

// gatherBatch checks the kits of a batch.
func (p *program) gatherBatch(path, rule string, in *intake) error {
	type checked struct {
		delivery.Kit
		gauges []*measure.Gauge
		aim    []string
	}
	kits, batch, err := gather(p, path, "", func(batch *measure.Batch) func(*measure.Kit) checked {
		options := checkOf(batch, rule)
		options.Terse = true // a lot counts verdicts and values
		full, shelf := options, remedy.Options{Stock: batch.Stock, Costs: batch.Costs}
		full.Model = true
		return func(k *measure.Kit) checked {
			brief := fit.Check(k, options)
			one := checked{Kit: delivery.Of(brief), gauges: brief.Gauges, aim: k.Info.Aim}
			if one.Verdict == fit.Pass {
				return one
			}
			if r := fit.Check(k, full); r.Model != nil {
				a := remedy.For(r, shelf)
				one.Work, one.Suspect = delivery.WorkOf(a), delivery.RowsOf(a.Suspect)
			}
			return one
		}
	})
	if err != nil && !errors.Is(err, errNoReadings) { // another path may have some
		return err
	}
	terms := termsOf(batch, rule)
	for _, k := range kits {
		if differs := in.merge.Kit(path, terms, k.gauges, k.Lot, k.Supplier, k.aim); differs != "" {
			return misusef("%s", differs)
		}
		if err := in.add(path, k.Kit); err != nil {
			return err
		}
	}
	in.list(batch)
	return nil
}

// drawLot says which kits of a lot to draw before anything is measured.
func (p *program) drawLot(o *lotOptions) error {
	draw, err := delivery.NewDraw(o.sample, o.levelOf, o.aql, o.severityOf, o.seed)
	if err != nil {
		return misuse{err}
	}
	return p.write(o.out, nil, func(w io.Writer) error {
		return report.Draw(o.format, w, draw, p.page(o.out))
	})
}
