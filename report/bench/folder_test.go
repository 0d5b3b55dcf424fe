package bench_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"neckfit/report/bench"
	"neckfit/report/sheet"
	"neckfit/report/words"
)

var counts = sheet.Instrument{Strings: 4, Frets: 20, NeckScrews: 4, BridgeScrews: 5}

// enter types a number into the first row of a kit's sheet that has the label and still wants it.
func enter(t *testing.T, f *bench.Folder, kit, label, column, text string) error {
	t.Helper()
	s, err := f.State(kit)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range s.Kit.Rows {
		for _, c := range r.Cells {
			if strings.HasPrefix(r.Label, label) && c.Column == column && c.Text == "" {
				return f.Enter(bench.Entry{Row: r.Row, Was: r.Was, Column: column, Text: text})
			}
		}
	}
	t.Fatalf("no row %q wants a %s", label, column)
	return nil
}

// A table keeps its delimiter, its decimal sign, its line ends, its comments and all that was not
// touched, to the byte.
func TestTablesStayAsTheyWere(t *testing.T) {
	for name, c := range map[string]struct{ before, typed, after string }{
		"comma":             {"kit,datum,feature,kind,station,size\nA,neck,heel,width,,\n", "12,5", "kit,datum,feature,kind,station,size\n# half read: A,neck,heel,width,12.5,\n"},
		"semicolon":         {"# note; \"x\"\r\nKit;Datum;Feature;Kind;Station;Size\r\nB;neck;heel;width;1,5;2\r\nA;neck;heel;width;;\r\n", "12.5", "# note; \"x\"\r\nKit;Datum;Feature;Kind;Station;Size\r\nB;neck;heel;width;1,5;2\r\n# half read: A;neck;heel;width;12,5;\r\n"},
		"tab, mark, no end": {"\ufeffkit\tdatum\tfeature\tkind\tstation\tsize\nA\tneck\theel\twidth\t\t", "12", "\ufeffkit\tdatum\tfeature\tkind\tstation\tsize\n# half read: A\tneck\theel\twidth\t12\t"},
		"quotes":            {"kit,note,datum,feature,kind,station,size\n\"A\",\"one, \"\"two\"\"\",neck,heel,width,,\n", "7", "kit,note,datum,feature,kind,station,size\n# half read: A,\"one, \"\"two\"\"\",neck,heel,width,7,\n"},
		"short rows":        {"kit,datum,feature,kind,note,station,size\nA,neck,heel,width\n", "7", "kit,datum,feature,kind,note,station,size\n# half read: A,neck,heel,width,,7\n"},
	} {
		dir := t.TempDir()
		file := filepath.Join(dir, "readings.csv")
		write(t, file, c.before)
		f, err := bench.OpenFolder(dir, options)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if err := enter(t, f, "A", "heel", "station", c.typed); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if got := read(t, file); got != c.after {
			t.Errorf("%s:\n%q, want\n%q", name, got, c.after)
		}
		if err := f.Undo(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if got := read(t, file); got != c.before {
			t.Errorf("%s, taken back:\n%q, want\n%q", name, got, c.before)
		}
	}
}

// A folder without a table, or with one that is no table, is refused.
func TestFoldersThatAreRefused(t *testing.T) {
	for _, text := range []string{"", "# only a comment\n", "datum,feature\n", "k\x00i\x00t\x00"} {
		dir := t.TempDir()
		write(t, filepath.Join(dir, "readings.csv"), text)
		if _, err := bench.OpenFolder(dir, options); err == nil {
			t.Errorf("%q was taken", text)
		}
	}
	if _, err := bench.OpenFolder(t.TempDir(), options); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("%v", err)
	}
}

// A row that another program changed is not written over; one that only moved is found.
func TestForeignRows(t *testing.T) {
	dir := emptyFolder(t)
	file := filepath.Join(dir, "readings.csv")
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.NewKit("A", "quick", counts, true); err != nil {
		t.Fatal(err)
	}
	if kits := read(t, filepath.Join(dir, "kits.csv")); !strings.Contains(kits, "\nA,,,left,4,20,") {
		t.Errorf("%s", kits)
	}
	s, err := f.State("A")
	if err != nil {
		t.Fatal(err)
	}
	heel, pocket := s.Kit.Rows[0], s.Kit.Rows[2]
	lines := strings.SplitAfter(read(t, file), "\n")
	changed := strings.Replace(heel.Was, "heel,,,width,", "heel,,,width,77", 1)
	write(t, file, lines[0]+"# put before\n"+changed+"\n"+strings.Join(lines[2:], ""))
	before := read(t, file)
	if err := f.Enter(bench.Entry{Row: heel.Row, Was: heel.Was, Column: "station", Text: "10"}); err == nil || !strings.Contains(err.Error(), "another program") {
		t.Errorf("%v", err)
	}
	if got := read(t, file); got != before {
		t.Errorf("overwritten: %s", got)
	}
	if err := f.Enter(bench.Entry{Row: pocket.Row, Was: pocket.Was, Column: "station", Text: "10"}); err != nil {
		t.Error(err)
	}
	if got := read(t, file); !strings.Contains(got, "# half read: A,edge-bass,pocket,,,width,10,") || !strings.Contains(got, changed) {
		t.Errorf("%s", got)
	}
	if s, err = f.State("A"); err != nil || s.Foreign != 1 {
		t.Errorf("%v, %d foreign changes", err, s.Foreign)
	}
}

