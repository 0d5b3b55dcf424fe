package measure

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"neckfit/measure/csvtext"
)

// The built-in tables, written and read again, must be what they were: 1/32 in is no short decimal.
func TestBuiltInStockAndCostsReadBack(t *testing.T) {
	errs := &csvtext.Collector{}
	var text bytes.Buffer
	if err := WriteStock(&text, BuiltInStock()); err != nil {
		t.Fatal(err)
	}
	stock, err := readStock("stock.csv", &text, errs)
	if err != nil || errs.Err() != nil {
		t.Fatal(err, errs.Err())
	}
	if d := cmp.Diff(BuiltInStock(), stock, cmpopts.IgnoreTypes(Place{})); d != "" {
		t.Error(d)
	}
	if err := WriteCosts(&text, BuiltInCosts()); err != nil {
		t.Fatal(err)
	}
	costs, err := readCosts("costs.csv", &text, errs)
	if err != nil || errs.Err() != nil {
		t.Fatal(err, errs.Err())
	}
	if d := cmp.Diff(BuiltInCosts(), costs, cmpopts.IgnoreTypes(Place{})); d != "" {
		t.Error(d)
	}
}

// An inch is 25.4 mm by definition, so veneer of 1/32 in is 0.79375 mm.
func TestStockInInchesAndDegrees(t *testing.T) {
	errs := &csvtext.Collector{}
	stock, err := readStock("stock.csv", strings.NewReader("kind,size,unit,name\nside-shim,1/32,in,veneer\nwedge,0.5,deg,\nwedge,0.5,mm,strip\n"), errs)
	if err != nil || errs.Err() != nil {
		t.Fatal(err, errs.Err())
	}
	want := []Stock{
		{Kind: SideStock, Size: 0.79375, Name: "veneer"}, {Kind: WedgeStock, Angle: 0.5}, {Kind: WedgeStock, Size: 0.5, Name: "strip"},
	}
	near := cmpopts.EquateApprox(0, 1e-12) // rounding of one division
	if d := cmp.Diff(want, stock, cmpopts.IgnoreTypes(Place{}), near); d != "" {
		t.Error(d)
	}
}

func TestBadStockAndCosts(t *testing.T) {
	for text, want := range map[string]string{
		"kind,size\nglue,1\n":                      `kind "glue" is unknown`,
		"kind,size\nplug,\n":                       "size is blank",
		"kind,size\nplug,-4\n":                     "is not above zero",
		"kind,size,unit\nplug,4,deg\n":             "does not go with kind plug",
		"kind,size\nplug,4\nplug,4.0\n":            "already on line 2",
		"kind,size,unit\nside-shim,1/32,mm\n":      "fraction",
		"work,minutes\nside-shim,-1\n":             "is negative",
		"work,minutes\nside-shim,\n":               "minutes is blank",
		"work,minutes\nhammer,3\n":                 `work "hammer" is unknown`,
		"work,minutes\nleave,1\nleave,2\n":         "already on line 2",
		"work,minutes,worst\nside-shim,1,-0.1\n":   "is negative",
		"work,minutes,worst,unit\nleave,1,0,deg\n": "unit",
	} {
		errs := &csvtext.Collector{}
		var err error
		if strings.HasPrefix(text, "kind") {
			_, err = readStock("stock.csv", strings.NewReader(text), errs)
		} else {
			_, err = readCosts("costs.csv", strings.NewReader(text), errs)
		}
		if err != nil || !strings.Contains(fmt.Sprint(errs.Err()), want) || strings.Contains(fmt.Sprint(errs.Err()), "\n") {
			t.Errorf("%q: %v %v, want %q", text, err, errs.Err(), want)
		}
	}
}

// A batch without these tables has none; one with them has theirs and no others.
func TestBatchTakesStockAndCosts(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	open := func() *Batch {
		b, err := Open(dir, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	write("readings.csv", "kit,datum,feature,kind\n")
	if b := open(); b.Stock != nil || b.Costs != nil {
		t.Error(b.Stock, b.Costs)
	}
	write("stock.csv", "kind,size\nplug,6\n")
	write("costs.csv", "work,minutes\nside-shim,12\n")
	b := open()
	if len(b.Stock) != 1 || b.Stock[0].Size != 6 {
		t.Error(b.Stock)
	}
	// a blank accuracy leaves the built-in one
	if len(b.Costs) != 1 || b.Costs[0].Minutes != 12 || math.Abs(b.Costs[0].Worst-0.05) > 0 {
		t.Error(b.Costs)
	}
}
