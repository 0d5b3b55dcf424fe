package report

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"neckfit/fit/lot/sampling"
)

// Draw writes which of a lot's kits to draw, counted from 1 in the order of their names; the
// indices come in from 0.
func Draw(format string, w io.Writer, size int, drawn []int, s sampling.Severity, seed uint64) error {
	numbers := make([]int, len(drawn))
	words := make([]string, len(drawn))
	for i, at := range drawn {
		numbers[i], words[i] = at+1, strconv.Itoa(at+1)
	}
	switch format {
	case "csv":
		_, err := io.WriteString(w, "number\n"+strings.Join(words, "\n")+"\n")
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
			len(drawn), amount(size, "kit", "kits"), s, seed, strings.Join(words, ", "))
		if len(drawn) == size {
			text = fmt.Sprintf("Take %s: at this size the sample is the whole lot.", amount(size, "kit", "kits"))
		}
		return writeLines(w, wrap("", text))
	}
	return fmt.Errorf("format %q is unknown", format)
}
