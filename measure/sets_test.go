package measure

import (
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The set of numbers against a map, across the sizes at which it merges: each is new once, and nothing is there that was not put in.
func TestNumbersAgainstAMap(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	var s numbers
	plain := map[uint64]bool{}
	for range 9000 {
		x := rng.Uint64N(6000) << 40
		met := s.has(x)
		if met != plain[x] {
			t.Fatalf("%d of %d: met %v", x, len(plain), met)
		}
		if !met {
			s.add(x)
		}
		plain[x] = true
		if !s.has(x) || s.has(x+1) {
			t.Fatalf("%d is not there, or another is", x)
		}
	}
	if len(s.sorted)+len(s.latest) != len(plain) || !slices.IsSorted(s.sorted) || len(s.sorted) < len(plain)-1024 {
		t.Errorf("%d sorted and %d of %d", len(s.sorted), len(s.latest), len(plain))
	}
}

// Repeats are found wherever in a kit they stand, before and beyond the rows that are looked along: one in every cell is named with its first line, one that says
// otherwise of the same place is a mistake, and heights may be there several times.
func TestRepeatsInLongKits(t *testing.T) {
	const rows = 90
	row := func(i int, offset string) string {
		return fmt.Sprintf("A,body,bridge-screw,%d,,point,1%d,%s,,,,\n", 1+i, i, offset)
	}
	heights := ""
	for i := range rows {
		heights += fmt.Sprintf("A,body,top,,,height,%d,%d,1.5,,,\n", i, 2*i)
	}
	text := header
	for i := range rows {
		text += row(i, fmt.Sprint(i))
	}
	for _, i := range []int{0, 1, 62, 63, 64, 65, 66, 89} {
		notices, n := told(t, map[string]string{"readings.csv": text + row(i, fmt.Sprint(i))})
		want := fmt.Sprintf("readings.csv:92: 1 row is in every cell like one before it and was not counted; the first is line %d once more. A second reading of the same place has a trial number", 2+i)
		if !cmp.Equal(notices, []string{want}) || n != rows {
			t.Errorf("row %d again: %v, %d readings", i, notices, n)
		}
		_, err := readAll(t, "-", text+row(i, "0.125"))
		wrong := fmt.Sprintf(`stdin:92:21: mark "%d" of bridge-screw was read already on line %d, expected another mark, or a trial number if it was read again`, 1+i, 2+i)
		if got := messages(err, ""); !cmp.Equal(got, []string{wrong}) {
			t.Errorf("row %d otherwise: %v", i, got)
		}
		again := fmt.Sprintf("A,body,top,,,height,%d,%d,1.5,,,\n", i, 2*i)
		if notices, n := told(t, map[string]string{"readings.csv": header + heights + again}); len(notices) != 1 || n != rows {
			t.Errorf("height %d again: %v, %d readings", i, notices, n)
		}
		other := strings.Replace(again, "1.5", "1.6", 1)
		if notices, n := told(t, map[string]string{"readings.csv": header + heights + other}); len(notices) != 0 || n != rows+1 {
			t.Errorf("height %d once more: %v, %d readings", i, notices, n)
		}
	}
}

// Readings of which anything differs are none of the same place: each cell that tells places apart by itself.
func TestWhatTellsPlacesApart(t *testing.T) {
	base := Reading{Datum: DatumBody, Feature: BridgeScrew, Kind: Distance, Mark: Mark{Number: 1}, To: Mark{Number: 2}, Trial: 1, Size: 9}
	key, once := base.key()
	if !once {
		t.Fatal("a distance may be there several times")
	}
	for name, change := range map[string]func(r *Reading){
		"datum": func(r *Reading) { r.Datum = DatumEdgeBass }, "feature": func(r *Reading) { r.Feature = StringHole }, "kind": func(r *Reading) { r.Kind = Diameter },
		"mark": func(r *Reading) { r.Mark.Number = 3 }, "to": func(r *Reading) { r.To.Number = 99 }, "trial": func(r *Reading) { r.Trial = 9999 }, "stage": func(r *Reading) { r.Stage = Received + 1 },
	} {
		other := base
		change(&other)
		if got, _ := other.key(); got == key {
			t.Errorf("another %s is the same place", name)
		}
	}
	turned := base
	turned.Mark, turned.To = base.To, base.Mark
	resized := base
	resized.Size = 10
	for _, same := range []Reading{turned, resized} {
		if got, _ := same.key(); got != key {
			t.Errorf("%+v is another place than %+v", same, base)
		}
	}
	at := func(f Feature, k Kind, station, offset float64, hasStation, hasOffset bool) readingKey {
		r := Reading{Datum: DatumNeck, Feature: f, Kind: k, Mark: Mark{Number: 1}, Station: station, Offset: offset, HasStation: hasStation, HasOffset: hasOffset}
		key, once := r.key()
		if !once {
			t.Errorf("%v %v may be there several times", f, k)
		}
		return key
	}
	// A fret is another place at another offset, or at none; a nut slot at another station.
	if at(Fret, Station, 10, 5, true, true) != at(Fret, Station, 11, 5, true, true) || at(Fret, Station, 10, 5, true, true) == at(Fret, Station, 10, 6, true, true) || at(Fret, Station, 10, 0, true, true) == at(Fret, Station, 10, 0, true, false) {
		t.Error("frets are told apart by what is read, or not by where")
	}
	if at(NutSlot, Offset, 10, 5, true, true) != at(NutSlot, Offset, 10, 6, true, true) || at(NutSlot, Offset, 10, 5, true, true) == at(NutSlot, Offset, 11, 5, true, true) || at(NutSlot, Offset, 0, 5, true, true) == at(NutSlot, Offset, 0, 5, false, true) {
		t.Error("slots are told apart by what is read, or not by where")
	}
}

// A kit whose rows lie scattered keeps what was read of it, if that is one reading, and is none if it is nothing: the others are all there.
func TestScatteredKitsOfLittle(t *testing.T) {
	const full, blank = ",body,pocket,,,width,40,63,,,,\n", ",body,pocket,,,width,,,,,,\n"
	text := strings.Replace(header, "offset,size", "size,note", 1)
	for name, c := range map[string]struct {
		rows string
		want []string
	}{
		"one": {"A" + full + "B" + full + "A" + blank, []string{"A 1", "B 1"}}, "none": {"A" + blank + "B" + full + "A" + blank + "C" + full, []string{"B 1", "C 1"}}, "two": {"A" + full + "B" + full + "A" + strings.Replace(full, "40", "60", 1), []string{"A 2", "B 1"}},
	} {
		kits, err := readAll(t, "-", text+c.rows)
		var got []string
		for _, k := range kits {
			got = append(got, fmt.Sprint(k.Name, " ", len(k.Readings)))
		}
		if slices.Sort(got); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}

// What matches nothing is told with what was meant where that is near, of the others the first three and how many more.
func TestWhatMatchesNothing(t *testing.T) {
	places := map[string]Place{}
	for i, name := range []string{"zebra", "poket", "quagga", "okapi", "gnu herd", "eland herd"} {
		places[name] = Place{File: "x.csv", Line: 2 + i}
	}
	var got []string
	for _, n := range unmatched("no reading of %s", "nor %d more", places, []string{"pocket"}) {
		got = append(got, n.String())
	}
	want := []string{`x.csv:2: no reading of "zebra"`, `x.csv:3: no reading of "poket"; is it "pocket"?`, `x.csv:4: no reading of "quagga"`, `x.csv:5: no reading of "okapi", nor 2 more`}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	for i, n := range map[int]int{3: 3, 4: 4, 40: 33} { // near ones are told thirty times, and then like the others
		places := map[string]Place{}
		for k := range i {
			places[fmt.Sprintf("pocket%02d", k)] = Place{Line: k}
		}
		if got := unmatched("%s", "%d", places, []string{"pocket"}); len(got) != n {
			t.Errorf("%d near ones: %d told", i, len(got))
		}
	}
	f := found{}
	f.kit("A", nil)
	f.kit("B", map[string]Info{"B": {}})
	for i := range 1010 {
		f.kit(fmt.Sprint(i), map[string]Info{"B": {}})
	}
	if len(f.unknown) != 1000 || f.unknown[0] != "0" || f.unknown[999] != "999" {
		t.Errorf("%d unknown kits are kept", len(f.unknown))
	}
	if got := some(1, "row", "rows") + ", " + some(2, "row", "rows"); got != "1 row, 2 rows" {
		t.Error(got)
	}
}

// What a folder has instead of readings is named up to five files, then how many more; tables of a batch are none of them.
func TestFilesInsteadOfReadings(t *testing.T) {
	for n, want := range map[int]string{0: "the folder has no readings.csv, nor", 1: "a0.csv: name", 5: "a4.csv: name", 6: "a4.csv, and 1 more: name", 8: "a4.csv, and 3 more: name"} {
		files := map[string]string{"kits.csv": "", "gauges.csv": ""}
		for i := range n {
			files[fmt.Sprintf("a%d.csv", i)] = ""
		}
		_, err := Open(folder(t, files), Options{})
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "kits.csv") {
			t.Errorf("%d files: %v", n, err)
		}
	}
	dir := folder(t, map[string]string{"readings.csv": onePocket})
	piped := 0
	in, once, err := Options{Pipe: func(file string) (io.ReadCloser, error) {
		piped++
		return os.Open(file)
	}}.open(filepath.Join(dir, "readings.csv"))
	if err != nil || once || piped != 0 || in.Close() != nil {
		t.Errorf("a plain file is opened as a pipe %d times, once %v, %v", piped, once, err)
	}
	if in, once, err = (Options{}).open(os.DevNull); err != nil || !once || in.Close() != nil {
		t.Errorf("a device may be read again: %v, %v", once, err)
	}
}

// The greatest marks are taken, the next are not; so are trials.
func TestGreatestMarks(t *testing.T) {
	for row, good := range map[string]bool{
		"A,body,bridge-screw,99,,diameter,,,3,,,": true, "A,body,bridge-screw,100,,diameter,,,3,,,": false, "A,body,string-hole,24,,diameter,,,3,,,": true, "A,body,string-hole,25,,diameter,,,3,,,": false,
		"A,neck,fret,36,,station,100,,,,,": true, "A,neck,fret,37,,station,100,,,,,": false, "A,body,pocket,,,width,1,,2,,,9999": true, "A,body,pocket,,,width,1,,2,,,10000": false,
		"A,edge-bass,bridge-screw,1,,offset,,0,,,,": true, "A,edge-bass,bridge-screw,1,,offset,,-0.01,,,,": false, "A,body,bridge-screw,1,,offset,,-2,,,,": true,
		"A,body,pocket-bass,,,gap,1,,0,,,": true, "A,body,pocket-bass,,,gap,1,,-0.01,,,": false, "A,body,top,,,height,1,2,-3,,,": true, "A,body,pocket-corner,bass,,radius,,,0.1,,,": true, "A,body,pocket-corner,bass,,radius,,,0,,,": false,
	} {
		if _, err := readAll(t, "-", header+row+"\n"); (err == nil) != good {
			t.Errorf("%s: %v", row, err)
		}
	}
}
