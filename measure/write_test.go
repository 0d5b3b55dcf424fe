package measure

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// everyReading makes a reading of each feature by each kind and datum, with random numbers.
func everyReading(random *rand.Rand, gauges []*Gauge) []Reading {
	texts := []string{"", "plain", `with "quotes", and commas`, "# no comment", "two\nlines", "Höhe 3″", "a;b\tc", `"`}
	var all []Reading
	for _, f := range Features() {
		for _, k := range f.Kinds() {
			n := needsOf[f][k]
			datums := n.datums
			if datums == nil {
				datums = f.Datums()
			}
			for _, d := range datums {
				g := Reading{Datum: d, Feature: f, Kind: k, Mark: aMark(f, random), Trial: len(all)%maxTrial + 1, By: texts[random.IntN(4)], Note: texts[random.IntN(len(texts))]}
				if n.to {
					g.To = Mark{Number: g.Mark.Number + 1}
				}
				g.HasStation = n.station == Required || n.station == Optional && random.IntN(2) == 0
				g.HasOffset = n.offset == Required || n.offset == Optional && random.IntN(2) == 0
				if g.HasStation {
					g.Station = random.NormFloat64() * 300
				}
				if g.HasOffset {
					g.Offset = random.ExpFloat64() * 30
				}
				if n.size == Required {
					g.Size = random.ExpFloat64() * 60
				}
				g.Gauge, g.StationGauge = gauges[random.IntN(len(gauges))], gauges[random.IntN(len(gauges))]
				all = append(all, g)
			}
		}
	}
	return all
}

func aMark(f Feature, random *rand.Rand) Mark {
	switch sort := f.Marks(); sort {
	case MarkNone:
		return Mark{}
	case MarkSide:
		return Mark{Name: sideWords.Name(1 + random.IntN(2))}
	case MarkName, MarkNote:
		return Mark{Name: "control cavity 3"}
	default:
		return Mark{Number: 1 + random.IntN(greatestMark(sort)-1)}
	}
}

// What is written is read back to the last bit: every feature, kind, datum, mark and gauge.
func TestReadingsRoundTrip(t *testing.T) {
	gauges := append(BuiltInGauges(), Gauge{ID: "no. 7", Kind: "depth rod", MaxError: 0.1 + 0.2})
	pointers := make([]*Gauge, len(gauges))
	for i := range gauges {
		pointers[i] = &gauges[i]
	}
	random := rand.New(rand.NewPCG(5, 6))
	var kits []*Kit
	for i := range 3 {
		name := fmt.Sprintf("#%d, the \"kit\"", i)
		kits = append(kits, &Kit{Name: name, Info: Info{Kit: name}, Readings: everyReading(random, pointers)})
	}
	var readings, table bytes.Buffer
	if err := WriteReadings(&readings, slices.Values(kits)); err != nil {
		t.Fatal(err)
	}
	if err := WriteGauges(&table, gauges); err != nil {
		t.Fatal(err)
	}
	got, err := readAll(t, folder(t, map[string]string{"readings.csv": readings.String(), "gauges.csv": table.String()}), "")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(kits, got, noPlaces, cmpopts.IgnoreFields(Kit{}, "Straightedge")); diff != "" {
		t.Error(diff)
	}
}

