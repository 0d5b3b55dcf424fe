package measure

import (
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const onePocket = "kit,datum,feature,kind,station,size,gauge\nA,body,pocket,width,40,63,long\n"

func wholeFolder(t *testing.T) string {
	return folder(t, map[string]string{
		"readings.csv": onePocket,
		"gauges.csv":   "gauge,resolution,repeatability,unit\nlong,0.001,1/64,in\nrule,1,,\n",
		"limits.csv":   "characteristic,lower,upper,unit,class,source\nbridge-skew,-0.5,0.5,deg,major,ours\npocket-gap-mouth,,1/64,in,,\n",
		"kits.csv":     "kit,lot,supplier,hand,strings,frets,scale,nut_spread,wood,neck_screw,bridge_screw,unit\nA,L1,East,Left,4,20,30,,maple,,1/8,in\n",
		"strings.csv":  "string,compensation\n1,0.5\n4,-0\n",
	})
}

func TestOpenFolder(t *testing.T) {
	dir := wholeFolder(t)
	for _, path := range []string{dir, filepath.Join(dir, "readings.csv")} {
		b, err := Open(path, Options{Characteristics: known})
		if err != nil {
			t.Fatal(err)
		}
		kits, err := b.All(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		// 1/64 in = 0.396875 mm, 1/8 in = 3.175 mm, 30 in = 762 mm: exactly, by the inch's definition.
		info := Info{Kit: "A", Lot: "L1", Supplier: "East", Wood: "maple", LeftHanded: true, Strings: 4, Frets: 20, Scale: 762, BridgeScrew: 3.175}
		want := &Batch{
			Limits: []Limit{
				{Characteristic: "bridge-skew", Lower: -0.5, Upper: 0.5, Class: Major, Source: "ours"},
				{Characteristic: "pocket-gap-mouth", Lower: math.Inf(-1), Upper: 0.396875},
			},
			Infos: map[string]Info{"A": info},
		}
		if diff := cmp.Diff(want.Limits, b.Limits, noPlaces); diff != "" {
			t.Error(diff)
		}
		if diff := cmp.Diff(want.Infos, b.Infos, noPlaces); diff != "" {
			t.Error(diff)
		}
		if diff := cmp.Diff(Strings{1: 0.5, 4: 0}, b.Compensation()); diff != "" || math.Signbit(b.Compensation()[4]) {
			t.Error("compensation", diff)
		}
		g := kits[0].Readings[0]
		if diff := cmp.Diff(info, kits[0].Info, noPlaces); diff != "" {
			t.Error(diff)
		}
		if diff := cmp.Diff(&Gauge{ID: "long", Resolution: 0.0254, Repeatability: 0.396875}, g.Gauge, noPlaces); diff != "" {
			t.Error(diff)
		}
		if diff := cmp.Diff(&Gauge{ID: "rule", Resolution: 1}, g.StationGauge, noPlaces); diff != "" {
			t.Error("a row of gauges.csv must take the built-in gauge's place:", diff)
		}
	}
}

func TestOpenWithoutTables(t *testing.T) {
	b, err := Open(folder(t, map[string]string{"readings.csv": "kit,datum,feature,kind\n"}), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if b.Limits != nil || b.Infos != nil || b.Compensation() != nil || len(b.Gauges) != len(BuiltInGauges()) {
		t.Errorf("%+v", b)
	}
	if kits, err := b.All(t.Context()); err != nil || len(kits) > 0 {
		t.Error(kits, err)
	}
}

func TestOpenErrors(t *testing.T) {
	empty := t.TempDir()
	for _, path := range []string{filepath.Join(empty, "none"), empty} {
		if _, err := Open(path, Options{}); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s: %v", path, err)
		}
	}
	if _, err := Open("-", Options{}); err == nil {
		t.Error("no standard input, no error")
	}
	dir := folder(t, map[string]string{"readings.csv": onePocket})
	if err := os.Mkdir(filepath.Join(dir, "gauges.csv"), 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir, Options{}); err == nil {
		t.Error("a folder was taken for a table")
	}
}

// counter counts what was read of a stream.
type counter struct {
	in io.Reader
	n  atomic.Int64
}

func (c *counter) Read(p []byte) (int, error) {
	n, err := c.in.Read(p)
	c.n.Add(int64(n))
	return n, err
}

// The first kit is handed on long before the stream has ended, and an error of emit ends all.
func TestKitsStream(t *testing.T) {
	text := tableOf(t, manyKits(20000))
	in := &counter{in: strings.NewReader(text)}
	b, err := Open("-", Options{Stdin: in})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	stop := errors.New("enough")
	err = Kits(t.Context(), b, 1, (*Kit).Clone, func(*Kit) error { return stop }, nil)
	if err != stop {
		t.Errorf("got %v", err)
	}
	if n := in.n.Load(); n > 6<<16 || len(text) < 10<<16 {
		t.Errorf("%d bytes of %d were read for one kit", n, len(text))
	}
}

// A stream can be read again from its beginning.
func TestStreamAgain(t *testing.T) {
	b, err := Open("-", Options{Stdin: strings.NewReader(tableOf(t, manyKits(20000)))})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	for range 2 {
		if kits, err := b.All(t.Context()); err != nil || len(kits) != 20000 {
			t.Errorf("%d kits, %v", len(kits), err)
		}
	}
}

// Standard input leaves no file behind.
func TestCloseRemovesTheCopy(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	b, err := Open("-", Options{Stdin: io.MultiReader(strings.NewReader("kit,datum,feature,kind\n"))})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.All(t.Context()); err != nil {
		t.Fatal(err)
	}
	during, _ := os.ReadDir(temp)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	after, _ := os.ReadDir(temp)
	if len(during) != 1 || len(after) != 0 {
		t.Errorf("%d files during, %d after", len(during), len(after))
	}
	if err := b.Close(); err != nil {
		t.Error("a second Close:", err)
	}
}

// A stream that breaks is an error of reading, not of a cell.
func TestBrokenStream(t *testing.T) {
	broken := io.MultiReader(strings.NewReader(onePocket), &failing{})
	b, err := Open("-", Options{Stdin: broken})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if _, err := b.All(t.Context()); !errors.Is(err, errBroken) {
		t.Errorf("got %v", err)
	}
}

var errBroken = errors.New("broken")

type failing struct{}

func (*failing) Read([]byte) (int, error) { return 0, errBroken }
