package measure

import (
	"fmt"
	"io"
	"strings"
)

// StockKind is what a piece on the shelf is for.
type StockKind uint8

// The kinds of stock. The zero StockKind is none.
const (
	NoStock    StockKind = iota
	SideStock            // veneer and the like, to glue beside the heel
	WedgeStock           // tapered, to lay under the heel
	FloorStock           // flat, to lay under the heel
	PlugStock            // dowels and face-grain plugs, by diameter
	DrillStock           // bits, by diameter
)

var stockNames = []string{"", "side-shim", "wedge", "floor-shim", "plug", "drill"}

// String gives the word as the tables write it, and "" for none.
func (k StockKind) String() string { return nameOf(stockNames, int(k)) }

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

var stockTable = &table{"stock.csv", []column{{"kind", true}, {"size", true}, {"unit", false}, {"name", false}}}

// readStock reads a stock.csv. A kind that it names nowhere is not on the shelf.
func readStock(file string, in io.Reader, errs *collector) ([]Stock, error) {
	stock := []Stock{}
	lines := map[Stock]int{}
	err := readTable(stockTable, file, in, errs, func(w *stockRow, r *row) error {
		s := w.decode(r)
		key := Stock{Kind: s.Kind, Size: s.Size, Angle: s.Angle}
		if line, ok := lines[key]; ok && !r.bad {
			r.failCell("size", strings.TrimSpace(w.Size), fmt.Sprintf("of that kind is there already on line %d", line), "one row for each size")
		}
		if !r.bad {
			lines[key] = r.Line
			stock = append(stock, s)
		}
		return nil
	})
	return stock, err
}

func (w *stockRow) decode(r *row) Stock {
	s := Stock{Kind: StockKind(r.word("kind", w.Kind, stockNames)), Name: r.text("name", w.Name), Place: r.Place}
	if strings.TrimSpace(w.Size) == "" {
		r.fail("size", "size is blank", "a thickness or a diameter")
		return s
	}
	if u, ok := parseUnit(strings.TrimSpace(w.Unit)); ok && u == degrees {
		s.Angle, _ = r.positive("size", w.Size, &u)
		if s.Kind != WedgeStock && s.Kind != NoStock {
			r.failCell("unit", strings.TrimSpace(w.Unit), "does not go with kind "+s.Kind.String(), "mm or in")
		}
		return s
	}
	s.Size, _ = r.positive("size", w.Size, r.unit(w.Unit))
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
	const inch = 25.4
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
