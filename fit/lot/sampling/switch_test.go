package sampling

import (
	"strings"
	"testing"
)

// follow records lots written as letters (a accepted, r rejected, g in the gap, i accepted while
// production was irregular) and returns the severities as letters, a stop as X.
func follow(t *testing.T, w *Switcher, lots string) string {
	t.Helper()
	var out strings.Builder
	for _, l := range lots {
		lot := Lot{Outcome: Accepted, Sample: 8, Irregular: l == 'i'}
		switch l {
		case 'r':
			lot.Outcome, lot.Bad = Rejected, 3
		case 'g':
			lot.Outcome, lot.Bad = AcceptedNormalNext, 1
		}
		before := w.Next()
		step, err := w.Record(lot)
		if err != nil {
			t.Fatal(err)
		}
		changed := before.Severity != step.Severity || before.Stopped != step.Stopped
		if changed != (step.Note != "") {
			t.Errorf("after %q: %+v to %+v", l, before, step)
		}
		if step.Stopped {
			out.WriteByte('X')
		} else {
			out.WriteByte("NTR"[step.Severity])
		}
	}
	return out.String()
}

// Source: MIL-STD-105E, 4.7.1 to 4.7.4 and 4.8; each case is a sentence of it played out.
func TestSwitching(t *testing.T) {
	for _, c := range []struct {
		name, lots, want string
		reduced          bool
	}{
		{name: "2 of 2 rejected", lots: "rr", want: "NT"},
		{name: "2 of 5 rejected", lots: "raaar", want: "NNNNT"},
		{name: "2 of 6 rejected", lots: "raaaar", want: "NNNNNN"},
		{name: "5 accepted under tightened", lots: "rraaaaa", want: "NTTTTTN"},
		{name: "the count starts again after a rejection", lots: "rraaaaraaaaa", want: "NTTTTTTTTTTN"},
		{name: "earlier rejections are forgotten after the change", lots: "rraaaaara", want: "NTTTTTNNN"},
		{name: "5 rejected under tightened", lots: "rrrararrar", want: "NTTTTTTTTX"},
		{name: "10 accepted", lots: "aaaaaaaaaaa", want: "NNNNNNNNNRR", reduced: true},
		{name: "10 accepted, reduced not wanted", lots: "aaaaaaaaaaa", want: "NNNNNNNNNNN"},
		{name: "10 accepted after a rejection", lots: "raaaaaaaaaa", want: "NNNNNNNNNNR", reduced: true},
		{name: "irregular production", lots: "aaaaaiaaaaaaaaaa", want: "NNNNNNNNNNNNNNNR", reduced: true},
		{name: "rejected under reduced", lots: "aaaaaaaaaaar", want: "NNNNNNNNNRRN", reduced: true},
		{name: "gap under reduced", lots: "aaaaaaaaaaag", want: "NNNNNNNNNRRN", reduced: true},
		{name: "irregular under reduced", lots: "aaaaaaaaaai", want: "NNNNNNNNNRN", reduced: true},
	} {
		w := &Switcher{Options: SwitchOptions{Reduced: c.reduced}}
		if got := follow(t, w, c.lots); got != c.want {
			t.Errorf("%s: %s gave %s, want %s", c.name, c.lots, got, c.want)
		}
	}
}

func TestStoppedAndResumed(t *testing.T) {
	w := &Switcher{}
	follow(t, w, "rrrrrrr")
	if !w.Next().Stopped {
		t.Fatal("not stopped")
	}
	if _, err := w.Record(Lot{Outcome: Accepted}); err == nil {
		t.Error("a lot was taken after the stop")
	}
	if step := w.Resume(); step.Severity != Tightened || step.Stopped {
		t.Errorf("resumed to %+v", step)
	}
	if got := follow(t, w, "rrrraaaaa"); got != "TTTTTTTTN" { // 4.8: the count starts afresh
		t.Errorf("after resuming: %s", got)
	}
}

func TestUndecidedLotIsRefused(t *testing.T) {
	if _, err := (&Switcher{}).Record(Lot{}); err == nil {
		t.Error("no error")
	}
}

// Source: MIL-STD-105E, 4.7.3 b with the note of Table VIII (more lots where ten are too few). The
// numbers of the table here are made up.
func TestLimitNumber(t *testing.T) {
	limit := func(allowed, least int) func(int) (int, bool) {
		return func(inspected int) (int, bool) { return allowed, inspected >= least }
	}
	for _, c := range []struct {
		name  string
		limit func(int) (int, bool)
		want  string // severities after lots 10, 11 and 12, each with a bad piece among its 8
	}{
		{"none given", nil, "RRR"}, {"kept", limit(10, 0), "RRR"}, {"exceeded", limit(9, 0), "NNN"},
		{"12 lots needed", limit(12, 96), "NNR"}, {"12 lots needed, exceeded", limit(11, 96), "NNN"},
	} {
		w := &Switcher{Options: SwitchOptions{Reduced: true, LimitNumber: c.limit}}
		got, note := "", ""
		for i := range 12 {
			step, err := w.Record(Lot{Outcome: Accepted, Sample: 8, Bad: 1})
			if err != nil {
				t.Fatal(err)
			}
			note += step.Note
			if i >= 9 {
				got += string("NTR"[step.Severity])
			}
		}
		if got != c.want || (c.limit == nil) != strings.Contains(note, limitNumberGap) {
			t.Errorf("%s: %s, want %s; note %q", c.name, got, c.want, note)
		}
	}
}
