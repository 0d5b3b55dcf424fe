package draw

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// affine is x' = a x + c y + e, y' = b x + d y + f, as in SVG and PDF.
type affine struct{ a, b, c, d, e, f float64 }

var same = affine{a: 1, d: 1}

func (m affine) apply(p Point) Point { return Point{m.a*p.X + m.c*p.Y + m.e, m.b*p.X + m.d*p.Y + m.f} }

// after is m of what n gives.
func (m affine) after(n affine) affine {
	return affine{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b, m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

func (m affine) det() float64 { return m.a*m.d - m.b*m.c }

var svgTransform = regexp.MustCompile(`(\w+)\(([^)]*)\)`)

func parseTransform(t *testing.T, text string) affine {
	t.Helper()
	out := same
	for _, m := range svgTransform.FindAllStringSubmatch(text, -1) {
		v := numbers(t, m[2])
		switch {
		case m[1] == "translate" && len(v) == 2:
			out = out.after(affine{1, 0, 0, 1, v[0], v[1]})
		case m[1] == "scale" && len(v) == 2:
			out = out.after(affine{v[0], 0, 0, v[1], 0, 0})
		case m[1] == "matrix" && len(v) == 6:
			out = out.after(affine{v[0], v[1], v[2], v[3], v[4], v[5]})
		case m[1] == "rotate" && len(v) == 3:
			sin, cos := math.Sincos(v[0] * math.Pi / 180)
			out = out.after(affine{1, 0, 0, 1, v[1], v[2]}).after(affine{cos, sin, -sin, cos, 0, 0}).
				after(affine{1, 0, 0, 1, -v[1], -v[2]})
		default:
			t.Fatalf("transform %q is not understood", m[0])
		}
	}
	return out
}

func numbers(t *testing.T, text string) []float64 {
	t.Helper()
	var out []float64
	for _, w := range strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == ',' }) {
		v, err := strconv.ParseFloat(w, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// inMM reads a length that must be in millimetres.
func inMM(t *testing.T, text string) float64 {
	t.Helper()
	number, ok := strings.CutSuffix(text, "mm")
	if !ok {
		t.Fatalf("length %q is not in mm", text)
	}
	return numbers(t, number)[0]
}

// svgReader follows the nesting of a file.
type svgReader struct {
	*found
	tags   []string
	at     []affine
	inText bool
}

var idPrefix = regexp.MustCompile(`^s\d+-`)

// readSVG reads a sheet with a strict XML parser, by viewBox, width and transforms.
func readSVG(t *testing.T, text string) *found {
	t.Helper()
	r := svgReader{}
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict = true
	ids := map[string]bool{}
	for {
		token, err := d.Token()
		if token == nil {
			if !errors.Is(err, io.EOF) {
				t.Fatal(err)
			}
			break
		}
		switch e := token.(type) {
		case xml.StartElement:
			if id := attr(e, "id"); id != "" {
				if ids[id] {
					t.Errorf("id %s twice in a file", id)
				}
				ids[id] = true
			}
			r.start(t, e)
		case xml.EndElement:
			r.tags, r.at = r.tags[:len(r.tags)-2], r.at[:len(r.at)-1]
			r.inText = false
		case xml.CharData:
			if r.inText {
				r.texts = append(r.texts, string(e))
			}
		}
	}
	if r.found == nil {
		t.Fatal("no svg element")
	}
	return r.found
}

func (r *svgReader) start(t *testing.T, e xml.StartElement) {
	t.Helper()
	if r.found == nil {
		r.root(t, e)
		return
	}
	m := r.at[len(r.at)-1].after(parseTransform(t, attr(e, "transform")))
	r.at = append(r.at, m)
	id := idPrefix.ReplaceAllString(attr(e, "id"), "")
	class := attr(e, "class")
	if class == id {
		class = ""
	}
	r.tags = append(r.tags, id, class)
	r.flipped = r.flipped || m.det() < 0
	switch e.Name.Local {
	case "polyline", "polygon":
		v := numbers(t, attr(e, "points"))
		for i := 2; i+1 < len(v); i += 2 {
			r.addLine(r.tags, m.apply(Point{v[i-2], v[i-1]}), m.apply(Point{v[i], v[i+1]}))
		}
	case "circle":
		c := Point{numbers(t, attr(e, "cx"))[0], numbers(t, attr(e, "cy"))[0]}
		scale := math.Sqrt(math.Abs(m.det()))
		r.addCircle(r.tags, disc{m.apply(c), numbers(t, attr(e, "r"))[0] * scale})
	case "text":
		r.inText = true
	case "g", "title", "clipPath", "rect":
	default:
		t.Fatalf("element %s, which no drawing needs", e.Name.Local)
	}
}

// root turns the viewBox into a transform to millimetres.
func (r *svgReader) root(t *testing.T, e xml.StartElement) {
	t.Helper()
	if e.Name.Local != "svg" || e.Name.Space != "http://www.w3.org/2000/svg" {
		t.Fatalf("the first element is %v", e.Name)
	}
	box := numbers(t, attr(e, "viewBox"))
	w, h := inMM(t, attr(e, "width")), inMM(t, attr(e, "height"))
	sx, sy := w/box[2], h/box[3]
	r.found = newFound(w, h)
	r.tags, r.at = []string{"", ""}, []affine{{sx, 0, 0, sy, -box[0] * sx, -box[1] * sy}}
}
