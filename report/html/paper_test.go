package html_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"

	"neckfit/fit/delivery"
	"neckfit/measure"
	"neckfit/report/html"
	"neckfit/report/internal/browser"
	"neckfit/report/words"
)

// papers are the formats that people print on, in inches.
var papers = []struct {
	name          string
	width, height float64
}{{"A4", 8.27, 11.69}, {"letter", 8.5, 11}}

// printed prints the page and tells what each sheet of paper says and how far down it is written upon, from 0
// to 1 of what lies within the margins.
func (b *tab) printed(width, height float64) (says []string, filled []float64) {
	b.T.Helper()
	const inch, margin, dpi = 25.4, 14.0, 20
	pdf := browser.Call(b.Tab, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width, PaperHeight: height}).Data
	dir := b.T.TempDir()
	file := filepath.Join(dir, "page.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		b.T.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-gray", file, filepath.Join(dir, "out")).CombinedOutput(); err != nil {
		b.T.Fatalf("pdftoppm of poppler-utils is needed (bash .ci/test installs it): %v: %s", err, out)
	}
	text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		b.T.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(dir, "out-*.pgm"))
	if err != nil {
		b.T.Fatal(err)
	}
	slices.Sort(files)
	for _, name := range files {
		picture, err := os.ReadFile(name)
		if err != nil {
			b.T.Fatal(err)
		}
		var wide, high, white int
		if _, err := fmt.Fscanf(bytes.NewReader(picture), "P5\n%d %d\n%d", &wide, &high, &white); err != nil {
			b.T.Fatal(err)
		}
		dots := picture[len(picture)-wide*high:]
		last := bytes.LastIndexFunc(dots, func(r rune) bool { return r < 200 }) / wide
		filled = append(filled, (float64(last)/dpi*inch-margin)/(height*inch-2*margin))
	}
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f"), filled
}

// judgedDemo is the demonstration batch as three small lots, with every sort of trouble.
func judgedDemo(t *testing.T) *delivery.Report {
	t.Helper()
	d := &delivery.Delivery{}
	for _, r := range demo(t) {
		k := delivery.Of(r)
		must(t, 0, d.Add(k))
	}
	r, err := d.Judge(delivery.Options{AQL: [measure.Minor + 1]float64{measure.Critical: 0.65, measure.Major: 2.5, measure.Minor: 4}, Seed: 1})
	return must(t, r, err)
}

// manyTroubles is a lot of a hundred kits, of which two thirds fail by long names and many are not read.
func manyTroubles(t *testing.T) *delivery.Report {
	t.Helper()
	d := &delivery.Delivery{}
	all := demo(t)
	for i := range 100 {
		k := delivery.Of(all[i%len(all)])
		k.Name, k.Lot, k.Supplier = fmt.Sprintf("workshop delivery %03d", i+1), "everything at once", "the joinery with a long name"
		must(t, 0, d.Add(k))
		d.List(fmt.Sprintf("not measured yet %03d", i+1), k.Lot, k.Supplier)
	}
	r, err := d.Judge(delivery.Options{AQL: [measure.Minor + 1]float64{measure.Critical: 0.65, measure.Major: 2.5, measure.Minor: 4}, Seed: 1})
	return must(t, r, err)
}

// Each lot has one sheet of paper, A4 or letter, with its verdict, kits and chart; what is more runs on behind
// them, and no sheet but the last is mostly empty.
func TestOneSheetALot(t *testing.T) {
	t.Parallel()
	lots, err := judgedLots()
	for name, r := range map[string]*delivery.Report{"lots": must(t, lots, err), "demo": judgedDemo(t), "many": manyTroubles(t)} {
		var b bytes.Buffer
		if err := html.Lot(&b, r); err != nil {
			t.Fatal(err)
		}
		whole := open(t, b.Bytes())
		for i, paper := range papers {
			if i == 0 && name != "lots" { // letter is the shorter
				continue
			}
			says, filled := whole.printed(paper.width, paper.height)
			for i, f := range filled[:len(filled)-1] {
				if f < 0.4 {
					t.Errorf("%s, %s: sheet %d of %d is written upon down to %.0f %%", name, paper.name, i+1, len(says), 100*f)
				}
			}
			for i, l := range r.Lots {
				gravest := slices.MaxFunc(append([]*delivery.Trouble{{}}, l.Troubles...), func(a, b *delivery.Trouble) int { return int(a.Verdict) - int(b.Verdict) })
				if !strings.Contains(says[i], gravest.Kit) || !strings.Contains(says[i], "one kit ±") || !strings.Contains(says[i], l.Acceptance.Decision.String()+" "+words.LotName(l)) || !strings.Contains(says[i], "Inspection:") {
					t.Errorf("%s, %s: sheet %d is not all of lot %s: %.300q", name, paper.name, i+1, l.Name, says[i])
				}
			}
			if appendix := slices.IndexFunc(says, func(s string) bool { return strings.Contains(s, "how it was found") }); appendix != len(r.Lots) {
				t.Errorf("%s, %s: %d lots take %d sheets", name, paper.name, len(r.Lots), appendix)
			}
		}
	}
}
