package measure

import (
	"fmt"
	"io"
)

// Cost is one row of costs.csv: what a work takes, and how exactly it is done.
type Cost struct {
	Work    Work
	Minutes float64 // each time
	Worst   float64 // mm; how far off at the worst, three standard deviations of what it sets, each way
	Place   Place   // zero for a built-in cost
}

// costRow is a row of costs.csv as it is written.
type costRow struct {
	Work    string `csv:"work"`
	Minutes string `csv:"minutes"`
	Worst   string `csv:"worst"`
	Unit    string `csv:"unit"`
}

var costsTable = &table{"costs.csv", []column{{"work", true}, {"minutes", true}, {"worst", false}, {"unit", false}}}

// readCosts reads a costs.csv.
func readCosts(file string, in io.Reader, errs *collector) ([]Cost, error) {
	var costs []Cost
	lines := map[Work]int{}
	err := readTable(costsTable, file, in, errs, func(w *costRow, r *row) error {
		c := w.decode(r)
		if line, ok := lines[c.Work]; ok && c.Work != NoWork {
			r.failCell("work", c.Work.String(), fmt.Sprintf("is there already on line %d", line), "one row for each")
		}
		lines[c.Work] = r.Line
		if !r.bad {
			costs = append(costs, c)
		}
		return nil
	})
	return costs, err
}

// decode takes the built-in accuracy where there is none.
func (w *costRow) decode(r *row) Cost {
	c := Cost{Work: Work(r.word("work", w.Work, workNames)), Place: r.Place}
	c.Worst = builtInCost(c.Work).Worst
	plain := millimetres // a plain number: minutes are no length
	minutes, ok := r.notNegative("minutes", w.Minutes, &plain)
	if !ok && !r.bad {
		r.fail("minutes", "minutes is blank", "a number of minutes")
	}
	c.Minutes = minutes
	if worst, ok := r.notNegative("worst", w.Worst, r.unit(w.Unit)); ok {
		c.Worst = worst
	}
	return c
}

func builtInCost(w Work) Cost {
	for _, c := range BuiltInCosts() {
		if c.Work == w {
			return c
		}
	}
	return Cost{}
}

// BuiltInCosts hold where costs.csv has no row. All of them are common practice, no source: no page
// read gives minutes or accuracies. Worst is, by work: re-seat, where the heel comes to lie at the
// pocket's mouth and at its end; shims, their thickness; bridge-move, where the bridge comes to lie
// at each end of its plate; ream-screws, nothing; ease-corner, the radius; relieve-wall, the depth; level-floor, what
// is left of the unevenness;
// plugs, where a hole comes to lie, along and across.
func BuiltInCosts() []Cost {
	return []Cost{
		{Work: Leave},
		{Work: Reseat, Minutes: 10, Worst: 0.1},
		{Work: SideShim, Minutes: 20, Worst: 0.05},
		{Work: PitchShim, Minutes: 20, Worst: 0.05},
		{Work: RiseShim, Minutes: 15, Worst: 0.05},
		{Work: BridgeMove, Minutes: 15, Worst: 0.25},
		{Work: ReamScrews, Minutes: 10},
		{Work: EaseCorner, Minutes: 15, Worst: 0.5},
		{Work: RelieveWall, Minutes: 30, Worst: 0.1},
		{Work: LevelFloor, Minutes: 20, Worst: 0.1},
		{Work: PlugNeck, Minutes: 60, Worst: 0.3},
		{Work: PlugStrings, Minutes: 75, Worst: 0.3},
		{Work: PlugBridge, Minutes: 90, Worst: 0.3},
		{Work: SendBack, Minutes: 30},
	}
}
