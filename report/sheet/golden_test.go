package sheet

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"neckfit/report/draw"
)

var update = flag.Bool("update", false, "write the golden file anew; look at the sheets before you keep it")

var streams = regexp.MustCompile(`(?s)stream\r?\n(.*?)\r?\nendstream`)

// strokesOf is what each page of a PDF draws, writing apart: the operators of its content, line by line.
func strokesOf(t *testing.T, pdf []byte) (pages []string) {
	t.Helper()
	for _, m := range streams.FindAllSubmatch(pdf, -1) {
		z, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue // a font
		}
		content, err := io.ReadAll(z)
		if err != nil || !bytes.Contains(content, []byte(" BMC")) {
			continue
		}
		var kept []string
		for line := range strings.Lines(string(content)) {
			if !strings.Contains(line, "BT ") {
				kept = append(kept, strings.TrimSpace(line))
			}
		}
		pages = append(pages, strings.Join(kept, "\n"))
	}
	if len(pages) == 0 {
		t.Fatal("no page was found")
	}
	return pages
}

// The pictures and boxes of all sheets are as they were when somebody looked at them last: of the quick one
// stroke by stroke, of the others by their digests. What they say, and where that is, is tested apart.
func TestSheetsAreDrawnAsTheyWere(t *testing.T) {
	var b strings.Builder
	for _, way := range Ways() {
		for _, in := range []Instrument{small, {Strings: 6, Frets: 24, NeckScrews: 6, BridgeScrews: 2}} {
			var pdf bytes.Buffer
			if err := (Paper{Way: way, Kits: []string{"A1"}, Left: in.Strings > 4, Size: draw.A4, Instrument: in}).PDF(&pdf); err != nil {
				t.Fatal(err)
			}
			for i, page := range strokesOf(t, pdf.Bytes()) {
				fmt.Fprintf(&b, "%s, %d strings, page %d: %d strokes, %x\n", way, in.Strings, i+1, strings.Count(page, "\n"), sha256.Sum256([]byte(page)))
				if way == "quick" && in.Strings == 4 && i == 0 {
					b.WriteString(page + "\n")
				}
			}
		}
	}
	file := filepath.Join("testdata", "strokes.golden")
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Split(b.String(), "\n")
	for i, line := range strings.Split(string(want), "\n") {
		if i >= len(got) || got[i] != line {
			t.Fatalf("line %d of the golden file is %q, drawn is %q", i+1, line, got[min(i, len(got)-1)])
		}
	}
}
