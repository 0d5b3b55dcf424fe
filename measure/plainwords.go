package measure

import "encoding/binary"

// wordTable finds a word of a short list by one multiplication. It knows the words exactly as they
// are listed; numberOf folds cases.
type wordTable struct {
	names  []string
	words  []shortWord // of names
	factor uint64
	place  [wordPlaces]uint8 // of a word in names; 0 for none
}

const wordPlaces = 256

// shortWord is a word of at most 16 bytes as numbers: its first eight bytes, with noughts after
// fewer, and its last eight when there are more.
type shortWord struct {
	first, last uint64
	length      int
}

var (
	datumTable   = newWordTable(datumNames)
	featureTable = newWordTable(featureNames)
	kindTable    = newWordTable(kindNames)
)

// newWordTable tries factors until no two words have the same place. A list for which there is
// none is too long for the table.
func newWordTable(names []string) *wordTable {
	const first, tries = 0x9E3779B97F4A7C15, 1 << 16 // 2^64 over the golden ratio, as in Fibonacci hashing (Knuth, TAOCP 3, 6.4)
	t := &wordTable{names: names}
	for _, name := range names {
		word, ok := shortWordOf([]byte(name))
		if !ok {
			panic("measure: the word " + name + " is too long for its table")
		}
		t.words = append(t.words, word)
	}
	for i := range uint64(tries) {
		t.factor = first + 2*i
		if t.fill() {
			return t
		}
	}
	panic("measure: too many words for their table")
}

func (t *wordTable) fill() bool {
	t.place = [wordPlaces]uint8{}
	for i := range t.words[1:] {
		at := &t.place[t.at(&t.words[i+1])]
		if *at != 0 {
			return false
		}
		*at = uint8(i + 1)
	}
	return true
}

// shortWordOf is false for a longer word.
func shortWordOf(word []byte) (w shortWord, ok bool) {
	w.length = len(word)
	if w.length >= 8 {
		w.first, w.last = binary.LittleEndian.Uint64(word), binary.LittleEndian.Uint64(word[w.length-8:])
		return w, w.length <= 16
	}
	w.first = firstBytes(word)
	return w, true
}

// firstBytes loads fewer than eight bytes with noughts after them. It looks at what follows the cell
// in the row, where there is enough.
func firstBytes(cell []byte) uint64 {
	n := len(cell)
	if cap(cell) >= 8 {
		return binary.LittleEndian.Uint64(cell[:8]) & (1<<(8*n) - 1)
	}
	var room [8]byte
	copy(room[:], cell)
	return binary.LittleEndian.Uint64(room[:])
}

// at mixes the first eight letters with the length.
func (t *wordTable) at(w *shortWord) uint8 {
	return uint8(((w.first ^ uint64(w.length)<<56) * t.factor) >> 56)
}

// find gives the number of a word, 0 for one that is not listed so.
func (t *wordTable) find(word []byte) int {
	w, ok := shortWordOf(word)
	i := int(t.place[t.at(&w)])
	if !ok || t.words[i] != w {
		return 0
	}
	return i
}

// word finds a word as row.word does, in any case.
func (t *wordTable) word(cell []byte) (int, bool) {
	if i := t.find(cell); i > 0 {
		return i, true
	}
	return numberOf(t.names, string(cell))
}

// plainNeeds is needs with its datums as bits, for every feature and kind; known is false where
// the feature does not take the kind.
type plainNeeds struct {
	needs
	datumBits uint16
	known     bool
}

var needsTable = func() [][]plainNeeds {
	all := make([][]plainNeeds, len(featureNames))
	for i := range all {
		all[i] = make([]plainNeeds, len(kindNames))
	}
	for _, r := range rules {
		for kind, n := range r.kinds {
			p := plainNeeds{needs: n, known: true}
			datums := r.datums
			if n.datums != nil {
				datums = n.datums
			}
			for _, d := range datums {
				p.datumBits |= 1 << d
			}
			all[r.feature][kind] = p
		}
	}
	return all
}()
