package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// checked is what check's JSON Lines say of a kit.
type checked struct {
	Kit, Verdict    string
	Characteristics []struct {
		Name, Verdict, Missing string
		Value, U               *float64
	}
}

// value gives a characteristic's value and standard uncertainty.
func (c checked) value(t *testing.T, name string) (value, u float64) {
	t.Helper()
	for _, one := range c.Characteristics {
		if one.Name == name && one.Value != nil {
			return *one.Value, *one.U
		}
	}
	t.Fatalf("kit %s has no %s", c.Kit, name)
	return 0, 0
}

// checkText checks a readings.csv, with a gauges.csv if there is one, and gives its kits by name.
func checkText(t *testing.T, readings, gauges string) map[string]checked {
	t.Helper()
	dir := batchOf(t, readings, gauges)
	kits := map[string]checked{}
	for line := range strings.Lines(produced(t, "check", dir, "--format", "jsonl")) {
		var c checked
		if err := json.Unmarshal([]byte(line), &c); err != nil {
			t.Fatal(err)
		}
		kits[c.Kit] = c
	}
	return kits
}

func batchOf(t *testing.T, readings, gauges string) string {
	t.Helper()
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "readings.csv"), readings)
	if gauges != "" {
		writeFile(t, filepath.Join(dir, "gauges.csv"), gauges)
	}
	return dir
}

// refused checks a batch that must be refused with code 2 and just these lines.
func refused(t *testing.T, dir string, want ...string) {
	t.Helper()
	var out, talk bytes.Buffer
	if code := run([]string{"check", dir}, strings.NewReader(""), &out, &talk); code != wrongUse || out.Len() > 0 {
		t.Errorf("code %d, output %q", code, out.String())
	}
	got := strings.ReplaceAll(talk.String(), dir+string(filepath.Separator), "")
	if got != strings.Join(want, "\n")+"\n" {
		t.Errorf("got\n%swant\n%s", got, strings.Join(want, "\n"))
	}
}

const surveyHeader = "kit,datum,feature,mark,kind,station,offset\n"

// survey is a dry fit of a neck whose edges part by so much a millimetre of station, and of two
// screws of the bridge at station 800.
func survey(kit string, parting float64, stations ...float64) string {
	var text strings.Builder
	for _, s := range stations {
		fmt.Fprintf(&text, "%s,body,edge-bass,,offset,%g,-21\n", kit, s)
		fmt.Fprintf(&text, "%s,body,edge-treble,,offset,%g,%s\n", kit, s, strconv.FormatFloat(21+parting*s, 'f', -1, 64))
	}
	fmt.Fprintf(&text, "%[1]s,body,bridge-screw,1,point,800,25\n%[1]s,body,bridge-screw,2,point,800,-25\n", kit)
	return text.String()
}

// Edges that are parallel, or nearly, have a bisector all the same. By hand: it lies at half the
// treble edge's rise, so the screws' middle is off it by -400 times the parting, and its heading is
// half the parting, in radians.
func TestNearlyParallelEdges(t *testing.T) {
	for _, parting := range []float64{0, 1e-12, 1e-9, 1e-6, 1e-3} {
		kit := checkText(t, surveyHeader+survey("K", parting, 0, 100, 200, 300, 400), "")["K"]
		middle, _ := kit.value(t, "centre-line-error")
		turn, _ := kit.value(t, "bridge-skew")
		// What is left of second order: the parting squared, times lengths under a metre.
		tolerance := 1e-11 + 1000*parting*parting
		if want := -400 * parting; math.Abs(middle-want) > tolerance {
			t.Errorf("parting %g: centre-line-error %g, by hand %g", parting, middle, want)
		}
		if want := -parting / 2 * 180 / math.Pi; math.Abs(turn-want) > tolerance {
			t.Errorf("parting %g: skew %g, by hand %g", parting, turn, want)
		}
	}
}

