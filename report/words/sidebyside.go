package words

import (
	"fmt"
	"math"

	"neckfit/fit"
	"neckfit/fit/remedy"
)

// PlanColumns head the table that sets the plans of a kit side by side, one of each kind.
var PlanColumns = []string{"remedy", "all then passes", "held down by", "minutes", "expected", "can be undone", "if the heel slips", "in sight"}

// PlanCells are a plan's row of that table.
func PlanCells(p *remedy.Plan) []string {
	passes, weakest := "–", "–"
	if p.Level != remedy.Returned {
		passes = Percent(p.P)
		if p.Weakest.P < fit.Confidence {
			weakest = p.Weakest.ID.String() + ", " + Percent(p.Weakest.P)
		}
	}
	slips := "–"
	if p.Swing != nil {
		worst := p.Swing.Low
		if math.Abs(p.Swing.High) > math.Abs(worst) {
			worst = p.Swing.High
		}
		slips = Sideways(worst)
	}
	return []string{Plan(p), passes, weakest, fmt.Sprintf("%.0f", p.Minutes), fmt.Sprintf("%.0f", p.Expected), undone(p.Level), slips, inSight(p)}
}

// undone says whether what a plan does can be undone.
func undone(l remedy.Level) string {
	return [...]string{"nothing is done", "yes", "no, wood is cut", "no, holes are plugged", "yes, it goes back"}[l]
}

// inSight says what a plan leaves to be seen of the holes that it plugs.
func inSight(p *remedy.Plan) string {
	if p.Drilling == nil {
		return "nothing"
	}
	plugs, hidden, seen := 0, 0, 0
	for i := range p.Drilling.Holes {
		h := &p.Drilling.Holes[i]
		if h.Work != remedy.PlugFirst {
			continue
		}
		plugs++
		switch h.Sight {
		case remedy.UnderPlate:
			hidden++
		case remedy.InSight:
			seen++
		case remedy.NoSight:
		}
	}
	switch {
	case plugs == hidden:
		return "nothing"
	case seen > 0:
		return Amount(seen, "plug", "plugs")
	}
	return Amount(plugs-hidden, "plug", "plugs") + " where no plate covers them"
}

// PlanTableNote says what the columns of that table are.
const PlanTableNote = "One plan of each kind. Held down by: what is least likely to pass by itself. Expected: minutes with measuring again, the price of what cannot be undone, and what comes next where it fails. " +
	"If the heel slips: the farthest that the bridge may then lie from the neck's centre line."
