package report

import (
	"io"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/fit/lot/sampling"
	"neckfit/report/words"
)

type jsonLot struct {
	Lot         string         `json:"lot"`
	Supplier    string         `json:"supplier"`
	Decision    string         `json:"decision"`
	Delivered   int            `json:"delivered"`
	Checked     int            `json:"checked"`
	Counts      map[string]int `json:"counts"`
	YieldLow    *float64       `json:"yield_low,omitempty"`  // open kits failing
	YieldHigh   *float64       `json:"yield_high,omitempty"` // open kits passing
	ProcessLow  float64        `json:"yield_process_low"`
	ProcessHigh float64        `json:"yield_process_high"`
	Severity    string         `json:"severity"`
	Why         string         `json:"severity_because,omitempty"`
	NextLot     string         `json:"next_lot,omitempty"`
	NextDraw    *jsonDraw      `json:"next_draw,omitempty"` // of a lot of as many kits
	Seed        uint64         `json:"seed"`
	Drawn       []string       `json:"drawn"`
	Unread      []string       `json:"drawn_but_not_checked"`
	Short       int            `json:"still_to_check,omitempty"`
	Unsure      string         `json:"unsure_counted"`
	Classes     []jsonClass    `json:"classes"`
	Bad         []string       `json:"failing_kits"`
	Failing     []jsonFailing  `json:"failing"`
	Processes   []jsonProcess  `json:"characteristics"`
	Rework      *jsonRework    `json:"rework,omitempty"`
	Variables   *jsonVariables `json:"by_variables,omitempty"`
	Assumed     []string       `json:"assumed_gauges,omitempty"`
	Doubtful    []string       `json:"read_again,omitempty"` // kits, with their rows that do not agree with others
}

// jsonVariables is a lot judged by the values of one characteristic.
type jsonVariables struct {
	Name      string   `json:"name"`
	Outcome   string   `json:"outcome"`
	Letter    string   `json:"letter"`
	Sample    int      `json:"sample"`
	K         float64  `json:"k"`
	Most      float64  `json:"most_outside"`
	Mean      float64  `json:"mean"`
	SD        float64  `json:"sd"`
	Below     float64  `json:"below"` // shares of the process that are estimated to lie beyond the limits
	Above     float64  `json:"above"`
	NotNormal bool     `json:"not_normal,omitempty"`
	Drawn     []string `json:"drawn"`
	Blank     []string `json:"not_measured"`
}

// jsonRework is what the kits that do not pass ask for, and what the ways to deal with them are expected to cost, in
// minutes.
type jsonRework struct {
	Mend     int     `json:"to_mend"`
	Return   int     `json:"to_return"`
	Read     int     `json:"to_read"`
	Unknown  int     `json:"not_planned"`
	Minutes  float64 `json:"minutes"`
	Hopes    float64 `json:"expected_to_pass"`
	MendAll  float64 `json:"cost_rework"`
	Sort     float64 `json:"cost_sort"`
	SendBack float64 `json:"cost_send_back"`
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
	PpkProduct    *jsonIndex   `json:"ppk_product,omitempty"` // our own measuring taken out
	ShapiroWilk   *float64     `json:"shapiro_wilk_w,omitempty"`
	NormalP       *float64     `json:"shapiro_wilk_p,omitempty"`
	ToleranceLow  *float64     `json:"tolerance_low,omitempty"`
	ToleranceHigh *float64     `json:"tolerance_high,omitempty"`
	ChartLower    *float64     `json:"chart_lower,omitempty"`
	ChartUpper    *float64     `json:"chart_upper,omitempty"`
	Drift         *float64     `json:"drift_a_kit,omitempty"`
	DriftU        *float64     `json:"drift_a_kit_u,omitempty"`
	Drifts        bool         `json:"drifts,omitempty"`
	Signals       []jsonSignal `json:"signals"`
	Warnings      []string     `json:"warnings"`
}

// jsonIndex leaves out what is infinite: a spread that our own measuring accounts for has no end of an index.
type jsonIndex struct {
	Value *float64 `json:"value,omitempty"`
	Low   *float64 `json:"low,omitempty"`
	High  *float64 `json:"high,omitempty"`
}

type jsonSignal struct {
	Rule string   `json:"rule"`
	Kits []string `json:"kits"`
	Step float64  `json:"step,omitempty"` // of a shift of level
}

