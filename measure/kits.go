package measure

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"neckfit/measure/csvtext"
)

// Info is one row of kits.csv; lengths in millimetres, zero where not given.
type Info struct {
	Kit, Lot, Supplier, Wood string
	LeftHanded               bool
	Strings                  int     // number of strings
	Frets                    int     // number of the last fret
	Scale                    float64 // nominal scale length
	ScaleBass, ScaleTreble   float64 // of fanned frets, the outer strings' own
	StraightFret             int     // of fanned frets the one that is square to the centre line; 0 for the nut
	ZeroFret                 bool    // the strings leave a fret at the nut, so that their height there is nothing
	BoardRadius              float64 // of the fingerboard's crown across, infinite for one that is told to be flat
	NutSpread                float64 // outer strings' distance at the nut, centre to centre
	NeckScrew, BridgeScrew   float64 // major diameters of the screws
	Action, NutHeight        float64 // of the strings over the fret plane, wanted at fret 12 and at the nut

	Saddles SaddleMove // how the bridge's saddles can be set
	Slant   float64    // of the row of saddles by the bridge's own design: the outer bass saddle farther back

	BodyThickness                 float64
	NeckScrewLength, NeckCore     float64  // of the neck's screws: under the head, and the core's diameter
	BridgeScrewLength, BridgeCore float64  // of the bridge's
	Aim                           []string // the characteristics that are wanted of this kit; nil for all
	Place                         Place
}

// SaddleMove is how a bridge's saddles can be set along the strings.
type SaddleMove uint8

// The ways.
const (
	SaddleEach  SaddleMove = iota // each string's by itself
	SaddlePairs                   // two strings' together: 1 and 2, 3 and 4
	SaddleFixed                   // not at all
)

// flat is the radius of a fingerboard that has none.
const flat = "flat"

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

	ScaleBass         string `csv:"scale_bass"`
	ScaleTreble       string `csv:"scale_treble"`
	StraightFret      string `csv:"straight_fret"`
	ZeroFret          string `csv:"zero_fret"`
	BoardRadius       string `csv:"board_radius"`
	Saddles           string `csv:"saddles"`
	Slant             string `csv:"slant"`
	BodyThickness     string `csv:"body_thickness"`
	NeckScrewLength   string `csv:"neck_screw_length"`
	NeckCore          string `csv:"neck_screw_core"`
	BridgeScrewLength string `csv:"bridge_screw_length"`
	BridgeCore        string `csv:"bridge_screw_core"`
	Aim               string `csv:"aim"`

	Unit string `csv:"unit"`
}

var kitsTable = csvtext.NewTable[kitRow]("kits.csv", "kit")

// readKits reads a kits.csv; known are the characteristics that it may aim at. It keeps every row, so its
// memory grows with that table.
func readKits(file string, in io.Reader, errs *csvtext.Collector, known map[string]Dimension) (map[string]Info, error) {
	infos := map[string]Info{}
	err := read(kitsTable, file, in, errs, func(w *kitRow, r *csvtext.Row) {
		info := w.decode(r, known)
		if old, ok := infos[info.Kit]; ok && info.Kit != "" {
			r.FailCell("kit", info.Kit, fmt.Sprintf("is there already on line %d", old.Place.Line), "one row for each kit")
			return
		}
		infos[info.Kit] = info
	})
	return infos, err
}

