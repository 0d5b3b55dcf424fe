package measure

import (
	"encoding/csv"
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/gocarina/gocsv"

	"neckfit/measure/csvtext"
)

// rowsByLibrary reads a readings.csv by encoding/csv and gocsv, which know nothing of this package.
func rowsByLibrary(text string, comma rune) (rows []readingRow, lines []int, err error) {
	in := csv.NewReader(strings.NewReader(text))
	in.Comma, in.Comment, in.LazyQuotes, in.FieldsPerRecord, in.TrimLeadingSpace = comma, '#', true, -1, comma != '\t'
	var all records
	for {
		cells, err := in.Read()
		if err != nil {
			break
		}
		if strings.TrimSpace(strings.Join(cells, "")) == "" {
			continue
		}
		if len(all) > 0 {
			line, _ := in.FieldPos(0)
			lines = append(lines, line)
		}
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
			if len(all) == 0 {
				cells[i] = strings.ToLower(cells[i])
			}
		}
		all = append(all, cells)
	}
	return rows, lines, gocsv.UnmarshalDecoder(all, &rows)
}

type records [][]string

func (r records) GetCSVRows() ([][]string, error) { return r, nil }

// millimetresByRat is a good number's length, by exact arithmetic.
func millimetresByRat(cell, unit string) float64 {
	text := strings.NewReplacer(",", ".", `"`, "", "″", "").Replace(cell)
	sum, sign := new(big.Rat), int64(1)
	if strings.Contains(text, "/") {
		if strings.HasPrefix(text, "-") {
			sign = -1
		}
		for _, term := range strings.FieldsFunc(strings.TrimLeft(text, "+-"), func(c rune) bool { return c == ' ' || c == '-' }) {
			x, _ := new(big.Rat).SetString(term)
			sum.Add(sum, x)
		}
	} else if x, ok := new(big.Rat).SetString(strings.TrimPrefix(text, "+")); ok {
		sum = x
	}
	sum.Mul(sum, big.NewRat(sign, 1))
	if unit != "" && !strings.EqualFold(unit, "mm") {
		sum.Mul(sum, big.NewRat(254, 10))
	}
	mm, _ := sum.Float64()
	return mm
}

// sameAsRow holds a reading against the cells that it was made of.
func sameAsRow(t testing.TB, g *Reading, kit string, w *readingRow, line int) {
	t.Helper()
	number := func(x float64, has bool, cell string) {
		t.Helper()
		if want := millimetresByRat(cell, w.Unit); has != (cell != "") || has && x != want && !near(x, want) {
			t.Errorf("line %d: %q %s is %v (%v), want %v", line, cell, w.Unit, x, has, want)
		}
	}
	number(g.Station, g.HasStation, w.Station)
	number(g.Offset, g.HasOffset, w.Offset)
	number(g.Size, w.Size != "", w.Size)
	blank := "calliper"
	switch {
	case strings.EqualFold(w.Kind, "gap"):
		blank = "feeler"
	case strings.EqualFold(w.Kind, "diameter"), strings.EqualFold(w.Kind, "width") && strings.EqualFold(w.Feature, "pocket"):
		blank = "calliper-inside"
	}
	stage := "received"
	if w.Stage != "" {
		stage = strings.ToLower(w.Stage)
	}
	for _, c := range []struct{ got, want string }{
		{kit, w.Kit}, {g.Datum.String(), strings.ToLower(w.Datum)}, {g.Feature.String(), strings.ToLower(w.Feature)}, {g.Kind.String(), strings.ToLower(w.Kind)},
		{strings.ToLower(g.Mark.String()), unpadded(w.Mark)}, {g.To.String(), unpadded(w.To)}, {g.By, w.By}, {g.Note, w.Note}, {g.Stage.String(), stage},
		{g.Gauge.ID, or(w.Gauge, blank)}, {g.StationGauge.ID, or(w.StationGauge, "rule")}, {fmt.Sprint(g.Trial), or(unpadded(w.Trial), "0")},
		{fmt.Sprint(g.Place.Line), fmt.Sprint(line)},
	} {
		if c.got != c.want {
			t.Errorf("line %d: got %q, want %q", line, c.got, c.want)
		}
	}
}

