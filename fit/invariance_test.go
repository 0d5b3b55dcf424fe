package fit

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// same is how far, in mm or degrees, a characteristic may move when nothing real has changed: the
// rounding of numbers near 1000 mm through a least-squares fit.
const same = 1e-9

// noisy draws a kit with all errors.
func noisy(p plan, seed uint64) (simulate.Instrument, []measure.Reading) {
	rng := rand.New(rand.NewPCG(seed, 77))
	in := simulate.Random(rng)
	setup := simulate.DefaultSetup()
	setup.Heights = true
	return in, p.read(in, rng, setup)
}

// check fits readings of an instrument.
func check(in simulate.Instrument, readings []measure.Reading) *Result {
	return Check(in.Kit("K", readings), Options{Compensation: in.Compensation})
}

// compare holds every characteristic of b against a's, with the sign or the other name that
// changed gives it.
func compare(t *testing.T, what string, a, b *Result, uLimit float64, changed func(name string) (other string, sign float64)) {
	t.Helper()
	for _, c := range a.Characteristics {
		other, sign := changed(c.ID.String())
		d := b.named(t, other)
		if (c.Missing.None()) != (d.Missing.None()) {
			t.Errorf("%s: %s was %v, is %v", what, c.ID, c.Missing, d.Missing)
			continue
		}
		if math.Abs(c.Value-sign*d.Value) > same {
			t.Errorf("%s: %s was %.12g, is %.12g", what, c.ID, c.Value, d.Value)
		}
		if math.Abs(c.StdUncertainty-d.StdUncertainty) > uLimit {
			t.Errorf("%s: u of %s was %.12g, is %.12g", what, c.ID, c.StdUncertainty, d.StdUncertainty)
		}
	}
	if (a.Swing == nil) != (b.Swing == nil) {
		t.Errorf("%s: swing was %v, is %v", what, a.Swing, b.Swing)
	}
}

func unchanged(name string) (string, float64) { return name, 1 }

// Only the straightedge's zero moves. Every reading keeps its errors.
func TestMovingADatumChangesNothing(t *testing.T) {
	for _, p := range plans {
		for seed := range uint64(10) {
			in, readings := noisy(p, seed)
			before := check(in, readings)
			for _, d := range []measure.Datum{measure.DatumNeck, measure.DatumBody, measure.DatumBridge} {
				moved := simulate.Move(readings, d, 123.25, -41.5)
				compare(t, p.name+", "+d.String()+" moved", before, check(in, moved), same, unchanged)
			}
			along := simulate.Move(readings, measure.DatumEdgeTreble, 61.5, 0)
			along = simulate.Move(along, measure.DatumEdgeBass, -17.25, 0)
			compare(t, p.name+", edges' zeros moved", before, check(in, along), same, unchanged)
		}
	}
}

// The straightedges lie at another angle and place. Readings are exact: a straightedge that is
// turned reads errors in other directions, so with errors nothing stays the same.
func TestTurningADatumChangesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	setup := simulate.Setup{Exact: true, Heights: true}
	for range 20 {
		in := simulate.Random(rng)
		turned := in
		turned.NeckPose = simulate.Pose{Zero: simulate.Point{Station: -70, Offset: 33}, Turn: 2.5}
		turned.BodyPose = simulate.Pose{Zero: simulate.Point{Station: 40, Offset: -90}, Turn: -1.75}
		turned.BridgePose = simulate.Pose{Zero: simulate.Point{Station: -9, Offset: 5}, Turn: 3}
		for _, p := range plans {
			a, b := check(in, p.read(in, nil, setup)), check(turned, p.read(turned, nil, setup))
			for _, c := range a.Characteristics {
				d := b.named(t, c.ID.String())
				if math.Abs(c.Value-d.Value) > same {
					t.Errorf("%s: %s was %.12g, is %.12g", p.name, c.ID, c.Value, d.Value)
				}
			}
		}
	}
}

// mirrorU is how far an uncertainty may differ in a mirror, in mm. One calliper reads offsets from
// the bass side and widths from neither, so its common error moves an offset one way in the
// mirror and the other way outside, and a width the same way in both: where the two meet, through
// a slope, uncertainties truly differ a little.
const mirrorU = 2e-4