func TestTablesRoundTrip(t *testing.T) {
	limits := []Limit{
		{Characteristic: "centre-line-error", Lower: -1. / 3, Upper: math.Inf(1), Class: Critical, Source: "two\nlines, \"quoted\""},
		{Characteristic: "bridge-skew", Lower: math.Inf(-1), Upper: 0.1 + 0.2},
	}
	infos := []Info{
		{Kit: "A", Lot: "7", Supplier: "#East; Inf", Wood: "alder", LeftHanded: true, Strings: 4, Frets: 20, Scale: 762, NutSpread: 29. / 3, NeckScrew: 4.2, BridgeScrew: 3},
		{
			Kit: "fan", ScaleBass: 863.6, ScaleTreble: 800.1, StraightFret: 7, ZeroFret: true, BoardRadius: 241.3, Saddles: SaddlePairs, Slant: -1.5,
			BodyThickness: 44.5, NeckScrewLength: 45, NeckCore: 3.1, BridgeScrewLength: 25, BridgeCore: 2.1, Aim: []string{"bridge-skew", "pocket-gap-mouth"},
		},
		{Kit: "fixed", BoardRadius: math.Inf(1), Saddles: SaddleFixed, Action: 1.75, NutHeight: 0.4},
		{Kit: "NaN"},
	}
	compensation := Strings{1: 0.1 + 0.2, 2: -1e-7, 24: 0}
	var l, k, s bytes.Buffer
	for _, err := range []error{WriteLimits(&l, limits, known), WriteKits(&k, infos), WriteStrings(&s, compensation)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	b, err := Open(folder(t, map[string]string{
		"readings.csv": onePocket[:len("kit,datum,feature,kind,station,size,gauge\n")],
		"limits.csv":   l.String(), "kits.csv": k.String(), "strings.csv": s.String(),
	}), Options{Characteristics: known})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.All(t.Context()); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(limits, b.Limits, noPlaces); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(map[string]Info{"A": infos[0], "fan": infos[1], "fixed": infos[2], "NaN": infos[3]}, b.Infos, noPlaces); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(compensation, b.Compensation()); diff != "" {
		t.Error(diff)
	}
}

// A folder of header lines alone is a good batch without kits.
func TestBlankTables(t *testing.T) {
	files := map[string]string{}
	for _, name := range Tables() {
		var out bytes.Buffer
		if err := WriteHeader(&out, name); err != nil {
			t.Fatal(err)
		}
		files[name] = out.String()
	}
	kits, err := readAll(t, folder(t, files), "")
	if err != nil || kits != nil {
		t.Errorf("%v, %v", kits, err)
	}
}

func TestUnwritable(t *testing.T) {
	point := Reading{Datum: DatumBody, Feature: Outline, Kind: Point, HasStation: true, HasOffset: true}
	for name, change := range map[string]func(*Kit){
		"NaN":      func(k *Kit) { k.Readings[0].Station = math.NaN() },
		"infinity": func(k *Kit) { k.Readings[0].Offset = math.Inf(-1) },
		"bell":     func(k *Kit) { k.Name = "a\a" },
		"two-line": func(k *Kit) { k.Name = "a\nb" },
		"no UTF-8": func(k *Kit) { k.Readings[0].Note = "\xff" },
	} {
		kit := &Kit{Name: "A", Readings: []Reading{point}}
		change(kit)
		if err := WriteReadings(&bytes.Buffer{}, slices.Values([]*Kit{kit})); err == nil {
			t.Errorf("%s was written", name)
		}
	}
	for name, err := range map[string]error{
		"a gauge without a number": WriteGauges(&bytes.Buffer{}, []Gauge{{ID: "x", MaxError: math.NaN()}}),
		"a kit of two lines":       WriteKits(&bytes.Buffer{}, []Info{{Kit: "a\nb"}}),
		"an endless scale":         WriteKits(&bytes.Buffer{}, []Info{{Kit: "a", Scale: math.Inf(1)}}),
		"a limit that is none":     WriteLimits(&bytes.Buffer{}, []Limit{{Characteristic: "x", Lower: math.NaN()}}, nil),
		"stock without a size":     WriteStock(&bytes.Buffer{}, []Stock{{Kind: PlugStock, Size: math.NaN()}}),
		"a cost without an end":    WriteCosts(&bytes.Buffer{}, []Cost{{Work: Leave, Minutes: math.Inf(1)}}),
		"a string without a value": WriteStrings(&bytes.Buffer{}, Strings{1: math.NaN()}),
	} {
		if err == nil {
			t.Errorf("%s was written", name)
		}
	}
	if err := WriteGauges(&full{}, BuiltInGauges()); err != errBroken {
		t.Errorf("a full disk: %v", err)
	}
	if err := WriteReadings(&full{}, slices.Values(manyKits(9))); err != errBroken {
		t.Errorf("a full disk: %v", err)
	}
}

// full is a disk that takes nothing.
type full struct{}

func (*full) Write([]byte) (int, error) { return 0, errBroken }
