package measure

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Earlier lots are read as every other table is, in whatever way a spreadsheet writes it.
func TestReadHistory(t *testing.T) {
	want := []PastLot{{Lot: "L1", Supplier: "East", Accepted: true}, {Lot: "L2", Supplier: "East"}, {Lot: "", Supplier: "", Accepted: true}}
	for _, text := range []string{
		"lot,accepted,supplier\nL1,yes,East\n# a comment\nL2,no,East\n,1,\n",
		"\ufeffsep=;\r\nSupplier;Accepted;Lot;;\r\nEast;TRUE;L1;;\r\nEast;FALSE;L2;;\r\n;accepted;;;\r\n",
	} {
		got, err := ReadHistory("h.csv", strings.NewReader(text))
		if diff := cmp.Diff(want, got, noPlaces); err != nil || diff != "" {
			t.Error(err, diff)
		}
	}
	if got, err := ReadHistory("h.csv", strings.NewReader("lot,accepted\nL1,yes\n")); err != nil || len(got) != 1 || got[0].Place != (Place{File: "h.csv", Line: 2}) {
		t.Errorf("without suppliers: %v, %v", got, err)
	}
}

func TestBadHistory(t *testing.T) {
	_, err := ReadHistory("h.csv", strings.NewReader("lot,accepted\nL1,perhaps\nL2,\n"))
	want := []string{
		`h.csv:2:4: accepted "perhaps" is not understood, expected yes or no`,
		`h.csv:3:4: accepted "" is not understood, expected yes or no`,
	}
	if diff := cmp.Diff(want, messages(err, "")); diff != "" {
		t.Error(diff)
	}
	_, err = ReadHistory("h.csv", strings.NewReader("lot,supplier\n"))
	if diff := cmp.Diff([]string{`h.csv:1:1: column "accepted" is missing, expected a header with lot, accepted`}, messages(err, "")); diff != "" {
		t.Error(diff)
	}
	if _, err := ReadHistory("h.csv", &failing{}); err != errBroken {
		t.Errorf("a stream that breaks: %v", err)
	}
}

func FuzzHistory(f *testing.F) {
	seed(f, "lot,accepted,supplier\nL1,yes,East\nL2,rejected,\n,0,\"a\nb\"\n")
	f.Fuzz(func(t *testing.T, data []byte) {
		lots, err := ReadHistory("history.csv", bytes.NewReader(data))
		if err != nil {
			checkErrors(t, err, string(data))
			return
		}
		for i, l := range lots {
			if l.Place.Line < 1 || i > 0 && l.Place.Line <= lots[i-1].Place.Line {
				t.Errorf("lot %+v", l)
			}
		}
	})
}
