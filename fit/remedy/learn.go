package remedy

import (
	"math"

	"neckfit/fit"
	"neckfit/measure"
)

// Compared is a characteristic as a plan predicted it and as it was measured after the work.
type Compared struct {
	ID                  fit.ID
	Before              float64 // as measured before the work
	Predicted, Measured fit.Characteristic
	En                  float64 // difference over its expanded uncertainty; see Compare
	Agrees              bool    // |En| <= 1
	Changed             bool    // the plan was to change it
}

// Compare holds what was measured after the work against what the plan predicted, for every
// characteristic that both have. En is the difference over the root of the sum of the squares of
// the two expanded uncertainties (k = 1.96), as laboratories are compared (ISO/IEC 17043): at most 1
// in 95 of 100 cases. Gauges used both times share their errors, which makes it smaller still.
//
// Hidden tells that a heel was set anew and the parts were measured apart, which does not show where:
// it must be measured in the pocket.
func Compare(before *fit.Result, p *Plan, after *fit.Result) (list []Compared, hidden bool) {
	const k = fit.Coverage
	for _, q := range p.Predicted {
		predicted := before.Characteristics[q.Index]
		one := Compared{ID: predicted.ID, Before: predicted.Value, Measured: after.Characteristics[q.Index], Changed: q.Changed}
		if !one.Measured.Measured() {
			continue
		}
		predicted.Value, predicted.StdUncertainty, predicted.P = q.Value, q.StdUncertainty, q.P
		one.Predicted = predicted
		u := math.Hypot(q.StdUncertainty, one.Measured.StdUncertainty)
		one.En = (one.Measured.Value - q.Value) / (k * max(u, leastStd))
		one.Agrees = math.Abs(one.En) <= 1
		list = append(list, one)
	}
	for _, a := range p.Actions {
		if a.Work == measure.Reseat && after.Way == fit.LooseParts {
			hidden = true
		}
	}
	return list, hidden
}

// Worked is a kit before the work, the plan that was carried out, and the kit measured again.
type Worked struct {
	Before, After *fit.Result
	Plan          *Plan
}

// Accuracy is how exactly a shop does a work, as costs.csv wants it: three standard deviations of what it
// sets, in mm, with the expanded uncertainty (k = 1.96) that so few kits leave.
type Accuracy struct {
	Work     measure.Work
	Kits     int
	Worst, U float64
}

// shows are the characteristics in which a work's own error shows and no other's. A bridge that is drilled
// anew is laid as exactly as one that is moved.
var shows = map[measure.Work]struct {
	as  measure.Work
	ids []fit.ID
}{
	measure.Reseat:      {measure.Reseat, []fit.ID{fit.CentreLineError}},
	measure.SideShim:    {measure.SideShim, []fit.ID{fit.PocketGapMouth, fit.PocketGapEnd}},
	measure.RelieveWall: {measure.RelieveWall, []fit.ID{fit.PocketGapMouth, fit.PocketGapEnd}},
	measure.EaseCorner:  {measure.EaseCorner, []fit.ID{fit.CornerReserve}},
	measure.PitchShim:   {measure.PitchShim, []fit.ID{fit.FretPlaneHeight}},
	measure.RiseShim:    {measure.RiseShim, []fit.ID{fit.FretPlaneHeight}},
	measure.BridgeMove:  {measure.BridgeMove, []fit.ID{fit.CentreLineError}},
	measure.PlugBridge:  {measure.BridgeMove, []fit.ID{fit.CentreLineError}},
}

// leastLearnt is how many kits say something of a work.
const leastLearnt = 4

// Learn finds how exactly works were done, from kits whose plan had that work alone: the squares of what was
// measured less what was planned, less what the readings of both times leave unknown, over what one unit of
// the work's error does. A hand that is more exact than the readings can tell has 0. Works of fewer than
// four kits are left out.
func Learn(list []Worked) []Accuracy {
	found := map[measure.Work][]float64{}
	for _, w := range list {
		if len(w.Plan.Actions) != 1 {
			continue
		}
		a := w.Plan.Actions[0]
		of, ok := shows[a.Work]
		if !ok || a.Std == 0 {
			continue
		}
		for _, q := range w.Plan.Predicted {
			before := &w.Before.Characteristics[q.Index]
			after := w.After.Find(before.ID)
			if !q.Changed || after == nil || !after.Measured() {
				continue
			}
			for _, id := range of.ids {
				hand := q.StdUncertainty*q.StdUncertainty - before.StdUncertainty*before.StdUncertainty
				if id != before.ID || !(hand > 0) {
					continue
				}
				// Per mm of the work's own standard deviation; a bridge's is of bridge-move.
				perUnit := hand / (a.Std * a.Std)
				if of.as != a.Work {
					perUnit = 1
				}
				off := after.Value - q.Value
				readings := before.StdUncertainty*before.StdUncertainty + after.StdUncertainty*after.StdUncertainty
				found[of.as] = append(found[of.as], (off*off-readings)/perUnit)
			}
		}
	}
	var out []Accuracy
	for _, work := range measure.Works() {
		squares := found[work]
		n := float64(len(squares))
		if len(squares) < leastLearnt {
			continue
		}
		mean, spread := 0.0, 0.0
		for _, s := range squares {
			mean += s / n
		}
		for _, s := range squares {
			spread += (s - mean) * (s - mean) / (n - 1)
		}
		std := math.Sqrt(max(0, mean))
		one := Accuracy{Work: work, Kits: len(squares), Worst: Worst * std}
		// of a variance so uncertain, the standard deviation's; near nothing it is the root of that itself
		of := fit.Coverage * math.Sqrt(spread/n)
		one.U = Worst * (math.Sqrt(max(0, mean)+of) - std)
		out = append(out, one)
	}
	return out
}
