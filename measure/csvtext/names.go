package csvtext

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Canonical is a name as it is compared: what looks the same on a screen is the same. Letters and their
// accents are composed (Unicode's form C), hyphens of every sort are the one on a keyboard, space of every
// sort is one space, and what cannot be seen is gone.
func Canonical(name string) string {
	if isPlainName(name) {
		return name
	}
	name = strings.Map(func(c rune) rune {
		switch {
		case c == '\u2010' || c == '\u2011' || c == '\u2012' || c == '\u2212': // hyphen, non-breaking hyphen, figure dash, minus
			return '-'
		case c == '\u00ad' || c == '\u200b' || c == '\u2060' || c == '\ufeff': // soft hyphen, spaces of no width
			return -1
		case unicode.Is(unicode.Zs, c):
			return ' '
		}
		return c
	}, norm.NFC.String(name))
	for strings.Contains(name, "  ") {
		name = strings.ReplaceAll(name, "  ", " ")
	}
	return strings.TrimSpace(name)
}

// isPlainName tells whether a name is ASCII without two spaces together, which stays as it is.
func isPlainName(name string) bool {
	for i := range len(name) {
		if name[i] >= utf8.RuneSelf {
			return false
		}
	}
	return !strings.Contains(name, "  ")
}
