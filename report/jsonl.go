package report

import (
	"bytes"
	"encoding/json"
	"io"
	"math"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/remedy"
	"neckfit/report/words"
)

// Lines is a format in which every kit stands by itself on a line, so that kits can be written on
// several goroutines at once and their lines put together in order, after the header. Numbers are the
// shortest decimals that read back as the same floats, lengths in mm, angles in degrees.
type Lines struct {
	header func(r *fit.Result) []byte
	kit    func(to []byte, r *fit.Result) ([]byte, error)
}

// LinesOf gives the lines of a format: "csv", a table for a spreadsheet, in which a text that would
// be taken for a formula, because it begins with = + - @, gets an apostrophe before it and control
// characters are written out; or "jsonl", an object a kit, in which names are exact and what is not
// known is left out. It is false for a format that needs the batch as a whole. An object says on what terms it was
// checked, unless they are nil.
func LinesOf(format string, t *Terms) (Lines, bool) {
	switch format {
	case "csv":
		return Lines{csvHeader, csvLine}, true
	case "jsonl":
		tell := t.teller()
		return Lines{noHeader, func(to []byte, r *fit.Result) ([]byte, error) { return appendJSON(to, tell(jsonKitOf(r), r)) }}, true
	}
	return Lines{}, false
}

// teller is what writes the terms into a kit's object.
func (t *Terms) teller() func(*jsonKit, *fit.Result) *jsonKit {
	if t == nil {
		return func(k *jsonKit, _ *fit.Result) *jsonKit { return k }
	}
	raw := t.raw()
	return func(k *jsonKit, r *fit.Result) *jsonKit {
		k.Terms, k.Aim = raw, r.Info.Aim
		for _, g := range r.Gauges {
			k.Gauges = append(k.Gauges, tool(g))
		}
		return k
	}
}

// JSONLWithRemedies is jsonl with one more field for every kit that does not pass: remedy, the
// object that the remedies' own jsonl has, with the recommended plan alone. Results must have been
// checked with Options.Model.
func JSONLWithRemedies(o remedy.Options, t *Terms) Lines {
	tell := t.teller()
	return Lines{noHeader, func(to []byte, r *fit.Result) ([]byte, error) {
		k := jsonKitOf(r)
		if r.Verdict != fit.Pass {
			k.Remedy = jsonAdviceOf(r, remedy.For(r, o), 1)
		}
		return appendJSON(to, tell(k, r))
	}}
}

func noHeader(*fit.Result) []byte { return nil }

// Header is what stands above the kits. Any kit's result has its characteristics.
func (l Lines) Header(r *fit.Result) []byte { return l.header(r) }

// Append adds a kit. Its error is for a result that holds a number which is not finite.
func (l Lines) Append(to []byte, r *fit.Result) ([]byte, error) {
	if err := Check(r); err != nil {
		return to, err
	}
	return l.kit(to, r)
}

// appendJSON adds values, each on a line.
func appendJSON(to []byte, values ...any) ([]byte, error) {
	b := bytes.NewBuffer(to)
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	for _, v := range values {
		if err := e.Encode(v); err != nil {
			return to, err
		}
	}
	return b.Bytes(), nil
}

func writeJSON(w io.Writer, values ...any) error {
	lines, err := appendJSON(nil, values...)
	if err == nil {
		_, err = w.Write(lines)
	}
	return err
}

type jsonKit struct {
	Kit             string               `json:"kit"`
	Lot             string               `json:"lot,omitempty"`
	Supplier        string               `json:"supplier,omitempty"`
	Verdict         string               `json:"verdict"`
	Characteristics []jsonCharacteristic `json:"characteristics"`
	Swing           *jsonSwing           `json:"swing,omitempty"`
	Suspects        []jsonSuspect        `json:"suspects"`
	Warnings        []string             `json:"warnings"`
	Odd             []jsonPlace          `json:"cannot_be_so,omitempty"`
	Way             string               `json:"way,omitempty"`
	Readings        int                  `json:"readings"`
	DOF             int                  `json:"dof"`
	ChiSquare       float64              `json:"chi_square"`
	Scale           float64              `json:"scale"`
	Assumed         []string             `json:"assumed_gauges,omitempty"`
	Remedy          *jsonAdvice          `json:"remedy,omitempty"`

	Terms  json.RawMessage `json:"terms,omitempty"`
	Gauges []jsonTool      `json:"gauges,omitempty"`
	Aim    []string        `json:"aim,omitempty"`
	People []string        `json:"read_by,omitempty"`
}

