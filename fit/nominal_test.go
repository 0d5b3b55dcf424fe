package fit

import (
	"math"
	"testing"

	"neckfit/measure"
)

// sheetRow is a row of a sheet without its numbers.
func sheetRow(d measure.Datum, f measure.Feature, k measure.Kind, mark int) measure.Reading {
	return measure.Reading{Datum: d, Feature: f, Kind: k, Mark: measure.Mark{Number: mark}}
}

// named is a row whose mark is a name.
func namedRow(d measure.Datum, f measure.Feature, k measure.Kind, mark string) measure.Reading {
	return measure.Reading{Datum: d, Feature: f, Kind: k, Mark: measure.Mark{Name: mark}}
}

// times repeats a row.
func times(n int, r measure.Reading) (list []measure.Reading) {
	for range n {
		list = append(list, r)
	}
	return list
}

// Where the rows of a sheet are taken on a bass of usual sizes, in mm from the nut and the centre line, drawn by hand: a scale of 863.6, 21
// frets, a board 41 wide at the nut that gains 26 mm a metre, a heel 63.5 wide that ends 8 mm behind the last fret and is 76 mm long,
// four screws 51 and 38 apart in it, strings 33 apart at the nut and 57 at the bridge, whose screws reach 9 mm beyond them: of five, three stand in a row behind the outer two, of other numbers all in one row. Rows of one line are spread along it; holes lie a little off their pattern.
func TestPlacesOnAUsualBass(t *testing.T) {
	const n, b, half, nut = measure.DatumNeck, measure.DatumBody, 31.75, 20.5
	last := 863.6 * (1 - math.Exp2(-21.0/12))
	end := last + 8
	mouth := end - 76
	type at struct{ x, y float64 }
	for _, c := range []struct {
		what string
		rows []measure.Reading
		want []at
	}{
		{"bass edge", times(3, sheetRow(n, measure.EdgeBass, measure.Offset, 0)), []at{{0, -nut}, {last / 2, -nut - 0.013*last/2}, {last, -nut - 0.013*last}}},
		{"treble edge", times(1, sheetRow(n, measure.EdgeTreble, measure.Offset, 0)), []at{{last / 2, nut + 0.013*last/2}}},
		{"bass side", times(2, sheetRow(n, measure.HeelBass, measure.Offset, 0)), []at{{mouth + 4, -half}, {end - 10, -half}}},
		{"treble wall", times(3, sheetRow(b, measure.PocketTreble, measure.Offset, 0)), []at{{mouth + 4, half}, {mouth + 35, half}, {end - 10, half}}},
		{"heel's end", times(2, sheetRow(n, measure.HeelEnd, measure.Station, 0)), []at{{end, -half * 2 / 3}, {end, half * 2 / 3}}},
		{"pocket's end, not quite square", times(2, sheetRow(b, measure.PocketEnd, measure.Station, 0)), []at{{end - 0.1, -half * 2 / 3}, {end + 0.1, half * 2 / 3}}},
		{"bass corner", times(3, namedRow(n, measure.HeelCorner, measure.Point, "bass")),
			[]at{{end, -half + 5}, {end - 5 + 5/math.Sqrt2, -half + 5 - 5/math.Sqrt2}, {end - 5, -half}}},
		{"treble corner", times(1, namedRow(b, measure.PocketCorner, measure.Point, "treble")), []at{{end - 5 + 5/math.Sqrt2, half - 5 + 5/math.Sqrt2}}},
		{"nut", times(2, sheetRow(n, measure.Nut, measure.Station, 0)), []at{{0, -nut * 2 / 3}, {0, nut * 2 / 3}}},
		{"fret 12", times(1, sheetRow(n, measure.Fret, measure.Station, 12)), []at{{431.8, 0}}},
		{"outer and inner slots", []measure.Reading{sheetRow(n, measure.NutSlot, measure.Point, 1), sheetRow(n, measure.NutSlot, measure.Point, 2), sheetRow(n, measure.NutSlot, measure.Point, 4)},
			[]at{{0, 16.5}, {0, 5.5}, {0, -16.5}}},
		{"saddles", []measure.Reading{sheetRow(b, measure.Saddle, measure.Point, 1), sheetRow(b, measure.Saddle, measure.Point, 3), sheetRow(b, measure.Saddle, measure.Point, 4)},
			[]at{{865.6, 28.5}, {865.6, -9.5}, {865.6, -28.5}}},
		{"stops", []measure.Reading{sheetRow(b, measure.SaddleFront, measure.Point, 4), sheetRow(b, measure.SaddleBack, measure.Point, 1)}, []at{{858.6, -28.5}, {875.6, 28.5}}},
		{"string holes", []measure.Reading{sheetRow(b, measure.StringHole, measure.Point, 1), sheetRow(b, measure.StringHole, measure.Point, 4)}, []at{{901.6, 28.7}, {901.6, -28.45}}},
		{"ferrules", []measure.Reading{sheetRow(b, measure.Ferrule, measure.Point, 4), sheetRow(b, measure.PlateHole, measure.Point, 1)}, []at{{901.6, -28.5}, {901.6, 28.5}}},
		{"a pickup", []measure.Reading{namedRow(b, measure.Pickup, measure.Point, "bass"), namedRow(b, measure.Pickup, measure.Point, "treble")}, []at{{734.06, -28.5}, {734.06, 28.5}}},
		{"the bridge's holes", []measure.Reading{sheetRow(b, measure.BridgeScrew, measure.Point, 1), sheetRow(b, measure.BridgeScrew, measure.Point, 2), sheetRow(b, measure.BridgeScrew, measure.Point, 4), sheetRow(b, measure.BridgeScrew, measure.Point, 5)},
			[]at{{867.6, 37.7}, {894.6, 26.35}, {894.6, -26.2}, {867.6, -37.46}}},
		{"four holes in a row", []measure.Reading{sheetRow(b, measure.BridgeScrew, measure.Point, 1), sheetRow(b, measure.BridgeScrew, measure.Point, 2), sheetRow(b, measure.BridgeScrew, measure.Point, 4)},
			[]at{{895.6, 37.7}, {893.6, 12.6}, {893.6, -37.45}}},
		{"the plate's", []measure.Reading{sheetRow(measure.DatumBridge, measure.PlateScrew, measure.Point, 1), sheetRow(measure.DatumBridge, measure.PlateScrew, measure.Point, 4)}, []at{{895.6, 37.5}, {893.6, -37.5}}},
		{"the neck's holes", []measure.Reading{sheetRow(b, measure.NeckScrew, measure.Point, 1), sheetRow(b, measure.NeckScrew, measure.Point, 2), sheetRow(b, measure.NeckScrew, measure.Point, 4), sheetRow(b, measure.NeckScrew, measure.Point, 5)},
			[]at{{end - 12.5, 19.2}, {end - 12.5, -18.9}, {end - 63.5, -18.95}, {end - 15.5, 19.04}}},
		{"the heel's", []measure.Reading{sheetRow(n, measure.HeelScrew, measure.Point, 1), sheetRow(n, measure.HeelScrew, measure.Point, 4), sheetRow(n, measure.HeelScrew, measure.Point, 5)},
			[]at{{end - 12.5, 19}, {end - 63.5, -19}, {end - 15.5, 19}}},
		{"fret tops on either side", times(3, sheetRow(n, measure.FretTop, measure.Height, 12)), []at{{431.8, -15}, {431.8, 15}, {431.8, -15}}},
		{"the floor's corners and amid them", times(6, sheetRow(b, measure.PocketFloor, measure.Height, 0)),
			[]at{{mouth + 5, -20}, {mouth + 5, 20}, {mouth + 65, -20}, {mouth + 65, 20}, {mouth + 35, 0}, {mouth + 35, 1}}},
		{"the top, wider", times(5, sheetRow(b, measure.Top, measure.Height, 0)), []at{{mouth + 5, -40}, {mouth + 5, 40}, {mouth + 97, -40}, {mouth + 97, 40}, {mouth + 35, 0}}},
		{"the body's centre", times(2, sheetRow(b, measure.BodyCentre, measure.Offset, 0)), []at{{end + 40, 0}, {903.6, 0}}},
	} {
		u := usual(append(times(1, sheetRow(b, measure.Saddle, measure.Point, 4)), c.rows...), measure.Info{Frets: 21})
		for i, r := range u.readings(c.rows) {
			if want := c.want[i]; math.Abs(r.Station-want.x) > 1e-9 || math.Abs(r.Offset-want.y) > 1e-9 {
				t.Errorf("%s, %d: at %.4f, %.4f; drawn at %.4f, %.4f", c.what, i, r.Station, r.Offset, want.x, want.y)
			}
		}
	}
}

