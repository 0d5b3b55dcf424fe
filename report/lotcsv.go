package report

import (
	"encoding/csv"
	"errors"
	"io"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
)

func lotCSV(w io.Writer, r *delivery.Report) error {
	rows := [][]string{{
		"lot", "supplier", "decision", "delivered", "checked", "pass", "fail", "unsure", "not_measured", "yield_low", "yield_high",
		"characteristic", "class", "unit", "lower", "upper", "n", "mean", "sd", "sd_within", "sd_measurement", "sd_product",
		"cp", "cp_low", "cp_high", "cpk", "cpk_low", "cpk_high", "pp", "pp_low", "pp_high", "ppk", "ppk_low", "ppk_high",
		"tolerance_low", "tolerance_high", "signals", "warnings",
	}}
	for _, l := range r.Lots {
		j := jsonOfLot(l, r.Seed)
		head := []string{
			noFormula(l.Name), noFormula(l.Supplier), j.Decision, strconv.Itoa(j.Delivered), strconv.Itoa(j.Checked),
			strconv.Itoa(l.Verdicts[fit.Pass]), strconv.Itoa(l.Verdicts[fit.Fail]), strconv.Itoa(l.Verdicts[fit.Unsure]),
			strconv.Itoa(l.Verdicts[fit.NotMeasured] + l.Verdicts[fit.NotJudged]), cellOf(j.YieldLow), cellOf(j.YieldHigh),
		}
		if len(j.Processes) == 0 {
			rows = append(rows, append(head, make([]string, len(rows[0])-len(head))...))
		}
		for i := range j.Processes {
			rows = append(rows, append(append([]string(nil), head...), processCells(&j.Processes[i])...))
		}
	}
	out := csv.NewWriter(w)
	return errors.Join(out.WriteAll(rows), out.Error())
}

// cellOf is blank for what is not known.
func cellOf(x *float64) string {
	if x == nil {
		return ""
	}
	return shortest(*x)
}

func processCells(p *jsonProcess) []string {
	cells := []string{
		p.Name, p.Class, p.Unit, cellOf(p.Lower), cellOf(p.Upper), strconv.Itoa(p.N), shortest(p.Mean),
		cellOf(p.SD), cellOf(p.Within), cellOf(p.Measurement), cellOf(p.Product),
	}
	for _, x := range []*jsonIndex{p.Cp, p.Cpk, p.Pp, p.Ppk} {
		if x == nil {
			cells = append(cells, "", "", "")
			continue
		}
		cells = append(cells, shortest(x.Value), shortest(x.Low), shortest(x.High))
	}
	signals := make([]string, len(p.Signals))
	for i, s := range p.Signals {
		signals[i] = s.Rule + ": " + strings.Join(s.Kits, ", ")
	}
	return append(cells, cellOf(p.ToleranceLow), cellOf(p.ToleranceHigh), noFormula(strings.Join(signals, "; ")), noFormula(strings.Join(p.Warnings, "; ")))
}
