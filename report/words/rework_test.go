package words

import (
	"strings"
	"testing"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/measure"
)

// badLot has a kit that fails, one that is unsure, one whose part goes back and one with a mend.
func badLot() *delivery.Lot {
	off := func(name string, v fit.Verdict, value float64) delivery.Found {
		return delivery.Found{Name: name, Dimension: measure.Length, Class: measure.Critical, Lower: -1, Upper: 1, Value: value, StdUncertainty: 0.05 / 1.96, Verdict: v}
	}
	return &delivery.Lot{
		Name: "May", Supplier: "bodies A", Kits: 30,
		Troubles: []*delivery.Trouble{
			{Kit: "A", Verdict: fit.Fail, Found: []delivery.Found{off("centre-line-error", fit.Fail, -1.5)}, Work: &delivery.Work{Kinds: []measure.Work{measure.Reseat, measure.SideShim}, Minutes: 40, P: 0.9}},
			{Kit: "B", Verdict: fit.Unsure, Found: []delivery.Found{off("centre-line-error", fit.Unsure, 1.01)}, Work: &delivery.Work{Kinds: []measure.Work{measure.Leave}}},
			{Kit: "C", Verdict: fit.Fail, Found: []delivery.Found{off("of another version", fit.Fail, 2)}, Work: &delivery.Work{Return: []measure.Part{measure.NeckPart}, Minutes: 30}},
			{Kit: "D", Verdict: fit.Fail, Work: &delivery.Work{Kinds: []measure.Work{measure.PlugBridge}, Minutes: 80, P: 0.6}},
		},
	}
}

