package measure

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"os"
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"neckfit/measure/csvtext"
)

// fuzzTable reads arbitrary bytes as one of the tables: nothing panics, errors stand inside the
// file and in order, and what comes out of a good file is finite.
func fuzzTable(t *testing.T, name string, data []byte) {
	b := inMemory(t, name, data)
	kits, err := kitsOf(b, 2)
	if err != nil {
		checkErrors(t, err, string(data))
		return
	}
	for _, k := range kits {
		checkKit(t, k)
	}
	for _, l := range b.Limits {
		if !(l.Lower <= l.Upper) || math.IsInf(l.Lower, 1) || math.IsInf(l.Upper, -1) {
			t.Errorf("limit %+v", l)
		}
	}
	for _, g := range b.Gauges {
		finite(t, g.Resolution, g.MaxError, g.Repeatability)
	}
	for kit, i := range b.Infos {
		finite(t, i.Scale, i.NutSpread, i.NeckScrew, i.BridgeScrew, i.Action, i.NutHeight, i.ScaleBass, i.ScaleTreble, i.Slant, i.BodyThickness, 1/max(1, i.BoardRadius),
			i.NeckScrewLength, i.NeckCore, i.BridgeScrewLength, i.BridgeCore)
		if kit == "" || i.Kit != kit {
			t.Errorf("info %+v", i)
		}
	}
	for n, x := range b.Compensation() {
		finite(t, x, float64(n))
	}
	for n, s := range b.Specs {
		finite(t, s.Core, s.UnitWeight, s.Pitch)
		if n < 1 || !(s.Core > 0 && s.UnitWeight > 0 && s.Pitch > 0) {
			t.Errorf("string %d %+v", n, s)
		}
	}
	checkShelf(t, b)
}

// checkShelf holds that a piece has one size, by length or by angle, and that a work's cost is known.
func checkShelf(t *testing.T, b *Batch) {
	t.Helper()
	for _, s := range b.Stock {
		finite(t, s.Size, s.Angle)
		if s.Kind == NoStock || (s.Size > 0) == (s.Angle > 0) || s.Angle > 0 && s.Kind != WedgeStock {
			t.Errorf("piece %+v", s)
		}
	}
	for _, c := range b.Costs {
		finite(t, c.Minutes, c.Worst)
		if c.Work == NoWork || c.Minutes < 0 || c.Worst < 0 {
			t.Errorf("cost %+v", c)
		}
	}
}

// memory is a source in memory: files would make fuzzing a hundred times slower.
type memory []byte

func (m memory) name() string                 { return "readings.csv" }
func (m memory) open() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(m)), nil }
func (m memory) unchanged() error             { return nil }
func (m memory) close() error                 { return nil }