func (w *kitRow) decode(r *csvtext.Row, known map[string]Dimension) Info {
	u := r.Unit(w.Unit)
	info := Info{
		Kit: r.ID("kit", w.Kit), Lot: r.Text("lot", w.Lot), Supplier: r.Text("supplier", w.Supplier), Wood: r.Text("wood", w.Wood),
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
	info.ScaleBass, _ = r.Positive("scale_bass", w.ScaleBass, u)
	info.ScaleTreble, _ = r.Positive("scale_treble", w.ScaleTreble, u)
	if (w.ScaleBass == "") != (w.ScaleTreble == "") {
		r.Fail("scale_bass", "scale_bass and scale_treble come together", "both, or scale alone where the frets are square")
	}
	info.StraightFret = r.Count("straight_fret", w.StraightFret, "the number of the fret that is square", maxFret)
	info.ZeroFret = r.WordOrBlank("zero_fret", w.ZeroFret, yesWords) == 1
	if info.BoardRadius = math.Inf(1); !strings.EqualFold(w.BoardRadius, flat) {
		info.BoardRadius, _ = r.Positive("board_radius", w.BoardRadius, u)
	}
	info.Saddles = SaddleMove(max(0, r.WordOrBlank("saddles", w.Saddles, saddleWords)-1)) // a blank is the first
	info.Slant, _ = r.Number("slant", w.Slant, u)
	info.BodyThickness, _ = r.Positive("body_thickness", w.BodyThickness, u)
	info.NeckScrewLength, _ = r.Positive("neck_screw_length", w.NeckScrewLength, u)
	info.NeckCore, _ = r.Positive("neck_screw_core", w.NeckCore, u)
	info.BridgeScrewLength, _ = r.Positive("bridge_screw_length", w.BridgeScrewLength, u)
	info.BridgeCore, _ = r.Positive("bridge_screw_core", w.BridgeCore, u)
	for _, name := range strings.FieldsFunc(r.Text("aim", w.Aim), func(c rune) bool { return c == ' ' || c == ';' }) {
		if _, ok := known[name]; !ok {
			r.FailCell("aim", name, "is unknown", csvtext.OneOf(name, slices.Sorted(maps.Keys(known))))
			break
		}
		info.Aim = append(info.Aim, name)
	}
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
		word := func(words *csvtext.Words, n int) string { // the usual one stays blank
			if n == 0 {
				return ""
			}
			return words.Name(n)
		}
		zeroFret, saddles := 0, 0
		if k.ZeroFret {
			zeroFret = 1
		}
		if k.Saddles != SaddleEach {
			saddles = int(k.Saddles) + 1
		}
		radius := flat
		if !math.IsInf(k.BoardRadius, 1) {
			radius = length(k.BoardRadius)
		}
		rows[i] = kitRow{
			k.Kit, k.Lot, k.Supplier, handWords.Name(hand), csvtext.Count(k.Strings), csvtext.Count(k.Frets),
			length(k.Scale), length(k.NutSpread), k.Wood, length(k.NeckScrew), length(k.BridgeScrew),
			length(k.Action), length(k.NutHeight),
			length(k.ScaleBass), length(k.ScaleTreble), csvtext.Count(k.StraightFret), word(yesWords, zeroFret), radius,
			word(saddleWords, saddles), length(k.Slant), length(k.BodyThickness), length(k.NeckScrewLength), length(k.NeckCore),
			length(k.BridgeScrewLength), length(k.BridgeCore), strings.Join(k.Aim, "; "), csvtext.Millimetres.String(),
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
	places       map[int]Place
}

// readStrings reads a strings.csv.
func readStrings(file string, in io.Reader, errs *csvtext.Collector) (stringSet, error) {
	all := stringSet{Strings{}, map[int]StringSpec{}, map[int]Place{}}
	err := read(stringsTable, file, in, errs, func(w *stringRow, r *csvtext.Row) {
		n := r.Count("string", w.String, expectedString, maxString)
		if w.String == "" {
			r.Fail("string", "string is blank", expectedString)
		}
		if old, ok := all.places[n]; ok && n > 0 {
			r.FailCell("string", w.String, fmt.Sprintf("is there already on line %d", old.Line), "one row for each string")
		}
		all.places[n] = r.Place
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
	var rows []stringRow
	for _, i := range slices.Sorted(maps.Keys(s)) {
		rows = append(rows, stringRow{String: strconv.Itoa(i), Compensation: n.Exact(s[i]), Unit: csvtext.Millimetres.String()})
	}
	return write(out, rows, n)
}
