package draw

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

var hostile = map[string]string{
	"markup":       `<script>alert("1")</script>`,
	"quotes":       `a"b'c" onload="x`,
	"entity":       `&amp;&#0;]]><![CDATA[`,
	"newlines":     "two\nlines\r\nand\ta tab",
	"control":      "bell\a, null\x00, escape\x1b[31m",
	"broken":       "broken \xff\xfe bytes",
	"noncharacter": "\ufffe\uffff",
	"override":     "abc\u202egpj.exe\u2066",
	"hebrew":       "\u05e7\u05d9\u05d8 7",
	"arabic":       "\u0639\u0648\u062f",
	"chinese":      "\u5de5\u623f",
	"emoji":        "\U0001f3b8 kit",
	"parentheses":  `) Tj ET (\ )) endstream endobj`,
	"long":         strings.Repeat("very long name ", 2000),
	"one word":     strings.Repeat("x", 20000),
	"empty":        "",
	"accents":      "Ærø naïve Łódź",
}

// TestHostileTexts puts every text wherever a user's text goes. The readers are strict, so a file
// that breaks does not get through them.
func TestHostileTexts(t *testing.T) {
	for name, text := range hostile {
		x := bass()
		x.Kit, x.Scale, x.Cautions, x.Notes = text, text, []string{text}, []string{text}
		for i := range x.Holes {
			x.Holes[i].Name, x.Holes[i].Depth = text, text
		}
		x.Plate[0].Name = text
		t.Run(name, func(t *testing.T) {
			eachFormat(t, x, A4, func(t *testing.T, sheets []*found) { checkHoles(t, &x, sheets) })
		})
	}
}

func TestPDFSaysName(t *testing.T) {
	for in, want := range map[string]string{
		"Ærø naïve Łódź":        "Ærø naïve Łódź",
		`a ) Tj (\ b`:           `a ) Tj (\ b`,
		"\u5de5\u623f 7":        "□□ 7",
		"\U0001f3b8 kit":        "□ kit",
		"two\nlines":            "two lines",
		"\u05d0\u05d1 \u05d2 7": "\u05d2 \u05d1\u05d0 7", // as seen, left to right
	} {
		x := bass()
		x.Kit = in
		for i, s := range readers["pdf"](t, x, A4) {
			if !s.says(want) {
				t.Errorf("sheet %d of kit %q does not say %q but %q", i+1, in, want, s.texts[0])
			}
		}
	}
}

func TestSVGKeepsName(t *testing.T) {
	// an SVG viewer has other fonts to turn to
	x := bass()
	x.Kit = "\u5de5\u623f <b>"
	for i, s := range readers["svg"](t, x, A4) {
		if !s.says(x.Kit) {
			t.Errorf("sheet %d does not say %q", i+1, x.Kit)
		}
	}
}

func TestTextStaysInside(t *testing.T) {
	x := bass()
	x.Left = true
	x.Kit, x.Scale, x.Notes = hostile["one word"], hostile["long"], []string{hostile["one word"], hostile["long"]}
	for i := range x.Holes {
		x.Holes[i].Depth = hostile["long"]
	}
	pages, err := x.pages(A4)
	if err != nil {
		t.Fatal(err)
	}
	for n, p := range pages {
		eachLabel(p.drawing.marks, func(l label) {
			if l.font.Turn == 0 && !p.printable().holdsAll(l.box()) {
				t.Errorf("sheet %d: %.40q leaves the printable part", n+1, l.text)
			}
		})
	}
}

// eachLabel calls a function for every line of writing, in groups too.
func eachLabel(marks []mark, do func(label)) {
	for _, m := range marks {
		switch m := m.(type) {
		case label:
			do(m)
		case part:
			eachLabel(m.marks, do)
		}
	}
}

// box is where a line of level writing stands: letters of this typeface reach 0.8 of the size up and
// 0.22 down.
func (l label) box() Box {
	size, w := l.font.size(), Width(l.text, l.font)
	left := l.at.X - w*map[Anchor]float64{Left: 0, Middle: 0.5, Right: 1}[l.font.Anchor]
	return Box{Point{left, l.at.Y - 0.8*size}, Point{left + w, l.at.Y + 0.22*size}}
}

func TestShorten(t *testing.T) {
	f := Font{Size: 3}
	for _, text := range hostile {
		got := shorten(text, f, 20)
		if Width(got, f) > 20 || !utf8.ValidString(got) {
			t.Errorf("%.20q became %q, %v mm", text, got, Width(got, f))
		}
	}
}

func TestBadInput(t *testing.T) {
	for name, spoil := range map[string]func(*Template){
		"no holes":        func(x *Template) { x.Holes = nil },
		"no action":       func(x *Template) { x.Holes[0].Action = 0 },
		"unknown action":  func(x *Template) { x.Holes[0].Action = 9 },
		"no old place":    func(x *Template) { x.Holes[0].Old = nil },
		"not a number":    func(x *Template) { x.Holes[0].At.X = math.NaN() },
		"infinite":        func(x *Template) { x.Plate[0].Points[0].Y = math.Inf(1) },
		"in another unit": func(x *Template) { x.Holes[0].At.X = 312e3 },
		"too many sheets": func(x *Template) { x.Holes[0].At.X = 4900; x.Holes[1].At.Y = 3000 },
		"negative pilot":  func(x *Template) { x.Holes[0].Pilot = -1 },
		"pilot none":      func(x *Template) { x.Holes[0].Pilot = math.NaN() },
		"huge plug":       func(x *Template) { x.Holes[0].Plug = 1000 },
		"far old place":   func(x *Template) { x.Holes[0].Old = &Point{0, 0} },
		"half a line":     func(x *Template) { x.Centre = x.Centre[:1] },
		"line of a point": func(x *Template) { x.Centre[1] = x.Centre[0] },
	} {
		x := bass()
		spoil(&x)
		var b strings.Builder
		if err := x.PDF(&b, A4); err == nil {
			t.Errorf("%s: PDF is content", name)
		}
		if _, err := x.Sheets(A4); err == nil {
			t.Errorf("%s: Sheets is content", name)
		}
		if b.Len() > 0 {
			t.Errorf("%s: something was written", name)
		}
	}
}

var errFull = errors.New("no room")

// full stands for a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestFailingWriter(t *testing.T) {
	if err := bass().PDF(full{}, A4); !errors.Is(err, errFull) {
		t.Errorf("PDF reports %v", err)
	}
	sheets, err := bass().Sheets(A4)
	if err != nil {
		t.Fatal(err)
	}
	if err := sheets[0].SVG(full{}); !errors.Is(err, errFull) {
		t.Errorf("SVG reports %v", err)
	}
}
