package measure

import (
	"fmt"
	"io"
)

// kitRow is a row of kits.csv as it is written.
type kitRow struct {
	Kit         string `csv:"kit"`
	Lot         string `csv:"lot"`
	Supplier    string `csv:"supplier"`
	Hand        string `csv:"hand"`
	Strings     string `csv:"strings"`
	Frets       string `csv:"frets"`
	Scale       string `csv:"scale"`
	NutSpread   string `csv:"nut_spread"`
	Wood        string `csv:"wood"`
	NeckScrew   string `csv:"neck_screw"`
	BridgeScrew string `csv:"bridge_screw"`
	Action      string `csv:"action"`
	NutHeight   string `csv:"nut_height"`
	Unit        string `csv:"unit"`
}

var kitsTable = &table{"kits.csv", []column{
	{"kit", true}, {"lot", false}, {"supplier", false}, {"hand", false}, {"strings", false}, {"frets", false},
	{"scale", false}, {"nut_spread", false}, {"wood", false}, {"neck_screw", false}, {"bridge_screw", false},
	{"action", false}, {"nut_height", false}, {"unit", false},
}}

var handNames = []string{"", "right", "left"}

// readKits reads a kits.csv. It keeps every row, so its memory grows with that table.
func readKits(file string, in io.Reader, errs *collector) (map[string]Info, error) {
	infos := map[string]Info{}
	err := readTable(kitsTable, file, in, errs, func(w *kitRow, r *row) error {
		info := w.decode(r)
		if old, ok := infos[info.Kit]; ok && info.Kit != "" {
			r.failCell("kit", info.Kit, fmt.Sprintf("is there already on line %d", old.Place.Line), "one row for each kit")
			return nil
		}
		infos[info.Kit] = info
		return nil
	})
	return infos, err
}

func (w *kitRow) decode(r *row) Info {
	u := r.unit(w.Unit)
	info := Info{
		Kit: r.name("kit", w.Kit), Lot: r.text("lot", w.Lot), Supplier: r.text("supplier", w.Supplier), Wood: r.text("wood", w.Wood),
		LeftHanded: r.wordOrBlank("hand", w.Hand, handNames) == 2,
		Strings:    r.count("strings", w.Strings, "how many strings there are", maxString),
		Frets:      r.count("frets", w.Frets, "the last fret's number", maxFret),
		Place:      r.Place,
	}
	info.Scale, _ = r.positive("scale", w.Scale, u)
	info.NutSpread, _ = r.positive("nut_spread", w.NutSpread, u)
	info.NeckScrew, _ = r.positive("neck_screw", w.NeckScrew, u)
	info.BridgeScrew, _ = r.positive("bridge_screw", w.BridgeScrew, u)
	info.Action, _ = r.positive("action", w.Action, u)
	info.NutHeight, _ = r.positive("nut_height", w.NutHeight, u)
	return info
}
