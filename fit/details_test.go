package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// Where the inner strings' slots were not read they are taken evenly between the outer two: over a crowned board a kit with even slots says the
// same without them.
func TestInnerSlotsBetweenTheOuter(t *testing.T) {
	in := simulate.ShortScaleBass()
	in.BoardRadius = 241.3
	all := simulate.LooseParts(in, nil, simulate.Setup{Exact: true, Heights: true})
	whole := Check(in.Kit("K", all), Options{})
	outer := Check(in.Kit("K", slices.DeleteFunc(slices.Clone(all), func(r measure.Reading) bool {
		return r.Feature == measure.NutSlot && (r.Mark.Number == 2 || r.Mark.Number == 3)
	})), Options{})
	for _, id := range []ID{SaddleHeightReserveLow, SaddleHeightReserveHigh} {
		if !outer.Find(id).Measured() {
			t.Fatalf("%s lacks %+v", id, outer.Find(id).Missing)
		}
		about(t, id.String(), outer.Find(id).Value, whole.Find(id).Value, 1e-6)
	}
	for mark := range 4 { // each string's slot by itself, along the row of the others
		k := in.Kit("K", all)
		a := put(t, k)
		nut, _, _ := a.nut()
		got, ok := a.acrossAtNut(mark+1, nut)
		bare := in.Kit("K", slices.DeleteFunc(slices.Clone(all), func(r measure.Reading) bool {
			return r.Feature == measure.NutSlot && r.Mark.Number != 1 && r.Mark.Number != 4
		}))
		b := put(t, bare)
		nut, _, _ = b.nut()
		between, there := b.acrossAtNut(mark+1, nut)
		if !ok || !there {
			t.Fatalf("string %d: %v %v", mark+1, ok, there)
		}
		about(t, fmt.Sprintf("string %d at the nut", mark+1), between.Value, got.Value, 1e-6)
	}
}

// Widths alone do not tell where between the walls a heel lies: anywhere, as likely here as there. What a bow says it was read over, and how
// many deviations it is long.
func TestBasesOfGapsAndBows(t *testing.T) {
	k := kit(t, "body heel - width 480 - 62", "body heel - width 540 - 61.8", "body pocket - width 480 - 62.6", "body pocket - width 540 - 62.5",
		"body edge-bass - offset 0 -20 -", "body edge-bass - offset 200 -22.3 -", "body edge-bass - offset 420 -25 -", "body edge-treble - offset 0 20 -", "body edge-treble - offset 200 22.7 -", "body edge-treble - offset 400 25 -")
	r := Check(k, Options{Model: true})
	p := r.Model.Geometry.Play
	if p == nil {
		t.Fatal("two widths each tell no play")
	}
	for i, gap := range []float64{0.6, 0.7} {
		about(t, "gap", p.Bass[i]+p.Treble[i], gap, 1e-9)
		about(t, "what it is half of", p.Bass[i], gap/2, 1e-9)
		about(t, "where the heel lies", p.Adrift[i], gap/math.Sqrt(12), 1e-9)
	}
	b := r.Find(SideBow)
	about(t, "the bow is over", b.Basis.Length, 420, 1e-9)
	about(t, "and so sure", b.Basis.Ratio, math.Abs(b.Value)/unwidened(b), 1e-9)
	short := kit(t, "body heel - width 480 - 62", "body heel - width 484.9 - 61.8", "body pocket - width 480 - 62.6", "body pocket - width 540 - 62.5")
	if c := Check(short, Options{}).Find(PocketGapMouth); c.Missing.Want != WantWidths || c.Missing.Feature != measure.Heel {
		t.Errorf("widths of a heel at one place: %+v", c)
	}
	felt := kit(t, "body pocket-bass - gap 480 - 0.3", "body pocket-bass - gap 484.9 - 0.3", "body pocket-treble - gap 480 - 0.3", "body pocket-treble - gap 540 - 0.3")
	if c := Check(felt, Options{}).Find(PocketGapMouth); c.Measured() {
		t.Errorf("gaps felt at one place: %+v", c)
	}
}

// A reading that is 10 mm and more off what the others say cannot be so, and the rest is judged without it; one that is less is a suspect.
func TestGrosslyWrongReadings(t *testing.T) {
	for off, nonsense := range map[float64]bool{9.8: false, 10.3: true} {
		var rows []string
		for i := range 6 {
			rows = append(rows, fmt.Sprintf("neck heel-bass - offset %d -30 -", 480+12*i))
		}
		rows = append(rows, fmt.Sprintf("neck heel-bass - offset 516.5 %v -", -30-off))
		r := Check(kit(t, rows...), Options{})
		if (len(r.Nonsense) == 1) != nonsense || (len(r.Suspects) == 1) == nonsense || nonsense && (r.Nonsense[0].What != Agreement || r.Verdict != Implausible) {
			t.Errorf("%v off: %+v, suspects %+v", off, r.Nonsense, r.Suspects)
		}
	}
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	if r := Check(k, Options{}); r.Swing == nil {
		t.Error("a sound kit has no swing")
	}
	for i := range k.Readings {
		if r := &k.Readings[i]; r.Feature == measure.HeelTreble || r.Feature == measure.HeelBass {
			r.Offset += 300
		}
	}
	if r := Check(k, Options{}); r.Swing != nil && !r.measured(CentreLineError) {
		t.Error("what is not measured swings")
	}
}

