package measure

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// outcomes is what a reading of a batch came to.
type outcomes struct {
	kits []*Kit
	err  string
}

// gathering reads a batch by either way, gathering once when that is needed.
func gathering(read func(func(*Kit) error) error, gather func(error) error) outcomes {
	var o outcomes
	collect := func(k *Kit) error { o.kits = append(o.kits, k); return nil }
	err := read(collect)
	if scattered := (*ScatteredError)(nil); errors.As(err, &scattered) {
		o.kits = nil
		if err = gather(err); err == nil {
			err = read(collect)
		}
	}
	if err != nil {
		o = outcomes{err: err.Error()} // results before an error count for nothing
	}
	return o
}

func byMap(b *Batch, workers int) outcomes {
	return gathering(func(fn func(*Kit) error) error {
		return Map(context.Background(), b, workers, (*Kit).Clone, fn)
	}, b.Gather)
}

// byEach goes by way of gocsv in everything.
func byEach(b *Batch) outcomes {
	return gathering(b.Each, func(err error) error {
		whole, err := b.gatherAll(err.(*ScatteredError).Kits)
		b.gathered = whole
		return err
	})
}

// twins reads the same text through gocsv and around it.
func twins(t testing.TB, text []byte) {
	t.Helper()
	batch := func() *Batch {
		return &Batch{Gauges: builtInGaugeSet(), errs: &collector{}, readings: memory(text)}
	}
	want := byEach(batch())
	for workers := 1; workers <= 3; workers++ {
		got := byMap(batch(), workers)
		if !reflect.DeepEqual(want, got) { // far faster than cmp on what is mostly the same
			diff := cmp.Diff(want, got, cmp.AllowUnexported(outcomes{}))
			t.Fatalf("%d workers: %s\nof %.1000q", workers, diff, text)
		}
	}
}

// isPlain tells whether a text is decoded without gocsv to its end.
func isPlain(t testing.TB, text []byte) bool {
	t.Helper()
	b := &Batch{Gauges: builtInGaugeSet(), errs: &collector{}, readings: memory(text)}
	m := newMapping(b, 1, func(*Kit) int { return 0 }, func(int) error { return nil })
	err := m.run(context.Background())
	if err != nil && err != errNotPlain && !errors.As(err, new(*ScatteredError)) {
		t.Fatal(err)
	}
	return err != errNotPlain
}

// What spreadsheets write is decoded around gocsv, and comes out the same.
func TestTwinsOnVariants(t *testing.T) {
	files, err := filepath.Glob("../testdata/measure/variants/*.csv")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range append(files, "../testdata/demo/readings.csv", "../testdata/example/readings.csv") {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		twins(t, text)
		if demo := strings.Contains(file, "demo"); !demo && !isPlain(t, text) { // the demo has gauges of its own
			t.Errorf("%s is not plain", file)
		}
	}
}

// Every text with a mistake gives the messages that it has by way of gocsv.
func TestTwinsOnMistakes(t *testing.T) {
	for _, c := range badReadings {
		t.Run(c.name, func(t *testing.T) {
			twins(t, []byte(c.text))
			// The good kits before it, many chunks of them, make no difference.
			head, body, _ := strings.Cut(c.text, "\n")
			if strings.HasPrefix(head, "kit,datum,feature,mark,to,kind,station,offset,size,unit,gauge,trial") {
				var before strings.Builder
				for i := range 1500 {
					fmt.Fprintf(&before, "before-%d,body,pocket,,,width,%d,,63.25,,,\n", i, i%70)
				}
				twins(t, []byte(head+"\n"+before.String()+body))
			}
		})
	}
}

// randomTable writes kits of every sort of reading, in a random spreadsheet's manner.
func randomTable(random *rand.Rand, kits int) string {
	comma := []string{",", ";", "\t"}[random.IntN(3)]
	decimal := "."
	if comma != "," && random.IntN(2) == 0 {
		decimal = ","
	}
	lineEnd := []string{"\n", "\r\n"}[random.IntN(2)]
	quotes := []float64{0, 0.02, 1}[random.IntN(3)]
	columns := readingsTable.names()
	random.Shuffle(len(columns), func(i, j int) { columns[i], columns[j] = columns[j], columns[i] })
	cell := func(text string) string {
		if strings.ContainsAny(text, "\"\n"+comma) || strings.HasPrefix(text, "#") || random.Float64() < quotes {
			return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
		}
		return text
	}
	var out strings.Builder
	row := func(value func(column string) string) {
		for i, c := range columns {
			if i > 0 {
				out.WriteString(comma)
			}
			out.WriteString(cell(value(c)))
		}
		out.WriteString(lineEnd)
	}
	row(func(c string) string { return c })
	notes := []string{"", "", "", "by the bench", "Höhe über dem Bund", "two\nlines", `a "quote"`, "semi;colon, comma", "# no comment", " spaced "}
	for i := range kits {
		name := fmt.Sprintf("kit %d", i)
		if random.IntN(20) == 0 {
			name = "Bausatz-Ä " + name
		}
		for trial := range 1 + random.IntN(60) {
			cells := randomReading(random, trial+1, decimal)
			cells["kit"], cells["note"] = name, notes[random.IntN(len(notes))]
			row(func(c string) string { return cells[c] })
		}
		switch random.IntN(30) {
		case 0:
			out.WriteString("# a \"comment" + lineEnd)
		case 1:
			out.WriteString(lineEnd)
		case 2:
			out.WriteString(strings.Repeat(comma, len(columns)+random.IntN(3)) + lineEnd)
		}
	}
	return out.String()
}