// The trials of a line are taken at the same places, and from an edge a place is read along it and inward.
func TestTrialsAndEdgesOfAUsualBass(t *testing.T) {
	rows := append(times(2, sheetRow(measure.DatumNeck, measure.HeelBass, measure.Offset, 0)), times(3, sheetRow(measure.DatumNeck, measure.HeelBass, measure.Offset, 0))...)
	for i := range rows[2:] {
		rows[2+i].Trial = 2
	}
	u := usual(rows, measure.Info{})
	list := u.readings(rows)
	if list[0].Station != list[2].Station || list[1].Station != list[3].Station || list[0].Station == list[1].Station || list[3].Station == list[4].Station {
		t.Errorf("stations %.1f %.1f, again %.1f %.1f %.1f", list[0].Station, list[1].Station, list[2].Station, list[3].Station, list[4].Station)
	}
	// The edges run outward by atan 0.013 from 20.5 mm at the nut: a place's foot on them, and how far it lies inside.
	tan := 0.013
	cos := 1 / math.Sqrt(1+tan*tan)
	const x, y = 895.6, 37.7 // of the bridge's hole 1
	for d, want := range map[measure.Datum][2]float64{
		measure.DatumEdgeBass:   {(x - tan*(y+20.5)) * cos, (y + 20.5 + tan*x) * cos},
		measure.DatumEdgeTreble: {(x - tan*(20.5-y)) * cos, (20.5 - y + tan*x) * cos},
	} {
		r := u.readings(times(1, sheetRow(d, measure.BridgeScrew, measure.Point, 1)))[0]
		if math.Abs(r.Station-want[0]) > 1e-9 || math.Abs(r.Offset-want[1]) > 1e-9 || !r.HasStation || !r.HasOffset {
			t.Errorf("from %s at %.4f, %.4f; drawn at %.4f, %.4f", d, r.Station, r.Offset, want[0], want[1])
		}
		if fret := u.readings(times(2, sheetRow(d, measure.Fret, measure.Station, 5)))[1]; fret.Offset != 0 || !fret.HasOffset {
			t.Errorf("a fret is read %v from the edge", fret.Offset)
		}
	}
	// Which numbers a row has: a place without an offset lies on the centre line, unless it is read at both ends.
	for _, c := range []struct {
		rows            []measure.Reading
		station, offset bool
	}{
		{times(1, sheetRow(measure.DatumNeck, measure.Nut, measure.Station, 0)), true, false}, {times(2, sheetRow(measure.DatumNeck, measure.Nut, measure.Station, 0)), true, true},
		{times(2, sheetRow(measure.DatumNeck, measure.Fret, measure.Station, 3)), true, false}, {times(1, sheetRow(measure.DatumBody, measure.Saddle, measure.Offset, 1)), false, true},
		{times(1, sheetRow(measure.DatumBody, measure.NeckScrew, measure.Diameter, 1)), false, false}, {times(1, sheetRow(measure.DatumBody, measure.BridgeScrew, measure.StationFar, 1)), true, false},
		{times(1, sheetRow(measure.DatumNeck, measure.Heel, measure.Width, 0)), true, false}, {times(1, sheetRow(measure.DatumBody, measure.PocketEnd, measure.Gap, 0)), false, true},
	} {
		if r := u.readings(c.rows)[0]; r.HasStation != c.station || r.HasOffset != c.offset {
			t.Errorf("%s of %s, %d times: station %v, offset %v", r.Kind, r.Feature, len(c.rows), r.HasStation, r.HasOffset)
		}
	}
}

