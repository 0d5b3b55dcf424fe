package report

import (
	"encoding/json"
	"fmt"
	"io"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/report/words"
)

// Lot writes a judged delivery in a format that Formats lists: csv has a line for each lot and
// characteristic, jsonl an object a lot.
func Lot(format string, w io.Writer, r *delivery.Report) error {
	switch format {
	case "text":
		return writeLines(w, lotText(r))
	case "csv":
		return lotCSV(w, r)
	case "jsonl":
		return lotJSONL(w, r)
	}
	return fmt.Errorf("format %q is unknown", format)
}

type jsonLot struct {
	Lot         string         `json:"lot"`
	Supplier    string         `json:"supplier"`
	Decision    string         `json:"decision"`
	Delivered   int            `json:"delivered"`
	Checked     int            `json:"checked"`
	Counts      map[string]int `json:"counts"`
	YieldLow    *float64       `json:"yield_low,omitempty"`  // unsure kits failing
	YieldHigh   *float64       `json:"yield_high,omitempty"` // unsure kits passing
	ProcessLow  float64        `json:"yield_process_low"`
	ProcessHigh float64        `json:"yield_process_high"`
	Severity    string         `json:"severity"`
	Why         string         `json:"severity_because,omitempty"`
	NextLot     string         `json:"next_lot,omitempty"`
	Seed        uint64         `json:"seed"`
	Drawn       []string       `json:"drawn"`
	Unread      []string       `json:"drawn_but_not_checked"`
	Short       int            `json:"still_to_check,omitempty"`
	Unsure      string         `json:"unsure_counted"`
	Classes     []jsonClass    `json:"classes"`
	Bad         []string       `json:"failing_kits"`
	Failing     []jsonFailing  `json:"failing"`
	Processes   []jsonProcess  `json:"characteristics"`
}

type jsonClass struct {
	Class   string      `json:"class"`
	AQL     float64     `json:"aql_percent"`
	Outcome string      `json:"outcome"`
	Letter  string      `json:"letter,omitempty"`
	Sample  int         `json:"sample"`
	Accept  int         `json:"accept"`
	Reject  int         `json:"reject"`
	Bad     int         `json:"bad"`
	Open    int         `json:"open"`
	Badly   []string    `json:"bad_kits"`
	Unsure  []string    `json:"unsure_kits"`
	Blank   []string    `json:"not_measured_kits"`
	Curve   []jsonPoint `json:"operating_curve"`
}

type jsonPoint struct {
	Accepted float64 `json:"accepted"`
	Quality  float64 `json:"bad_share"`
}

type jsonFailing struct {
	Name   string `json:"name"`
	Class  string `json:"class"`
	Fail   int    `json:"fail"`
	Unsure int    `json:"unsure"`
}

type jsonProcess struct {
	Name          string       `json:"name"`
	Unit          string       `json:"unit"`
	Class         string       `json:"class"`
	Lower         *float64     `json:"lower,omitempty"`
	Upper         *float64     `json:"upper,omitempty"`
	N             int          `json:"n"`
	Mean          float64      `json:"mean"`
	SD            *float64     `json:"sd,omitempty"`
	Within        *float64     `json:"sd_within,omitempty"`
	Measurement   *float64     `json:"sd_measurement,omitempty"`
	Product       *float64     `json:"sd_product,omitempty"`
	ProductLow    *float64     `json:"sd_product_low,omitempty"`
	ProductHigh   *float64     `json:"sd_product_high,omitempty"`
	MostlyGauge   bool         `json:"mostly_measurement,omitempty"`
	Cp            *jsonIndex   `json:"cp,omitempty"`
	Cpk           *jsonIndex   `json:"cpk,omitempty"`
	Pp            *jsonIndex   `json:"pp,omitempty"`
	Ppk           *jsonIndex   `json:"ppk,omitempty"`
	ToleranceLow  *float64     `json:"tolerance_low,omitempty"`
	ToleranceHigh *float64     `json:"tolerance_high,omitempty"`
	ChartLower    *float64     `json:"chart_lower,omitempty"`
	ChartUpper    *float64     `json:"chart_upper,omitempty"`
	RangeTop      *float64     `json:"chart_range_top,omitempty"`
	Signals       []jsonSignal `json:"signals"`
	Warnings      []string     `json:"warnings"`
}

type jsonIndex struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

type jsonSignal struct {
	Rule string   `json:"rule"`
	Kits []string `json:"kits"`
}