// From one station there is no line, and no verdict: the report says which reading would give it. The
// other kits of the batch are judged as if they were alone.
func TestAllAtOneStation(t *testing.T) {
	good := survey("good", 0, 0, 400)
	alone := checkText(t, surveyHeader+good, "")["good"]
	both := checkText(t, surveyHeader+survey("flat", 0, 100, 100, 100)+good, "")
	if flat := both["flat"]; flat.Verdict != "not-measured" {
		t.Errorf("verdict %s", flat.Verdict)
	}
	for _, c := range both["flat"].Characteristics {
		if c.Value != nil || c.Missing == "" {
			t.Errorf("%s: %v, missing %q", c.Name, c.Value, c.Missing)
		}
	}
	if fmt.Sprint(names(both["good"])) != fmt.Sprint(names(alone)) {
		t.Errorf("beside a bad kit %v, alone %v", names(both["good"]), names(alone))
	}
	text := produced(t, "check", batchOf(t, surveyHeader+survey("flat", 0, 100, 100), ""))
	if !strings.Contains(text, "centre-line-error") || !strings.Contains(text, "needs: ") {
		t.Errorf("no word of what is needed:\n%s", text)
	}
}

// names lists a kit's values by name.
func names(c checked) []string {
	var list []string
	for _, one := range c.Characteristics {
		if one.Value != nil {
			list = append(list, fmt.Sprintf("%s=%v±%v", one.Name, *one.Value, *one.U))
		}
	}
	return list
}

const edgeHeader = "kit,datum,feature,mark,kind,offset,trial,gauge\n"

// straightedges is what two of them bring to half the difference of distances 680 mm from the nut and 200 mm from the
// last fret, each standing 0.05 mm of seating and 0.05 mm of the edge off at both.
var straightedges = math.Hypot(0.05, 0.05) * math.Hypot(200.0/480, 680.0/480) / math.Sqrt2

// drilled is what the middle between two holes is out by, each drilled 0.10 mm from where it was meant.
var drilled = 0.10 / math.Sqrt2

// A thousand repeats of two distances. By hand: half their difference has half the root of two mean
// variances; the common error of the calliper is in both, and cancels; the straightedges stay, and how well holes are drilled.
func TestThousandRepeats(t *testing.T) {
	const repeats = 1000
	text := strings.Builder{}
	text.WriteString(edgeHeader)
	for i := range repeats {
		fmt.Fprintf(&text, "K,edge-bass,bridge-screw,2,offset,12.40,%d,\nK,edge-treble,bridge-screw,1,offset,10.00,%[1]d,\n", i+1)
	}
	value, u := checkText(t, text.String(), "")["K"].value(t, "centre-line-error")
	if want := 1.2; math.Abs(value-want) > 1e-9 {
		t.Errorf("value %v, by hand %v", value, want)
	}
	if want := math.Hypot(math.Sqrt(2*(0.05*0.05+0.01*0.01/12)/repeats)/2, math.Hypot(straightedges, drilled)); math.Abs(u-want) > 1e-6 {
		t.Errorf("u %v, by hand %v", u, want)
	}
}

// A reading of a kilometre is a slip and refused by its place; one of a nanometre is a number.
func TestHugeAndTinyReadings(t *testing.T) {
	row := func(kit, bass string) string {
		return kit + ",edge-bass,bridge-screw,2,offset," + bass + ",,\n" + kit + ",edge-treble,bridge-screw,1,offset,1e-9,,\n"
	}
	refused(t, batchOf(t, edgeHeader+row("A", "2e-9")+row("B", "1e9")+row("C", "-1e-9"), ""),
		`readings.csv:4:35: offset "1e9" is out of range, expected a length under 10000 mm (cell F4)`,
		`readings.csv:6:35: offset "-1e-9" is negative, expected 0 or more: offsets from an edge grow inward (cell F6)`,
		`neckfit: 2 mistakes in the batch; no kit was judged`)
	value, _ := checkText(t, edgeHeader+row("A", "2e-9"), "")["A"].value(t, "centre-line-error")
	if want := 0.5e-9; math.Abs(value-want) > 1e-13 { // floats near a millimetre
		t.Errorf("value %v, by hand %v", value, want)
	}
}

const gaugeHeader = "gauge,kind,resolution,max_error,repeatability,unit\n"