// Sizes, distances, and what kits.csv and the sheet's marks say of the instrument.
func TestSizesOfUsualInstruments(t *testing.T) {
	far := sheetRow(measure.DatumBody, measure.NeckScrew, measure.Distance, 1)
	far.To.Number = 4
	slots := sheetRow(measure.DatumNeck, measure.NutSlot, measure.Distance, 1)
	slots.To.Number = 4
	six, four := sheetRow(measure.DatumBody, measure.Saddle, measure.Point, 6), sheetRow(measure.DatumBody, measure.Saddle, measure.Point, 4)
	last := 863.6 * (1 - math.Exp2(-21.0/12))
	for _, c := range []struct {
		what string
		r    measure.Reading
		info measure.Info
		want float64
	}{
		{"a gap", sheetRow(measure.DatumBody, measure.PocketBass, measure.Gap, 0), measure.Info{}, 0.2},
		{"a hole for a neck's screw", sheetRow(measure.DatumBody, measure.NeckScrew, measure.Diameter, 1), measure.Info{}, 5.2},
		{"with the screw of kits.csv", sheetRow(measure.DatumBody, measure.NeckScrew, measure.Diameter, 1), measure.Info{NeckScrew: 5}, 5.7},
		{"another hole", sheetRow(measure.DatumBody, measure.BridgeScrew, measure.Diameter, 1), measure.Info{}, 4},
		{"a corner", namedRow(measure.DatumBody, measure.PocketCorner, measure.Radius, "bass"), measure.Info{}, 5},
		{"a heel", sheetRow(measure.DatumNeck, measure.Heel, measure.Width, 0), measure.Info{}, 63.5}, {"a pocket", sheetRow(measure.DatumBody, measure.Pocket, measure.Width, 0), measure.Info{}, 63.5},
		{"a board amid its frets", sheetRow(measure.DatumNeck, measure.Fingerboard, measure.Width, 0), measure.Info{}, 41 + 0.026*last/2},
		{"a floor", sheetRow(measure.DatumBody, measure.PocketFloor, measure.Height, 0), measure.Info{}, -16}, {"a top", sheetRow(measure.DatumBody, measure.Top, measure.Height, 0), measure.Info{}, 0},
		{"frets", sheetRow(measure.DatumNeck, measure.FretTop, measure.Height, 1), measure.Info{}, 26},
		{"a saddle up", sheetRow(measure.DatumBody, measure.SaddleHigh, measure.Height, 1), measure.Info{}, 15}, {"and down", sheetRow(measure.DatumBody, measure.SaddleLow, measure.Height, 1), measure.Info{}, 8},
		{"slots", slots, measure.Info{}, 33}, {"screws", far, measure.Info{}, math.Hypot(51, 38+0.2-0.05)},
		{"a guitar's slots", slots, measure.Info{Strings: 6}, 35 * 3.0 / 5}, {"a guitar's heel", sheetRow(measure.DatumNeck, measure.Heel, measure.Width, 0), measure.Info{Strings: 6}, 56},
		{"a guitar's board", sheetRow(measure.DatumNeck, measure.Fingerboard, measure.Width, 0), measure.Info{Strings: 6}, 42 + 0.026*647.7*(1-math.Exp2(-21.0/12))/2},
		{"a board of 24 frets", sheetRow(measure.DatumNeck, measure.Fingerboard, measure.Width, 0), measure.Info{Frets: 24, Scale: 800}, 41 + 0.026*800*0.75/2},
		{"five strings, no guitar", sheetRow(measure.DatumNeck, measure.Heel, measure.Width, 0), measure.Info{Strings: 5}, 63.5},
	} {
		u := usual([]measure.Reading{c.r, four}, c.info)
		if got := u.readings(times(1, c.r))[0].Size; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s is %.4f mm, by hand %.4f", c.what, got, c.want)
		}
	}
	for _, c := range []struct {
		rows            []measure.Reading
		info            measure.Info
		strings, frets  int
		scale, atSaddle float64
	}{
		{[]measure.Reading{four}, measure.Info{}, 4, 21, 863.6, 57}, {[]measure.Reading{six, four}, measure.Info{}, 6, 21, 647.7, 52.5},
		{[]measure.Reading{six}, measure.Info{Strings: 4, Scale: 700}, 4, 21, 700, 57},
		{[]measure.Reading{four, sheetRow(measure.DatumNeck, measure.Fret, measure.Station, 24), sheetRow(measure.DatumNeck, measure.Fret, measure.Station, 12)}, measure.Info{}, 4, 24, 863.6, 57},
		{[]measure.Reading{sheetRow(measure.DatumNeck, measure.Fret, measure.Station, 12)}, measure.Info{Frets: 22}, 0, 22, 863.6, 57},
	} {
		if u := usual(c.rows, c.info); u.strings != c.strings || u.frets != c.frets || u.scale != c.scale || u.atSaddles != c.atSaddle {
			t.Errorf("%+v: %+v", c.info, u)
		}
	}
	if u := usual(nil, measure.Info{Strings: 1}); u.string(1, 30) != 0 {
		t.Error("a lone string is not on the middle")
	}
}

// What kits.csv will say of the scale is not known beforehand: its limits are told as what lies about it.
func TestPlannedLimits(t *testing.T) {
	var rows []measure.Reading
	calliper := &measure.Gauge{ID: "c", Repeatability: 0.05}
	for _, n := range []int{0, 5, 12, 19} {
		f := measure.Fret
		if n == 0 {
			f = measure.Nut
		}
		r := sheetRow(measure.DatumNeck, f, measure.Station, n)
		r.Gauge, r.StationGauge = calliper, calliper
		rows = append(rows, r)
	}
	for scale, want := range map[float64][2]float64{0: {-1, 1}, 700: {699, 701}} {
		p := Plan(rows, measure.Info{Scale: scale}, Options{}).Characteristics[ScaleLength]
		if math.Abs(p.Lower-want[0]) > 1e-9 || math.Abs(p.Upper-want[1]) > 1e-9 || p.TooCoarse || math.Abs(p.Needed-1/1.959964) > 1e-6 || !p.Missing.None() {
			t.Errorf("scale %v: %+v", scale, p)
		}
	}
}
