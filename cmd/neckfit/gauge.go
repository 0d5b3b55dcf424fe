package main

import (
	"io"
	"maps"
	"slices"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/study"
	"neckfit/measure"
	"neckfit/report"
	"neckfit/report/html"
)

// gaugeOptions are gauge's flags and its argument.
type gaugeOptions struct {
	path, format, out, show string
	tolerance               float64
}

func (o *gaugeOptions) command(p *program) *cobra.Command {
	c := &cobra.Command{
		Use:   "gauge PATH",
		Short: "Judge the gauges from repeated readings",
		Long: `Gauge makes gauge studies of a batch whose places were read repeatedly: the columns trial and by
say which time it was and who read. Every place that was read (a feature of a kit, at a station)
is a part of the study. Each gauge gets a study over all its places and one for each kind of
place, by analysis of variance with interaction and by average and range: repeatability,
reproducibility, share of the tolerance, how many classes of parts it can tell apart, whether
the trouble is the gauge, the person or the feature, and the repeatability for gauges.csv.

The tolerance is the narrowest limit in force that has two ends, is a length and not of a minor
characteristic, unless --tolerance gives another.

Exit codes: 0 no gauge uses up more than 30 % of the tolerance, 1 one does, 2 wrong use, bad
input or no repeated readings, 3 cannot read or write.`,
		Example: `  neckfit gauge testdata/gauge
  neckfit gauge testdata/gauge --tolerance 0.3 --format csv
  neckfit gauge testdata/gauge --format html --out gauges.html
  neckfit gauge testdata/gauge --show gauges --out gauges.csv`,
		Args: oneArgument("the PATH of a batch with repeated readings"),
		RunE: func(c *cobra.Command, args []string) error {
			o.path = args[0]
			if c.Flags().Changed("tolerance") && !(o.tolerance > 0 && o.tolerance < 1e6) {
				return misusef("--tolerance %v must be a width in mm, above 0", o.tolerance)
			}
			return o.run(p)
		},
	}
	f := c.Flags()
	p.tablesFlag(c)
	f.Var(newChoice(&o.format, append(report.Formats(), pageFormat, "xlsx")...), "format", "how to write the studies")
	f.Var(newChoice(&o.show, "studies", "gauges"), "show", "studies: what was found; gauges: the table gauges.csv with it")
	f.Float64Var(&o.tolerance, "tolerance", 0, "hold the gauges against a tolerance of this `width` in mm")
	f.StringVar(&o.out, "out", "", "write the studies to this `file` instead of standard output")
	return c
}

func (o *gaugeOptions) run(p *program) error {
	kits, batch, err := gather(p, o.path, "", whole)
	if err != nil {
		return err
	}
	readings := &study.Collection{}
	for _, k := range kits {
		readings.Add(k)
	}
	tolerance, ok := study.Narrowest(batch.Limits, fit.BuiltInLimits(), fit.Characteristics())
	if o.tolerance > 0 {
		tolerance, ok = study.Tolerance{Width: o.tolerance, Of: "--tolerance"}, true
	}
	if !ok {
		return misusef("no limit of a length has two ends, so there is no tolerance to hold a gauge against: give --tolerance")
	}
	studies, err := patiently(p, "judging the gauges", func() ([]*study.Study, error) { return readings.Judge(tolerance), nil })
	if err != nil {
		return err
	}
	if len(studies) == 0 {
		return misusef("nothing was read twice by the same person: repeat the readings, numbered in the column trial, by two people or more in the column by")
	}
	var table []measure.Gauge // the batch's own and the built-in ones that it read with, by name
	for _, id := range slices.Sorted(maps.Keys(batch.Gauges)) {
		table = append(table, *batch.Gauges[id])
	}
	table = study.Gauges(table, studies)
	if err := p.write(o.out, []string{o.path}, func(w io.Writer) error {
		switch {
		case o.show == "gauges":
			return measure.WriteGauges(w, table)
		case o.format == pageFormat:
			return html.Gauge(w, studies, table, o.path)
		}
		return report.Gauge(o.format, w, studies, p.page(o.out))
	}); err != nil {
		return err
	}
	for _, s := range studies {
		if s.Share() > lot.GaugeInadequate {
			return errNotGood
		}
	}
	return nil
}