func TestWhatToDoWithALot(t *testing.T) {
	l := badLot()
	for i, want := range []string{
		"re-seat the neck, side shim: 40 minutes, 90.0 % that all then passes", "read again what is unsure", "return the neck", "plug and re-drill the bridge: 80 minutes, 60.0 % that all then passes",
	} {
		if got := WorkWords(l.Troubles[i]); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	l.Rework = delivery.Rework{Mend: 2, Return: 1, Look: 1, Minutes: 120, Hopes: 1.5, MendAll: 900, Sort: 845, SendBack: 14400}
	want := "2 kits can be mended in 2 h 00 min, of which 1.5 are expected to pass then; 1 kit has a part that no work cures, to be returned; 1 kit wants another reading first. " +
		"Which of neck and body is off these readings do not tell: read the sides of heel and pocket of a few of these kits, as of loose parts, before one of the two is sent back. " +
		"Expected costs, with reading what is open, and with what waiting, freight and a lost kit are worth (costs.csv): " +
		"rework what can be reworked 15 h 00 min, sort out and return what fails 14 h 05 min, send all back 240 h 00 min; the cheapest is to sort out and return what fails."
	if got := ReworkSum(l); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	l.Rework.Hour, l.Rework.MendAll = 36, 50
	if got := ReworkSum(l); !strings.Contains(got, "reworked 50 min (30), sort out and return what fails 14 h 05 min (507),") || !strings.HasSuffix(got, "is to rework what can be reworked.") {
		t.Error(got)
	}
	l.Troubles[3].Verdict = fit.Unsure
	if got := WorkWords(l.Troubles[3]); !strings.HasPrefix(got, "read again before any wood is cut; if it holds, plug and re-drill the bridge: 80") {
		t.Error(got)
	}
	// One kit is told by its odds, and one of several is singular; what is in doubt leaves open what is cheapest.
	one := &delivery.Lot{Troubles: l.Troubles[:1], Rework: delivery.Rework{Mend: 1, Minutes: 90, Hopes: 0.987}}
	if got := ReworkSum(one); !strings.HasPrefix(got, "1 kit can be mended in 1 h 30 min, which passes then with 98.7 %. ") || !strings.HasSuffix(got, "; the cheapest is to rework what can be reworked.") {
		t.Error(got)
	}
	one.Rework.Mend, one.Rework.Hopes, one.Troubles = 2, 1.04, []*delivery.Trouble{{Kit: "S", Suspect: make([]delivery.Row, 1)}}
	if got := ReworkSum(one); !strings.Contains(got, "of which 1 is expected to pass then") || !strings.HasSuffix(got, "; if all is as it was read, which is to be seen first, the cheapest is to rework what can be reworked.") {
		t.Error(got)
	}
	neck, body := delivery.Found{Value: -0.1, StdUncertainty: 0.05 / 1.96, Dimension: measure.Length}, delivery.Found{Value: 1.25, StdUncertainty: 0.08 / 1.96, Dimension: measure.Length}
	l.Troubles[0].Off, l.Troubles[0].Shares = []measure.Part{measure.BodyPart}, [2]*delivery.Found{&neck, &body}
	if got := OffWords(l.Troubles[0]); got != "body; the neck brings 0.100 ± 0.050 mm of it, the body 1.250 ± 0.080 mm" {
		t.Error(got)
	}
	pocket, bridge := delivery.Found{Value: 0.02, StdUncertainty: 0.05 / 1.96}, delivery.Found{Value: 1.3, StdUncertainty: 0.1 / 1.96}
	l.Troubles[0].OffCentre = [2]*delivery.Found{&pocket, &bridge}
	if got := OffWords(l.Troubles[0]); !strings.HasSuffix(got, "body 1.250 ± 0.080 mm; the pocket lies 0.020 ± 0.050 mm toward treble of the body's middle; the bridge lies 1.30 ± 0.10 mm toward treble of the body's middle") {
		t.Error(got)
	}
	l.Troubles[0].OffCentre = [2]*delivery.Found{}
	l.Troubles[2].Off = []measure.Part{measure.NeckPart, measure.BodyPart}
	if got := Trouble(l.Troubles[2]); got != "of another version is 2.000 ± 0.050 mm, 1 mm either way allowed. Off: neck or body. To do: return the neck." {
		t.Error(got)
	}
	l.Troubles[1].Off = []measure.Part{measure.BodyPart} // unsure: nothing is known to be off
	odd := delivery.Trouble{Verdict: fit.Implausible, Off: l.Troubles[1].Off}
	for _, got := range []string{FindingsAndPart(l.Troubles[1]), FindingsAndPart(&odd)} {
		if strings.Contains(got, "Off: ") || strings.HasSuffix(got, ". If anything is off: body") != strings.HasPrefix(got, "the bridge lies") {
			t.Error(got)
		}
	}
	if got := Findings(l.Troubles[2]); got != "of another version is 2.000 ± 0.050 mm, 1 mm either way allowed" {
		t.Error(got)
	}
	if got := Findings(l.Troubles[0]); !strings.Contains(got, "1.500 ± 0.050 mm toward bass") || !strings.Contains(got, "(centre-line-error)") {
		t.Error(got)
	}
	if got := WorkWords(&delivery.Trouble{Verdict: fit.Fail, Work: &delivery.Work{Waits: true}}) + "; " + WorkWords(&delivery.Trouble{Verdict: fit.Fail}); got != "read more: remedy names what a cure waits for; remedy tells what to do with it" {
		t.Error(got)
	}
	// Wood is not cut, and no part sent back, on a reading that another contradicts, nor before what may save it is known.
	rows := []delivery.Row{{Place: measure.Place{File: "some/readings.csv", Line: 7}, Or: []int{18, 20}}, {Place: measure.Place{File: "some/readings.csv", Line: 9}}}
	const again = "read again first what does not agree with other readings (readings.csv line 7 or 18 or 20; line 9); if that is as it was read: "
	plug := func(v fit.Verdict, w delivery.Work) *delivery.Trouble {
		w.Kinds, w.Minutes, w.P = []measure.Work{measure.PlugBridge}, 80, 0.6
		return &delivery.Trouble{Verdict: v, Work: &w}
	}
	for _, c := range []struct {
		t    *delivery.Trouble
		want string
	}{
		{plug(fit.Fail, delivery.Work{}), again + "plug and re-drill the bridge: 80"},
		{plug(fit.Unsure, delivery.Work{}), again + "plug and re-drill the bridge: 80"},
		{&delivery.Trouble{Verdict: fit.Fail, Work: l.Troubles[2].Work}, again + "return the neck"},
		{&delivery.Trouble{Verdict: fit.Unsure, Work: l.Troubles[1].Work}, again + "read again what is unsure"},
		{&delivery.Trouble{Verdict: fit.Fail}, again + "remedy tells what to do with it"},
		{&delivery.Trouble{Verdict: fit.Incomplete}, "read what is missing"},
	} {
		c.t.Suspect = rows
		if got := WorkWords(c.t); !strings.HasPrefix(got, c.want) || !c.t.ReadFirst() {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for want, w := range map[string]delivery.Work{
		"first read what remedy names, for that may save it this: plug and": {Spares: true}, "first answer what remedy asks; then plug and": {Asks: true},
	} {
		if got := WorkWords(plug(fit.Fail, w)); !strings.HasPrefix(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for _, v := range []fit.Verdict{fit.Incomplete, fit.NotMeasured} { // nothing there is unsure
		if got := WorkWords(&delivery.Trouble{Verdict: v, Work: &delivery.Work{Kinds: []measure.Work{measure.Leave}}}); got != "read what is missing; check names it" {
			t.Error(got)
		}
	}
	if got := ReworkSum(&delivery.Lot{Rework: delivery.Rework{Unplanned: 1}, Troubles: []*delivery.Trouble{{Kit: "E"}}}); !strings.HasPrefix(got, "of 1 kit the work is not known") {
		t.Error(got)
	}
}
