package fit

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

var (
	steel = &measure.Gauge{ID: "calliper", Resolution: 0.01, MaxError: 0.03, Repeatability: 0.05}
	long  = &measure.Gauge{ID: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.15}
)

// kit makes readings out of rows "datum feature mark kind station offset size", "-" for blank.
func kit(t *testing.T, rows ...string) *measure.Kit {
	t.Helper()
	k := &measure.Kit{Name: "K"}
	for i, row := range rows {
		k.Readings = append(k.Readings, reading(t, strings.Fields(row), i+2))
	}
	return k
}

func reading(t *testing.T, cells []string, line int) measure.Reading {
	t.Helper()
	r := measure.Reading{Gauge: steel, StationGauge: long, Place: measure.Place{File: "r.csv", Line: line}}
	var ok [3]bool
	r.Datum, ok[0] = measure.ParseDatum(cells[0])
	r.Feature, ok[1] = measure.ParseFeature(cells[1])
	r.Kind, ok[2] = measure.ParseKind(cells[3])
	if ok != [3]bool{true, true, true} {
		t.Fatalf("row %q", cells)
	}
	if n, err := strconv.Atoi(cells[2]); err == nil {
		r.Mark.Number = n
	}
	number := func(cell string) (float64, bool) {
		v, err := strconv.ParseFloat(cell, 64)
		return v, err == nil
	}
	r.Station, r.HasStation = number(cells[4])
	r.Offset, r.HasOffset = number(cells[5])
	r.Size, _ = number(cells[6])
	return r
}

// Two readings of an edge check give the centre-line error by hand: half the difference of the
// two distances inward. Both are read by one calliper, so its common error cancels and leaves
// sqrt(2 (0.05^2 + 0.01^2/12))/2; each straightedge, 0.07 mm off where it touches 680 and 200 mm away, brings its own, and
// each hole 0.1 mm by which it may lie from where the bridge wants it.
func TestTwoReadingsOfAnEdgeCheck(t *testing.T) {
	r := Check(kit(t,
		"edge-bass   bridge-screw 5 offset - 12.40 -",
		"edge-treble bridge-screw 1 offset - 10.00 -",
	), Options{})
	e := r.named(t, "centre-line-error")
	if r.Way != EdgeCheck || !e.Measured() || math.Abs(e.Value-1.2) > 1e-9 { // rounding
		t.Fatalf("%s: %+v", r.Way, e)
	}
	want := math.Hypot(math.Sqrt(2*(0.05*0.05+0.1*0.1+0.01*0.01/12))/2, seatStd*math.Hypot(200.0/480, 680.0/480)/math.Sqrt2)
	if math.Abs(e.StdUncertainty-want) > 1e-9 { // rounding
		t.Errorf("u %.6f, by hand %.6f", e.StdUncertainty, want)
	}
	if skew := r.named(t, "bridge-skew"); skew.Measured() {
		t.Errorf("two offsets cannot give a skew, yet it is %g", skew.Value)
	}
}

// Four points give the skew too. By hand: edges 2 degrees apart, the middle of the saddles on the
// centre line, the row turned by 1 degree.
func TestFourReadingsOfAnEdgeCheck(t *testing.T) {
	const half, spread, from = 1 * math.Pi / 180, 28.5, 33.0
	turn := 1 * math.Pi / 180
	rows := []string{}
	for mark, sign := range map[int]float64{1: 1, 4: -1} {
		x, y := -math.Sin(turn)*spread*sign, math.Cos(turn)*spread*sign // from the middle, along and across
		for _, edge := range []struct {
			datum string
			side  float64
		}{{"edge-bass", 1}, {"edge-treble", -1}} {
			// along the edge, and inward from it
			station := x*math.Cos(half) - edge.side*y*math.Sin(half)
			offset := x*math.Sin(half) + edge.side*y*math.Cos(half) + from
			rows = append(rows, strings.Join([]string{edge.datum, "saddle", strconv.Itoa(mark), "point",
				strconv.FormatFloat(station+700, 'g', -1, 64), strconv.FormatFloat(offset, 'g', -1, 64), "-"}, " "))
		}
	}
	r := Check(kit(t, rows...), Options{})
	if skew := r.named(t, "bridge-skew"); math.Abs(skew.Value-1) > 1e-6 { // degrees; rounding at 700 mm
		t.Errorf("skew %.9f, by hand 1 (%v)", skew.Value, skew.Missing)
	}
	if e := r.named(t, "centre-line-error"); math.Abs(e.Value) > 1e-6 { // mm; likewise
		t.Errorf("centre-line error %.9f, by hand 0 (%v)", e.Value, e.Missing)
	}
}