type jsonCharacteristic struct {
	Name        string   `json:"name"`
	Value       *float64 `json:"value,omitempty"`
	U           *float64 `json:"u,omitempty"`        // standard uncertainty
	UCommon     float64  `json:"u_common,omitempty"` // of it what the gauges' maximum errors bring, common to all kits
	Unit        string   `json:"unit"`
	Lower       *float64 `json:"lower,omitempty"`
	Upper       *float64 `json:"upper,omitempty"`
	P           *float64 `json:"p,omitempty"`
	Verdict     string   `json:"verdict"`
	Class       string   `json:"class,omitempty"`
	LimitSource string   `json:"limit_source,omitempty"`
	Basis       string   `json:"basis,omitempty"`
	Advice      string   `json:"advice,omitempty"`
	Missing     string   `json:"missing,omitempty"`
}

type jsonSwing struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// jsonPlace is the first row of what cannot be so.
type jsonPlace struct {
	File string `json:"file"`
	Line int    `json:"line"`
}

// jsonRow is where a reading stands that disagrees with others, and lines of those that may be wrong instead.
type jsonRow struct {
	jsonPlace
	Or []int `json:"or,omitempty"`
}

func jsonRows(list []delivery.Row) (rows []jsonRow) {
	for _, r := range list {
		rows = append(rows, jsonRow{jsonPlace{r.File, r.Line}, r.Or})
	}
	return rows
}

type jsonSuspect struct {
	File     string  `json:"file"`
	Line     int     `json:"line"`
	What     string  `json:"what"`
	W        float64 `json:"w"`
	Critical float64 `json:"critical"`
	Read     float64 `json:"read"`
	Expected float64 `json:"expected"`
	Or       []int   `json:"or,omitempty"` // lines of readings that may be meant instead
	Crooked  bool    `json:"crooked,omitempty"`
}

func jsonKitOf(r *fit.Result) *jsonKit {
	k := &jsonKit{
		Kit: r.Kit, Lot: r.Info.Lot, Supplier: r.Info.Supplier, Verdict: words.Verdict(r.Verdict),
		Characteristics: jsonCharacteristics(r), Suspects: make([]jsonSuspect, len(r.Suspects)), Warnings: words.Warnings(r),
		Way: words.Way(r.Way), Readings: r.Readings, DOF: r.DOF, ChiSquare: r.ChiSquare, Scale: r.Scale, People: r.People,
	}
	for i := range r.Nonsense {
		p := r.Nonsense[i].Row()
		k.Odd = append(k.Odd, jsonPlace{p.File, p.Line})
	}
	for i, s := range r.Suspects {
		k.Suspects[i] = jsonSuspect{s.Reading.Place.File, s.Reading.Place.Line, words.Reading(s.Reading), s.W, s.Critical, s.Read, s.Expected, nil, s.Crooked}
		for _, rival := range s.Rivals {
			k.Suspects[i].Or = append(k.Suspects[i].Or, rival.Place.Line)
		}
	}
	k.Assumed = words.WithAssumed(nil, r.Gauges)
	if r.Swing != nil {
		k.Swing = &jsonSwing{r.Swing.Low, r.Swing.High}
	}
	return k
}

func jsonCharacteristics(r *fit.Result) []jsonCharacteristic {
	all := make([]jsonCharacteristic, len(r.Characteristics))
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		j := jsonCharacteristic{
			Name: c.ID.String(), Unit: words.Unit(c), Lower: closed(&c.Lower), Upper: closed(&c.Upper),
			Verdict: words.Verdict(c.Verdict), Class: c.Class.String(), Basis: words.Basis(c.Basis), Advice: words.Advice(c), Missing: words.Missing(c.Missing),
		}
		if j.Lower != nil || j.Upper != nil {
			j.LimitSource = words.LimitSource(c.LimitSource)
		}
		if c.Measured() {
			j.Value, j.U, j.UCommon = &c.Value, &c.StdUncertainty, c.Common
		}
		if words.Judged(c) {
			j.P = &c.P
		}
		all[i] = j
	}
	return all
}

// closed is a limit, or nil for an open end.
func closed(limit *float64) *float64 {
	if math.IsInf(*limit, 0) {
		return nil
	}
	return limit
}

// list is never null in JSON.
func list(texts []string) []string { return append([]string{}, texts...) }
