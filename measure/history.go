package measure

import (
	"io"
	"strings"
)

// PastLot is one row of a table of earlier lots.
type PastLot struct {
	Lot, Supplier string // no supplier stands for every one
	Accepted      bool
	Place         Place
}

// pastLotRow is a row of it as it is written.
type pastLotRow struct {
	Lot      string `csv:"lot"`
	Accepted string `csv:"accepted"`
	Supplier string `csv:"supplier"`
}

// historyTable is no table of a batch: its file has any name.
var historyTable = &table{"history.csv", []column{{"lot", true}, {"accepted", true}, {"supplier", false}}}

// ReadHistory reads a table of earlier lots, in the order in which they came. The error is Errors for
// cells that are wrong, or the stream's own.
func ReadHistory(file string, in io.Reader) ([]PastLot, error) {
	var lots []PastLot
	errs := &collector{}
	err := readTable(historyTable, file, in, errs, func(w *pastLotRow, r *row) error {
		lots = append(lots, w.decode(r))
		return nil
	})
	if err != nil {
		return nil, err
	}
	return lots, errs.err()
}

func (w *pastLotRow) decode(r *row) PastLot {
	l := PastLot{Lot: r.text("lot", w.Lot), Supplier: r.text("supplier", w.Supplier), Place: r.Place}
	switch answer := strings.TrimSpace(w.Accepted); strings.ToLower(answer) {
	case "yes", "accepted", "true", "1":
		l.Accepted = true
	case "no", "rejected", "false", "0":
	default:
		r.failCell("accepted", answer, "is not understood", "yes or no")
	}
	return l
}
