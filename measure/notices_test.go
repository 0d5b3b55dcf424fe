package measure

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// told reads a batch and gives its notices and how many readings it has.
func told(t *testing.T, files map[string]string) (notices []string, readings int) {
	t.Helper()
	dir := folder(t, files)
	b, err := Open(dir, Options{Characteristics: known})
	if err != nil {
		t.Fatal(err)
	}
	kits, err := b.All(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range kits {
		readings += len(k.Readings)
	}
	for _, n := range b.Notices() {
		notices = append(notices, strings.ReplaceAll(n.String(), dir+"/", ""))
	}
	return notices, readings
}

// Rows of a sheet that nobody has filled in yet are passed over and counted, also where the sheet says at
// which offset a fret is to be read; what was filled in halfway is still a mistake.
func TestBlankRows(t *testing.T) {
	text := header +
		"A,body,pocket,,,width,,,,mm,,\n" + "A,edge-bass,nut,,,station,,0,,mm,,\n" + "A,body,pocket,,,width,40,,63,mm,,\n" +
		"A,body,cavity,,,point,,,,,nobody's,\n" + "B,body,bridge-screw,1,2,distance,,,,,,\n"
	notices, readings := told(t, map[string]string{"readings.csv": text})
	want := []string{"readings.csv:2: 4 rows have no numbers yet and were not read, the first of them here"}
	if diff := cmp.Diff(want, notices); diff != "" || readings != 1 {
		t.Error(readings, diff)
	}
	_, err := readAll(t, "-", text+"A,edge-bass,fret,1,,point,,0,,mm,,\n"+"A,body,pocket,,,wdith,,,,mm,,\n")
	if diff := cmp.Diff([]string{
		"stdin:7:27: station is blank, but kind point of fret needs it, expected a length",
		`stdin:8:17: kind "wdith" is unknown, expected "width"`,
	}, messages(err, "")); diff != "" {
		t.Error(diff)
	}
	notices, _ = told(t, map[string]string{"readings.csv": header + "A,body,pocket,,,width,,,,mm,,\n"})
	if diff := cmp.Diff([]string{"readings.csv:2: 1 row has no numbers yet and was not read"}, notices); diff != "" {
		t.Error(diff)
	}
}

// Rows that were pasted twice are named and not counted, numbered places or not, the kit's rows together or
// not. Equal numbers of two trials, or by two gauges, are two readings.
func TestIdenticalRows(t *testing.T) {
	rows := "A,body,pocket,,,width,40,,63,mm,,\n" + "A,body,bridge-screw,1,,point,1,2,,,,\n" + "A,body,pocket,,,width,40,,63,mm,,1\n" + "A,body,pocket,,,width,40,,63,mm,rule,\n"
	for name, c := range map[string]struct{ text, want string }{
		"together":  {rows + rows, "readings.csv:6: 4 rows are in every cell like one before them and were not counted, the first of them here; the first is line 2 once more. A second reading of the same place has a trial number"},
		"scattered": {rows + "B,body,pocket,,,width,40,,63,mm,,\n" + strings.SplitAfter(rows, "\n")[1], "readings.csv:7: 1 row is in every cell like one before it and was not counted; the first is line 3 once more. A second reading of the same place has a trial number"},
	} {
		notices, readings := told(t, map[string]string{"readings.csv": header + c.text})
		want := 4 + strings.Count(c.text, "B,")
		if diff := cmp.Diff([]string{c.want}, notices); diff != "" || readings != want {
			t.Error(name, readings, diff)
		}
	}
}

// More rows than are looked through one by one are told apart all the same.
func TestManyIdenticalRows(t *testing.T) {
	var text strings.Builder
	text.WriteString(header)
	for range 2 {
		for i := range 300 {
			text.WriteString("A,body,outline,,,point," + string(rune('1'+i%9)) + "," + strings.Repeat("1", 1+i/100) + ".5,,mm,,\n")
		}
	}
	if _, readings := told(t, map[string]string{"readings.csv": text.String()}); readings != 27 {
		t.Errorf("%d different readings", readings)
	}
}

// Rows of the small tables that match nothing are told, with what was probably meant.
func TestUnmatchedRows(t *testing.T) {
	notices, _ := told(t, map[string]string{
		"readings.csv": header + "SSB-14,body,bridge-screw,1,,point,1,2,,,long,\nSSB-15,body,saddle,4,,point,1,2,,,,\n",
		"kits.csv":     "kit\nssb-14\nSSB-15\nSSB-16\n\"Z1 \"\nZ2\nZ3\nZ4\n",
		"gauges.csv":   "gauge,resolution\ncaliper,0.1\nlong,0.1\nlnog,0.1\nrule,1\nzzz,1\n",
		"strings.csv":  "string,compensation\n4,2\n5,2\n",
	})
	want := []string{
		`gauges.csv:2: no reading names gauge "caliper"; is it "calliper"?`,
		`gauges.csv:4: no reading names gauge "lnog"; is it "long"?`,
		`gauges.csv:6: no reading names gauge "zzz"`,
		`kits.csv:2: no reading is of kit "ssb-14"; is it "SSB-14"?`,
		`kits.csv:4: no reading is of kit "SSB-16"; is it "SSB-14"?`,
		`kits.csv:5: no reading is of kit "Z1"`,
		`kits.csv:6: no reading is of kit "Z2"`,
		`kits.csv:7: no reading is of kit "Z3", and no reading of 1 more kits`,
		`strings.csv:3: no kit has a string 5; the most is 4`,
	}
	if diff := cmp.Diff(want, notices); diff != "" {
		t.Error(diff)
	}
}

// Names that look the same are one: accents composed or not, hyphens and spaces of every sort, spaces at
// the end, signs that cannot be seen.
func TestNamesThatLookAlike(t *testing.T) {
	for a, b := range map[string]string{
		"K\u00e4se": "Ka\u0308se", "A-1": "A\u20111", "A 1": "A\u00a0 1", "B": "B\u200b", "C": "\"C  \"", "D-2": "D\u2010\u00ad2",
	} {
		notices, _ := told(t, map[string]string{
			"readings.csv": header + a + ",body,bridge-screw,1,,point,1,2,,,,\n" + b + ",body,bridge-screw,2,,point,1,2,,,,\n",
			"kits.csv":     "kit,lot\n" + b + ",L\n",
		})
		kits := mustRead(t, header+a+",body,bridge-screw,1,,point,1,2,,,,\n"+b+",body,bridge-screw,2,,point,1,2,,,,\n")
		if len(notices) > 0 || len(kits) != 1 || len(kits[0].Readings) != 2 {
			t.Errorf("%q and %q: %v, %d kits", a, b, notices, len(kits))
		}
	}
	dir := folder(t, map[string]string{"readings.csv": onePocket, "gauges.csv": "gauge,resolution\nlong,1\n", "kits.csv": "kit\nA-1\nA\u20111\n"})
	if _, err := readAll(t, dir, ""); err == nil || !strings.Contains(err.Error(), `kits.csv:3:1: kit "A-1" is there already on line 2`) {
		t.Errorf("one kit on two rows: %v", err)
	}
	dir = folder(t, map[string]string{"readings.csv": strings.Replace(onePocket, "long", "no\u20111", 1), "gauges.csv": "gauge,resolution\nno-1,1\n"})
	if kits, err := readAll(t, dir, ""); err != nil || kits[0].Readings[0].Gauge.ID != "no-1" {
		t.Errorf("a gauge with another hyphen: %v", err)
	}
}

// A name that begins with # makes a comment of its row, unless it is quoted; that is told.
func TestNamesWithANumberSign(t *testing.T) {
	row := ",body,bridge-screw,1,,point,1,2,,,,\n"
	notices, readings := told(t, map[string]string{"readings.csv": header + "A" + row + "#12" + row + "#13" + row + "# a remark, and so on\n#x,y\n\"#14\"" + row, "kits.csv": "kit,lot\nA,\n#12,L\n"})
	want := []string{
		"kits.csv:3: a line that looks like a row begins with # and is passed over as a comment; a name that begins with # wants quotes",
		"readings.csv:3: 2 lines that look like rows begin with # and are passed over as comments, the first of them here; a name that begins with # wants quotes",
	}
	if diff := cmp.Diff(want, notices); diff != "" || readings != 2 {
		t.Error(readings, diff)
	}
}
