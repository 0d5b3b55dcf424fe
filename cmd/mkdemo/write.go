package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"neckfit/fit/simulate"
	"neckfit/measure"
)

// opening stands above the header of every table.
const opening = `# Demonstration data. All of it is invented: no instrument, delivery, supplier or workshop is real.
# A community workshop has received kits of a short-scale four-string bass, bodies from one
# supplier and necks from another, and measures them before anything is glued or drilled.
`

// write makes the folder's tables anew.
func write(dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	kits := delivery(seed)
	for _, t := range []struct {
		name, about string
		write       func(io.Writer) error
	}{
		{"readings.csv", readingsAbout, func(w io.Writer) error { return measure.WriteReadings(w, slices.Values(kits)) }},
		{"kits.csv", kitsAbout(), func(w io.Writer) error { return measure.WriteKits(w, infos(kits)) }},
		{"gauges.csv", gaugesAbout, func(w io.Writer) error { return measure.WriteGauges(w, drawer()) }},
		{"strings.csv", "", func(w io.Writer) error {
			return measure.WriteStrings(w, simulate.ShortScaleBass().Compensation)
		}},
	} {
		text := bytes.NewBufferString(opening + t.about)
		if err := t.write(text); err != nil {
			return fmt.Errorf("%s: %w", t.name, err)
		}
		if err := os.WriteFile(filepath.Join(dir, t.name), text.Bytes(), 0o666); err != nil {
			return err
		}
	}
	return nil
}

const readingsAbout = `# Kits SSB-01 to SSB-24 are loose parts, EC-01 and EC-02 edge checks, DF-01 and DF-02 dry fits.
`

const gaugesAbout = `# The workshop's own gauges: a 150 mm digital calliper and a depth gauge, a 1000 mm steel rule, a
# 1000 mm vernier and a set of feelers. The repeatabilities are the workshop's, from a gauge study of
# its own on wood.
`

// kitsAbout says of every kit what is wrong with it.
func kitsAbout() string {
	about := "# What is wrong with each kit:\n"
	for _, s := range stories {
		about += fmt.Sprintf("#   %-6s  %s\n", s.name, s.what)
	}
	return about
}

func infos(kits []*measure.Kit) []measure.Info {
	var all []measure.Info
	for _, k := range kits {
		all = append(all, k.Info)
	}
	return all
}

// drawer is the workshop's gauges. The figures are of the usual order for such gauges in practised
// hands, on wood: common practice, no source.
func drawer() []measure.Gauge {
	return []measure.Gauge{
		{ID: "cal150", Kind: "calliper", Resolution: 0.01, MaxError: 0.02, Repeatability: 0.03},
		{ID: "depth150", Kind: "depth gauge", Resolution: 0.01, MaxError: 0.02, Repeatability: 0.015},
		{ID: "rule1000", Kind: "rule", Resolution: 0.5, MaxError: 0.15, Repeatability: 0.1},
		{ID: "ver1000", Kind: "vernier", Resolution: 0.02, MaxError: 0.04, Repeatability: 0.025},
		{ID: "feelers", Kind: "feeler", Resolution: 0.05, MaxError: 0.01, Repeatability: 0.02},
	}
}

// setup takes the readings with the drawer's gauges. The sides of heel and pocket decide where the
// neck points and are short, so they are read at five places, twice over.
func setup() simulate.Setup {
	g := drawer()
	return simulate.Setup{
		Offset: &g[0], Depth: &g[1], Station: &g[2], Long: &g[3], Gap: &g[4],
		Heights: true, SideStations: 5, Trials: 2,
	}
}
