package draw

import "fmt"

// Paper is a size of sheet.
type Paper uint8

// The papers.
const (
	A4     Paper = iota // 210 x 297 mm, ISO 216
	Letter              // 8.5 x 11 in, 215.9 x 279.4 mm
)

// String is the word that ParsePaper reads.
func (p Paper) String() string {
	switch p {
	case A4:
		return "a4"
	case Letter:
		return "letter"
	}
	return fmt.Sprintf("Paper(%d)", uint8(p))
}

// ParsePaper reads "a4" or "letter".
func ParsePaper(text string) (Paper, error) {
	for _, p := range []Paper{A4, Letter} {
		if text == p.String() {
			return p, nil
		}
	}
	return 0, fmt.Errorf("paper %q: must be a4 or letter", text)
}

// size is that of the upright sheet in mm.
func (p Paper) size() (width, height float64) {
	switch p {
	case A4:
		return 210, 297
	case Letter:
		return 215.9, 279.4
	}
	panic("draw: no such paper")
}

// margin is the border, in mm, that is left blank because a printer may not reach it.
const margin = 10

// bands are what a sheet keeps for itself inside the margin, in mm: the heading on top, the
// check bars at the left and at the foot.
const (
	headBand = 15
	footBand = 13
	sideBand = 9
)

// sheet is a paper one way round.
type sheet struct{ width, height float64 }

func (p Paper) upright() sheet {
	w, h := p.size()
	return sheet{w, h}
}

func (p Paper) across() sheet {
	w, h := p.size()
	return sheet{h, w}
}

// printable is the part of the page inside the margin.
func (s sheet) printable() Box { return Box{Max: Point{s.width, s.height}}.Grown(-margin) }

// window is the part of the page on which the template lies.
func (s sheet) window() Box {
	b := s.printable()
	b.Min = b.Min.plus(Point{sideBand, headBand})
	b.Max.Y -= footBand
	return b
}
