package measure

import "neckfit/measure/csvtext"

// memo holds the words of the rows of a kit: all that they say but for the kit's name and the numbers. Most kits of
// a batch have the same rows as the one before them, whose words then need not be decoded once more, a third of
// the work of reading. Only what is good is held, so that whatever is reported is found by the one way.
type memo struct {
	places []csvtext.Stretch  // where words stand in the file
	texts  [numberless]string // of the row at hand, as they stand there
	plain  bool               // there are such texts
	rows   []words            // by their order in the kit
	next   int                // the row that may be the same as the one at hand
}

// numberless is how many stretches of columns the kit's and the numbers' leave at the most.
const numberless = 5

// words are what a row was decoded to but for its numbers.
type words struct {
	texts   [numberless]string
	reading Reading
	needs   *needs
	unit    csvtext.Unit
}

// same gives the words of the row of the kit before that has the same ones, or nil. Rows that this kit does not have
// are passed over, a few at a time.
func (m *memo) same(rows *csvtext.Rows) *words {
	for i, place := range m.places {
		if m.texts[i], m.plain = rows.Text(place); !m.plain {
			return nil
		}
	}
	const few = 4
	for i := m.next; i < min(m.next+few, len(m.rows)); i++ {
		if m.rows[i].texts == m.texts {
			m.next = i + 1
			return &m.rows[i]
		}
	}
	return nil
}

// keep holds the words of the row at hand instead of those of the row in its place.
func (m *memo) keep(d *decoder, g *Reading, n *needs, u csvtext.Unit) {
	const most = 512 // rows; the next kit of so many begins anew
	if !m.plain {
		return
	}
	if m.next %= most; m.next == len(m.rows) {
		m.rows = append(m.rows, words{})
	}
	w := &m.rows[m.next]
	for i, text := range m.texts {
		w.texts[i] = d.keep(text)
	}
	w.reading, w.needs, w.unit = *g, n, u
	m.next++
}
