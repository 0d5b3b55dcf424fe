package measure

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// manyKits makes kits with a few readings each; no two readings of a kit are alike.
func manyKits(n int) []*Kit {
	kits := make([]*Kit, n)
	for i := range kits {
		name := fmt.Sprintf("kit-%d", i)
		kits[i] = &Kit{Name: name, Info: Info{Kit: name}}
		for j := range 1 + i%4 {
			kits[i].Readings = append(kits[i].Readings, Reading{
				Datum: DatumBody, Feature: BridgeScrew, Mark: Mark{Number: j + 1}, Kind: Point,
				Station: float64(i) / 8, HasStation: true, Offset: float64(j), HasOffset: true,
			})
		}
	}
	return kits
}

func tableOf(t testing.TB, kits []*Kit) string {
	t.Helper()
	var out bytes.Buffer
	if err := WriteReadings(&out, slices.Values(kits)); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// However the rows are shuffled, the kits come whole, in the order in which their first rows stand.
func TestScatteredKits(t *testing.T) {
	head, body, _ := strings.Cut(tableOf(t, manyKits(30)), "\n")
	rows := strings.SplitAfter(strings.TrimSpace(body)+"\n", "\n")
	rows = rows[:len(rows)-1]
	random := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		random.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
		together := slices.Clone(rows)
		first := map[string]int{}
		for i, row := range rows {
			if name, _, _ := strings.Cut(row, ","); first[name] == 0 {
				first[name] = i + 1
			}
		}
		slices.SortStableFunc(together, func(a, b string) int {
			nameA, _, _ := strings.Cut(a, ",")
			nameB, _, _ := strings.Cut(b, ",")
			return first[nameA] - first[nameB]
		})
		want := mustRead(t, head+"\n"+strings.Join(together, ""))
		for _, source := range []string{"stdin", "file"} {
			path, text := "-", head+"\n"+strings.Join(rows, "")
			if source == "file" {
				path = folder(t, map[string]string{"readings.csv": text})
			}
			got, err := readAll(t, path, text)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(want, got, noPlaces); diff != "" {
				t.Fatalf("%s: %s", source, diff)
			}
		}
	}
}

// What was emitted before the first kit came back is void, and said to be; then all come in the order of
// their first rows, with all of their rows.
func TestScatteredOrder(t *testing.T) {
	text := "kit,datum,feature,kind,station,offset\n"
	for i, kit := range strings.Fields("A B A C D B A E") {
		text += kit + ",body,outline,point," + fmt.Sprint(i) + ",2\n"
	}
	b, err := Open("-", Options{Stdin: strings.NewReader(text)})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	var emitted []string
	again := 0
	err = Kits(t.Context(), b, 2,
		func(k *Kit) string { return fmt.Sprintf("%s%d", k.Name, len(k.Readings)) },
		func(kit string) error { emitted = append(emitted, kit); return nil },
		func() error { emitted = nil; again++; return nil })
	if diff := cmp.Diff(strings.Fields("A3 B2 C1 D1 E1"), emitted); err != nil || again != 1 || diff != "" {
		t.Error(err, again, diff)
	}
	void := errors.New("void")
	if err := Kits(t.Context(), b, 2, (*Kit).Clone, func(*Kit) error { return nil }, func() error { return void }); err != void {
		t.Errorf("got %v", err)
	}
}

// A reading that is there twice is found in a scattered kit too, and errors come before scattering.
func TestScatteredErrors(t *testing.T) {
	row := func(kit, feature, size string) string { return kit + ",body," + feature + ",1,diameter," + size + "\n" }
	text := "kit,datum,feature,mark,kind,size\n" + row("A", "string-hole", "3") + row("B", "string-hole", "3") + row("A", "string-hole", "3.1")
	_, err := readAll(t, "-", text)
	if diff := cmp.Diff([]string{
		`stdin:4:20: mark "1" of string-hole was read already on line 2, expected another mark, or a trial number if it was read again`,
	}, messages(err, "")); diff != "" {
		t.Error(diff)
	}
	_, err = readAll(t, "-", text+row("C", "x", "3"))
	if all, ok := err.(Errors); !ok || len(all) != 1 {
		t.Errorf("got %v", err)
	}
}

// The rows of scattered kits take no more room than there are rows.
func TestScatteredRoom(t *testing.T) {
	kits := manyKits(40)
	head, body, _ := strings.Cut(tableOf(t, kits), "\n")
	rows := strings.SplitAfter(strings.TrimSpace(body)+"\n", "\n")
	rows = rows[:len(rows)-1]
	rand.New(rand.NewPCG(3, 2)).Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	b, err := Open("-", Options{Stdin: strings.NewReader(head + "\n" + strings.Join(rows, ""))})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	names := []string{"kit-3", "kit-39", "kit-6"}
	r := newKitReader(b)
	if err := r.gather(t.Context(), names); err != nil {
		t.Fatal(err)
	}
	for i, name := range names {
		if n, want := len(r.whole[name].Readings), len(kits[[]int{3, 39, 6}[i]].Readings); n != want || cap(r.whole[name].Readings) != n {
			t.Errorf("%s has %d readings in the room of %d, want %d", name, n, cap(r.whole[name].Readings), want)
		}
	}
}

// Of a kit that was met no more is kept than 8 bytes, a slice's quarter of slack and the latest.
func TestMemoryOfKitsMet(t *testing.T) {
	heap := func() float64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return float64(m.HeapAlloc)
	}
	const kits = 300_000
	var met numbers
	random := rand.New(rand.NewPCG(5, 6))
	before := heap()
	for range kits {
		met.add(random.Uint64())
	}
	if each := (heap() - before) / kits; each > 8*1.25+2 || each < 8 {
		t.Errorf("%.1f bytes a kit", each)
	}
	random = rand.New(rand.NewPCG(5, 6)) // the same once more
	for i := range kits {
		if x := random.Uint64(); !met.has(x) || met.has(x+1) {
			t.Fatalf("number %d is not there, or the next one is", i)
		}
	}
	if len(met.sorted)+len(met.latest) != kits || !slices.IsSorted(met.sorted) {
		t.Errorf("%d numbers are there, of %d", len(met.sorted)+len(met.latest), kits)
	}
}