// A gauge that claims to be perfect is refused. One that has nothing but a greatest error, or next to
// none, gives numbers; by hand: its greatest error is common to both readings and cancels, and what is
// written in hundredths was read no finer, which leaves sqrt(2 0.01^2/12)/2 = 0.00204, the straightedges and the drill.
func TestGaugesWithoutUncertainty(t *testing.T) {
	rows := edgeHeader + "K,edge-bass,bridge-screw,2,offset,12.40,,block\nK,edge-treble,bridge-screw,1,offset,10.00,,block\n"
	refused(t, batchOf(t, rows, gaugeHeader+"block,block,0,0,0,mm\n"),
		`gauges.csv:2:1: gauge "block" has no uncertainty at all, expected at least one of resolution, max_error, repeatability and reproducibility above 0 (cell A2)`,
		`neckfit: 1 mistake in the batch; no kit was judged`)
	for _, row := range []string{"block,block,0,0.03,0,mm\n", "block,block,1e-12,0,1e-12,mm\n"} {
		value, u := checkText(t, rows, gaugeHeader+row)["K"].value(t, "centre-line-error")
		if math.Abs(value-1.2) > 1e-9 || math.Abs(u-math.Hypot(0.00204, math.Hypot(straightedges, drilled))) > 1e-5 {
			t.Errorf("value %v, u %v with %s", value, u, row)
		}
	}
}

// A kit with one row is answered: nothing is measured, and it is said what would.
func TestKitOfOneRow(t *testing.T) {
	kit := checkText(t, surveyHeader+"K,body,bridge-screw,1,point,800,25\n", "")["K"]
	if kit.Verdict != "not-measured" || len(names(kit)) > 0 {
		t.Errorf("%s %v", kit.Verdict, names(kit))
	}
	for _, c := range kit.Characteristics {
		if c.Missing == "" {
			t.Errorf("%s: no word of what is missing", c.Name)
		}
	}
}

// bigBatch is ten thousand kits that pass; the rows of one of them are others.
func bigBatch(t *testing.T, odd string) string {
	t.Helper()
	text := strings.Builder{}
	text.WriteString(edgeHeader)
	for i := range 10_000 {
		if i == 7_000 && odd != "" {
			text.WriteString(odd)
			continue
		}
		fmt.Fprintf(&text, "K%d,edge-bass,bridge-screw,2,offset,12.%02d,,\nK%[1]d,edge-treble,bridge-screw,1,offset,12.00,,\n", i, i%10)
	}
	return batchOf(t, text.String(), "")
}

// Of ten thousand kits one is bad. A cell that cannot be read is told by its place, and nothing is
// judged; readings that make no sense are that kit's own affair, and the others' lines stay as they are.
func TestTenThousandKitsOneBad(t *testing.T) {
	refused(t, bigBatch(t, "K7000,edge-bass,bridge-screw,2,offset,12.x0,,\n"),
		`readings.csv:14002:39: offset "12.x0" is not a number, expected a length in millimetres such as 55.6 (cell F14002)`,
		`neckfit: 1 mistake in the batch; no kit was judged`)

	byLine := func(text string) map[string]string {
		lines := map[string]string{}
		for line := range strings.Lines(text) {
			kit, _, _ := strings.Cut(line, ",")
			lines[kit] = line
		}
		return lines
	}
	good := byLine(produced(t, "check", bigBatch(t, ""), "--format", "csv"))
	odd := byLine(produced(t, "check", bigBatch(t, "K7000,edge-bass,bridge-screw,2,offset,9999,,\nK7000,edge-bass,bridge-screw,2,offset,1e-9,2,\n"), "--format", "csv"))
	if len(good) != 10_001 || len(odd) != 10_001 {
		t.Fatalf("%d and %d lines", len(good), len(odd))
	}
	for kit, line := range good {
		if kit == "K7000" {
			if strings.Contains(odd[kit], ",pass,") {
				t.Errorf("nonsense passes: %s", odd[kit])
			}
		} else if odd[kit] != line {
			t.Fatalf("kit %s is\n%sbeside a bad one, and\n%swithout", kit, odd[kit], line)
		}
	}
}
