package measure

import (
	"fmt"
	"io"

	"neckfit/measure/csvtext"
)

// Stock is one row of stock.csv.
type Stock struct {
	Kind  StockKind
	Size  float64 // mm: thickness or diameter; of a wedge its thickness at the thick end, from mouth to end of the pocket
	Angle float64 // degrees; of a wedge that is sold by its angle, and then Size is 0
	Name  string
	Place Place // zero for a built-in piece
}

// stockRow is a row of stock.csv as it is written.
type stockRow struct {
	Kind string `csv:"kind"`
	Size string `csv:"size"`
	Unit string `csv:"unit"`
	Name string `csv:"name"`
}

var stockTable = csvtext.NewTable[stockRow]("stock.csv", "kind", "size")

// readStock reads a stock.csv. A kind that it names nowhere is not on the shelf.
func readStock(file string, in io.Reader, errs *csvtext.Collector) ([]Stock, error) {
	stock := []Stock{}
	lines := map[Stock]int{}
	err := read(stockTable, file, in, errs, func(w *stockRow, r *csvtext.Row) {
		s := w.decode(r)
		key := Stock{Kind: s.Kind, Size: s.Size, Angle: s.Angle}
		if line, ok := lines[key]; ok && !r.Bad {
			r.FailCell("size", w.Size, fmt.Sprintf("of that kind is there already on line %d", line), "one row for each size")
		}
		if !r.Bad {
			lines[key] = r.Line
			stock = append(stock, s)
		}
	})
	return stock, err
}

func (w *stockRow) decode(r *csvtext.Row) Stock {
	s := Stock{Kind: StockKind(r.Word("kind", w.Kind, stockWords)), Name: r.Text("name", w.Name), Place: r.Place}
	if w.Size == "" {
		r.Fail("size", "size is blank", "a thickness or a diameter")
		return s
	}
	if u, ok := csvtext.ParseUnit(w.Unit); ok && u == csvtext.Degrees {
		s.Angle, _ = r.Positive("size", w.Size, u)
		if s.Kind != WedgeStock && s.Kind != NoStock {
			r.FailCell("unit", w.Unit, "does not go with kind "+s.Kind.String(), "mm or in")
		}
		return s
	}
	s.Size, _ = r.Positive("size", w.Size, r.Unit(w.Unit))
	return s
}

// BuiltInStock is the shelf that holds where there is no stock.csv.
//
// Veneer of 0.5 to 0.6 mm, and a card, are what the trade packs pockets with; veneer of 1/32 in, the
// sheet of 1 mm and paper are common practice, no source. Wedges of 0.25 to 1 degree: common
// practice, no source. Plugs of 3/16 in and 1/4 in are sizes met in repairs of this kind, the
// others ordinary dowel sizes; bits go by tenths of a millimetre up to 4 mm, by
// quarters above.
func BuiltInStock() []Stock {
	stock := []Stock{
		{Kind: SideStock, Size: 0.1, Name: "paper"}, {Kind: SideStock, Size: 0.25, Name: "card"},
		{Kind: SideStock, Size: 0.5, Name: "veneer"}, {Kind: SideStock, Size: 0.6, Name: "veneer"},
		{Kind: SideStock, Size: inch / 32, Name: "veneer 1/32 in"}, {Kind: SideStock, Size: 1, Name: "veneer, thick"},
		{Kind: WedgeStock, Angle: 0.25, Name: "full wedge"}, {Kind: WedgeStock, Angle: 0.5, Name: "full wedge"},
		{Kind: WedgeStock, Angle: 0.75, Name: "full wedge"}, {Kind: WedgeStock, Angle: 1, Name: "full wedge"},
		{Kind: FloorStock, Size: 0.25, Name: "card"}, {Kind: FloorStock, Size: 0.5, Name: "veneer"},
		{Kind: FloorStock, Size: inch / 32, Name: "veneer 1/32 in"}, {Kind: FloorStock, Size: 1.5, Name: "maple sheet"},
		{Kind: PlugStock, Size: 4, Name: "plug"}, {Kind: PlugStock, Size: inch * 3 / 16, Name: "plug 3/16 in"},
		{Kind: PlugStock, Size: 6, Name: "plug"}, {Kind: PlugStock, Size: inch / 4, Name: "plug 1/4 in"},
		{Kind: PlugStock, Size: 8, Name: "plug"}, {Kind: PlugStock, Size: 10, Name: "plug"}, {Kind: PlugStock, Size: 12, Name: "plug"},
	}
	for tenth := 10; tenth <= 40; tenth++ {
		stock = append(stock, Stock{Kind: DrillStock, Size: float64(tenth) / 10, Name: "bit"})
	}
	for quarter := 17; quarter <= 48; quarter++ {
		stock = append(stock, Stock{Kind: DrillStock, Size: float64(quarter) / 4, Name: "bit"})
	}
	return stock
}

// WriteStock writes a stock.csv in mm, wedges by their angle in degrees.
func WriteStock(out io.Writer, stock []Stock) error {
	var n csvtext.Numbers
	rows := make([]stockRow, len(stock))
	for i, s := range stock {
		size, unit := s.Size, csvtext.Millimetres
		if s.Angle > 0 {
			size, unit = s.Angle, csvtext.Degrees
		}
		rows[i] = stockRow{s.Kind.String(), n.Exact(size), unit.String(), s.Name}
	}
	return write(out, rows, n)
}

