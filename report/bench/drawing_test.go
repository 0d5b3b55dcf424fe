package bench_test

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// assorted is a folder with kits of every sort that was read: by edges, in the pocket and left-handed, loose
// and of six strings, loose and fanned.
func assorted(t *testing.T) (dir string, names []string) {
	t.Helper()
	dir = t.TempDir()
	rng := rand.New(rand.NewPCG(13, 8))
	var kits []*measure.Kit
	var infos []measure.Info
	for i, name := range []string{"edges", "left", "six", "fan"} {
		in := simulate.ShortScaleBass()
		in.CentreLineError, in.PocketEnd = 1.4-float64(i), in.PocketEnd+0.4
		var readings []measure.Reading
		switch name {
		case "edges":
			readings = simulate.EdgeCheck(in, rng, simulate.Setup{})
		case "left":
			readings = simulate.DryFit(in, rng, simulate.Setup{Heights: true})
		case "six":
			in.Strings, in.BridgeSpread, in.NutSpread = 6, in.BridgeSpread+10, in.NutSpread+4
			readings = simulate.LooseParts(in, rng, simulate.Setup{Heights: true})
		case "fan":
			in.Fan, in.StraightFret = 20, 7
			readings = simulate.LooseParts(in, rng, simulate.Setup{Heights: true})
		}
		kit := in.Kit(name, readings)
		kits = append(kits, kit)
		names = append(names, name)
		kit.Info.LeftHanded = name == "left"
		infos = append(infos, kit.Info)
	}
	gauges := map[string]measure.Gauge{}
	for _, k := range kits {
		for _, r := range k.Readings {
			for _, g := range []*measure.Gauge{r.Gauge, r.StationGauge} {
				if g != nil {
					gauges[g.ID] = *g
				}
			}
		}
	}
	var b [3]bytes.Buffer
	err := errors.Join(measure.WriteReadings(&b[0], slices.Values(kits)), measure.WriteKits(&b[1], infos), measure.WriteGauges(&b[2], slices.Collect(maps.Values(gauges))))
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"readings.csv", "kits.csv", "gauges.csv"} {
		write(t, filepath.Join(dir, name), b[i].String())
	}
	return dir, names
}

// On no drawing of the page do two labels lie on each other, nor is one cut off, whatever kit is read and
// whatever is tried, at a desk and on a telephone.
func TestLabelsDoNotCollide(t *testing.T) {
	dir, names := assorted(t)
	_, address := serve(t, dir)
	b := open(t, address, 1400, false)
	for _, name := range names {
		b.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`[...document.querySelectorAll("#kits button")].find((e) => e.textContent.startsWith(%q)).click()`, name)))
		b.Until(fmt.Sprintf(`document.getElementById("headline").textContent.startsWith(%q) && !document.getElementById("outcome").textContent`, name+":"))
		walls := `["Bass 0", 0.3], ["Treble 1", -0.2], `
		if name == "edges" { // which has no pocket
			walls = ""
		}
		b.Do(chromedp.Evaluate[chromedp.Void](`for (const [of, x] of [` + walls + `["Across", -1.1], ["Along", 2]]) {
			const e = document.querySelector('[data-of="' + of + '"] input[type=number]');
			e.value = x;
			e.dispatchEvent(new Event("input"));
		}
		if (!document.getElementById("plug").checked) document.getElementById("plug").click()`))
		b.Until(`document.querySelectorAll("#outcome svg.fig").length >= 2`)
		for _, c := range b.Collisions("#drawing, #outcome svg.fig", "section") {
			t.Errorf("%s: %s", name, c)
		}
		b.Look(360, false) // the first drawing has larger letters there
		for _, c := range b.Collisions("#drawing", "section") {
			t.Errorf("%s on a telephone: %s", name, c)
		}
		b.Look(1400, false)
	}
	b.Quiet()
}
