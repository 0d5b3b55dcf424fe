package sheet

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"neckfit/measure"
	"neckfit/report/draw"
)

var small = Instrument{Strings: 4, Frets: 20, NeckScrews: 4, BridgeScrews: 5}

// pdfText is what poppler's pdftotext finds on a paper's pages.
func pdfText(t *testing.T, p Paper) []string {
	t.Helper()
	return strings.Split(strings.TrimSuffix(poppler(t, p, "-layout"), "\f"), "\f")
}

func poppler(t *testing.T, p Paper, how string) string {
	t.Helper()
	var b bytes.Buffer
	if err := p.PDF(&b); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", how, file, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("pdftotext of poppler-utils is needed (bash .ci/test installs it): %v: %s", err, out)
	}
	return string(out)
}

// wordBox is a word's place as pdftotext -bbox tells it, in points.
var wordBox = regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>|<page width="([\d.]+)" height="([\d.]+)">`)

// All writing stands where a printer prints, 10 mm from the edges, on either paper.
func TestPaperIsNotCutOff(t *testing.T) {
	for _, way := range Ways() {
		for _, size := range []draw.Paper{draw.A4, draw.Letter} {
			width, height := 0.0, 0.0
			for _, m := range wordBox.FindAllStringSubmatch(poppler(t, Paper{Way: way, Kits: []string{"A1"}, Size: size, Instrument: small, Left: true}, "-bbox"), -1) {
				n := make([]float64, len(m))
				for i, text := range m {
					n[i], _ = strconv.ParseFloat(text, 64)
				}
				if m[6] != "" {
					width, height = n[6], n[7]
					continue
				}
				const margin = 9.5 * 72 / 25.4 // a font's box is a little taller than its letters
				if n[1] < margin || n[2] < margin || n[3] > width-margin || n[4] > height-margin {
					t.Errorf("%s, %s: %q stands at %.0f to %.0f, %.0f to %.0f of %.0f by %.0f points", way, size, m[5], n[1], n[3], n[2], n[4], width, height)
				}
			}
			if width == 0 {
				t.Fatal("no page was found")
			}
		}
	}
}

// rowNumber is a number at the head of a row beside its text, or in the line above or below it.
var rowNumber = regexp.MustCompile(`(?m)(?:^|\s)(\d{1,3})(?:\s|$)`)

// On paper stand all numbers of the walk, once a kit, and each kit's name on each of its pages; the same
// numbers begin the notes of the rows.
func TestPaperHasTheWalk(t *testing.T) {
	columns := measure.Columns("readings.csv")
	note := slices.Index(columns, "note")
	for _, way := range Ways() {
		for _, size := range []draw.Paper{draw.A4, draw.Letter} {
			p := Paper{Way: way, Kits: []string{"A1", "Kit B-07"}, Size: size, Instrument: small, Left: size == draw.Letter}
			pages := pdfText(t, p)
			tasks := Plan(way, small)
			forms := len(pages) - 1 // the last is of labels
			if forms%2 != 0 || forms < 2 {
				t.Fatalf("%s: %d pages for two kits and their labels", way, len(pages))
			}
			if way == "quick" && forms != 2 {
				t.Errorf("the quick sheet takes %d pages for two kits", forms)
			}
			last := 0 // places are numbered in the order in which they are first read
			for i, task := range tasks {
				again := task.Trial > 1
				if !again {
					last++
				}
				if got := task.Cells("A1", columns)[note]; !again && task.Number != last || task.Number > last || !strings.HasPrefix(got, strconv.Itoa(task.Number)+". ") {
					t.Errorf("%s: row %d has number %d and the note %q", way, i+1, task.Number, got)
				}
			}
			for k, kit := range p.Kits {
				seen := map[string]bool{}
				for _, page := range pages[k*forms/2 : (k+1)*forms/2] {
					if !strings.Contains(page, kit) || !strings.Contains(page, "String 1 and screw 1") {
						t.Errorf("%s: a page does not say %s, or which end is string 1", way, kit)
					}
					for _, m := range rowNumber.FindAllStringSubmatch(strings.ReplaceAll(page, " ", "  "), -1) {
						seen[m[1]] = true
					}
				}
				for i := range last {
					if !seen[strconv.Itoa(i+1)] {
						t.Errorf("%s, %s: number %d is not on paper", way, kit, i+1)
					}
				}
			}
			for _, want := range []string{"A1", "Kit B-07", "neck", "body", "bridge"} {
				if !strings.Contains(pages[forms], want) {
					t.Errorf("%s: no label says %s", way, want)
				}
			}
		}
	}
}

// A row has a box for every cell that its reading needs, but for an offset that is filled in already.
func TestBoxesAreTheCells(t *testing.T) {
	for _, way := range Ways() {
		p := Paper{Way: way, Instrument: small}
		tasks := Plan(way, small)
		f := p.form("A1", tasks, "")
		for i, task := range tasks {
			note := task.Cells("A1", []string{"note"})[0]
			for c, name := range []string{"station", "offset", "size"} {
				want := strings.Contains(note[strings.Index(note, "fill in"):], name) && !(name == "offset" && task.Offset != "")
				if f.Rows[i].Boxes[c] != want {
					t.Errorf("%s: row %d (%s) has a box for %s: %v", way, i+1, note, name, f.Rows[i].Boxes[c])
				}
			}
			want, times := 1, 1
			for _, other := range tasks {
				if other.Number == task.Number {
					times = max(times, other.Trial)
				}
			}
			if task.Kind == measure.Point || times > 2 {
				want = 2
			}
			if f.Rows[i].Again != want {
				t.Errorf("%s: row %d, read %d times, has %d boxes for further readings", way, i+1, times, f.Rows[i].Again)
			}
		}
	}
}

// Of every reading there are boxes on paper, for each of its numbers but those that say where the place is.
func TestEveryTrialHasBoxes(t *testing.T) {
	for _, way := range Ways() {
		trials, boxes := map[int]int{}, map[int]int{}
		for _, task := range Plan(way, small) {
			trials[task.Number]++
			if task.Kind == measure.Point {
				trials[task.Number]++
			}
		}
		p := Paper{Way: way, Instrument: small}
		for _, row := range p.form("A1", onPaper(Plan(way, small)), "").Rows {
			if boxes[row.Number] += row.Again + 1; row.Boxes[0] && row.Boxes[1] && row.Again == 2 {
				boxes[row.Number]++
			}
		}
		for number, want := range trials {
			if boxes[number] < want {
				t.Errorf("%s: number %d takes %d numbers and has %d boxes", way, number, want, boxes[number])
			}
		}
	}
}

// The tools are the jaws that reach: inside a pocket, outside a heel.
func TestToolsOfTheQuickSheet(t *testing.T) {
	p := Paper{Way: "quick", Instrument: small}
	tasks := Plan("quick", small)
	for i, r := range p.form("A1", tasks, "").Rows {
		want := map[measure.Feature]string{measure.Heel: "outside jaws", measure.Pocket: "inside jaws"}[tasks[i].Feature]
		if tasks[i].Kind != measure.Width {
			want = map[measure.Datum]string{measure.DatumEdgeBass: "the bass edge", measure.DatumEdgeTreble: "the treble edge"}[tasks[i].Datum]
		}
		if !strings.HasSuffix(r.With, want) || want == "" {
			t.Errorf("%s is read with %q, want %q", r.What, r.With, want)
		}
	}
}

// Places lie where the part has them: bass at the left, treble at the right, string 1 and screw 1 on the
// treble side, frets by the rule of the twelfth root of two, the mouth before the end.
func TestPlacesInThePicture(t *testing.T) {
	for _, in := range []Instrument{small, {Strings: 6, Frets: 24, NeckScrews: 6, BridgeScrews: 2}, {Strings: 1, Frets: 12, BridgeScrews: 1, NeckScrews: 1}} {
		for _, way := range Ways() {
			p := Paper{Way: way, Instrument: in}
			at := map[string]draw.Point{}
			for _, task := range Plan(way, in) {
				point, span := p.place(task)
				if math.Abs(point.Y)+2 > draw.PanelWidth/2 || point.X < 2 || point.X > draw.PanelHeight || span > draw.PanelWidth/2 {
					t.Errorf("%s: %s %s lies at %v", way, task.Feature, task.Mark, point)
				}
				if (span > 0) != (task.Kind == measure.Width) {
					t.Errorf("%s: %s %s has a span of %v", way, task.Feature, task.Kind, span)
				}
				at[task.Feature.String()+task.Mark+" "+string(task.Where)+task.Datum.String()] = point
				text := string(task.Where) + task.Mark + task.Datum.String()
				if bass := strings.Contains(text, "bass"); task.Kind != measure.Width && task.Feature.Marks() != measure.MarkString && bass != strings.Contains(text, "treble") {
					if sign := math.Copysign(1, point.Y); point.Y == 0 && in.BridgeScrews > 1 || point.Y != 0 && (sign < 0) != bass {
						t.Errorf("%s: %s lies at %v", way, text, point)
					}
				}
			}
			for key, p := range at {
				if other := at[strings.Replace(key, "near the pocket's mouth", "near the pocket's end", 1)]; strings.Contains(key, "near the pocket's mouth") && other.X-p.X < 10 {
					t.Errorf("%s: %s lies at %v, its end at %v", way, key, p, other)
				}
			}
		}
		p := Paper{Way: "loose", Instrument: in}
		nut := p.fret(0)
		if got := (p.fret(12) - nut) / (p.fret(in.Frets) - nut); math.Abs(got-0.5/(1-math.Pow(2, -float64(in.Frets)/12))) > 1e-9 {
			t.Errorf("fret 12 of %d lies at %.4f of the way", in.Frets, got)
		}
		if in.Strings > 1 && !(row(1, in.Strings, 10) == 10 && row(in.Strings, in.Strings, 10) == -10) {
			t.Error("string 1 is not the treble-most")
		}
	}
}

func TestRanges(t *testing.T) {
	for want, list := range map[string][]int{"3": {3}, "3, 4": {3, 4}, "3–5": {3, 4, 5}, "1, 3–6, 9": {1, 3, 4, 5, 6, 9}, "": nil} {
		if got := ranges(list); got != want {
			t.Errorf("%v: %q, want %q", list, got, want)
		}
	}
}