func lotJSONL(w io.Writer, r *delivery.Report) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	for _, l := range r.Lots {
		if err := e.Encode(jsonOfLot(l, r.Seed)); err != nil {
			return err
		}
	}
	return nil
}

func jsonOfLot(l *delivery.Lot, seed uint64) *jsonLot {
	a := l.Acceptance
	j := &jsonLot{
		Lot: l.Name, Supplier: l.Supplier, Decision: a.Decision.String(), Delivered: a.Size, Checked: l.Kits, Counts: map[string]int{},
		ProcessLow: l.Yield.Process.Low, ProcessHigh: l.Yield.Process.High,
		Severity: a.Severity.String(), Why: words.SeverityCause(a), NextLot: words.NextLot(a), Seed: seed, Drawn: list(a.Drawn), Unread: list(a.Unread), Short: a.Short,
		Unsure: unsureWord(a), Bad: list(l.Bad), Failing: []jsonFailing{}, Processes: []jsonProcess{},
	}
	if l.Yield.Known {
		j.YieldLow, j.YieldHigh = &l.Yield.Share.Low, &l.Yield.Share.High
	}
	for v, n := range l.Verdicts {
		j.Counts[words.Verdict(fit.Verdict(v))] = n // a map, but encoding/json sorts its keys
	}
	for i := range a.ByClass {
		j.Classes = append(j.Classes, jsonOfClass(&a.ByClass[i]))
	}
	for _, f := range l.Failing {
		j.Failing = append(j.Failing, jsonFailing{f.Name, f.Class.String(), f.Fail, f.Unsure})
	}
	for _, p := range l.Processes {
		j.Processes = append(j.Processes, jsonOfProcess(p))
	}
	return j
}

// list is never null in JSON.
func list(names []string) []string { return append([]string{}, names...) }

func unsureWord(a *delivery.Acceptance) string {
	if a.UnsureBad {
		return "bad"
	}
	return "separate"
}

func jsonOfClass(c *delivery.ClassAcceptance) jsonClass {
	j := jsonClass{
		Class: c.Class.String(), AQL: c.AQL, Outcome: words.Outcome(c), Letter: c.Plan.Letter, Sample: c.Plan.Sample,
		Accept: c.Plan.Accept, Reject: c.Plan.Reject, Bad: c.Bad, Open: c.Open,
		Badly: list(c.BadKits), Unsure: list(c.UnsureKits), Blank: list(c.BlankKits), Curve: []jsonPoint{},
	}
	if c.AQL > 0 {
		for _, accepted := range words.CurvePoints {
			j.Curve = append(j.Curve, jsonPoint{accepted, c.Plan.QualityAt(accepted)})
		}
	}
	return j
}

func jsonOfProcess(p *delivery.Process) jsonProcess {
	j := jsonProcess{
		Name: p.Name, Unit: words.ProcessUnit(p), Class: p.Class.String(), Lower: closed(p.Lower), Upper: closed(p.Upper),
		N: p.N, Mean: p.Mean, Signals: []jsonSignal{}, Warnings: words.LotWarnings(p.Warnings),
	}
	if s := p.Spread; s != nil {
		j.SD, j.Within, j.Measurement, j.Product = &p.SD, &p.Chart.Sigma, &s.Measurement, &s.Product
		j.ProductLow, j.ProductHigh, j.MostlyGauge = &s.Range.Low, &s.Range.High, s.MostlyGauge
		j.ChartLower, j.ChartUpper, j.RangeTop = &p.Chart.Lower, &p.Chart.Upper, &p.Chart.RangeTop
	}
	if c := p.Capability; c != nil {
		j.Cp, j.Cpk, j.Pp, j.Ppk = jsonOfIndex(c.Cp), jsonOfIndex(c.Cpk), jsonOfIndex(c.Pp), jsonOfIndex(c.Ppk)
	}
	if p.Tolerance != nil {
		j.ToleranceLow, j.ToleranceHigh = closed(p.Tolerance.Low), closed(p.Tolerance.High)
	}
	for _, s := range p.Signals {
		j.Signals = append(j.Signals, jsonSignal{words.RunRule(s.Rule), list(s.Kits)})
	}
	return j
}

func jsonOfIndex(x lot.Index) *jsonIndex {
	if !x.Known {
		return nil
	}
	return &jsonIndex{x.Value, x.Low, x.High}
}
