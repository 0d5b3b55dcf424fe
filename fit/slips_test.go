package fit

import (
	"cmp"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// thrice is a kit of which everything was read three times.
func thrice(p plan, in simulate.Instrument, seed uint64, f *simulate.Form) *measure.Kit {
	setup := simulate.DefaultSetup()
	setup.Heights = true
	return in.Kit("K", f.On(simulate.Repeated(3, p.read, in, rand.New(rand.NewPCG(seed, 1000)), setup)))
}

// One reading of three is wrong by 1 mm: it is among the named in 95 of 100 kits, alone in 90, and what does not hang
// on it keeps its uncertainty. Without a slip hardly a kit has a suspect.
func TestASlipIsNamed(t *testing.T) {
	const drawn = 150
	for _, p := range plans {
		named, alone, clean, hung, apart := 0, 0, 0, 0, 0
		for seed := range uint64(drawn) {
			rng := rand.New(rand.NewPCG(seed, 77))
			in := simulate.Random(rng)
			in.FretErrors, in.SideBow, in.FloorHump = nil, 0, 0
			k := thrice(p, in, seed, newForm(rng))
			o := Options{Compensation: in.Compensation}
			before := Check(k, o)
			if len(before.Suspects) == 0 {
				clean++
			}
			i := rng.IntN(len(k.Readings))
			for readOf(k.Readings, i) < 3 {
				i = rng.IntN(len(k.Readings))
			}
			simulate.Slip(&k.Readings[i], 1)
			r := Check(k, o)
			for _, s := range r.Suspects {
				if s.Reading == &k.Readings[i] || slices.Contains(s.Rivals, &k.Readings[i]) {
					named++
					if s.Reading == &k.Readings[i] && len(s.Rivals) == 0 {
						alone++
					}
					break
				}
			}
			for id := range characteristics {
				b, c := before.Find(id), r.Find(id)
				if !b.Measured() || !c.Measured() || len(before.Suspects) > 0 || before.Scale > 1 || r.Scale > 1 || picked(id) {
					continue
				}
				if math.Abs(b.Value-c.Value) > 1e-3 {
					hung++
				} else if apart++; c.StdUncertainty > 1.1*b.StdUncertainty {
					t.Errorf("%s, %d: a slip in %s %s raises the uncertainty of %s from %.4f to %.4f", p.name, seed, k.Readings[i].Feature, k.Readings[i].Mark, id, b.StdUncertainty, c.StdUncertainty)
				}
			}
		}
		t.Logf("%s: of %d slips %d named, %d alone; %d kits without a suspect before; %d values hung on the slip and %d did not", p.name, drawn, named, alone, clean, hung, apart)
		if named < drawn*95/100-4 || alone < drawn*90/100-4 || clean < drawn*95/100 {
			t.Errorf("%s: of %d slips %d named, %d alone; %d kits without a suspect before", p.name, drawn, named, alone, clean)
		}
	}
}

// A place that reads the same again is no reading to doubt: the part is off there. Of one that was read once, or
// once otherwise than before, a reading is named, to be read again.
func TestAPlaceThatReadsTheSameAgain(t *testing.T) {
	in := simulate.ShortScaleBass()
	lastOfEdge := 0.0
	for _, r := range simulate.LooseParts(in, nil, simulate.Setup{Exact: true}) {
		if r.Feature == measure.EdgeTreble {
			lastOfEdge = max(lastOfEdge, r.Station)
		}
	}
	for what, there := range map[string]func(r *measure.Reading) bool{
		"fret 7":                    func(r *measure.Reading) bool { return r.Feature == measure.Fret && r.Mark.Number == 7 },
		"the edge at the last fret": func(r *measure.Reading) bool { return r.Feature == measure.EdgeTreble && r.Station == lastOfEdge },
	} {
		for _, c := range []struct {
			off      []float64 // of the trials at fret 7
			suspects int
			offThere int // readings that agree
			reading  int // the trial that is named
		}{
			{[]float64{0}, 0, 0, 0}, {[]float64{1.7}, 1, 0, 0}, {[]float64{1.7, 1.69, 1.71}, 0, 3, 0}, {[]float64{1.7, 1.7}, 0, 2, 0}, {[]float64{1.7, 0, 0}, 1, 0, 1}, {[]float64{0, 0, 1.7}, 1, 0, 3},
		} {
			k := in.Kit("K", nil)
			for _, r := range simulate.LooseParts(in, nil, simulate.Setup{Exact: true}) {
				if !there(&r) {
					k.Readings = append(k.Readings, r)
					continue
				}
				for i, off := range c.off {
					one := r
					if simulate.Leave(&one, off); len(c.off) > 1 {
						one.Trial = i + 1
					}
					k.Readings = append(k.Readings, one)
				}
			}
			r := Check(k, Options{Compensation: in.Compensation})
			agreeing, off := 0, 0.0
			for _, w := range r.Warnings {
				if w.Kind == OffThere {
					agreeing, off = len(w.Readings), w.Ratio
				}
			}
			if len(r.Suspects) != c.suspects || agreeing != c.offThere || agreeing > 0 && math.Abs(off-1.7) > 0.3 || c.suspects > 0 && r.Suspects[0].Reading.Trial != c.reading {
				t.Errorf("%s, %v: suspects %v, %d readings agree %.2f mm off", what, c.off, r.Suspects, agreeing, off)
			}
			if fret := r.Find(FretError); what == "fret 7" && (fret.Verdict == Fail) != (c.off[0] != 0 || len(c.off) > 1) {
				t.Errorf("%v: %s is %v", c.off, fret.ID, fret.Verdict)
			}
		}
	}
}

// A nut that stands half a millimetre off its frets is the nut's affair, and a board bent by a millimetre the board's: the
// one is measured as such, no reading is accused, and every other uncertainty stays as it was.
func TestANutOffItsFretsAndABowStayThere(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 78))
		in := simulate.Random(rng)
		in.FretErrors, in.SideBow, in.FloorHump = nil, 0, 0
		for _, p := range plans[:2] {
			read := func(in simulate.Instrument) *measure.Kit {
				return in.Kit("K", p.read(in, rand.New(rand.NewPCG(seed, 79)), simulate.DefaultSetup()))
			}
			before := Check(read(in), Options{Compensation: in.Compensation})
			off := read(in)
			for i := range off.Readings {
				if off.Readings[i].Feature == measure.Nut {
					off.Readings[i].Station += 0.5
				}
			}
			bent := in
			bent.SideBow = 1
			for _, c := range []struct {
				kit *measure.Kit
				of  ID
				by  float64
			}{{off, NutError, 0.5}, {read(bent), SideBow, 1}} {
				r := Check(c.kit, Options{Compensation: in.Compensation})
				if by := r.Find(c.of).Value - before.Find(c.of).Value; math.Abs(by-c.by) > 0.04 { // of a bow, rounded anew
					t.Errorf("%s, %d: %s changes by %.4f, moved by %v", p.name, seed, c.of, by, c.by)
				}
				for id := range characteristics {
					b, is := before.Find(id), r.Find(id)
					if before.Scale == 1 && r.Scale == 1 && math.Abs(is.StdUncertainty-b.StdUncertainty) > 0.06*b.StdUncertainty && !picked(id) { // rounded anew, it scatters anew
						t.Errorf("%s, %d: %s raises the uncertainty of %s from %.4f to %.4f", p.name, seed, c.of, id, b.StdUncertainty, is.StdUncertainty)
					}
				}
				if len(r.Suspects) > len(before.Suspects) {
					t.Errorf("%s, %d: %s makes suspects %+v", p.name, seed, c.of, r.Suspects)
				}
			}
		}
	}
}

