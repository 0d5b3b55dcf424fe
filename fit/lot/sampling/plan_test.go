package sampling

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// readTable returns the rows of a published CSV by column name; testdata/published-lot/README.md
// names the sources.
func readTable(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("../../../testdata/published-lot", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func severityNamed(t *testing.T, name string) Severity {
	t.Helper()
	for s := Normal; s < countOfSeverities; s++ {
		if s.String() == name {
			return s
		}
	}
	t.Fatalf("no severity %q", name)
	return 0
}

// Source: MIL-STD-105E, Table I. Both ends of every range are tried.
func TestCodeLettersPublished(t *testing.T) {
	rows := readTable(t, "mil_std_105e_table1_code_letters.csv")
	if len(rows) != 15 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		low := int(number(t, row["lot_min"]))
		high := math.MaxInt
		if row["lot_max"] != "" {
			high = int(number(t, row["lot_max"]))
		}
		for _, name := range levelNames {
			level, err := ParseLevel(name)
			if err != nil {
				t.Fatal(err)
			}
			for _, size := range []int{low, high} {
				if got := letters[codeLetter(size, level)]; string(got) != row[name] {
					t.Errorf("lot of %d, level %s: letter %c, published %s", size, name, got, row[name])
				}
			}
		}
	}
}

// Source: MIL-STD-105E, Tables II-A to II-C with the arrows followed: every letter, AQL and severity.
func TestPlansPublished(t *testing.T) {
	rows := readTable(t, "mil_std_105e_single_sampling_resolved.csv")
	if len(rows) != 3*16*26 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		s := severityNamed(t, row["inspection"])
		aql := slices.Index(aqls[:], number(t, row["aql"]))
		letter, n := resolve(strings.Index(letters, row["code_letter"]), aql, s)
		got := []string{letters[letter : letter+1], strconv.Itoa(sampleSize(letter, s)), strconv.Itoa(n.accept), strconv.Itoa(n.reject)}
		want := []string{row["use_letter"], row["sample_size"], row["ac"], row["re"]}
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%v, letter %s, AQL %s: %v, published %v", s, row["code_letter"], row["aql"], got, want)
		}
	}
}

// Source: the master tables; where a cell holds numbers so must ours, and sample sizes agree. Arrows
// are checked by where they lead, above.
func TestMasterTablesPublished(t *testing.T) {
	rows := readTable(t, "mil_std_105e_single_sampling_master.csv")
	if len(rows) != (16+17+16)*26 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		s, letter := severityNamed(t, row["inspection"]), strings.Index(letters, row["code_letter"])
		aql := slices.Index(aqls[:], number(t, row["aql"]))
		c := masterCell(letter, aql, s)
		if (c.arrow == 0) != (row["entry"] == "plan") || strconv.Itoa(sampleSize(letter, s)) != row["sample_size"] {
			t.Errorf("%v: %+v", row, c)
		}
		if c.arrow == 0 && (strconv.Itoa(c.accept) != row["ac"] || strconv.Itoa(c.reject) != row["re"]) {
			t.Errorf("%v: %+v", row, c)
		}
	}
}

// The same tables by way of For, where the lot is large enough for its sample.
func TestForFollowsTheTables(t *testing.T) {
	p, err := For(1000, LevelII, 1.0, Normal)
	// MIL-STD-105E: lot 501 to 1200, level II is letter J; J at AQL 1.0 is 80, Ac 2, Re 3.
	want := Plan{LotSize: 1000, AQL: 1, Letter: "J", Sample: 80, Accept: 2, Reject: 3}
	if err != nil || p != want {
		t.Errorf("%+v, %v; want %+v", p, err, want)
	}
}

func TestSmallLotsAreInspectedWhole(t *testing.T) {
	for _, c := range []struct {
		lot          int
		aql          float64
		sample       int
		all          bool
		letter       string
		accept, size int
	}{
		{12, 0.65, 12, true, "F", 0, 20}, {20, 0.65, 20, true, "F", 0, 20}, {21, 0.65, 20, false, "F", 0, 20}, {2, 6.5, 2, true, "A", 0, 2},
	} {
		level := LevelII
		if c.lot == 2 {
			level = LevelI
		}
		p, err := For(c.lot, level, c.aql, Normal)
		if err != nil || p.Sample != c.sample || p.All != c.all || p.Letter != c.letter || p.Accept != c.accept {
			t.Errorf("lot of %d: %+v, %v", c.lot, p, err)
		}
		if p.Sample > p.LotSize || p.Sample > c.size {
			t.Errorf("lot of %d: sample of %d", c.lot, p.Sample)
		}
	}
}

