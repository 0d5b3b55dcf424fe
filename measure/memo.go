package measure

import "neckfit/measure/csvtext"

// memo holds the words of the rows of a kit: all that they say but for the kit's name and the numbers. Most kits of
// a batch have the same rows as the one before them, whose words then need not be decoded once more, a third of
// the work of reading. Only what is good is held, so that whatever is reported is found by the one way.
type memo struct {
	places []csvtext.Stretch // where words stand in the file
	rows   []words           // by their order in the kit
	next   int               // the row that may be the same as the one at hand
}

// words are what a row was decoded to but for its numbers.
type words struct {
	texts   [5]string // as they stand in the file; four columns part them
	reading Reading
	needs   *needs
	unit    csvtext.Unit
}

// same gives the words of the row of the kit before that has the same ones, or nil. Rows that this kit does not have
// are passed over, a few at a time.
func (m *memo) same(rows *csvtext.Rows) *words {
	const few = 4
row:
	for i := m.next; i < min(m.next+few, len(m.rows)); i++ {
		w := &m.rows[i]
		for j, place := range m.places {
			if text, ok := rows.Text(place); !ok || text != w.texts[j] {
				continue row
			}
		}
		m.next = i + 1
		return w
	}
	return nil
}

// keep holds the words of the row at hand instead of those of the row in its place.
func (m *memo) keep(d *decoder, g *Reading, n *needs, u csvtext.Unit) {
	const most = 512 // rows; the next kit of so many begins anew
	w := words{reading: *g, needs: n, unit: u}
	for i, place := range m.places {
		text, ok := d.Text(place)
		if !ok {
			return
		}
		w.texts[i] = d.keep(text)
	}
	if m.next %= most; m.next == len(m.rows) {
		m.rows = append(m.rows, w)
	} else {
		m.rows[m.next] = w
	}
	m.next++
}
