package measure

import (
	"encoding/csv"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"neckfit/measure/csvtext"
)

// Whatever kits follow each other, rows that were seen before come out as if they had not been, with the same errors at
// the same places. Kits lack rows, have others twice or in another order, and cells are wrong, blank, in quotes or left off at the end.
func TestMemo(t *testing.T) {
	random := rand.New(rand.NewPCG(31, 7))
	gauges := builtInGaugeSet()
	rows, remembered, wrong, blank := 0, 0, 0, 0
	for table := range 80 {
		text := similarKits(random)
		open := func() (*decoder, *csvtext.Collector) {
			errs := &csvtext.Collector{}
			d, err := openReadings("readings.csv", strings.NewReader(text), errs, gauges)
			if err != nil || d == nil {
				t.Fatal(err, errs.Err())
			}
			d.planned = table%5 == 0
			return d, errs
		}
		fast, fastErrs := open()
		slow, slowErrs := open()
		last := ""
		for fast.Next() {
			slow.Next()
			if cell := fast.Cell(kitColumn); cell != last {
				last = cell
				if a, b := fast.kit(fast.Row()), slow.kit(slow.Row()); a != b {
					t.Fatalf("kit %q, not %q", a, b)
				}
			}
			rows++
			probe := fast.memo
			hit := probe.same(fast.Rows) != nil
			slow.memo = memo{} // so that nothing is remembered
			var got, want Reading
			a, b := fast.Row(), slow.Row()
			gotRead, wantRead := fast.decode(a, &got), slow.decode(b, &want)
			if gotRead != wantRead || a.Bad != b.Bad || a.Place != b.Place || got != want {
				t.Fatalf("read %v, bad %v, not %v, %v\n%s", gotRead, a.Bad, wantRead, b.Bad, cmp.Diff(want, got))
			}
			if hit {
				remembered++
				if a.Bad {
					wrong++
				}
				if !gotRead {
					blank++
				}
			}
		}
		if slow.Next() || !reflect.DeepEqual(slowErrs, fastErrs) {
			t.Fatalf("fewer rows, or other errors:\n%v\nnot\n%v", fastErrs.Err(), slowErrs.Err())
		}
		if diff := cmp.Diff(slow.found.gauges, fast.found.gauges); diff != "" {
			t.Fatalf("other gauges were used:\n%s", diff)
		}
		if slow.found.strings != fast.found.strings {
			t.Fatalf("%d strings, not %d", fast.found.strings, slow.found.strings)
		}
	}
	if remembered < rows/4 || remembered > rows*2/3 || wrong < 50 || blank < 50 {
		t.Errorf("of %d rows %d were remembered, %d with a wrong number and %d with none", rows, remembered, wrong, blank)
	}
}

// similarKits writes kits that have most of their rows in common.
func similarKits(random *rand.Rand) string {
	var sheet []map[string]string
	for range 3 + random.IntN(30) {
		cells := randomReading(random, 1+random.IntN(2), ".")
		if random.IntN(6) == 0 {
			cells["note"] = []string{"at the bench", "twice, to be sure", " spaced "}[random.IntN(3)]
		}
		if random.IntN(10) == 0 {
			cells[[]string{"gauge", "mark", "stage", "unit"}[random.IntN(4)]] = "no such" // in each kit anew
		}
		sheet = append(sheet, cells)
	}
	columns := slices.Clone(readingsTable.Columns)
	if random.IntN(3) > 0 {
		random.Shuffle(len(columns), func(i, j int) { columns[i], columns[j] = columns[j], columns[i] })
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	w.Comma = []rune{',', ';', '\t'}[random.IntN(3)]
	w.Write(columns)
	short := random.IntN(3) == 0
	for kit := range 8 {
		rows := slices.Clone(sheet)
		if random.IntN(6) == 0 {
			random.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
		}
		for _, cells := range rows {
			times := 1
			if random.IntN(20) == 0 {
				times = 2 * random.IntN(2)
			}
			for range times {
				var row []string
				empty, typo := random.IntN(20) == 0, random.IntN(25*len(columns))
				for i, column := range columns {
					cell := cells[column]
					number := slices.Contains([]string{"station", "offset", "size"}, column)
					switch {
					case column == "kit":
						cell = string(rune('A' + kit))
					case number && empty:
						cell = ""
					case i == typo || number && cell != "" && random.IntN(40) == 0:
						cell = []string{"", "nothing", "12", "-3", "body", "1,5"}[random.IntN(6)]
					case number && cell != "" && !strings.Contains(cell, "/"):
						cell = cell[:len(cell)-1] + string(rune('0'+random.IntN(10)))
					}
					row = append(row, cell)
				}
				for short && row[len(row)-1] == "" {
					row = row[:len(row)-1]
				}
				w.Write(row)
			}
		}
	}
	w.Flush()
	return out.String()
}
