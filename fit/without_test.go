package fit

import (
	"slices"
	"testing"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// What a full kit cannot tell without one of its features, and what it says that it wants: that, and no other characteristic, is lost.
func TestWithoutOneFeature(t *testing.T) {
	margins := []ID{MarginBass, MarginTreble, MarginBalance}
	reserves := []ID{SaddleReserveFront, SaddleReserveBack}
	upright := []ID{FretPlaneHeight, SaddleHeightReserveLow, SaddleHeightReserveHigh, Pitch, Roll}
	seated := slices.Concat([]ID{CentreLineError, BridgeSkew}, margins, reserves, upright, []ID{EndGap, NeckScrewMismatch})
	gaps, heels, pockets := []ID{PocketGapMouth, PocketGapEnd}, []ID{HeelWidthMouth, HeelWidthEnd}, []ID{PocketWidthMouth, PocketWidthEnd}
	const neck, body, bass = measure.DatumNeck, measure.DatumBody, measure.DatumEdgeBass
	type lost map[Missing][]ID
	none := lost{}
	stops := func(f measure.Feature) Missing { return Missing{Want: WantSaddleStops, Feature: f} }
	heights := func(f measure.Feature) Missing { return Missing{Want: WantSaddleHeights, Feature: f} }
	widths := func(w Want, f measure.Feature, d measure.Datum) Missing {
		return Missing{Want: w, Feature: f, Datum: d}
	}
	low, high := lost{heights(measure.SaddleLow): {SaddleHeightReserveLow}}, lost{heights(measure.SaddleHigh): {SaddleHeightReserveHigh}}
	front, back := lost{stops(measure.SaddleFront): {SaddleReserveFront}}, lost{stops(measure.SaddleBack): {SaddleReserveBack}}
	unlaid := func(pattern ID) lost { // a bridge that lies nowhere
		return lost{{Want: WantSaddles}: margins, stops(measure.SaddleFront): {SaddleReserveFront}, stops(measure.SaddleBack): {SaddleReserveBack},
			heights(measure.SaddleLow): {SaddleHeightReserveLow}, heights(measure.SaddleHigh): {SaddleHeightReserveHigh}, {Want: WantPlateHoles}: {pattern},
			widths(WantOverHoles, measure.PlateHole, 0): {PlateHoleMismatch}}
	}
	onFrets := func(d measure.Datum, besides ...ID) lost {
		return lost{{Want: WantNutAndFret, Datum: d}: slices.Concat(margins, reserves, []ID{ScaleLength}), {Want: WantFrets}: besides}
	}
	tops := func(d measure.Datum) Missing { return Missing{Want: WantFretTops, Datum: d} }
	in := simulate.ShortScaleBass()
	for way, features := range map[Way]map[measure.Feature]lost{
		LooseParts: {
			measure.EdgeBass: none, measure.Fingerboard: none, measure.HeelBass: none, measure.Heel: none, measure.PocketTreble: none, measure.Pocket: none, measure.Top: none, measure.Saddle: none, measure.NutSlot: none,
			measure.Nut: {{Want: WantFrets}: {NutError}}, measure.Fret: onFrets(neck, FretError, NutError),
			measure.HeelEnd:    {widths(WantEnd, measure.HeelEnd, neck): seated, widths(WantSquareEnd, measure.HeelEnd, neck): {HeelEndSquareness}},
			measure.PocketEnd:  {widths(WantEnd, measure.PocketEnd, body): seated, widths(WantSquareEnd, measure.PocketEnd, body): {PocketEndSquareness}},
			measure.HeelCorner: {{Want: WantCorners}: {CornerReserve}}, measure.PocketCorner: {{Want: WantCorners}: {CornerReserve}},
			measure.HeelScrew: {{Want: WantNeckHoles}: {NeckScrewMismatch}}, measure.NeckScrew: {{Want: WantNeckHoles}: {NeckScrewMismatch}},
			measure.FretTop:     {tops(neck): append(slices.Clone(upright), Relief), {Want: WantHeelHeights}: {HeelThickness}},
			measure.PocketFloor: {{Want: WantFloor}: append(slices.Clone(upright), PocketDepth), {Want: WantMoreFloor}: {FloorFlatness}},
			measure.BridgeScrew: unlaid(BridgeHoleMismatch), measure.PlateScrew: unlaid(BridgeHoleMismatch),
			measure.StringHole: {{Want: WantStringHoles}: {StringHolePitch}, widths(WantOverHoles, measure.PlateHole, 0): {PlateHoleMismatch}}, measure.PlateHole: {widths(WantOverHoles, measure.PlateHole, 0): {PlateHoleMismatch}},
			measure.SaddleFront: front, measure.SaddleBack: back, measure.SaddleLow: low, measure.SaddleHigh: high,
		},
		DryFit: {
			measure.EdgeTreble: none, measure.Fingerboard: none, measure.PocketBass: none, measure.BridgeScrew: none, measure.Saddle: none, measure.NutSlot: none,
			measure.Nut: {{Want: WantFrets}: {NutError}}, measure.Fret: onFrets(body, FretError, NutError),
			measure.Heel:      {widths(WantTwoWidths, measure.Heel, body): heels},
			measure.Pocket:    {widths(WantTwoWidths, measure.Pocket, body): pockets},
			measure.PocketEnd: {{Want: WantEndGap}: {EndGap}}, measure.StringHole: {{Want: WantStringHoles}: {StringHolePitch}}, measure.FretTop: {tops(body): append(slices.Clone(upright), Relief)},
			measure.SaddleFront: front, measure.SaddleBack: back, measure.SaddleLow: low, measure.SaddleHigh: high,
		},
		EdgeCheck: {
			measure.Nut: none, measure.NutSlot: none, measure.Saddle: none, measure.Fret: onFrets(bass),
			measure.SaddleFront: front, measure.SaddleBack: back,
			measure.Heel: {widths(WantWidths, measure.Heel, bass): gaps, widths(WantTwoWidths, measure.Heel, bass): heels,
				widths(WantSquareEnd, measure.HeelEnd, bass): {HeelEndSquareness}},
			measure.Pocket: {widths(WantWidths, measure.Pocket, bass): gaps, widths(WantTwoWidths, measure.Pocket, bass): pockets},
		},
	} {
		p := plans[slices.IndexFunc(plans, func(p plan) bool { return p.way == way })]
		all := p.read(in, nil, simulate.Setup{Exact: true, Heights: true})
		whole := Check(in.Kit("K", all), Options{})
		for f, want := range features {
			rest := slices.DeleteFunc(slices.Clone(all), func(r measure.Reading) bool { return r.Feature == f })
			if len(rest) == len(all) {
				t.Fatalf("%s reads no %s", way, f)
			}
			r := Check(in.Kit("K", rest), Options{})
			wanted := map[ID]Missing{}
			for lack, ids := range want {
				for _, id := range ids {
					if whole.Find(id).Missing.None() {
						wanted[id] = lack
					}
				}
			}
			for i := range r.Characteristics {
				c, before := &r.Characteristics[i], &whole.Characteristics[i]
				if !before.Missing.None() {
					continue
				}
				if got, lack := c.Missing, wanted[c.ID]; got != lack {
					t.Errorf("%s without %s: %s lacks %+v, by hand %+v", way, f, c.ID, got, lack)
				}
			}
		}
	}
}

// Which reading would fix what those there are leave free.
func TestWhatWouldFixIt(t *testing.T) {
	plane := measure.PocketFloor
	for _, c := range []struct {
		what string
		rows []string
		of   func(s *solved) int // the unknown
		want Missing
	}{
		{"one place of a side", []string{"neck heel-bass - offset 500 -30 -"}, func(s *solved) int { return s.Sides.At(0).B }, Missing{Want: WantSecondPlace, Feature: measure.HeelBass, Datum: measure.DatumNeck}},
		{"one gap", []string{"body pocket-bass - gap 500 - 0.1"}, func(s *solved) int { return s.Sides.At(0).B }, Missing{Want: WantSecondGap, Feature: measure.PocketBass, Datum: measure.DatumBody}},
		{"widths alone", []string{"neck heel - width 500 - 62", "neck heel - width 540 - 62"}, func(s *solved) int { return s.Sides.At(1).A }, Missing{Want: WantTwoPlaces, Feature: measure.HeelBass, Datum: measure.DatumNeck}},
		{"a hole's station", []string{"body neck-screw 3 station 500 - -"}, func(s *solved) int { return s.Points.At(0).Offset }, Missing{Want: WantPlace, Feature: measure.NeckScrew, Mark: 3, Datum: measure.DatumBody}},
		{"a hole's offset", []string{"body neck-screw 3 offset - 20 -"}, func(s *solved) int { return s.Points.At(0).Station }, Missing{Want: WantPlace, Feature: measure.NeckScrew, Mark: 3, Datum: measure.DatumBody}},
		{"two heights", []string{"body pocket-floor - height 500 -20 -16", "body pocket-floor - height 550 -20 -16"}, func(s *solved) int { return s.Planes.At(0).C }, Missing{Want: WantPlane, Feature: plane, Datum: measure.DatumBody}},
		{"across", []string{"body pocket-floor - height 500 -20 -16", "body pocket-floor - height 500 20 -16"}, func(s *solved) int { return s.Planes.At(0).B }, Missing{Want: WantPlane, Feature: plane, Datum: measure.DatumBody}},
		{"one fret", []string{"neck fret 5 station 200 - -"}, func(s *solved) int { return s.Boards.At(0).L }, Missing{Want: WantTwoPlaces, Feature: measure.EdgeBass, Datum: measure.DatumNeck}},
	} {
		s := new(solved)
		if err := s.solve(kit(t, c.rows...)); err != nil {
			t.Fatal(err)
		}
		g := make([]float64, len(s.fit.X))
		g[c.of(s)] = 1
		if c.what == "one fret" { // edges of the board that nobody read are free by themselves, but do not move with the scale
			c.want = Missing{Want: WantNutAndFret, Datum: measure.DatumNeck}
		}
		if got := s.cure(g); got != c.want {
			t.Errorf("%s: %+v", c.what, got)
		}
		free := s.freeOf(g)
		if !free[c.of(s)] || s.fit.Estimable(g) {
			t.Errorf("%s: it is not free", c.what)
		}
		clear(g)
		if slices.Contains(s.freeOf(g), true) || s.cure(g).Want != WantMore {
			t.Errorf("%s: nothing moves with nothing", c.what)
		}
	}
}
