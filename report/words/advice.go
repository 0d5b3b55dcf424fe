package words

import (
	"fmt"
	"math"
	"strconv"

	"neckfit/fit"
	"neckfit/measure"
)

// Advice tells what would decide an unsure characteristic; empty where there is nothing to decide.
func Advice(c *fit.Characteristic) string {
	a := &c.Advice
	// finestStep is what the gauges of a bench show: no U below it is to be had.
	const finestStep = 0.01 // mm, degrees
	if needed := a.Kind == fit.SmallerU || a.Kind == fit.BetterGauge; needed && Coverage*a.U < finestStep {
		return "it lies so near the limit that no gauge of a bench can decide it"
	}
	switch a.Kind {
	case fit.OnLimit:
		return "it lies on the limit: no measurement can decide it"
	case fit.SmallerU:
		return fmt.Sprintf("a finer gauge, that brings U to %s %s", short(Coverage*a.U), Unit(c))
	case fit.Repeat:
		return fmt.Sprintf("read %s %d times", readings(a.Readings[:]), a.Times)
	case fit.RepeatMost:
		return fmt.Sprintf("read the %d readings that weigh most %d times, first of all %s", a.Count, a.Times, readings(a.Readings[:2]))
	case fit.BetterGauge:
		return fmt.Sprintf("a finer gauge, that brings U to %s %s; %d repeats would not do it", short(Coverage*a.U), Unit(c), a.Times)
	}
	return ""
}

// readings names readings with their lines.
func readings(list []*measure.Reading) string {
	text := ""
	for i, r := range list {
		if r == nil {
			break
		}
		switch {
		case i == 0:
		case i+1 == len(list) || list[i+1] == nil:
			text += " and "
		default:
			text += ", "
		}
		text += Reading(r) + " (line " + strconv.Itoa(r.Place.Line) + ")"
	}
	return text
}

// Warning tells what to know before trusting a result.
func Warning(w fit.Warning) string {
	switch w.Kind {
	case fit.ReworkedOnly:
		return "judged by what was read after the work (stage reworked); what was read before is left out"
	case fit.NoFit:
		return "no fit: " + w.Err.Error()
	case fit.NoCircle:
		return "the points on a corner do not lie on a circle; read its radius with a gauge"
	case fit.AlongNeck:
		return "no fingerboard edge was read with the frets: their straightedge is taken to lie along the neck"
	case fit.Fanned:
		longer, shorter := "bass", "treble"
		if w.Ratio < 0 {
			longer, shorter = shorter, longer
		}
		return fmt.Sprintf("the frets are fanned by %.0f mm more than kits.csv tells: along the %s edge they follow a longer scale than along the %s (scale_bass, scale_treble and straight_fret in kits.csv)",
			math.Abs(w.Ratio), longer, shorter)
	case fit.ScaledUp:
		return fmt.Sprintf("the readings differ among themselves by %.1f times what their gauges claim; all uncertainties are raised by as much", w.Ratio)
	case fit.NoCompensation:
		return fmt.Sprintf("no compensation is built in for %d strings: saddle reserves are for the bare scale length (strings.csv sets it)", w.Strings)
	}
	return ""
}

// Warnings are all of a result's, what cannot be so first.
func Warnings(r *fit.Result) []string {
	list := Nonsenses(r)
	for _, w := range r.Warnings {
		list = append(list, Warning(w))
	}
	return list
}
