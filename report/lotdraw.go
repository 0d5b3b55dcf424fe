package report

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"neckfit/fit/lot/sampling"
	"neckfit/report/words"
)

// Draw writes which of a lot's kits to draw, counted from 1 in the order of their names; the
// indices come in from 0.
func Draw(format string, w io.Writer, size int, drawn []int, s sampling.Severity, seed uint64) error {
	numbers := make([]int, len(drawn))
	list := make([]string, len(drawn))
	for i, at := range drawn {
		numbers[i], list[i] = at+1, strconv.Itoa(at+1)
	}
	switch format {
	case "csv":
		_, err := io.WriteString(w, "number\n"+strings.Join(list, "\n")+"\n")
		return err
	case "jsonl":
		return json.NewEncoder(w).Encode(struct {
			Size     int    `json:"size"`
			Severity string `json:"severity"`
			Seed     uint64 `json:"seed"`
			Drawn    []int  `json:"drawn"`
		}{size, s.String(), seed, numbers})
	case "text":
		text := fmt.Sprintf("Draw %d of %s (%s inspection, seed %d), counted in the order of their names: %s.",
			len(drawn), words.Amount(size, "kit", "kits"), s, seed, strings.Join(list, ", "))
		if len(drawn) == size {
			text = fmt.Sprintf("Take %s: at this size the sample is the whole lot.", words.Amount(size, "kit", "kits"))
		}
		return writeLines(w, words.Wrap("", text))
	}
	return fmt.Errorf("format %q is unknown", format)
}