// The published fret table of a 25 inch scale (equal temperament; testdata/published, to 0.001 mm)
// must give 635 mm and no fret error beyond the table's own rounding.
func TestPublishedFretTableGivesItsScale(t *testing.T) {
	f, err := os.Open("../testdata/published/fret_positions_equal_temperament.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	rows := []string{"neck edge-bass - offset 0 -20 -", "neck edge-bass - offset 300 -25 -", "neck edge-treble - offset 0 20 -", "neck edge-treble - offset 300 25 -"}
	published := 0
	for _, line := range table[1:] {
		left, err := strconv.ParseFloat(line[2], 64)
		if err != nil {
			continue // frets above 10 have no published column
		}
		published++
		what := "fret " + line[0]
		if line[0] == "0" {
			what = "nut -"
		}
		rows = append(rows, "neck "+what+" station "+strconv.FormatFloat(635-left, 'g', -1, 64)+" - -")
	}
	if published != 11 {
		t.Fatalf("%d published frets", published)
	}
	r := Check(kit(t, rows...), Options{})
	if l := r.named(t, "scale-length"); math.Abs(l.Value-635) > 0.002 { // twice the table's last digit: a least-squares fit of 11
		t.Errorf("scale %.5f, published 635", l.Value)
	}
	if e := r.named(t, "fret-error"); !e.Measured() || e.Value > 0.001 { // the table's last digit
		t.Errorf("fret error %.5f (%v)", e.Value, e.Missing)
	}
}

// A digit swapped while typing is named, with its line and nearly the right number, whichever of
// the straightedge's readings it strikes.
func TestTypingErrorIsNamed(t *testing.T) {
	named, tried := 0, 0
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 4))
		in := simulate.Random(rng)
		readings := simulate.LooseParts(in, rng, simulate.DefaultSetup())
		var sides []int
		for i, r := range readings {
			if r.Feature == measure.EdgeBass || r.Feature == measure.EdgeTreble {
				sides = append(sides, i)
			}
		}
		at := sides[rng.IntN(len(sides))]
		right := readings[at].Offset
		readings[at].Offset += 1.8 // 12.35 written as 14.15 or the like
		r := check(in, readings)
		tried++
		for _, s := range r.Suspects {
			if s.Reading.Place == readings[at].Place && math.Abs(s.Expected-right) < 0.4 {
				named++
				break
			}
		}
	}
	if named < tried*9/10 {
		t.Errorf("%d of %d typing errors named", named, tried)
	}
}

// What is missing is named with its feature and datum.
func TestMissingReadingsAreNamed(t *testing.T) {
	r := Check(kit(t,
		"neck edge-bass - offset 0 -20 -", "neck edge-bass - offset 300 -25 -",
		"neck edge-treble - offset 0 20 -",
		"neck nut - station 0 0 -", "neck fret 12 station 381 0 -",
	), Options{})
	for id, want := range map[ID]Missing{
		ScaleLength:     {Want: WantSecondPlace, Feature: measure.EdgeTreble, Datum: measure.DatumNeck},
		CentreLineError: {Want: WantSide, Feature: measure.PocketBass, Datum: measure.DatumBody},
		PocketGapMouth:  {Want: WantWidths, Feature: measure.Pocket, Datum: measure.DatumBody},
		CornerReserve:   {Want: WantCorners},
	} {
		if got := r.Find(id).Missing; got != want {
			t.Errorf("%s wants %+v, should want %+v", id, got, want)
		}
	}
	if r.Verdict != NotMeasured {
		t.Errorf("verdict %s of a kit with nothing measured", r.Verdict)
	}
}

// The user's limit wins over the kit's and the built-in one, and is named as the user's.
func TestWhoseLimit(t *testing.T) {
	in, readings := noisy(plans[0], 9)
	k := in.Kit("K", readings)
	k.Info.Scale, k.Info.NeckScrew = 762, 4.5
	user := []measure.Limit{{Characteristic: "side-bow", Lower: -0.1, Upper: 0.1, Source: "drawing 7"}, {Characteristic: "end-gap", Lower: math.Inf(-1), Upper: 2, Class: measure.Major}}
	r := Check(k, Options{Limits: user})
	for id, want := range map[ID]LimitSource{
		SideBow: {Origin: LimitTable, Text: "drawing 7"}, EndGap: {Origin: LimitTable}, MarginBass: {Origin: CommonPractice},
		ScaleLength:       {Origin: ByScale, Slack: 1},
		NeckScrewMismatch: {Origin: ByClearance, Feature: measure.NeckScrew, Hole: r.Find(NeckScrewMismatch).LimitSource.Hole, Screw: 4.5},
	} {
		if got := r.Find(id).LimitSource; got != want {
			t.Errorf("%s has its limit from %+v, want %+v", id, got, want)
		}
	}
	if c := r.named(t, "side-bow"); c.Class != measure.Minor || c.Upper != 0.1 {
		t.Errorf("side-bow: %+v", c)
	}
	if c := r.named(t, "end-gap"); c.Class != measure.Major || c.Verdict == NotJudged {
		t.Errorf("end-gap: %+v", c)
	}
}

// Following the advice decides: with the advised number of readings the same value is decided.
func TestAdviceDecides(t *testing.T) {
	c := Characteristic{Value: 0.9, StdUncertainty: 0.1, Lower: -1, Upper: 1, Dimension: measure.Length, Budget: []Contribution{
		{Reading: &measure.Reading{Datum: measure.DatumNeck, Feature: measure.EdgeBass, Kind: measure.Offset, Place: measure.Place{Line: 7}}, Std: 0.09},
		{Gauge: steel, Std: math.Sqrt(0.01 - 0.0081)},
	}}
	want := 0.1 / guard // what the distance from the limit leaves
	n := repeats(0.0081, 0.01, want)
	after := func(n int) float64 { return math.Sqrt(0.0019 + 0.0081/float64(n)) }
	if after(n) > want || after(n-1) <= want {
		t.Errorf("%d readings leave u = %.4f, needed %.4f; one fewer %.4f", n, after(n), want, after(n-1))
	}
	if got := advise(&c, c.Budget); got.Kind != Repeat || got.Readings[0] != c.Budget[0].Reading || got.Readings[1] != nil || got.Times != n {
		t.Errorf("advice %+v, want %d readings", got, n)
	}
	c.Value = 1
	if got := advise(&c, c.Budget); got.Kind != OnLimit {
		t.Errorf("advice on the limit itself: %+v", got)
	}
	c.Value = 0.99
	if got := advise(&c, c.Budget); got.Kind != BetterGauge || got.Times != mostRepeats || math.Abs(got.U-0.01/guard) > 1e-12 {
		t.Errorf("advice where the gauge's own error is too large: %+v", got)
	}
}
