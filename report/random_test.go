package report

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// awkward are texts that a user may well type, or an attacker.
var awkward = []string{
	"SSB-01", "=1+2", "+44", "-3", "@cmd", "\t=1", " =1", "a,b;\"c\"", "Grüße 𝄞 低音", "\x1b[31mred\x1b[0m", "\u202eright to left",
	"bell\a", "line\nbreak", "bad \xff utf-8", strings.Repeat("long", 50) + " A", "x" + strings.Repeat("long", 50) + " B", "", "   ",
	strings.Repeat("w", 250), "<U+001B>", "sp\u00a0ace\u2028separator",
}

func anyText(rng *rand.Rand) string { return awkward[rng.IntN(len(awkward))] }

// anyNumber is of any size, small ones being the commonest.
func anyNumber(rng *rand.Rand) float64 {
	x := rng.NormFloat64()
	switch rng.IntN(6) {
	case 0:
		return 0
	case 1:
		return x * math.Pow(10, float64(rng.IntN(600)-300))
	}
	return x
}

var dimensions = map[fit.ID]measure.Dimension{fit.BridgeSkew: measure.Angle}

var ids = []fit.ID{fit.CentreLineError, fit.BridgeSkew, fit.SaddleHeightReserveHigh, fit.PocketGapEnd, fit.FretError}

func anyCharacteristic(rng *rand.Rand, id fit.ID) fit.Characteristic {
	c := fit.Characteristic{ID: id, Dimension: dimensions[id], Lower: math.Inf(-1), Upper: math.Inf(1)}
	if rng.IntN(5) == 0 {
		c.Missing = fit.Missing{Want: fit.WantEdges + fit.Want(rng.IntN(int(fit.WantSettled))), Datum: measure.DatumNeck, Mark: 3}
		return c
	}
	c.Value, c.StdUncertainty, c.P = anyNumber(rng), math.Abs(anyNumber(rng)), rng.Float64()
	c.Verdict = fit.NotJudged + fit.Verdict(rng.IntN(4))
	c.Class = measure.Class(rng.IntN(4))
	c.Basis = fit.Basis{Kind: fit.BasisKind(rng.IntN(int(fit.BowOver) + 1)), Mark: 2, Length: 300, Ratio: 1.5}
	c.LimitSource = fit.LimitSource{Origin: fit.LimitTable, Text: anyText(rng)}
	if rng.IntN(4) > 0 {
		c.Lower = anyNumber(rng)
	}
	if rng.IntN(4) > 0 {
		c.Upper = max(c.Lower, anyNumber(rng))
	}
	if c.Verdict == fit.Unsure {
		c.Advice = fit.Advice{Kind: fit.Repeat, Times: 3}
		c.Advice.Readings[0] = anyReading(rng, anyText)
	}
	return c
}

func anyReading(rng *rand.Rand, text func(*rand.Rand) string) *measure.Reading {
	return &measure.Reading{
		Datum: measure.DatumBody, Feature: measure.PocketBass, Kind: measure.Offset,
		Mark: measure.Mark{Name: text(rng)}, Place: measure.Place{File: text(rng), Line: 1 + rng.IntN(1e6)},
	}
}

// anyResult makes up a result; nothing in it hangs together.
func anyResult(rng *rand.Rand) *fit.Result {
	r := &fit.Result{
		Kit: anyText(rng), Info: measure.Info{Lot: anyText(rng), Supplier: anyText(rng)},
		Way: fit.Way(rng.IntN(4)), Verdict: fit.Verdict(rng.IntN(5)),
		Readings: rng.IntN(100), DOF: rng.IntN(30), ChiSquare: math.Abs(anyNumber(rng)), Scale: 1 + rng.Float64(),
	}
	for _, id := range ids {
		r.Characteristics = append(r.Characteristics, anyCharacteristic(rng, id))
	}
	if rng.IntN(2) == 0 {
		low := anyNumber(rng)
		r.Swing = &fit.Swing{Low: low, High: low + math.Abs(anyNumber(rng))}
	}
	for range rng.IntN(3) {
		r.Suspects = append(r.Suspects, fit.Suspect{
			Reading: anyReading(rng, anyText), W: anyNumber(rng), Critical: 3.5, Read: anyNumber(rng), Expected: anyNumber(rng),
		})
	}
	for range rng.IntN(3) {
		r.Warnings = append(r.Warnings, fit.Warning{Kind: fit.NoFit, Err: errors.New(anyText(rng))})
	}
	return r
}

// batch makes up results.
func batch(rng *rand.Rand, n int) []*fit.Result {
	var all []*fit.Result
	for range n {
		all = append(all, anyResult(rng))
	}
	return all
}

// written is what a format makes of results.
func written(format string, o Options, results ...*fit.Result) (string, error) {
	lines, ok := LinesOf(format, nil)
	if !ok {
		var out strings.Builder
		w := NewText(&out, o)
		for _, r := range results {
			if err := w.Kit(r); err != nil {
				return "", fmt.Errorf("%w, and close: %v", err, w.Close())
			}
		}
		err := w.Close()
		return out.String(), err
	}
	text := lines.Header(append(results, &fit.Result{})[0])
	for _, r := range results {
		var err error
		if text, err = lines.Append(text, r); err != nil {
			return "", err
		}
	}
	return string(text), nil
}