// randomReading fills the cells of a reading that is good.
func randomReading(random *rand.Rand, trial int, decimal string) map[string]string {
	r := rules[random.IntN(len(rules))]
	kinds := r.feature.Kinds()
	kind := kinds[random.IntN(len(kinds))]
	n := r.kinds[kind]
	datums := r.datums
	if n.datums != nil {
		datums = n.datums
	}
	cells := map[string]string{
		"datum": datums[random.IntN(len(datums))].String(), "feature": r.name, "kind": kind.String(), "trial": fmt.Sprint(trial),
		"unit": []string{"", "mm", "MM", "in"}[random.IntN(4)], "by": []string{"", "Jo", "Ä"}[random.IntN(3)],
		"gauge": []string{"", "calliper"}[random.IntN(2)], "station_gauge": []string{"", "rule"}[random.IntN(2)],
	}
	number := func() string {
		text := []string{"%.0f", "%.1f", "%.2f", "%.3f", "%.6f", "%.14f", "%g", "+%g", "%.3e", "0%.1f"}[random.IntN(10)]
		text = strings.ReplaceAll(fmt.Sprintf(text, 1+math10(random)), ".", decimal)
		if cells["unit"] == "in" && random.IntN(3) == 0 {
			text = fmt.Sprintf("%d %d/16", random.IntN(90), 1+random.IntN(15))
		}
		return text
	}
	for column, need := range map[string]Need{"station": n.station, "offset": n.offset, "size": n.size} {
		if need == Required || need == Optional && random.IntN(2) == 0 {
			cells[column] = number()
			if column != "size" && !strings.HasPrefix(cells["datum"], "edge") && random.IntN(4) == 0 {
				cells[column] = "-" + strings.TrimPrefix(cells[column], "+")
			}
		}
	}
	switch r.mark {
	case MarkHole, MarkString, MarkFret:
		cells["mark"] = fmt.Sprint(1 + random.IntN(20))
	case MarkSide:
		cells["mark"] = []string{"bass", "treble", "Bass"}[random.IntN(3)]
	case MarkName, MarkNote:
		cells["mark"] = "corner " + fmt.Sprint(random.IntN(5))
	}
	if n.to {
		cells["to"] = fmt.Sprint(21 + random.IntN(4))
	}
	return cells
}

// math10 is a number of any size up to 90.
func math10(random *rand.Rand) float64 { return 90 * random.Float64() * random.Float64() }

// Good files of every manner come out the same, reading by reading, places and all.
func TestTwinsOnRandomTables(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	plain := 0
	for range 40 {
		text := []byte(randomTable(random, 1+random.IntN(80)))
		twins(t, text)
		if isPlain(t, text) {
			plain++
		}
	}
	if plain < 35 {
		t.Errorf("only %d of 40 good tables were plain", plain)
	}
}

// Files that were spoilt anyhow give the same readings or the same errors.
func TestTwinsOnMutations(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	spoil := []string{",", ";", "\t", "\"", "\n", "\r", "\r\n", " ", "#", "\x00", "\xff", "\u00a0", "1", "-", ".", "e", "/", "A", "\"\"", ",,,,,,,,,,,,,,,,,,,", "\n\n", "kit 1", "12.03.2026"}
	for range 300 {
		text := []byte(randomTable(random, 1+random.IntN(12)))
		for range 1 + random.IntN(3) {
			at := random.IntN(len(text))
			with := spoil[random.IntN(len(spoil))]
			cut := min(len(text), at+random.IntN(3))
			text = slices.Concat(text[:at], []byte(with), text[cut:])
		}
		twins(t, text)
	}
}

