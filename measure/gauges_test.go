package measure

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A gauge without any uncertainty would have infinite weight.
func TestBuiltInGaugesAreUncertain(t *testing.T) {
	seen := map[string]bool{}
	for _, g := range BuiltInGauges() {
		if !(g.Variance() > 0) || seen[g.ID] {
			t.Errorf("gauge %+v", g)
		}
		seen[g.ID] = true
	}
	if !seen[Calliper] || !seen[CalliperInside] || !seen[Rule] || !seen[Feeler] || !seen[Straightedge] {
		t.Errorf("a gauge that stands for blanks is missing: %v", seen)
	}
}

// A blank gauge cell is the calliper, for a gap the feeler, and for a station the rule.
func TestBlankGauges(t *testing.T) {
	kits := mustRead(t, "kit,datum,feature,kind,station,size,mark\nA,body,pocket,width,1,2\nA,body,pocket-bass,gap,1,0\nA,neck,heel,width,1,2\nA,body,bridge-screw,diameter,,3,1\n")
	var ids []string
	for _, g := range kits[0].Readings {
		ids = append(ids, g.Gauge.ID, g.StationGauge.ID)
	}
	if got, want := strings.Join(ids, " "), "calliper-inside rule feeler rule calliper rule calliper-inside rule"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// Of a gauge whose own row is wrong the readings that name it say nothing more.
func TestReadingsOfABadGauge(t *testing.T) {
	dir := folder(t, map[string]string{
		"readings.csv": "kit,datum,feature,kind,station,size,gauge\nA,body,pocket,width,1,2,bad\nA,body,pocket,width,2,2,none\n",
		"gauges.csv":   "gauge,resolution\nbad,x\n",
	})
	_, err := readAll(t, dir, "")
	want := []string{
		`gauges.csv:2:5: resolution "x" is not a number, expected a length in millimetres such as 55.6`,
		`readings.csv:3:25: gauge "none" is not in gauges.csv, expected one of calliper, calliper-inside, rule, feeler, straightedge, bad`,
	}
	if diff := cmp.Diff(want, messages(err, dir)); diff != "" {
		t.Error(diff)
	}
}

// Gauges of gauges.csv: the inside jaws follow their calliper unless they have a row, the straightedge goes to
// the kit, persons come on top.
func TestGaugesTable(t *testing.T) {
	read := func(gauges string) *Kit {
		t.Helper()
		kits, err := readAll(t, folder(t, map[string]string{"readings.csv": "kit,datum,feature,kind,station,size\nA,body,pocket,width,1,2.34\nA,neck,heel,width,1,2.34\n", "gauges.csv": gauges}), "")
		if err != nil {
			t.Fatal(err)
		}
		return kits[0]
	}
	kit := read("gauge,resolution,max_error,repeatability,reproducibility,unit\ncalliper,0.02,0.04,0.03,0.04,\nstraightedge,,,1/64,,in\n")
	in, out := kit.Readings[0].Gauge, kit.Readings[1].Gauge
	if in == out || in.ID != "calliper-inside" || in.MaxError != 0.04 || out.MaxError != 0.04 {
		t.Errorf("inside %+v, outside %+v", in, out)
	}
	// 0.02^2/12 + 0.03^2 + 0.04^2
	if v := out.Variance(); math.Abs(v-(0.0004/12+0.0025)) > 1e-15 {
		t.Errorf("variance %v", v)
	}
	if s := kit.Straightedge; s == nil || s.Repeatability != 0.396875 {
		t.Errorf("straightedge %+v", s)
	}
	kit = read("gauge,max_error\ncalliper-inside,0.1\ncalliper,0.2\n")
	if in, out := kit.Readings[0].Gauge, kit.Readings[1].Gauge; in.MaxError != 0.1 || out.MaxError != 0.2 || kit.Straightedge != nil {
		t.Errorf("inside %+v, outside %+v", in, out)
	}
}

// A gauge is read no finer than its numbers say: halves of a millimetre, tenths, sixteenths of an inch. One
// number too fine and it is what it claims; few numbers say nothing; where a width is taken is chosen.
func TestNumbersSetTheResolution(t *testing.T) {
	for _, c := range []struct {
		name, unit, numbers string
		want                float64
	}{
		{"halves", "mm", "12.5 13 40.5", 0.5},
		{"halves and a tenth", "mm", "12.5 13 40.5 7.1 20.3 9.9 1.7", 0.1},
		{"five tenths may be twentieths", "mm", "12.5 13.1 40.2 7.3 5.6", 0.05},
		{"hundredths", "mm", "12.5 13 40.51", 0.01},
		{"whole millimetres", "mm", "12 13 40 41 45 51 58", 1},
		{"whole numbers, but few", "mm", "12 13 40", 0.5},
		{"two numbers", "mm", "12.5 13", 0.01},
		{"the same number again and again", "mm", "12.5 12.5 12.5 12.5 12.5 12.5", 0.01},
		{"sixteenths", "in", "1/16 3/16 5/16 7/16 9/16 11/16 13/16 15/16", 25.4 / 16},
		{"sixty-fourths", "in", "1/64 3/16 5/16", 25.4 / 64},
		{"decimal inches", "in", "1.001 1.125 2.375", 0.01},
	} {
		var text strings.Builder
		text.WriteString("kit,datum,feature,mark,kind,station,size,unit,trial\n")
		for i, x := range strings.Fields(c.numbers) {
			fmt.Fprintf(&text, "A,neck,heel,,width,%d,%s,%s,%d\n", i, x, c.unit, i+1)
		}
		fmt.Fprintf(&text, "B,neck,heel,,width,1,2.34,mm,\n")
		kits := mustRead(t, text.String())
		g := kits[0].Readings[0].Gauge
		claimed := 0.0
		if c.want > 0.01 {
			claimed = 0.01
		}
		if math.Abs(g.Resolution-c.want) > 1e-12 || g.Claimed != claimed || g.MaxError != 0.03 || g.ID != "calliper" {
			t.Errorf("%s: %+v, want %v", c.name, g, c.want)
		}
		for i := range kits[0].Readings {
			if kits[0].Readings[i].Gauge != g || kits[0].Readings[i].StationGauge.Claimed != 0 {
				t.Errorf("%s: not all alike", c.name)
			}
		}
		if other := kits[1].Readings[0].Gauge; other.Resolution != 0.01 {
			t.Errorf("%s: another kit has %+v", c.name, other)
		}
	}
	// A point's station is read off the rule, its offset off the calliper.
	kits := mustRead(t, "kit,datum,feature,mark,kind,station,offset\nA,body,bridge-screw,1,point,1,2.25\nA,body,bridge-screw,2,point,3,2.26\n"+
		"A,body,bridge-screw,3,point,7,1.23\nA,body,bridge-screw,4,point,8,1.21\nA,body,bridge-screw,5,point,9,1.23\nA,body,bridge-screw,6,point,10,1.21\nA,body,bridge-screw,7,point,12,1.21\n")
	if g := &kits[0].Readings[0]; g.StationGauge.Resolution != 1 || g.StationGauge.Claimed != 0.5 || g.Gauge.Claimed != 0 {
		t.Errorf("station by %+v, offset by %+v", g.StationGauge, g.Gauge)
	}
}
