package report

import (
	"fmt"
	"strings"
	"unicode"
)

// harmless makes a text of the user's one line that does nothing to a terminal: spaces of all kinds
// become a plain one, and what does not print, such as an escape or a turn of the writing
// direction, is written out as its code point.
func harmless(text string) string {
	var b strings.Builder
	for _, c := range text {
		switch {
		case unicode.IsPrint(c):
			b.WriteRune(c)
		case unicode.IsSpace(c):
			b.WriteByte(' ')
		default:
			fmt.Fprintf(&b, "<U+%04X>", c)
		}
	}
	return b.String()
}