// Who read, each once; and what short reports leave out: budgets, and of what is decided the advice.
func TestPeopleAndShortReports(t *testing.T) {
	rng := rand.New(rand.NewPCG(91, 92))
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, rng, simulate.DefaultSetup()))
	for i := range k.Readings {
		k.Readings[i].By = []string{"Ada", "", "Ben", "Ada"}[i%4]
	}
	k.Readings[0].Gauge = &measure.Gauge{ID: "coarse", Resolution: 3}
	full, brief, terse := Check(k, Options{}), Check(k, Options{Brief: true}), Check(k, Options{Terse: true})
	if !slices.Equal(full.People, []string{"Ada", "Ben"}) {
		t.Errorf("read by %v", full.People)
	}
	budgets, advised := 0, 0
	for i := range full.Characteristics {
		f, b, s := &full.Characteristics[i], &brief.Characteristics[i], &terse.Characteristics[i]
		if f.Value != b.Value || f.Value != s.Value || f.Verdict != b.Verdict || f.Verdict != s.Verdict {
			t.Errorf("%s is %v %s, in brief %v %s, tersely %v %s", f.ID, f.Value, f.Verdict, b.Value, b.Verdict, s.Value, s.Verdict)
		}
		if len(b.Budget)+len(s.Budget) > 0 || s.Advice.Kind != 0 || f.Advice != b.Advice {
			t.Errorf("%s: advice %+v, in brief %+v, tersely %+v", f.ID, f.Advice, b.Advice, s.Advice)
		}
		if wants := f.Verdict == Unsure || f.Verdict == TooCoarse; wants != (f.Advice.Kind != 0) {
			t.Errorf("%s is %s: advice %+v", f.ID, f.Verdict, f.Advice)
		} else if wants {
			advised++
		}
		if len(f.Budget) > 0 {
			budgets++
		}
	}
	if budgets < 10 || advised == 0 {
		t.Errorf("%d budgets, %d advised", budgets, advised)
	}
}

// A model whose parts nobody moves swings as the kit does; with more room for the screws it swings as far as the pocket lets it, and into
// less room than none it does not go.
func TestSwingOfAModel(t *testing.T) {
	in := simulate.ShortScaleBass()
	k := in.Kit("K", simulate.LooseParts(in, nil, simulate.Setup{Exact: true}))
	r := Check(k, Options{Model: true})
	p := r.Model.Geometry.Play
	if r.Swing == nil || p == nil {
		t.Fatal("no swing")
	}
	as := After{Bass: p.Bass, Treble: p.Treble}
	still := r.Model.Swing(new([Moves]float64), as)
	if still == nil {
		t.Fatal("the model does not swing")
	}
	about(t, "low", still.Low, r.Swing.Low, 1e-6)
	about(t, "high", still.High, r.Swing.High, 1e-6)
	// The error moves by the gaps: at the saddles by the lever, whichever corners touch.
	l, d := p.Length, p.Lever
	at := func(mouth, end float64) float64 { return r.Find(CentreLineError).Value - mouth*(1-d/l) - end*d/l }
	low, high := math.Inf(1), math.Inf(-1)
	for _, m := range []float64{-p.Bass[0], p.Treble[0]} {
		for _, e := range []float64{-p.Bass[1], p.Treble[1]} {
			low, high = min(low, at(m, e)), max(high, at(m, e))
		}
	}
	as.Room = 5
	free := r.Model.Swing(new([Moves]float64), as)
	if free.ByScrews {
		t.Error("screws in holes 10 mm too wide hold the heel")
	}
	about(t, "low by the pocket", free.Low, low, 1e-6)
	about(t, "high by the pocket", free.High, high, 1e-6)
	for i := range 2 {
		tight := as
		tight.Bass[i] = -tight.Treble[i] - 0.01
		if s := r.Model.Swing(new([Moves]float64), tight); s != nil {
			t.Errorf("a heel too wide swings by %+v", s)
		}
	}
	shut := After{}
	if s := r.Model.Swing(new([Moves]float64), shut); s == nil || math.Abs(s.High-s.Low) > 1e-9 {
		t.Errorf("a heel without play swings by %+v", s)
	}
}
