package html_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
)

// collisions lists the writings of a page's drawings that lie on each other or are cut off, by their boxes
// in the drawing's own units.
const collisions = `[...document.querySelectorAll("svg.fig")].flatMap((s) => {
	const texts = [...s.querySelectorAll("text")].map((e) => ({ box: e.getBBox(), text: e.textContent }));
	const where = (s.closest("[id^=k]") || {}).id + " " + (s.getAttribute("aria-label") || "").slice(0, 12) + ": ", found = [];
	for (let i = 0; i < texts.length; i++) {
		const a = texts[i].box, view = s.viewBox.baseVal;
		if (!a.width) found.push(where + texts[i].text + " has no box");
		if (a.x < 0 || a.y < 0 || a.x + a.width > view.width || a.y + a.height > view.height) found.push(where + texts[i].text + " is cut off");
		for (let j = 0; j < i; j++) {
			const b = texts[j].box, slack = 1; // px: a line's box is taller than its letters
			if (a.x + slack < b.x + b.width && b.x + slack < a.x + a.width && a.y + slack < b.y + b.height && b.y + slack < a.y + a.height)
				found.push(where + texts[j].text + " | " + texts[i].text);
		}
	}
	return found;
})`

// misfits are kits of all sorts that do not fit: every way of reading, four strings and six, left-handed,
// small errors and gross ones.
func misfits(n int) (list []*fit.Result) {
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 7))
		in := simulate.Random(rng)
		if i%2 == 1 {
			in.Strings, in.BridgeSpread, in.NutSpread = 6, in.BridgeSpread+10, in.NutSpread+4
		}
		if i%5 == 4 {
			in.CentreLineError, in.PocketMouth = 8*rng.NormFloat64(), in.PocketMouth+2*rng.NormFloat64()
		}
		var readings []measure.Reading
		switch i % 3 {
		case 0:
			readings = simulate.LooseParts(in, rng, simulate.Setup{Heights: true})
		case 1:
			readings = simulate.DryFit(in, rng, simulate.Setup{Heights: true})
		case 2:
			readings = simulate.EdgeCheck(in, rng, simulate.Setup{})
		}
		kit := in.Kit(fmt.Sprintf("M-%d", i+1), readings)
		kit.Info.LeftHanded = i%4 == 3
		list = append(list, fit.Check(kit, fit.Options{Model: true}))
	}
	return list
}

// No two labels of a drawing lie on each other, nor is one cut off, on any kit of the demonstration or of
// sixty misfits.
func TestLabelsDoNotCollide(t *testing.T) {
	for _, c := range ask[[]string](demoTab(t), collisions) {
		t.Error(c)
	}
	b := open(t, render(t, misfits(60)...))
	b.look(1400, false)
	b.unfold()
	for _, c := range ask[[]string](b, collisions) {
		t.Error(c)
	}
}