// readOf counts the readings of what one is of.
func readOf(list []measure.Reading, i int) int {
	n := 0
	for j := range list {
		r, s := &list[i], &list[j]
		if r.Datum == s.Datum && r.Feature == s.Feature && r.Mark == s.Mark && r.Kind == s.Kind && math.Abs(r.Station-s.Station) < 3 && math.Abs(r.Offset-s.Offset) < 3 {
			n++
		}
	}
	return n
}

// No bit of a result hangs on where a row stands, with a slip in it or without.
func TestNoBitHangsOnTheOrderOfRows(t *testing.T) {
	for _, p := range plans {
		for seed := range uint64(6) {
			rng := rand.New(rand.NewPCG(seed, 79))
			in := simulate.Random(rng)
			k := thrice(p, in, seed, newForm(rng))
			if seed%2 == 1 {
				simulate.Slip(&k.Readings[rng.IntN(len(k.Readings))], 100)
			}
			o := Options{Compensation: in.Compensation}
			want := Check(k, o)
			shuffled := *k
			shuffled.Readings = slices.Clone(k.Readings)
			rng.Shuffle(len(shuffled.Readings), func(i, j int) {
				shuffled.Readings[i], shuffled.Readings[j] = shuffled.Readings[j], shuffled.Readings[i]
			})
			got := Check(&shuffled, o)
			for id := range characteristics {
				a, b := want.Find(id), got.Find(id)
				if a.Value != b.Value || a.StdUncertainty != b.StdUncertainty || a.P != b.P || a.Verdict != b.Verdict {
					t.Errorf("%s, %d: %s is %v ± %v %s, shuffled %v ± %v %s", p.name, seed, id, a.Value, a.StdUncertainty, a.Verdict, b.Value, b.StdUncertainty, b.Verdict)
				}
			}
			if len(want.Suspects) != len(got.Suspects) || want.ChiSquare != got.ChiSquare {
				t.Errorf("%s, %d: %d suspects, chi-square %v; shuffled %d, %v", p.name, seed, len(want.Suspects), want.ChiSquare, len(got.Suspects), got.ChiSquare)
			}
		}
	}
}

