package sampling

import (
	"strings"
	"testing"
)

// follow records lots written as letters (a accepted, r rejected, g in the gap) and returns the severities as letters, a stop as X.
func follow(t *testing.T, w *Switcher, lots string) string {
	t.Helper()
	var out strings.Builder
	for _, l := range lots {
		outcome := map[rune]Outcome{'a': Accepted, 'r': Rejected, 'g': AcceptedNormalNext}[l]
		before := w.Next()
		step, err := w.Record(outcome)
		if err != nil {
			t.Fatal(err)
		}
		changed := before.Severity != step.Severity || before.Stopped != step.Stopped
		if changed != (step.Cause != Cause{}) {
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
		{name: "rejected under reduced", lots: "aaaaaaaaaaar", want: "NNNNNNNNNRRN", reduced: true},
		{name: "gap under reduced", lots: "aaaaaaaaaaag", want: "NNNNNNNNNRRN", reduced: true},
	} {
		w := &Switcher{Reduced: c.reduced}
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
	if _, err := w.Record(Accepted); err == nil {
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
	if _, err := (&Switcher{}).Record(Undecided); err == nil {
		t.Error("no error")
	}
}

// Each change says what it rests on, with the numbers of the rule.
func TestCausesOfChange(t *testing.T) {
	for _, c := range []struct {
		lots    string
		reduced bool
		want    Cause
	}{
		{"rr", false, Cause{RejectedOften, 2, 2}},
		{"raaar", false, Cause{RejectedOften, 2, 5}},
		{"rraaaaa", false, Cause{AcceptedInARow, 0, 5}},
		{"rrrrrrr", false, Cause{RejectedTightened, 5, 0}},
		{"aaaaaaaaaa", true, Cause{AcceptedInARow, 0, 10}},
		{"aaaaaaaaaar", true, Cause{Kind: LotRejected}},
		{"aaaaaaaaaag", true, Cause{Kind: BetweenNumbers}},
	} {
		w := &Switcher{Reduced: c.reduced}
		follow(t, w, c.lots[:len(c.lots)-1])
		last := map[byte]Outcome{'a': Accepted, 'r': Rejected, 'g': AcceptedNormalNext}[c.lots[len(c.lots)-1]]
		if step, err := w.Record(last); err != nil || step.Cause != c.want {
			t.Errorf("%s: %+v, %v; want %+v", c.lots, step.Cause, err, c.want)
		}
	}
	w := &Switcher{Reduced: true}
	follow(t, w, "aaaaaaaaaa")
	w.Reduced = false
	if step, err := w.Record(Accepted); err != nil || step != (Step{Severity: Normal, Cause: Cause{Kind: ReducedNotWanted}}) {
		t.Errorf("reduced inspection not wanted any longer: %+v, %v", step, err)
	}
}
