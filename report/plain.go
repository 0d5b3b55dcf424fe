package report

// Words of eight equal bytes.
const (
	ones  = 0x0101010101010101
	highs = 0x80 * ones
)

// plain tells whether a text is printable ASCII without quotes, backslashes and one byte more: then no
// format needs to write it any other way. It may be false for a text that is plain after all, never
// true for one that is not. (The tests for bytes of zero, below and above a number, eight at once, are
// those of Warren, Hacker's Delight, chapter 6; they may err above a byte that they have found.)
func plain[T string | []byte](text T, but byte) bool {
	n := len(text)
	if n < 8 {
		for i := range n {
			if c := text[i]; c < ' ' || c > '~' || c == '"' || c == '\\' || c == but {
				return false
			}
		}
		return true
	}
	odd := oddBytes(eight(text, n-8), but) // the last eight may have been among those before
	for i := 0; i < n-8; i += 8 {
		odd |= oddBytes(eight(text, i), but)
	}
	return odd == 0
}

// oddBytes has no bit when eight bytes are plain.
func oddBytes(w uint64, but byte) uint64 {
	quotes, strokes, buts := w^'"'*ones, w^'\\'*ones, w^uint64(but)*ones
	return (w | (w + ones) | (w-' '*ones)&^w | (quotes-ones)&^quotes | (strokes-ones)&^strokes | (buts-ones)&^buts) & highs
}

// eight loads eight bytes; the compiler makes one instruction of it.
func eight[T string | []byte](text T, i int) uint64 {
	_ = text[i+7]
	return uint64(text[i]) | uint64(text[i+1])<<8 | uint64(text[i+2])<<16 | uint64(text[i+3])<<24 |
		uint64(text[i+4])<<32 | uint64(text[i+5])<<40 | uint64(text[i+6])<<48 | uint64(text[i+7])<<56
}
