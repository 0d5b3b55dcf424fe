package words

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// Shortened names stay apart.
func TestShortNames(t *testing.T) {
	same := strings.Repeat("a", 30)
	seen := map[string]bool{}
	for i, name := range []string{same + "1" + same, same + "2" + same, same + "3" + same} {
		short := ShortName(name, i+1)
		if seen[short] || utf8.RuneCountInString(short) > LongestName {
			t.Errorf("%q", short)
		}
		seen[short] = true
	}
	if got := ShortName("SSB-01", 7); got != "SSB-01" {
		t.Errorf("a short name became %q", got)
	}
}
