package measure

import (
	"io"
	"strings"

	"neckfit/measure/csvtext"
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
var historyTable = csvtext.NewTable[pastLotRow]("history.csv", "lot", "accepted")

// ReadHistory reads a table of earlier lots, in the order in which they came. The error is Errors for
// cells that are wrong, or the stream's own.
func ReadHistory(file string, in io.Reader) ([]PastLot, error) {
	var lots []PastLot
	errs := &csvtext.Collector{}
	err := read(historyTable, file, in, errs, func(w *pastLotRow, r *csvtext.Row) {
		lots = append(lots, w.decode(r))
	})
	if err != nil {
		return nil, err
	}
	return lots, errs.Err()
}

func (w *pastLotRow) decode(r *csvtext.Row) PastLot {
	l := PastLot{Lot: r.Text("lot", w.Lot), Supplier: r.Text("supplier", w.Supplier), Place: r.Place}
	switch answer := w.Accepted; strings.ToLower(answer) {
	case "yes", "accepted", "true", "1":
		l.Accepted = true
	case "no", "rejected", "false", "0":
	default:
		r.FailCell("accepted", answer, "is not understood", "yes or no")
	}
	return l
}