// near is for decimal inches, which take one multiplication and one division more than a float has room
// for: two units in the last place.
func near(a, b float64) bool { return a-b < 4e-16*(1+abs(b)) && b-a < 4e-16*(1+abs(b)) }

func abs(x float64) float64 { return max(x, -x) }

func or(text, blank string) string {
	if text == "" {
		return blank
	}
	return text
}

// unpadded is a mark in small letters; a number's without zeros before it.
func unpadded(mark string) string {
	if strings.Trim(mark, "0123456789") == "" {
		return strings.TrimLeft(mark, "0")
	}
	return strings.ToLower(mark)
}

// twins reads a text by this package and, where that finds nothing wrong, by gocsv.
func twins(t testing.TB, text string, comma rune) (good bool) {
	t.Helper()
	kits, err := kitsOf(&Batch{Gauges: builtInGaugeSet(), errs: new(csvtext.Collector), readings: memory(text)}, 2)
	if err != nil {
		return false
	}
	rows, lines, err := rowsByLibrary(text, comma)
	if err != nil && len(kits) > 0 {
		t.Fatalf("gocsv says %v of %q", err, text)
	}
	at := map[int]int{}
	for i, line := range lines {
		at[line] = i
	}
	n := 0
	for _, k := range kits {
		for i := range k.Readings {
			g := &k.Readings[i]
			row, ok := at[g.Place.Line]
			if !ok {
				t.Fatalf("gocsv has no row on line %d of %q", g.Place.Line, text)
			}
			sameAsRow(t, g, k.Name, &rows[row], g.Place.Line)
			n++
		}
	}
	if n != len(rows) {
		t.Fatalf("%d readings, gocsv has %d rows, of %q", n, len(rows), text)
	}
	return true
}

// Good files of every manner come out as gocsv has them, cell by cell.
func TestReadingsAsGocsvHasThem(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	good := 0
	for range 60 {
		text, comma := randomTable(random, 1+random.IntN(40))
		if twins(t, text, comma) {
			good++
		}
	}
	if good < 55 {
		t.Errorf("only %d of 60 tables were good", good)
	}
}

func FuzzTwins(f *testing.F) {
	random := rand.New(rand.NewPCG(9, 10))
	for range 12 {
		text, _ := randomTable(random, 2)
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, b := range data {
			if b >= utf8.RuneSelf || b < ' ' && b != '\n' {
				return // the library has other ideas of spaces and line ends
			}
		}
		text := string(data)
		if strings.Contains(strings.ToLower(text), "sep=") || strings.Contains(text, " #") || strings.Contains(text, "\n ") || strings.HasPrefix(text, " ") {
			return // lines that only this package passes over
		}
		head, _, _ := strings.Cut(strings.TrimLeft(text, "\n,;"), "\n")
		if strings.ContainsAny(head, ";\"#") || strings.Contains(text, ",,\n") && !strings.Contains(head, ",") {
			return // the delimiter is a guess, or a column is passed over
		}
		twins(t, text, ',')
	})
}

// randomTable writes kits of every sort of reading, in a random spreadsheet's manner.
func randomTable(random *rand.Rand, kits int) (string, rune) {
	comma := []string{",", ";", "\t"}[random.IntN(3)]
	decimal := "."
	if comma != "," && random.IntN(2) == 0 {
		decimal = ","
	}
	lineEnd := []string{"\n", "\r\n"}[random.IntN(2)]
	quotes := []float64{0, 0.02, 1}[random.IntN(3)]
	columns := slices.Clone(readingsTable.Columns)
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
	return out.String(), rune(comma[0])
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