func TestPlanEdges(t *testing.T) {
	one, err := For(1, LevelII, 1.0, Normal)
	if err != nil || !one.All || one.Sample != 1 {
		t.Fatalf("lot of one: %+v, %v", one, err)
	}
	for bad, want := range []Outcome{Accepted, Rejected} {
		if got, err := one.Decide(bad, 0); got != want || err != nil {
			t.Errorf("lot of one, %d bad: %v, %v", bad, got, err)
		}
	}
	for _, lot := range []int{0, -3} {
		if _, err := For(lot, LevelII, 1.0, Normal); err == nil {
			t.Errorf("no error for a lot of %d", lot)
		}
	}
	for _, aql := range []float64{0, 2, 0.009, 1001, math.NaN()} {
		if _, err := For(100, LevelII, aql, Normal); err == nil || !strings.Contains(err.Error(), "not in the tables") {
			t.Errorf("AQL %v: %v", aql, err)
		}
	}
	if _, err := ParseLevel("IV"); err == nil {
		t.Error("no error for level IV")
	}
}

func TestDecide(t *testing.T) {
	gap := Plan{LotSize: 500, AQL: 2.5, Severity: Reduced, Sample: 20, Accept: 1, Reject: 4}
	for _, c := range []struct {
		bad, unsure int
		want        Outcome
	}{
		{0, 0, Accepted}, {1, 0, Accepted}, {2, 0, AcceptedNormalNext}, {3, 0, AcceptedNormalNext}, {4, 0, Rejected},
		{0, 1, Accepted}, {1, 2, AcceptedNormalNext}, {1, 3, Undecided}, {3, 1, Undecided}, {4, 16, Rejected}, {0, 20, Undecided},
	} {
		if got, err := gap.Decide(c.bad, c.unsure); got != c.want || err != nil {
			t.Errorf("%d bad, %d unsure: %v, %v; want %v", c.bad, c.unsure, got, err, c.want)
		}
	}
	for _, bad := range [][2]int{{-1, 0}, {0, -1}, {21, 0}, {10, 11}} {
		if _, err := gap.Decide(bad[0], bad[1]); err == nil {
			t.Errorf("no error for %v", bad)
		}
	}
	faults := Plan{LotSize: 50, AQL: 400, Sample: 2, Accept: 14, Reject: 15}
	if got, err := faults.Decide(14, 0); got != Accepted || err != nil {
		t.Errorf("14 faults on two pieces: %v, %v", got, err)
	}
}

func TestDrawIsRepeatable(t *testing.T) {
	a, errA := Draw(200, 32, 7)
	b, errB := Draw(200, 32, 7)
	c, errC := Draw(200, 32, 8)
	if errA != nil || errB != nil || errC != nil {
		t.Fatal(errA, errB, errC)
	}
	if !cmp.Equal(a, b) || cmp.Equal(a, c) {
		t.Errorf("seed 7 gave %v and %v, seed 8 %v", a, b, c)
	}
	for i := range a {
		if a[i] < 0 || a[i] >= 200 || i > 0 && a[i] <= a[i-1] {
			t.Fatalf("%v is not 32 different pieces, ascending", a)
		}
	}
}

// Over many seeds every pair of pieces is drawn equally often, as sampling without replacement
// demands: 3 of 6 holds a given pair with probability 3*2/(6*5).
func TestDrawIsFair(t *testing.T) {
	const seeds = 30000
	var pairs [6][6]float64
	for seed := range uint64(seeds) {
		d, err := Draw(6, 3, seed)
		if err != nil {
			t.Fatal(err)
		}
		for i, a := range d {
			for _, b := range d[i+1:] {
				pairs[a][b]++
			}
		}
	}
	const p = 0.2
	for a := range 6 {
		for b := a + 1; b < 6; b++ {
			// Five standard deviations (69 each) of a binomial count: 15 pairs are looked at.
			if d := pairs[a][b] - seeds*p; d < -5*70 || d > 5*70 {
				t.Errorf("pieces %d and %d were drawn together %v times, want about %v", a, b, pairs[a][b], seeds*p)
			}
		}
	}
}

func TestDrawEdges(t *testing.T) {
	all, err := Draw(4, 4, 1)
	if err != nil || !cmp.Equal(all, []int{0, 1, 2, 3}) {
		t.Errorf("%v, %v", all, err)
	}
	if none, err := Draw(0, 0, 1); err != nil || len(none) != 0 {
		t.Errorf("%v, %v", none, err)
	}
	for _, bad := range [][2]int{{3, 4}, {3, -1}, {-1, 0}} {
		if _, err := Draw(bad[0], bad[1], 1); err == nil {
			t.Errorf("no error for %v", bad)
		}
	}
}
