package html_test

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report/internal/browser"
)

// Every reading of a study is drawn where its own table has it: as far from the mean of its place, in which each
// reader counts alike, as the readings of the batch say.
func TestDeviationsAreDrawnRight(t *testing.T) {
	kits, _, _, err := readKits("../../testdata/gauge")
	var want []float64
	for _, k := range must(t, kits, err) {
		by, sum, n := map[string][]float64{}, 0.0, 0.0
		for i := range k.Readings {
			if r := &k.Readings[i]; r.Feature == measure.Heel {
				by[r.By] = append(by[r.By], r.Size)
			}
		}
		for _, list := range by {
			n++
			for _, x := range list {
				sum += x / float64(len(list))
			}
		}
		for _, list := range by {
			for _, x := range list {
				want = append(want, x-sum/n)
			}
		}
	}
	b := open(t, otherPages(t)["gauge"])
	drawn := browser.Ask[struct{ Y, D string }](b.Tab, `(() => { const s = document.querySelector("svg.fig"); return { Y: s.dataset.y, D: s.querySelector("path.dots").getAttribute("d") }; })()`)
	var got []float64
	for _, at := range strings.Split(strings.TrimPrefix(drawn.D, "M"), "M") {
		_, y, _ := strings.Cut(strings.TrimSuffix(at, "h0"), " ")
		px, err := strconv.ParseFloat(y, 64)
		got = append(got, mm(t, drawn.Y, must(t, px, err)))
	}
	slices.Sort(got)
	slices.Sort(want)
	if len(want) < 80 || len(got) != len(want) {
		t.Fatalf("%d readings are drawn, %d were read", len(got), len(want))
	}
	for i := range want {
		if math.Abs(got[i]-want[i]) > 2*pixel(t, drawn.Y) {
			t.Errorf("reading %d in order of size is drawn at %.4f mm, was %.4f", i, got[i], want[i])
		}
	}
}

// The page tells what to write into gauges.csv, as the table that it shows has it.
func TestGaugePageHasTheTable(t *testing.T) {
	studies, gauges := studied(t)
	b := open(t, otherPages(t)["gauge"])
	dir := t.TempDir()
	table := browser.Ask[string](b.Tab, `document.querySelector("pre").textContent`)
	err := errors.Join(os.WriteFile(filepath.Join(dir, "gauges.csv"), []byte(table), 0o600),
		os.WriteFile(filepath.Join(dir, "readings.csv"), []byte("kit,datum,feature,kind,station,size\nK,neck,heel,width,0,63\n"), 0o600))
	must(t, 0, err)
	batch, err := measure.Open(dir, measure.Options{Characteristics: fit.Characteristics()})
	must(t, batch, err)
	defer batch.Close()
	_, err = batch.All(context.Background())
	must(t, 0, err)
	for _, g := range gauges {
		if got := batch.Gauges[g.ID]; got == nil || got.Resolution != g.Resolution || got.MaxError != g.MaxError || got.Repeatability != g.Repeatability || got.Reproducibility != g.Reproducibility {
			t.Errorf("the table on the page is read back as %+v, want %+v", got, g)
		}
	}
	for _, s := range studies {
		cells := browser.Ask[[]string](b.Tab, `[...document.querySelectorAll("#entries + .wide tr")].map((r) => [...r.cells].map((c) => c.textContent)).find((r) => r[0] === "`+s.Gauge+`")`)
		if want := strconv.FormatFloat(math.Round(s.Repeatability()*1e4)/1e4, 'f', 4, 64) + " mm"; cells[1] != want {
			t.Errorf("%s: the page says %q, want repeatability %s", s.Gauge, cells, want)
		}
	}
}
