// Package delivery judges a delivery of checked kits lot by lot: what passes, what fails most,
// whether the supplier's process is steady and capable, how much of the spread is our own measuring,
// and whether the lot is to be accepted, sent back or sorted. It takes a few numbers of each kit, so
// that kits checked on several machines are judged as one; the statistics are fit/lot's.
package delivery

import (
	"neckfit/fit"
	"neckfit/measure"
)

// Kit is what is kept of a checked kit.
type Kit struct {
	Name, Lot, Supplier string
	Verdict             fit.Verdict
	Found               []Found // what was measured, in the order of the catalogue
}

// Found is one measured characteristic, in mm or degrees.
type Found struct {
	Name           string
	Dimension      measure.Dimension
	Class          measure.Class
	Lower, Upper   float64 // an open end is an infinity
	Value          float64
	StdUncertainty float64
	// Common is the part of the uncertainty that all kits read with the same gauges share, so that
	// it does not spread them: the gauges' maximum errors.
	Common  float64
	Verdict fit.Verdict
}

// Of keeps of a result what a delivery is judged by.
func Of(r *fit.Result) Kit {
	k := Kit{Name: r.Kit, Lot: r.Info.Lot, Supplier: r.Info.Supplier, Verdict: r.Verdict}
	for i := range r.Characteristics {
		c := &r.Characteristics[i]
		if c.Verdict == fit.NotMeasured {
			continue
		}
		k.Found = append(k.Found, Found{
			Name: c.ID.String(), Dimension: c.Dimension, Class: c.Class, Lower: c.Lower, Upper: c.Upper,
			Value: c.Value, StdUncertainty: c.StdUncertainty, Common: c.Common, Verdict: c.Verdict,
		})
	}
	return k
}