func jsonOfLot(l *delivery.Lot, seed uint64) *jsonLot {
	a := l.Acceptance
	j := &jsonLot{
		Lot: l.Name, Supplier: l.Supplier, Decision: a.Decision.String(), Delivered: a.Size, Checked: l.Kits, Counts: map[string]int{},
		ProcessLow: l.Yield.Process.Low, ProcessHigh: l.Yield.Process.High,
		Severity: a.Severity.String(), Why: words.SeverityCause(a), NextLot: words.NextLot(a), Seed: seed, Drawn: list(a.Drawn), Unread: list(a.Unread), Short: a.Short,
		Unsure: map[bool]string{false: "separate", true: "bad"}[a.UnsureBad], Bad: list(l.Bad), Failing: []jsonFailing{}, Processes: []jsonProcess{}, Assumed: l.Assumed, Doubtful: words.Doubtful(l.Doubtful),
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
	if a.ToDraw != nil {
		j.NextDraw = jsonOfDraw(a.ToDraw)
	}
	for _, p := range l.Processes {
		j.Processes = append(j.Processes, jsonOfProcess(p))
	}
	if v := l.Variables; v != nil {
		outcome := [...]string{sampling.Undecided: "undecided", sampling.Accepted: "accepted", sampling.Rejected: "rejected"}[v.Outcome]
		j.Variables = &jsonVariables{v.Name, outcome, v.Plan.Letter, v.Plan.Sample, v.Plan.K, v.Plan.Most, v.Mean, v.SD, v.Below, v.Above, v.Process != nil && v.Process.NotNormal, list(v.Drawn), list(v.Blank)}
	}
	if s := &l.Rework; len(l.Troubles) > 0 {
		j.Rework = &jsonRework{s.Mend, s.Return, s.Look, s.Unplanned, s.Minutes, s.Hopes, s.MendAll, s.Sort, s.SendBack}
	}
	return j
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
		Name: p.Name, Unit: words.ProcessUnit(p), Class: p.Class.String(), Lower: closed(&p.Lower), Upper: closed(&p.Upper),
		N: p.N, Mean: p.Mean, Signals: []jsonSignal{}, Warnings: words.LotWarnings(p.Warnings),
	}
	if s := p.Spread; s != nil {
		j.SD, j.Within, j.Measurement, j.Product = &p.SD, &p.Chart.Sigma, &s.Measurement, &s.Product
		j.ProductLow, j.ProductHigh, j.MostlyGauge = &s.Range.Low, &s.Range.High, s.MostlyGauge
		j.ChartLower, j.ChartUpper = &p.Chart.Lower, &p.Chart.Upper
	}
	if c := p.Capability; c != nil {
		j.Cp, j.Cpk, j.Pp, j.Ppk, j.PpkProduct = jsonOfIndex(c.Cp), jsonOfIndex(c.Cpk), jsonOfIndex(c.Pp), jsonOfIndex(c.Ppk), jsonOfIndex(p.Product)
	}
	if n := &p.Normality; n.W > 0 {
		j.ShapiroWilk, j.NormalP = &n.W, &n.P
	}
	if p.Tolerance != nil {
		j.ToleranceLow, j.ToleranceHigh = closed(&p.Tolerance.Low), closed(&p.Tolerance.High)
	}
	if t := p.Trend; t != nil {
		j.Drift, j.DriftU, j.Drifts = &t.Slope, &t.U, p.Drifts
	}
	for _, s := range p.Signals {
		j.Signals = append(j.Signals, jsonSignal{words.RunRule(s.Rule), list(s.Kits), s.Step})
	}
	return j
}

func jsonOfIndex(x lot.Index) *jsonIndex {
	if !x.Known {
		return nil
	}
	return &jsonIndex{closed(&x.Value), closed(&x.Low), closed(&x.High)}
}

func (r deliveryTable) toCSV(out *record) {
	out.row("lot", "supplier", "decision", "delivered", "checked", "pass", "fail", "unsure", "incomplete", "not_measured", "yield_low", "yield_high",
		"characteristic", "class", "unit", "lower", "upper", "n", "mean", "sd", "sd_within", "sd_measurement", "sd_product",
		"cp", "cp_low", "cp_high", "cpk", "cpk_low", "cpk_high", "pp", "pp_low", "pp_high", "ppk", "ppk_low", "ppk_high", "ppk_product", "ppk_product_low", "ppk_product_high",
		"tolerance_low", "tolerance_high", "signals", "warnings", "read_again", "assumed_gauges")
	for _, l := range r.Lots {
		j, n := jsonOfLot(l, r.Seed), &l.Verdicts
		lot := []any{l.Name, l.Supplier, j.Decision, j.Delivered, j.Checked, n[fit.Pass], n[fit.Fail], n[fit.Unsure] + n[fit.TooCoarse],
			n[fit.Incomplete] + n[fit.Implausible], n[fit.NotMeasured] + n[fit.NotJudged], j.YieldLow, j.YieldHigh}
		for i := range max(1, len(j.Processes)) {
			process := make([]any, 30)
			if len(j.Processes) > 0 {
				process = j.Processes[i].cells()
			}
			out.row(append(slices.Concat(lot, process), strings.Join(j.Doubtful, "; "), strings.Join(l.Assumed, "; "))...)
		}
	}
}

// cells are a process's in a row of the table.
func (p *jsonProcess) cells() []any {
	cells := []any{p.Name, p.Class, p.Unit, p.Lower, p.Upper, p.N, p.Mean, p.SD, p.Within, p.Measurement, p.Product}
	for _, x := range []*jsonIndex{p.Cp, p.Cpk, p.Pp, p.Ppk, p.PpkProduct} {
		if x == nil {
			x = &jsonIndex{}
		}
		cells = append(cells, x.Value, x.Low, x.High)
	}
	var signals []string
	for _, s := range p.Signals {
		signals = append(signals, s.Rule+": "+strings.Join(s.Kits, ", "))
	}
	return append(cells, p.ToleranceLow, p.ToleranceHigh, strings.Join(signals, "; "), strings.Join(p.Warnings, "; "))
}

// Draw writes which of a lot's kits to draw, counted from 1 in the order of their names.
func Draw(format string, w io.Writer, d *delivery.Draw, o Options) error {
	return write(format, w, drawn{d}, o)
}

type drawn struct{ *delivery.Draw }

func (d drawn) toText(t *text) { t.add("", words.ToDraw(d.Draw)) }

func (d drawn) toCSV(out *record) {
	out.row("number")
	for _, at := range d.Kits {
		out.row(at + 1)
	}
}

func (d drawn) toJSON() []any { return []any{jsonOfDraw(d.Draw)} }

type jsonDraw struct {
	Size     int    `json:"size"`
	Severity string `json:"severity"`
	Seed     uint64 `json:"seed"`
	Drawn    []int  `json:"drawn"` // counted from 1 in the order of the kits' names
}

func jsonOfDraw(d *delivery.Draw) *jsonDraw {
	j := &jsonDraw{d.Size, d.Severity.String(), d.Seed, make([]int, len(d.Kits))}
	for i, at := range d.Kits {
		j.Drawn[i] = at + 1
	}
	return j
}
