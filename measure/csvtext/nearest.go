package csvtext

import (
	"fmt"
	"strings"
)

// OneOf says what is expected instead of a wrong word: the known one that is nearest to it, or all of
// them when none is near.
func OneOf(word string, known []string) string {
	if near := Nearest(word, known); near != "" {
		return fmt.Sprintf("%q", near)
	}
	if len(known) == 1 {
		return fmt.Sprintf("%q", known[0])
	}
	return OneOfThese(known)
}

// OneOfThese lists words for a message, or as many as can be read.
func OneOfThese(words []string) string {
	const most = 60
	switch n := len(words); {
	case n == 1:
		return words[0]
	case n > most:
		return fmt.Sprintf("one of %s and %d more", strings.Join(words[:most], ", "), n-most)
	}
	return "one of " + strings.Join(words, ", ")
}

// Nearest is the known word that a slip of the pen turns into word, or "" when that would take
// more than a third of its letters. Of two equally near the first is taken.
func Nearest(word string, known []string) string {
	a := []rune(strings.ToLower(strings.NewReplacer("_", "-", " ", "-").Replace(word)))
	best, bestDistance := "", 1+max(1, len(a)/3)
	if len(a) > maxWord {
		return ""
	}
	for _, k := range known {
		if d := editDistance(a, []rune(strings.ToLower(k))); d < bestDistance {
			best, bestDistance = k, d
		}
	}
	return best
}

// maxWord is longer than any word of the tables by enough that nothing longer can be a slip.
const maxWord = 40

// editDistance counts the letters to insert, drop, change or swap with their neighbour to turn a
// into b (the optimal string alignment form of the Damerau-Levenshtein distance).
func editDistance(a, b []rune) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			change := d[i-1][j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}
