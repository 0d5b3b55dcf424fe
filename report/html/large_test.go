package html_test

import (
	"bytes"
	"testing"
	"time"

	"neckfit/fit"
	"neckfit/report/html"
)

// thousand is the demonstration batch over and over.
func thousand(t testing.TB) []*fit.Result {
	list := demo(t)
	many := make([]*fit.Result, 1000)
	for i := range many {
		r := *list[i%len(list)]
		r.Kit = kitName(i)
		many[i] = &r
	}
	return many
}

// A thousand kits make a page of less than 25 MiB that a browser can filter: the kits' sections
// are text to it until they are opened, which is what keeps it quick.
func TestThousandKits(t *testing.T) {
	const most, elements = 25 << 20, 40_000
	file := write(t, thousand(t)...)
	if size := fileSize(t, file); size >= most {
		t.Errorf("the page has %d bytes, want fewer than %d", size, most)
	} else {
		t.Logf("%.1f MiB", float64(size)/(1<<20))
	}
	start := time.Now()
	b := open(t, file)
	b.quiet()
	t.Logf("opened in %v", time.Since(start)) // told and not tested: it is the machine's affair
	if n := ask[int](b, `document.querySelectorAll("*").length`); n > elements {
		t.Errorf("the browser holds %d elements, want %d at most", n, elements)
	}
	t.Logf("filtered in %.0f ms", ask[float64](b, `(() => {
		const start = performance.now(), v = document.getElementById("verdict");
		v.value = "f"; v.dispatchEvent(new Event("change")); document.body.offsetHeight;
		return performance.now() - start;
	})()`))
	failing := len(kits(thousand(t), func(r *fit.Result) bool { return r.Verdict == fit.Fail }))
	if n := len(ask[[]string](b, shownKits)); n != failing {
		t.Errorf("%d kits are shown, %d fail", n, failing)
	}
}

func BenchmarkThousandKits(b *testing.B) {
	list := thousand(b)
	for b.Loop() {
		var out bytes.Buffer
		w := html.New(&out, html.Options{})
		for _, r := range list {
			if err := w.Kit(r); err != nil {
				b.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			b.Fatal(err)
		}
		b.SetBytes(int64(out.Len()))
	}
}