// Cost is one row of costs.csv: what a work takes, and how exactly it is done.
type Cost struct {
	Work    Work
	Minutes float64 // each time
	Price   float64 // in minutes too: what it costs that the work cannot be undone
	Worst   float64 // mm; how far off at the worst, three standard deviations of what it sets, each way
	Place   Place   // zero for a built-in cost
}

// costRow is a row of costs.csv as it is written.
type costRow struct {
	Work    string `csv:"work"`
	Minutes string `csv:"minutes"`
	Worst   string `csv:"worst"`
	Unit    string `csv:"unit"`
	Price   string `csv:"price"`
}

var costsTable = csvtext.NewTable[costRow]("costs.csv", "work", "minutes")

// readCosts reads a costs.csv.
func readCosts(file string, in io.Reader, errs *csvtext.Collector) ([]Cost, error) {
	var costs []Cost
	lines := map[Work]int{}
	err := read(costsTable, file, in, errs, func(w *costRow, r *csvtext.Row) {
		c := w.decode(r)
		if line, ok := lines[c.Work]; ok && c.Work != NoWork {
			r.FailCell("work", c.Work.String(), fmt.Sprintf("is there already on line %d", line), "one row for each")
		}
		lines[c.Work] = r.Line
		if !r.Bad {
			costs = append(costs, c)
		}
	})
	return costs, err
}

// decode takes the built-in accuracy and price where there is none.
func (w *costRow) decode(r *csvtext.Row) Cost {
	c := Cost{Work: Work(r.Word("work", w.Work, costWords)), Place: r.Place}
	c.Worst, c.Price = builtInCost(c.Work).Worst, builtInCost(c.Work).Price
	minutes, ok := r.NotNegative("minutes", w.Minutes, csvtext.Millimetres) // which leave a plain number alone
	if !ok && !r.Bad {
		r.Fail("minutes", "minutes is blank", "a number of minutes")
	}
	c.Minutes = minutes
	if price, ok := r.NotNegative("price", w.Price, csvtext.Millimetres); ok {
		c.Price = price
	}
	if worst, ok := r.NotNegative("worst", w.Worst, r.Unit(w.Unit)); ok {
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
// read gives minutes, accuracies or prices. Worst is, by work: re-seat, where the heel comes to lie at the
// pocket's mouth and at its end; shims, their thickness; bridge-move, where the bridge comes to lie
// at each end of its plate; ream-screws and slots, nothing; ease-corner and square-corner, the radius; relieve-wall
// and deepen-floor, the depth; level-floor, what is left of the unevenness; trim-heel, the length; plug-neck and plug-bridge, where a
// hole comes to lie, along and across, when it is marked through the part that it is for, by a punch that
// fills its hole; plug-strings likewise, by a template. Prices are what it takes to make good again what was cut or drilled,
// were it wrong: a corner or a hole that is opened is filled in 20 minutes, a wall is packed again in the time of two shims,
// new holes are plugged and drilled once more; so they are somewhat more than the work itself. A part that goes back costs
// a working day in all: half an hour to pack it, the rest for freight and for what waits on the bench meanwhile. The price of
// scrap is what a part is worth that can no longer be returned, since its wood was cut; that of snug what it costs
// besides that a wall of a pocket is scraped that fits as it is: were that wrong, it is filled and cut anew, half a working
// day; that of hour is what an hour costs, in money, and not known.
func BuiltInCosts() []Cost {
	return []Cost{
		{Work: Leave},
		{Work: ReadAgain, Minutes: 10},
		{Work: Reseat, Minutes: 10, Worst: 0.1},
		{Work: SideShim, Minutes: 20, Price: 5, Worst: 0.05},
		{Work: PitchShim, Minutes: 20, Worst: 0.05},
		{Work: RiseShim, Minutes: 15, Worst: 0.05},
		{Work: BridgeMove, Minutes: 15, Worst: 0.25},
		{Work: ReamScrews, Minutes: 10, Price: 20},
		{Work: SlotScrews, Minutes: 20, Price: 30},
		{Work: EaseCorner, Minutes: 15, Price: 20, Worst: 0.5},
		{Work: SquareCorner, Minutes: 20, Price: 25, Worst: 0.3},
		{Work: SlotStrings, Minutes: 20, Price: 20},
		{Work: SlotBridge, Minutes: 40, Price: 60},
		{Work: RelieveWall, Minutes: 30, Price: 45, Worst: 0.1},
		{Work: LevelFloor, Minutes: 20, Price: 20, Worst: 0.1},
		{Work: DeepenFloor, Minutes: 60, Price: 100, Worst: 0.15},
		{Work: TrimHeel, Minutes: 40, Price: 60, Worst: 0.3},
		{Work: PlugNeck, Minutes: 60, Price: 90, Worst: 0.2},
		{Work: PlugStrings, Minutes: 75, Price: 120, Worst: 0.3},
		{Work: PlugBridge, Minutes: 90, Price: 150, Worst: 0.15},
		{Work: SendBack, Minutes: 30, Price: 450},
		{Work: Hour, Minutes: 60},
		{Work: Scrap, Price: 600},
		{Work: Snug, Price: 240},
	}
}

// WriteCosts writes a costs.csv in mm.
func WriteCosts(out io.Writer, costs []Cost) error {
	var n csvtext.Numbers
	rows := make([]costRow, len(costs))
	for i, c := range costs {
		rows[i] = costRow{c.Work.String(), n.Exact(c.Minutes), n.Exact(c.Worst), csvtext.Millimetres.String(), n.Exact(c.Price)}
	}
	return write(out, rows, n)
}
