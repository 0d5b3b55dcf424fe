package draw

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"
)

var (
	startXref = regexp.MustCompile(`startxref\s+(\d+)\s+%%EOF\s*$`)
	xrefHead  = regexp.MustCompile(`^xref\s+0 (\d+)\s+`)
	mediaBox  = regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`)
	contents  = regexp.MustCompile(`/Contents (\d+) 0 R`)
	kids      = regexp.MustCompile(`/Kids \[([^\]]*)\]`)
	reference = regexp.MustCompile(`(\d+) 0 R`)
	rootOf    = regexp.MustCompile(`/Root (\d+) 0 R`)
	pagesOf   = regexp.MustCompile(`/Pages (\d+) 0 R`)
	lengthOf  = regexp.MustCompile(`/Length (\d+)>>\s*stream\r?\n`)
)

func match(t *testing.T, re *regexp.Regexp, data []byte) [][]byte {
	t.Helper()
	m := re.FindSubmatch(data)
	if m == nil {
		t.Fatalf("no %s", re)
	}
	return m
}

func whole(t *testing.T, b []byte) int {
	t.Helper()
	n, err := strconv.Atoi(string(b))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// pdfFile is a PDF's objects by number, each from its beginning to the end of the file.
type pdfFile map[int][]byte

// openPDF finds the objects through the cross-reference table (ISO 32000-1, 7.5.4), so that a
// wrong offset in it is noticed.
func openPDF(t *testing.T, data []byte) (file pdfFile, catalogue []byte) {
	t.Helper()
	if !bytes.HasPrefix(data, []byte("%PDF-1.")) {
		t.Fatalf("begins with %q", data[:min(8, len(data))])
	}
	table := data[whole(t, match(t, startXref, data)[1]):]
	head := match(t, xrefHead, table)
	file = pdfFile{}
	for i := range whole(t, head[1]) {
		entry := table[len(head[0])+20*i:][:20]
		if entry[17] != 'n' {
			continue
		}
		object := data[whole(t, entry[:10]):]
		if begin := fmt.Sprintf("%d 0 obj", i); !bytes.HasPrefix(object, []byte(begin)) {
			t.Fatalf("object %d is not where the table says", i)
		}
		file[i] = object
	}
	root := file[whole(t, match(t, rootOf, table)[1])]
	end := bytes.Index(root, []byte("endobj"))
	return file, root[:end]
}

// stream inflates an object's stream.
func (f pdfFile) stream(t *testing.T, n int) []byte {
	t.Helper()
	m := match(t, lengthOf, f[n])
	at := bytes.Index(f[n], m[0]) + len(m[0])
	z, err := zlib.NewReader(bytes.NewReader(f[n][at : at+whole(t, m[1])]))
	if err != nil {
		t.Fatal(err)
	}
	out, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// readPDF reads every page of a file by the operators of its content.
func readPDF(t *testing.T, data []byte) []*found {
	t.Helper()
	file, catalogue := openPDF(t, data)
	tree := file[whole(t, match(t, pagesOf, catalogue)[1])]
	var out []*found
	for _, kid := range reference.FindAllSubmatch(match(t, kids, tree)[1], -1) {
		object := file[whole(t, kid[1])]
		object = object[:bytes.Index(object, []byte("endobj"))]
		box := mediaBox.FindSubmatch(object)
		if box == nil { // inherited
			box = match(t, mediaBox, tree[:bytes.Index(tree, []byte("endobj"))])
		}
		size := numbers(t, string(box[1])+" "+string(box[2]))
		const mmPerPoint = 25.4 / 72
		r := pdfReader{found: newFound(size[0]*mmPerPoint, size[1]*mmPerPoint)}
		r.at = affine{mmPerPoint, 0, 0, -mmPerPoint, 0, size[1] * mmPerPoint}
		r.run(t, file.stream(t, whole(t, match(t, contents, object)[1])))
		out = append(out, r.found)
	}
	return out
}

// pdfReader is the state of ISO 32000-1, 8.4, as far as places go.
type pdfReader struct {
	*found
	at      affine
	saved   []affine
	tags    []string
	stack   []string
	subpath []Point
	middles []Point
	curves  int
	state   [4]string // stroke, dash, pen and brush
	pen     Point
}

var pdfToken = regexp.MustCompile(`(?s)\((?:[^\\()]|\\.)*\)|\[[^\]]*\]|[^\s()\[\]]+`)

func (r *pdfReader) run(t *testing.T, content []byte) {
	t.Helper()
	for _, token := range pdfToken.FindAllString(string(content), -1) {
		if c := token[0]; c == '(' || c == '[' || c == '/' || c == '-' || c == '.' || '0' <= c && c <= '9' {
			r.stack = append(r.stack, token)
			continue
		}
		r.operate(t, token)
		r.stack = r.stack[:0]
	}
	if len(r.saved) != 0 || len(r.tags) != 0 {
		t.Errorf("%d states and %d groups are left open", len(r.saved), len(r.tags))
	}
}

// points are the operands, two a point, on the page in mm.
func (r *pdfReader) points(t *testing.T) []Point {
	t.Helper()
	v := numbers(t, strings.Join(r.stack, " "))
	var out []Point
	for i := 0; i+1 < len(v); i += 2 {
		out = append(out, r.at.apply(Point{v[i], v[i+1]}))
	}
	return out
}

func (r *pdfReader) operate(t *testing.T, op string) {
	t.Helper()
	switch op {
	case "q":
		r.saved = append(r.saved, r.at)
	case "Q":
		r.at, r.saved = r.saved[len(r.saved)-1], r.saved[:len(r.saved)-1]
	case "cm":
		v := numbers(t, strings.Join(r.stack, " "))
		m := affine{v[0], v[1], v[2], v[3], v[4], v[5]}
		r.at = r.at.after(m)
		r.flipped = r.flipped || m.det() < 0
	case "BMC":
		r.tags = append(r.tags, strings.TrimPrefix(r.stack[0], "/"))
	case "EMC":
		r.tags = r.tags[:len(r.tags)-1]
	case "m":
		r.subpath, r.curves = r.points(t), 0
	case "l":
		p := r.points(t)
		r.addLine(r.tags, r.subpath[len(r.subpath)-1], p[0])
		r.subpath = append(r.subpath, p[0])
	case "c":
		p, from := r.points(t), r.subpath[len(r.subpath)-1]
		// a Bezier curve's middle is (p0 + 3 p1 + 3 p2 + p3) / 8
		r.middles = append(r.middles, from.plus(p[0].plus(p[1]).times(3)).plus(p[2]).times(1.0/8))
		r.subpath = append(r.subpath, p[2])
		r.curves++
	case "h", "S", "s", "f", "B", "n", "W":
		r.finish(t)
		if op != "h" && op != "n" && op != "W" {
			r.looks[op+" "+strings.Join(r.state[:], " ")]++
		}
	case "Td":
		r.pen = r.points(t)[0]
	case "w", "d", "RG", "rg", "G", "g":
		for i, ops := range []string{"w", "d", "RG G", "rg g"} {
			if slices.Contains(strings.Fields(ops), op) {
				r.state[i] = strings.Join(r.stack, " ") + " " + op
			}
		}
	case "Tf":
		r.looks["font "+strings.Join(r.stack, " ")]++
	case "Tj":
		text := pdfText(t, r.stack[len(r.stack)-1])
		r.texts, r.pens = append(r.texts, text), append(r.pens, r.pen)
	case "re", "J", "j", "BT", "ET", "i":
	default:
		t.Fatalf("operator %q is not understood", op)
	}
}

// finish notes a circle: four curves whose ends are the far points of it.
func (r *pdfReader) finish(t *testing.T) {
	t.Helper()
	if r.curves == 4 {
		b := boxOf(r.subpath...)
		if math.Abs(b.Width()-b.Height()) > near {
			t.Errorf("a circle of %v by %v mm", b.Width(), b.Height())
		}
		r.addCircle(r.tags, disc{b.centre(), b.Width() / 2})
		for _, m := range r.middles {
			if miss := m.minus(b.centre()).length() - b.Width()/2; math.Abs(miss) > near {
				t.Errorf("a circle bulges by %v mm", miss)
			}
		}
	}
	r.subpath, r.middles, r.curves = nil, nil, 0
}

var pdfEscape = strings.NewReplacer(`\\`, `\`, `\(`, `(`, `\)`, `)`, `\r`, "\r")

// pdfText reads a string of two-byte characters.
func pdfText(t *testing.T, token string) string {
	t.Helper()
	b := []byte(pdfEscape.Replace(token[1 : len(token)-1]))
	if len(b)%2 != 0 {
		t.Fatalf("string of %d bytes", len(b))
	}
	var units []uint16
	for i := 0; i < len(b); i += 2 {
		units = append(units, uint16(b[i])<<8|uint16(b[i+1]))
	}
	return string(utf16.Decode(units))
}