// Two programs that write at once: whatever was acknowledged to either is in the file at the end. The
// other one here writes as a careful program does, beside and renamed.
func TestTwoWriters(t *testing.T) {
	dir := emptyFolder(t)
	file := filepath.Join(dir, "readings.csv")
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 20 {
		if err := f.NewKit(fmt.Sprint("K", i), "quick", counts, false); err != nil {
			t.Fatal(err)
		}
	}
	var group sync.WaitGroup
	stop := make(chan struct{})
	theirs := 0
	group.Go(func() { // adds a comment, time and again, unless the file changed in its own hands
		for {
			select {
			case <-stop:
				return
			default:
			}
			text, err := os.ReadFile(file)
			if err != nil {
				t.Error(err)
				return
			}
			if err := bench.Replace(file, text, append(text, fmt.Sprintf("# theirs %d\n", theirs)...)); err == nil {
				theirs++
			}
			time.Sleep(time.Millisecond)
		}
	})
	ours := 0
	for i := range 20 {
		for try := range 200 {
			err := enter(t, f, fmt.Sprint("K", i), "heel", "station", fmt.Sprint(100+i))
			if err == nil {
				ours++
				break
			}
			if try == 199 {
				t.Fatal(err)
			}
		}
	}
	close(stop)
	group.Wait()
	text := read(t, file)
	for i := range ours {
		if !strings.Contains(text, fmt.Sprintf("# half read: K%d,edge-bass,heel,,,width,%d,", i, 100+i)) {
			t.Errorf("our entry %d is lost", i)
		}
	}
	for i := range theirs {
		if !strings.Contains(text, fmt.Sprintf("# theirs %d\n", i)) {
			t.Errorf("their line %d is lost", i)
		}
	}
	if theirs == 0 {
		t.Error("the other program never wrote")
	}
	if left, err := filepath.Glob(filepath.Join(dir, ".neckfit-*")); err != nil || len(left) > 0 {
		t.Errorf("left: %v %v", left, err)
	}
}

// With two hundred kits in the folder an entry and its verdict take less than 50 ms.
func TestQuickWithManyKits(t *testing.T) {
	dir := emptyFolder(t)
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.NewKit("K000", "edge", counts, false); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "readings.csv")
	header, rows, _ := strings.Cut(read(t, file), "\n")
	text := header + "\n"
	for i := range 200 {
		text += strings.ReplaceAll(rows, "K000", fmt.Sprintf("K%03d", i))
	}
	write(t, file, text)
	s, err := f.State("K150")
	if err != nil {
		t.Fatal(err)
	}
	row, least := s.Kit.Rows[0], time.Hour
	for i := range 20 {
		begun := time.Now()
		if err := f.Enter(bench.Entry{Row: row.Row, Was: row.Was, Column: "station", Text: fmt.Sprint(10 + i)}); err != nil {
			t.Fatal(err)
		}
		s, err := f.State("K150")
		if err != nil {
			t.Fatal(err)
		}
		row = s.Kit.Rows[0]
		least = min(least, time.Since(begun)) // other tests run beside this one
	}
	if least > 50*time.Millisecond {
		t.Errorf("it took %v", least)
	}
	t.Logf("%v", least)
}

