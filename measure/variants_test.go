package measure

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// wantVariants is what every file of testdata/measure/variants says. 38.1 and 55.5625 mm are 1.5
// and 2 3/16 in at 25.4 mm.
func wantVariants() []*Kit {
	gauges := builtInGaugeSet()
	c, in, r, f := gauges[Calliper], gauges[CalliperInside], gauges[Rule], gauges[Feeler]
	return []*Kit{
		{Name: "short-07", Info: Info{Kit: "short-07"}, Readings: []Reading{
			{Datum: DatumBody, Feature: Pocket, Kind: Width, Station: 40.5, HasStation: true, Size: 63.25, Gauge: in, StationGauge: r, By: "Jo", Note: `first, "dry"`},
			{Datum: DatumBody, Feature: PocketBass, Kind: Gap, Station: 40, HasStation: true, Size: 0.1, Gauge: f, StationGauge: r, By: "Jo"},
			{Datum: DatumNeck, Feature: Fret, Mark: Mark{Number: 12}, Kind: Station, Station: 381.125, HasStation: true, Gauge: c, StationGauge: r, By: "Jo", Note: "Höhe über dem Bund"},
			{Datum: DatumNeck, Feature: Heel, Kind: Width, Station: 38.1, HasStation: true, Size: 55.5625, Gauge: c, StationGauge: r, By: "Jo"},
			{Datum: DatumBody, Feature: BridgeScrew, Mark: Mark{Number: 2}, Kind: Point, Station: -12.75, Offset: 31, HasStation: true, HasOffset: true, Gauge: c, StationGauge: r, Trial: 1, By: "Jo", Note: "two\nlines"},
			{Datum: DatumBody, Feature: BridgeScrew, Mark: Mark{Number: 2}, Kind: Point, Station: -12.5, Offset: 31, HasStation: true, HasOffset: true, Gauge: c, StationGauge: r, Trial: 2, By: "Jo"},
		}},
		{Name: "short-08", Info: Info{Kit: "short-08"}, Readings: []Reading{
			{Datum: DatumEdgeBass, Feature: BridgeScrew, Mark: Mark{Number: 1}, To: Mark{Number: 4}, Kind: Distance, Size: 47.625, Gauge: c, StationGauge: r},
		}},
	}
}

func TestSpreadsheetsVariants(t *testing.T) {
	files, err := filepath.Glob("../testdata/measure/variants/*.csv")
	if err != nil || len(files) != 6 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		kits, err := readAll(t, file, "")
		if err != nil {
			t.Error(err)
		}
		if diff := cmp.Diff(wantVariants(), kits, noPlaces); diff != "" {
			t.Errorf("%s: %s", file, diff)
		}
	}
}

// What people add by hand changes nothing but the line numbers.
func TestHandMadeVariants(t *testing.T) {
	data, err := os.ReadFile("../testdata/measure/variants/excel-comma.csv")
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	head, body, _ := strings.Cut(text, "\r\n")
	for name, variant := range map[string]string{
		"line feeds":            strings.ReplaceAll(text, "\r\n", "\n"),
		"no last line end":      strings.TrimRight(text, "\r\n"),
		"blank lines":           "\n \n" + head + "\n\n,,,\n" + body + "\n\n",
		"comments":              "# from the bench\n  # a;b;c;d\n" + head + "\n# short-07,bad\n" + body + "#",
		"delimiter named":       "sep=,\r\n" + text,
		"delimiter named later": "\n# mine\nsep=,\n" + text,
		"byte-order mark":       "\ufeff" + text,
		"capital header":        strings.ToUpper(head) + "\n" + body,
		"words in capitals":     strings.NewReplacer("body", "Body", "width", "WIDTH", "mm", "MM").Replace(text),
		"column passed over":    "\"#x\"," + head + "\n\"#y\"," + strings.ReplaceAll(strings.TrimSpace(body), "\r\nshort", "\r\n\"#y\",short"),
		"spaces around cells":   strings.ReplaceAll(text, "short-07,body,pocket", " short-07 , body\u00a0, pocket"),
		"blank last cells":      strings.ReplaceAll(text, ",,,,,\r\n", "\r\n"),
		"inch mark and quotes":  strings.ReplaceAll(text, "1.5,,2.1875,in", `1 1/2",,"2-3/16""",""""`),
		"inch mark, long word":  strings.ReplaceAll(text, "1.5,,2.1875,in", `1.5″,,+2 3/16,Inch`),
		"exponents":             strings.NewReplacer("40.5", "4.05e1", "63.25", "6325E-2").Replace(text),
		"built-in gauges named": strings.ReplaceAll(text, "63.25,mm,,", "63.25,mm,calliper-inside,rule"),
	} {
		if variant == text {
			t.Errorf("%s: nothing was varied", name)
		}
		kits, err := readAll(t, "-", variant)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if diff := cmp.Diff(wantVariants(), kits, noPlaces); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// Places count the lines of the file, whatever is skipped and however long a note is.
func TestPlaces(t *testing.T) {
	kits := mustRead(t, "# one\n\nkit,datum,feature,kind,mark,station,offset,note\n"+
		"A,body,outline,point,,1,2,\"note\nof three\nlines\"\n\n#\nA,body,outline,point,,1,2,\n")
	var lines []int
	for _, g := range kits[0].Readings {
		lines = append(lines, g.Place.Line)
	}
	if diff := cmp.Diff([]int{4, 9}, lines); diff != "" {
		t.Error(diff)
	}
}
