package measure

import (
	"bytes"
	"io"
	"math"
	"os"
	"strings"
	"testing"
	"unicode/utf8"
)

// fuzzTable reads arbitrary bytes as one of the tables: nothing panics, errors stand inside the
// file and in order, and what comes out of a good file is finite.
func fuzzTable(t *testing.T, name string, data []byte) {
	b := inMemory(t, name, data)
	var kits []*Kit
	collect := func(k *Kit) error { kits = append(kits, k); return nil }
	err := b.Each(collect)
	if _, ok := err.(*ScatteredError); ok {
		kits = nil
		if err = b.Gather(err); err == nil {
			err = b.Each(collect)
		}
	}
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
		finite(t, i.Scale, i.NutSpread, i.NeckScrew, i.BridgeScrew)
		if kit == "" || i.Kit != kit {
			t.Errorf("info %+v", i)
		}
	}
	for n, x := range b.Compensation() {
		finite(t, x, float64(n))
	}
}

// memory is a source in memory: files would make fuzzing a hundred times slower.
type memory []byte

func (m memory) name() string                 { return "readings.csv" }
func (m memory) open() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(m)), nil }
func (m memory) close() error                 { return nil }

// inMemory makes a batch of one table; the readings are blank when it is another one.
func inMemory(t *testing.T, name string, data []byte) *Batch {
	t.Helper()
	gauges := builtInGaugeSet()
	b := &Batch{Gauges: gauges, errs: &collector{}, readings: memory("kit,datum,feature,kind\n")}
	var err error
	switch in := bytes.NewReader(data); name {
	case "readings.csv":
		b.readings = memory(data)
	case "gauges.csv":
		err = gauges.read(name, in, b.errs)
	case "limits.csv":
		b.Limits, err = readLimits(name, in, b.errs, known)
	case "kits.csv":
		b.Infos, err = readKits(name, in, b.errs)
	case "strings.csv":
		var set stringSet
		set, err = readStrings(name, in, b.errs)
		b.compensation, b.Specs = set.compensation, set.specs
	}
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func checkErrors(t *testing.T, err error, text string) {
	t.Helper()
	all, ok := err.(Errors)
	if !ok || len(all) == 0 {
		t.Fatalf("%T %v", err, err)
	}
	lines := strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n")
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
		if !(math.Abs(x) <= maxLength) {
			t.Errorf("number %v", x)
		}
	}
}

func seed(f *testing.F, texts ...string) {
	for _, text := range texts {
		f.Add([]byte(text))
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
	seed(f, "kit,lot,supplier,hand,strings,frets,scale,nut_spread,wood,neck_screw,bridge_screw,unit\nA,L1,East,Left,4,20,30,,maple,,1/8,in\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "kits.csv", data) })
}

func FuzzStrings(f *testing.F) {
	seed(f, "string,compensation,unit\n1,0.5,\n4,1/16,in\n")
	f.Fuzz(func(t *testing.T, data []byte) { fuzzTable(t, "strings.csv", data) })
}