// A mirror swaps bass and treble: sideways errors and turns change sign, the margins swap.
func TestMirrorSwapsBassAndTreble(t *testing.T) {
	flipped := []string{"centre-line-error", "bridge-skew", "heel-skew", "heel-offset", "bridge-off-pocket", "bridge-turn", "pickup-offset", "margin-balance", "heel-end-squareness", "pocket-end-squareness", "side-bow", "roll"}
	swapped := map[string]string{"margin-bass": "margin-treble", "margin-treble": "margin-bass"}
	for _, p := range plans {
		for seed := range uint64(10) {
			in, readings := noisy(p, seed)
			in.Compensation = measure.Strings{1: 2, 2: 2, 3: 2, 4: 2} // a mirror swaps strings 1 and 4
			mirrored := simulate.Mirror(readings, in.Strings)
			a, b := check(in, readings), check(in, mirrored)
			compare(t, p.name+", mirrored", a, b, mirrorU, func(name string) (string, float64) {
				if other, ok := swapped[name]; ok {
					return other, 1
				}
				if slices.Contains(flipped, name) {
					return name, -1
				}
				return name, 1
			})
			same := same
			if a.Swing != nil && a.Swing.ByScrews {
				same = 0.005 // it is searched for, to a thousandth of the play, which the bridge sees up to five times
			}
			if a.Swing != nil && b.Swing != nil && (math.Abs(a.Swing.Low+b.Swing.High) > same || math.Abs(a.Swing.High+b.Swing.Low) > same) {
				t.Errorf("%s: swing %v mirrored is %v", p.name, *a.Swing, *b.Swing)
			}
		}
	}
}

func TestOrderOfRowsChangesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for _, p := range plans {
		for seed := range uint64(10) {
			in, readings := noisy(p, seed)
			before := check(in, readings)
			shuffled := slices.Clone(readings)
			rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
			compare(t, p.name+", shuffled", before, check(in, shuffled), same, unchanged)
		}
	}
}

// The same kit written in inches, through the reader.
func TestInchesChangeNothing(t *testing.T) {
	for _, p := range plans {
		in, readings := noisy(p, 3)
		kit := in.Kit("K", readings)
		mm, inch := filepath.Join(t.TempDir(), "mm.csv"), filepath.Join(t.TempDir(), "in.csv")
		write(t, mm, kit, func(cell string) string { return cell }, "mm")
		write(t, inch, kit, func(cell string) string {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				return cell
			}
			return strconv.FormatFloat(v/25.4, 'g', -1, 64)
		}, "in")
		compare(t, p.name+" in inches", checkFile(t, in, mm), checkFile(t, in, inch), same, unchanged)
	}
}

// write puts a kit's readings into a file with every length through convert.
func write(t *testing.T, path string, kit *measure.Kit, convert func(string) string, unit string) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w := csv.NewWriter(f)
	header := []string{"kit", "datum", "feature", "mark", "kind", "station", "offset", "size", "unit"}
	rows := [][]string{header}
	number := func(given bool, v float64) string {
		if !given {
			return ""
		}
		return convert(strconv.FormatFloat(v, 'g', -1, 64))
	}
	for _, r := range kit.Readings {
		_, _, size, _ := r.Feature.Needs(r.Kind)
		rows = append(rows, []string{
			kit.Name, r.Datum.String(), r.Feature.String(), r.Mark.String(), r.Kind.String(),
			number(r.HasStation, r.Station), number(r.HasOffset, r.Offset), number(size == measure.Required, r.Size), unit,
		})
	}
	if err := w.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
}

func checkFile(t *testing.T, in simulate.Instrument, path string) *Result {
	t.Helper()
	b, err := measure.Open(path, measure.Options{Characteristics: Characteristics()})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	kits, err := b.All(t.Context())
	if err != nil || len(kits) != 1 {
		t.Fatal(len(kits), err)
	}
	return Check(kits[0], Options{Compensation: in.Compensation})
}

// Characteristics and the built-in limits name the same things, each once.
func TestCatalogue(t *testing.T) {
	known := Characteristics()
	if len(known) != len(catalogue) {
		t.Errorf("%d names for %d characteristics", len(known), len(catalogue))
	}
	for _, l := range BuiltInLimits() {
		if _, ok := known[l.Characteristic]; !ok || l.Lower > l.Upper || l.Class == measure.NoClass {
			t.Errorf("odd limit %+v", l)
		}
	}
}