var slips = flag.Int("slips", 0, "how many kits each way and number of trials have one number wrong by 1 mm; 0 for 40")

// One number anywhere is wrong by 1 mm. Of the kits in which that moves any value by more than its U it is named in 95 of 100,
// however often things were read, and alone in 90 where they were read three times.
func TestASlipAnywhere(t *testing.T) {
	drawn := cmp.Or(*slips, 40)
	for _, p := range append(plans, plan{name: "quick check", read: simulate.QuickCheck}) {
		for _, trials := range []int{1, 2, 3} {
			if *slips == 0 && trials == 2 {
				continue
			}
			moved, named, alone, still, accused, silent := 0, 0, 0, 0, 0, map[string]int{}
			for seed := range uint64(drawn) {
				rng := rand.New(rand.NewPCG(seed, 92))
				in := simulate.Random(rng)
				in.FretErrors, in.SideBow, in.FloorHump, in.EndGap = nil, 0, 0, 0.3
				setup := simulate.DefaultSetup()
				setup.Heights = true
				k := in.Kit("K", newForm(rng).On(simulate.Repeated(trials, p.read, in, rand.New(rand.NewPCG(seed, 1000)), setup)))
				o := Options{Compensation: in.Compensation}
				before := Check(k, o)
				i := rng.IntN(len(k.Readings))
				simulate.Slip(&k.Readings[i], float64(2*rng.IntN(2)-1))
				if k.Readings[i].Kind == measure.Gap && k.Readings[i].Size < 0 {
					continue
				}
				r := Check(k, o)
				worst, far := ID(0), 0.0
				for id := range characteristics {
					if b, c := before.Find(id), r.Find(id); b.Measured() && c.Measured() {
						if by := math.Abs(c.Value-b.Value) / (Coverage * b.StdUncertainty); by > far {
							worst, far = id, by
						}
					}
				}
				by := r.names(&k.Readings[i])
				if len(before.Suspects) > 0 {
					accused++
				}
				if far <= 1 {
					still++
					continue
				}
				moved++
				if by {
					named++
				} else {
					silent[fmt.Sprintf("%s %s moves %s", k.Readings[i].Feature, k.Readings[i].Kind, worst)]++
				}
				if by && len(r.Suspects) > 0 && r.Suspects[0].Reading == &k.Readings[i] && len(r.Suspects[0].Rivals) == 0 {
					alone++
				}
			}
			said := fmt.Sprintf("%s, %d trials: %d slips move something, %d of them named, %d alone; %d move nothing; %d kits have a suspect without; silent: %v", p.name, trials, moved, named, alone, still, accused, silent)
			chance := 3 * math.Sqrt(0.05*0.95*float64(moved))
			if float64(named) < 0.95*float64(moved)-chance || trials == 3 && float64(alone) < 0.9*float64(moved)-chance {
				t.Error(said)
			}
			t.Log(said)
		}
	}
}
