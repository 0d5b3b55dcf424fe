package measure

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"

	"neckfit/measure/csvtext"
)

// Info is one row of kits.csv; lengths in millimetres, zero where not given.
type Info struct {
	Kit, Lot, Supplier, Wood string
	LeftHanded               bool
	Strings                  int     // number of strings
	Frets                    int     // number of the last fret
	Scale                    float64 // nominal scale length
	NutSpread                float64 // outer strings' distance at the nut, centre to centre
	NeckScrew, BridgeScrew   float64 // major diameters of the screws
	Action, NutHeight        float64 // of the strings over the fret plane, wanted at fret 12 and at the nut
	Place                    Place
}

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

var kitsTable = csvtext.NewTable[kitRow]("kits.csv", "kit")

// readKits reads a kits.csv. It keeps every row, so its memory grows with that table.
func readKits(file string, in io.Reader, errs *csvtext.Collector) (map[string]Info, error) {
	infos := map[string]Info{}
	err := read(kitsTable, file, in, errs, func(w *kitRow, r *csvtext.Row) {
		info := w.decode(r)
		if old, ok := infos[info.Kit]; ok && info.Kit != "" {
			r.FailCell("kit", info.Kit, fmt.Sprintf("is there already on line %d", old.Place.Line), "one row for each kit")
			return
		}
		infos[info.Kit] = info
	})
	return infos, err
}

func (w *kitRow) decode(r *csvtext.Row) Info {
	u := r.Unit(w.Unit)
	info := Info{
		Kit: r.Name("kit", w.Kit), Lot: r.Text("lot", w.Lot), Supplier: r.Text("supplier", w.Supplier), Wood: r.Text("wood", w.Wood),
		LeftHanded: r.WordOrBlank("hand", w.Hand, handWords) == 2,
		Strings:    r.Count("strings", w.Strings, "how many strings there are", maxString),
		Frets:      r.Count("frets", w.Frets, "the last fret's number", maxFret),
		Place:      r.Place,
	}
	info.Scale, _ = r.Positive("scale", w.Scale, u)
	info.NutSpread, _ = r.Positive("nut_spread", w.NutSpread, u)
	info.NeckScrew, _ = r.Positive("neck_screw", w.NeckScrew, u)
	info.BridgeScrew, _ = r.Positive("bridge_screw", w.BridgeScrew, u)
	info.Action, _ = r.Positive("action", w.Action, u)
	info.NutHeight, _ = r.Positive("nut_height", w.NutHeight, u)
	return info
}

// WriteKits writes a kits.csv in mm.
func WriteKits(out io.Writer, infos []Info) error {
	var n csvtext.Numbers
	rows := make([]kitRow, len(infos))
	for i, k := range infos {
		hand := 1
		if k.LeftHanded {
			hand = 2
		}
		length := func(x float64) string { return n.ExactIf(x != 0, x) }
		rows[i] = kitRow{
			k.Kit, k.Lot, k.Supplier, handWords.Name(hand), csvtext.Count(k.Strings), csvtext.Count(k.Frets),
			length(k.Scale), length(k.NutSpread), k.Wood, length(k.NeckScrew), length(k.BridgeScrew),
			length(k.Action), length(k.NutHeight), csvtext.Millimetres.String(),
		}
	}
	return write(out, rows, n)
}

// Strings maps a string's number (1 = highest pitched) to its compensation, the length in
// millimetres that is added to the scale length for that string.
type Strings map[int]float64

// StringSpec is what is known of a string itself, from which its compensation can be worked out.
type StringSpec struct {
	Core       float64 // diameter of the steel core, mm
	UnitWeight float64 // mass per length, g/m
	Pitch      float64 // of the open string, Hz
}

// stringRow is a row of strings.csv as it is written.
type stringRow struct {
	String       string `csv:"string"`
	Compensation string `csv:"compensation"`
	Core         string `csv:"core"`
	UnitWeight   string `csv:"unit_weight"`
	Pitch        string `csv:"pitch"`
	Unit         string `csv:"unit"`
}

var stringsTable = csvtext.NewTable[stringRow]("strings.csv", "string")

const expectedString = "a string's number (1 is the highest pitched)"

// stringSet is strings.csv: compensations as given, and the strings that are described instead.
type stringSet struct {
	compensation Strings
	specs        map[int]StringSpec
}

// readStrings reads a strings.csv.
func readStrings(file string, in io.Reader, errs *csvtext.Collector) (stringSet, error) {
	all := stringSet{Strings{}, map[int]StringSpec{}}
	lines := map[int]int{}
	err := read(stringsTable, file, in, errs, func(w *stringRow, r *csvtext.Row) {
		n := r.Count("string", w.String, expectedString, maxString)
		if w.String == "" {
			r.Fail("string", "string is blank", expectedString)
		}
		if line, ok := lines[n]; ok && n > 0 {
			r.FailCell("string", w.String, fmt.Sprintf("is there already on line %d", line), "one row for each string")
		}
		lines[n] = r.Line
		w.decode(n, r, &all)
	})
	return all, err
}

// decode takes the compensation as given, or core, unit weight and pitch, all three.
func (w *stringRow) decode(n int, r *csvtext.Row, all *stringSet) {
	u := r.Unit(w.Unit)
	x, given := r.Number("compensation", w.Compensation, u)
	var s StringSpec
	var core, weight, pitch bool
	s.Core, core = r.Positive("core", w.Core, u)
	s.UnitWeight, weight = r.Plain("unit_weight", w.UnitWeight, "a mass in grams per metre such as 5.8")
	s.Pitch, pitch = r.Plain("pitch", w.Pitch, "a frequency in hertz such as 41.2")
	switch {
	case given:
		all.compensation[n] = x
	case core && weight && pitch:
		all.specs[n] = s
	case w.Compensation == "":
		r.Fail("compensation", "compensation is blank", "a length, or core, unit_weight and pitch, from which it follows")
	}
}

// WriteStrings writes a strings.csv in mm, string 1 first.
func WriteStrings(out io.Writer, s Strings) error {
	var n csvtext.Numbers
	rows := make([]stringRow, 0, len(s))
	for _, i := range slices.Sorted(maps.Keys(s)) {
		rows = append(rows, stringRow{String: strconv.Itoa(i), Compensation: n.Exact(s[i]), Unit: csvtext.Millimetres.String()})
	}
	return write(out, rows, n)
}
