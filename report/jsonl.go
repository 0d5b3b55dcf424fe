package report

import (
	"encoding/json"
	"io"
	"math"

	"neckfit/fit"
	"neckfit/report/words"
)

// NewJSONL writes JSON Lines: one object a kit, on one line, as soon as Kit is called. Lengths are
// in mm, angles in degrees; numbers are the shortest decimals that read back as the same floats. An
// open limit, and whatever else is not known, is left out.
func NewJSONL(w io.Writer) Writer {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return &jsonl{e}
}

type jsonl struct{ out *json.Encoder }

type jsonKit struct {
	Kit             string               `json:"kit"`
	Lot             string               `json:"lot,omitempty"`
	Supplier        string               `json:"supplier,omitempty"`
	Verdict         string               `json:"verdict"`
	Characteristics []jsonCharacteristic `json:"characteristics"`
	Swing           *jsonSwing           `json:"swing,omitempty"`
	Suspects        []jsonSuspect        `json:"suspects"`
	Warnings        []string             `json:"warnings"`
	Way             string               `json:"way,omitempty"`
	Readings        int                  `json:"readings"`
	DOF             int                  `json:"dof"`
	ChiSquare       float64              `json:"chi_square"`
	Scale           float64              `json:"scale"`
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

type jsonSuspect struct {
	File     string  `json:"file"`
	Line     int     `json:"line"`
	What     string  `json:"what"`
	W        float64 `json:"w"`
	Critical float64 `json:"critical"`
	Read     float64 `json:"read"`
	Expected float64 `json:"expected"`
}

func (j *jsonl) Kit(r *fit.Result) error {
	if err := Check(r); err != nil {
		return err
	}
	k := jsonKit{
		Kit: r.Kit, Lot: r.Info.Lot, Supplier: r.Info.Supplier, Verdict: words.Verdict(r.Verdict),
		Characteristics: make([]jsonCharacteristic, len(r.Characteristics)),
		Suspects:        make([]jsonSuspect, len(r.Suspects)),
		Warnings:        append([]string{}, r.Warnings...), // an empty list and not null
		Way:             words.Way(r.Way), Readings: r.Readings, DOF: r.DOF, ChiSquare: r.ChiSquare, Scale: r.Scale,
	}
	for i := range r.Characteristics {
		k.Characteristics[i] = jsonOf(&r.Characteristics[i])
	}
	for i, s := range r.Suspects {
		k.Suspects[i] = jsonSuspect{s.Place.File, s.Place.Line, s.What, s.W, s.Critical, s.Read, s.Expected}
	}
	if r.Swing != nil {
		k.Swing = &jsonSwing{r.Swing.Low, r.Swing.High}
	}
	return j.out.Encode(&k)
}

func (j *jsonl) Close() error { return nil }

func jsonOf(c *fit.Characteristic) jsonCharacteristic {
	j := jsonCharacteristic{
		Name: c.ID.String(), Unit: words.Unit(c), Lower: closed(c.Lower), Upper: closed(c.Upper),
		Verdict: words.Verdict(c.Verdict), Class: c.Class.String(), Basis: c.Basis, Advice: c.Advice, Missing: c.Missing,
	}
	if j.Lower != nil || j.Upper != nil {
		j.LimitSource = c.LimitSource
	}
	if words.Measured(c) {
		j.Value, j.U, j.UCommon = &c.Value, &c.StdUncertainty, c.Common
	}
	if words.Judged(c) {
		j.P = &c.P
	}
	return j
}

// closed is a limit, or nil for an open end.
func closed(limit float64) *float64 {
	if math.IsInf(limit, 0) {
		return nil
	}
	return &limit
}
