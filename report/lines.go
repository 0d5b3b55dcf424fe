package report

import (
	"encoding/json"

	"neckfit/fit"
	"neckfit/fit/remedy"
)

// Lines is a format in which every kit stands by itself. Unlike a Writer it keeps nothing, so kits
// can be written on several goroutines at once; the bytes put together in order, after the header,
// are those of the Writer of that format.
type Lines struct {
	header func(r *fit.Result) []byte
	kit    func(to []byte, r *fit.Result) ([]byte, error)
}

// LinesOf gives the lines of a format; it is false for one that needs the batch as a whole.
func LinesOf(format string) (Lines, bool) {
	switch format {
	case "csv":
		return Lines{csvHeader, appendCSV}, true
	case "jsonl":
		return Lines{func(*fit.Result) []byte { return nil }, appendJSON}, true
	}
	return Lines{}, false
}

// JSONLWithRemedies is jsonl with one more field for every kit that does not pass: remedy, the
// object that the remedies' own jsonl has, with the recommended plan alone. Results must have been
// checked with Options.Model.
func JSONLWithRemedies(o remedy.Options) Lines {
	plain, _ := LinesOf("jsonl")
	return Lines{plain.header, func(to []byte, r *fit.Result) ([]byte, error) {
		to, err := plain.kit(to, r)
		if err != nil || r.Verdict == fit.Pass {
			return to, err
		}
		advice, err := json.Marshal(jsonAdviceOf(r, remedy.For(r, o), 1))
		if err != nil {
			return to, err
		}
		end := len(to) - len("}\n")
		to = append(append(to[:end], `,"remedy":`...), advice...)
		return append(to, "}\n"...), nil
	}}
}

// Header is what stands above the kits. Any kit's result has its characteristics.
func (l Lines) Header(r *fit.Result) []byte { return l.header(r) }

// Append adds a kit. Its error is that of a Writer's Kit.
func (l Lines) Append(to []byte, r *fit.Result) ([]byte, error) {
	if err := Check(r); err != nil {
		return to, err
	}
	return l.kit(to, r)
}
