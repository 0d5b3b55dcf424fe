package measure

import "encoding/binary"

// wordTable finds a word of a short list by one multiplication. It knows the words exactly as they
// are listed; numberOf folds cases.
type wordTable struct {
	names  []string
	factor uint64
	place  [wordPlaces]uint8 // of a word in names; 0 for none
}

const wordPlaces = 256

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
	for i, name := range t.names[1:] {
		at := &t.place[t.at([]byte(name))]
		if *at != 0 {
			return false
		}
		*at = uint8(i + 1)
	}
	return true
}

// at mixes the first eight letters with the length.
func (t *wordTable) at(word []byte) uint8 {
	var letters uint64
	if len(word) >= 8 {
		letters = binary.LittleEndian.Uint64(word)
	} else {
		for _, b := range word {
			letters = letters<<8 | uint64(b)
		}
	}
	return uint8(((letters ^ uint64(len(word))<<56) * t.factor) >> 56)
}

// find gives the number of a word, 0 for one that is not listed so.
func (t *wordTable) find(word []byte) int {
	i := int(t.place[t.at(word)])
	if t.names[i] != string(word) {
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