// With every place read but one bridge hole, that hole is what tells most; then it is what is to be read again, with
// nothing read some row, and with everything read none.
func TestWhatTellsMost(t *testing.T) {
	f, err := bench.OpenFolder(emptyFolder(t), options)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.NewKit("K", "quick", counts, false); err != nil {
		t.Fatal(err)
	}
	numbers := map[string][]string{
		"heel, width": {"460", "63.52", "510", "63.48"}, "pocket, width": {"460", "63.96", "510", "64.28"},
		"nut, from the bass": {"0"}, "fret 20, from the bass": {"522"}, "nut, from the treble": {"0"}, "fret 20, from the treble": {"522"},
		"bridge screw 5, from the bass": {"780", "12.40"}, "bridge screw 1, from the bass": {"780.5", "64.50"},
		"bridge screw 5, from the treble": {"780.5", "62.10"},
	}
	first := func() string {
		_, tells, _, err := f.Plans("K")
		if err != nil {
			t.Fatal(err)
		}
		return tells
	}
	if got := first(); !strings.HasPrefix(got, "of what is still to be read this tells most: ") {
		t.Errorf("%q", got)
	}
	fill := func(label string, texts []string) {
		for _, text := range texts {
			s, err := f.State("K")
			if err != nil {
				t.Fatal(err)
			}
		rows:
			for _, r := range s.Kit.Rows {
				for _, c := range r.Cells {
					if strings.HasPrefix(r.Label, label) && c.Text == "" {
						if err := f.Enter(bench.Entry{Row: r.Row, Was: r.Was, Column: c.Column, Text: text}); err != nil {
							t.Fatal(err)
						}
						break rows
					}
				}
			}
		}
	}
	for label, texts := range numbers {
		fill(label, texts)
	}
	if got := first(); !strings.HasPrefix(got, "of what is still to be read this tells most: bridge screw 1, from the treble edge") || !strings.HasSuffix(got, " rests on it)") {
		t.Errorf("%q", got)
	}
	fill("bridge screw 1, from the treble", []string{"780", "10.00"})
	if got := first(); !strings.HasPrefix(got, "of what is still to be read this tells most: ") || !strings.Contains(got, ", time ") {
		t.Errorf("%q", got)
	}
	for range 2 { // what is read two or three times
		for label, texts := range numbers {
			fill(label, texts)
		}
	}
	if got := first(); strings.Contains(got, "still to be read") {
		t.Errorf("%q", got)
	}
}

// What is said of a kit is what check says, with the lines of the file as it stands; a wrong cell is told of
// where it stands, in a column that rows before it have quoted and on a line that notes go before.
func TestSaysWhatCheckSays(t *testing.T) {
	dir := readExample(t)
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.State("WE-1")
	if err != nil {
		t.Fatal(err)
	}
	r := judged(t, dir)
	var said []string
	for _, todo := range s.Kit.Todo {
		said = append(said, todo.Text)
	}
	if want := words.Next(r); s.Kit.Headline != words.Headline(r) || !slices.Equal(said, want) || !strings.Contains(strings.Join(want, " "), "(line 6)") {
		t.Errorf("%q\n%q, want\n%q", s.Kit.Headline, said, want)
	}
	file := filepath.Join(dir, "readings.csv")
	tenth, eleventh := s.Kit.Rows[9], s.Kit.Rows[10]
	number := tenth.Cells[0].Text
	wrong := strings.Replace(tenth.Was, number, "\""+number[:1]+"\n"+number[1:]+"\"", 1)
	write(t, file, strings.NewReplacer(tenth.Was, wrong, eleventh.Was, "# a note\n"+eleventh.Was).Replace(read(t, file)))
	if s, err = f.State("WE-1"); err != nil {
		t.Fatal(err)
	}
	for i, row := range s.Kit.Rows {
		for _, c := range row.Cells {
			if wrong := i == 9 && c.Column == "station"; (c.Fault != "") != wrong {
				t.Errorf("row %d, %s: %q", i+1, c.Column, c.Fault)
			}
		}
		if want := 4 + i + 2*min(1, max(0, i-9)); row.Line != want { // the wrong cell has two lines, the note one
			t.Errorf("row %d is said to be on line %d, want %d", i+1, row.Line, want)
		}
	}
	if s.Kit.Verdict != "" || len(s.Kit.Faults) > 0 {
		t.Errorf("%q, %q", s.Kit.Verdict, s.Kit.Faults)
	}
}

// A reading that the others contradict is marked, and what is said of it leads to its row.
func TestDoubtedRows(t *testing.T) {
	dir, _ := assorted(t)
	f, err := bench.OpenFolder(dir, options)
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.State("six")
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(s.Kit.Rows, func(r bench.RowView) bool { return strings.HasPrefix(r.Label, "edge bass") })
	row := s.Kit.Rows[at+1]
	number := row.Cells[1].Text
	wrong, err := strconv.ParseFloat(number, 64)
	if err != nil || row.Cells[1].Fault != "" {
		t.Fatal(err, row)
	}
	if err := f.Enter(bench.Entry{Row: row.Row, Was: row.Was, Column: "offset", Text: fmt.Sprint(wrong + 5)}); err != nil {
		t.Fatal(err)
	}
	if s, err = f.State("six"); err != nil {
		t.Fatal(err)
	}
	if first := s.Kit.Todo[0]; first.Row != at+1 || s.Kit.Rows[at+1].Cells[1].Fault != first.Text || s.Kit.Rows[at+1].Cells[0].Fault != "" || !strings.Contains(first.Text, "read it again") {
		t.Errorf("%+v, %q", first, s.Kit.Rows[at+1].Cells)
	}
	// It is said first of all, with the file as it is called in the folder.
	if want := fmt.Sprintf("Read again first: readings.csv line %d, ", row.Line); !strings.HasPrefix(s.Kit.Headline, want) || !strings.Contains(s.Kit.Headline, "; as it was read, ") {
		t.Errorf("%q, want first %q", s.Kit.Headline, want)
	}
}