// inMemory makes a batch of one table; the readings are blank when it is another one.
func inMemory(t *testing.T, name string, data []byte) *Batch {
	t.Helper()
	gauges := builtInGaugeSet()
	b := &Batch{Gauges: gauges, errs: &csvtext.Collector{}, readings: memory("kit,datum,feature,kind\n")}
	var err error
	switch in := bytes.NewReader(data); name {
	case "readings.csv":
		b.readings = memory(data)
	case "gauges.csv":
		err = gauges.read(name, in, b.errs)
	case "limits.csv":
		b.Limits, err = readLimits(name, in, b.errs, known)
	case "kits.csv":
		b.Infos, err = readKits(name, in, b.errs, known)
	case "strings.csv":
		var set stringSet
		set, err = readStrings(name, in, b.errs)
		b.compensation, b.Specs = set.compensation, set.specs
	case "stock.csv":
		b.Stock, err = readStock(name, in, b.errs)
	case "costs.csv":
		b.Costs, err = readCosts(name, in, b.errs)
	default:
		t.Fatal("no table " + name)
	}
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// plainText is a text as its lines are counted: out of UTF-16 by way of the library, with carriage
// returns for line ends where there are no others.
func plainText(text string) string {
	var order binary.ByteOrder = binary.LittleEndian
	switch {
	case strings.HasPrefix(text, "\xFF\xFE\x00\x00"):
		return text
	case strings.HasPrefix(text, "\xFE\xFF"):
		order = binary.BigEndian
		fallthrough
	case strings.HasPrefix(text, "\xFF\xFE"):
		var units []uint16
		for b := []byte(text); len(b) > 1; b = b[2:] {
			units = append(units, order.Uint16(b))
		}
		text = string(utf16.Decode(units)) + "?"[:len(text)%2]
	}
	if !strings.Contains(text[:min(len(text), (1<<16))], "\n") {
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	return text
}

func checkErrors(t *testing.T, err error, text string) {
	t.Helper()
	all, ok := err.(Errors)
	if !ok || len(all) == 0 {
		t.Fatalf("%T %v", err, err)
	}
	lines := strings.Split(strings.TrimPrefix(plainText(text), "\ufeff"), "\n")
	line := 0
	for _, e := range all {
		if e.Place == (Place{}) {
			continue // the last one, that counts the rest
		}
		if e.Line < max(1, line) || e.Line > len(lines) {
			t.Fatalf("%v: there are %d lines", e, len(lines))
		}
		line = e.Line
		if e.Column < 1 || e.Column > utf8.RuneCountInString(lines[line-1])+1 {
			t.Errorf("%v: the line is %q", e, lines[line-1])
		}
		if strings.ContainsAny(e.Error(), "\n\r\x1b") || e.What == "" || e.Expected == "" {
			t.Errorf("message %q", e)
		}
	}
}

func checkKit(t *testing.T, k *Kit) {
	t.Helper()
	if k.Name == "" || len(k.Readings) == 0 {
		t.Errorf("kit %+v", k)
	}
	for _, g := range k.Readings {
		finite(t, g.Station, g.Offset, g.Size)
		_, _, size, ok := g.Feature.Needs(g.Kind)
		if !ok || g.Datum == NoDatum || g.Gauge == nil || g.StationGauge == nil || size == Unused && g.Size != 0 {
			t.Errorf("reading %+v", g)
		}
		if !g.HasStation && g.Station != 0 || !g.HasOffset && g.Offset != 0 {
			t.Errorf("reading %+v has a number that is not there", g)
		}
	}
}

func finite(t *testing.T, all ...float64) {
	t.Helper()
	for _, x := range all {
		if !(math.Abs(x) <= 10000) {
			t.Errorf("number %v", x)
		}
	}
}

func seed(f *testing.F, texts ...string) {
	for _, text := range texts {
		f.Add([]byte(text))
		f.Add([]byte(strings.ReplaceAll(text, "\n", "\r")))
		f.Add([]byte(inUTF16(text, binary.LittleEndian)))
		f.Add([]byte("\ufeff" + strings.NewReplacer(",", ";", "\n", "\r\n").Replace(text)))
	}
}

func FuzzReadings(f *testing.F) {
	for _, name := range []string{"excel-comma", "excel-semicolon-bom", "excel-tab", "shuffled-columns", "unix-all-quoted"} {
		data, err := os.ReadFile("../testdata/measure/variants/" + name + ".csv")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	seed(f, header+"A,body,bridge-screw,1,,point,1,2,,,,\nB,body,outline,,,point,1,2,,,,\nA,body,bridge-screw,1,,point,1,2,,,,\n",
		header+"A,body,\"pocket\"x,,,width,1,,2\n\"B\n", header+"Kä,body,pocket,,,width,1_0,,NaN,,,x\n# c\n\n,,,\n", "sep=;\nkit,#,,\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "readings.csv", data) })
}

func FuzzGauges(f *testing.F) {
	seed(f, "gauge,kind,resolution,max_error,repeatability,unit\nlong,x,0.01,1/64,0.2,in\nrule,,1,,,\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "gauges.csv", data) })
}

func FuzzLimits(f *testing.F) {
	seed(f, "characteristic,lower,upper,unit,class,source\nbridge-skew,-0.5,0.5,deg,major,ours\npocket-gap-mouth,,1/64,in,,\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "limits.csv", data) })
}

func FuzzKits(f *testing.F) {
	seed(f, "kit,lot,supplier,hand,strings,frets,scale,nut_spread,wood,neck_screw,bridge_screw,action,nut_height,unit\nA,L1,East,Left,4,20,30,,maple,,1/8,1/16,0.02,in\nB,,,,,,,,,,,,,\n",
		"kit,scale_bass,scale_treble,straight_fret,zero_fret,board_radius,saddles,slant,body_thickness,neck_screw_length,neck_screw_core,aim,unit\n"+
			"A,34,31.5,7,yes,9 1/2,pairs,1/16,1 3/4,1.75,0.12,bridge-skew; pocket-gap-mouth,in\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "kits.csv", data) })
}

func FuzzStrings(f *testing.F) {
	seed(f, "string,compensation,unit\n1,0.5,\n4,1/16,in\n", "string,compensation,core,unit_weight,pitch,unit\n1,,0.25,0.39,329.6,\n6,,1/64,5.8,82.4,in\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "strings.csv", data) })
}

func FuzzStock(f *testing.F) {
	seed(f, "kind,size,unit,name\nside-shim,1/32,in,veneer\nwedge,0.5,deg,\nwedge,0.5,mm,strip\nplug,6,,\ndrill,1e-5,in,\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "stock.csv", data) })
}

func FuzzCosts(f *testing.F) {
	seed(f, "work,minutes,worst,unit\nside-shim,12,,\nleave,0,0.1,\nrelieve-wall,1.5,1/64,in\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "costs.csv", data) })
}