// Rows in any order: the twins agree on what is scattered and on what Gather makes of it.
func TestTwinsOnScatteredKits(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	head, body, _ := strings.Cut(tableOf(t, manyKits(2000)), "\n")
	rows := strings.SplitAfter(strings.TrimSuffix(body, "\n"), "\n")
	rows[len(rows)-1] += "\n"
	for _, swaps := range []int{1, 5, len(rows)} {
		for range swaps {
			i, j := random.IntN(len(rows)), random.IntN(len(rows))
			rows[i], rows[j] = rows[j], rows[i]
		}
		twins(t, []byte(head+"\n"+strings.Join(rows, "")))
	}
}

// A kit that is larger than many chunks comes whole.
func TestMapOfALargeKit(t *testing.T) {
	text := strings.Builder{}
	text.WriteString("kit,datum,feature,kind,station,offset,note\n")
	for i := range 20000 {
		fmt.Fprintf(&text, "%s,body,outline,point,%d.5,2,%s\n", []string{"A", "B"}[i/19990], i%9000, []string{"", `"x,""y"`}[i/15000])
	}
	twins(t, []byte(text.String()))
	if !isPlain(t, []byte(text.String())) {
		t.Error("it is not plain")
	}
}

// Files with next to nothing in them.
func TestTwinsOnLittle(t *testing.T) {
	row := "A,body,outline,point,1,2,,\n"
	for _, text := range []string{
		"", "\n", "\ufeff", "kit,datum,feature,kind", "kit,datum,feature,kind\n", "kit,datum,feature,kind\r\n\r\n# nothing\n",
		"sep=;\nkit;datum;feature;kind\n", "kit,datum,feature,kind,station,offset,,\n", "kit,datum,feature,kind,station,offset,,\n" + row,
		"kit,datum,feature,kind,station,offset,,\n" + row + strings.Replace(row, "2,,", "2,x,", 1) + row,
		"kit,datum,feature,kind,station,offset,,\n" + row + strings.Replace(row, "2,,", "2,,x", 1) + row,
		"#x,kit,datum,feature,kind,station,offset\nany thing,A,body,outline,point,1,2\n",
		"kit,datum,feature,kind,station,offset\n A ,body,outline, point,1,2\nA,body,outline,point,1 , 2\n",
	} {
		twins(t, []byte(text))
	}
}

func FuzzTwins(f *testing.F) {
	random := rand.New(rand.NewPCG(9, 10))
	for range 12 {
		f.Add([]byte(randomTable(random, 2)))
	}
	for _, c := range badReadings {
		if len(c.text) < 2000 {
			f.Add([]byte(c.text))
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) { twins(t, data) })
}

// A context ends Map between kits, an error of emit ends it too, and both come back as they are.
func TestMapEnds(t *testing.T) {
	text := memory(tableOf(t, manyKits(20000)))
	batch := func() *Batch { return &Batch{Gauges: builtInGaugeSet(), errs: &collector{}, readings: text} }
	name := func(k *Kit) string { return k.Name }
	ctx, cancel := context.WithCancel(context.Background())
	kits := 0
	err := Map(ctx, batch(), 2, name, func(string) error {
		if kits++; kits == 100 {
			cancel()
		}
		return nil
	})
	if err != context.Canceled || kits != 100 {
		t.Errorf("%d kits, %v", kits, err)
	}
	full := errors.New("full")
	if err := Map(context.Background(), batch(), 2, name, func(string) error { return full }); err != full {
		t.Errorf("got %v", err)
	}
	broken := &Batch{Gauges: builtInGaugeSet(), errs: &collector{}, readings: &spool{named: "stdin", in: io.MultiReader(strings.NewReader(onePocket), &failing{})}}
	defer broken.Close()
	if err := Map(context.Background(), broken, 2, name, func(string) error { return nil }); !errors.Is(err, errBroken) {
		t.Errorf("got %v", err)
	}
}

// A stream that comes once can be started over.
func TestMapOfAStreamWithAMistake(t *testing.T) {
	text := tableOf(t, manyKits(5000)) + "x,body\n"
	b, err := Open("-", Options{Stdin: strings.NewReader(text)})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	var names []string
	err = Map(context.Background(), b, 2, func(k *Kit) string { return k.Name }, func(n string) error { names = append(names, n); return nil })
	if all, ok := err.(Errors); !ok || len(all) != 1 || all[0].Line != strings.Count(text, "\n") {
		t.Errorf("got %v", err)
	}
	if !slices.IsSortedFunc(names, func(a, b string) int { return len(a) - len(b) }) || len(names) < 4000 {
		t.Errorf("%d kits before the mistake", len(names))
	}
}
