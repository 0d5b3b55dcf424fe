package draw

import (
	"math"
	"slices"
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face is a font's table of glyphs, read once. Its widths are in thousandths of the size.
type face struct {
	mu     sync.Mutex
	font   *sfnt.Font
	buffer sfnt.Buffer
	known  map[rune]float64 // below 0: no such glyph
}

var (
	regular = sync.OnceValue(func() *face { return read(liberationsansregular.TTF) })
	bold    = sync.OnceValue(func() *face { return read(liberationsansbold.TTF) })
)

func faceOf(isBold bool) *face {
	if isBold {
		return bold()
	}
	return regular()
}

func read(data []byte) *face {
	f, err := sfnt.Parse(data)
	if err != nil {
		panic("draw: the built-in font does not parse: " + err.Error())
	}
	return &face{font: f, known: map[rune]float64{}}
}

// advance is how far a character moves the pen, in thousandths of the size; below 0 when the font
// lacks it. Beyond the basic plane the PDF writer has no glyphs.
func (f *face) advance(c rune) float64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	if w, ok := f.known[c]; ok {
		return w
	}
	w := -1.0
	if i, err := f.font.GlyphIndex(&f.buffer, c); err == nil && i != 0 && c <= 0xFFFF {
		if a, err := f.font.GlyphAdvance(&f.buffer, i, fixed.I(1000), font.HintingNone); err == nil {
			w = float64(a) / 64
		}
	}
	f.known[c] = w
	return w
}

// missing stands for a character that the font lacks.
const missing = '□'

// Width is how long a line of writing is, in mm, in the built-in font. An SVG viewer that lacks
// Liberation Sans takes one of the same widths, if it has any.
func Width(text string, f Font) float64 {
	face, sum := faceOf(f.Bold), 0.0
	for _, c := range text {
		w := face.advance(c)
		if w < 0 {
			w = face.advance(missing)
		}
		sum += w
	}
	return sum / 1000 * f.size()
}

// drawable replaces what the font lacks, for a file that brings its own font.
func drawable(text string, isBold bool) string {
	face := faceOf(isBold)
	return strings.Map(func(c rune) rune {
		if face.advance(c) < 0 {
			return missing
		}
		return c
	}, text)
}

// readable makes a text of the user's one line of printing characters: spaces of all kinds become
// a plain one, and what does not print, such as a turn of the writing direction or a broken byte,
// becomes a replacement character.
func readable(text string) string {
	return strings.TrimSpace(strings.Map(func(c rune) rune {
		switch {
		case unicode.IsPrint(c):
			return c
		case unicode.IsSpace(c):
			return ' '
		}
		return unicode.ReplacementChar
	}, text))
}

// leftToRight puts Hebrew, the one right-to-left script in the font, in the order in which it is
// seen. It turns each run of words about; numbers within a run stay where they are, which is
// simpler than Unicode's rules and right for a name.
func leftToRight(text string) string {
	runes := []rune(text)
	for i := 0; i < len(runes); i++ {
		end := i
		for j := i; j < len(runes) && (unicode.Is(unicode.Hebrew, runes[j]) || runes[j] == ' '); j++ {
			if runes[j] != ' ' {
				end = j + 1
			}
		}
		if unicode.Is(unicode.Hebrew, runes[i]) {
			slices.Reverse(runes[i:end])
			i = end - 1
		}
	}
	return string(runes)
}

// shorten cuts a text to a width in mm; an ellipsis shows that something is gone.
func shorten(text string, f Font, room float64) string {
	text = readable(text)
	if Width(text, f) <= room {
		return text
	}
	runes := []rune(text)
	// a hostile text is long, so go up from the front rather than down from the back
	used, n := Width("…", f), 0
	for n < len(runes) {
		used += Width(string(runes[n]), f)
		if used > room {
			break
		}
		n++
	}
	return strings.TrimSpace(string(runes[:n])) + "…"
}

// wrap breaks a text at its spaces into lines of at most room mm, at most most of them; a word
// too long for a line is shortened.
func wrap(text string, f Font, room float64, most int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(readable(text)) {
		word = shorten(word, f, room)
		if line != "" && Width(line+" "+word, f) > room {
			lines = append(lines, line)
			line = ""
		}
		line = strings.TrimSpace(line + " " + word)
		if len(lines) == most {
			lines[most-1] = shorten(lines[most-1]+" …", f, math.Max(room, 0))
			return lines
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
