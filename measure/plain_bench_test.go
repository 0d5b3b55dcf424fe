package measure

import (
	"bytes"
	"context"
	"encoding/csv"
	"io"
	"os"
	"strings"
	"testing"
)

// manyRows repeats the demo's loose-part kits under new names until there are so many rows.
func manyRows(tb testing.TB, rows int) []byte {
	tb.Helper()
	demo, err := os.ReadFile("../testdata/demo/readings.csv")
	if err != nil {
		tb.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(demo)), "\n")
	for strings.HasPrefix(lines[0], "#") {
		lines = lines[1:]
	}
	out := bytes.NewBufferString(lines[0] + "\n")
	for n, round := 0, 0; n < rows; round++ {
		for _, l := range lines[1:] {
			if n++; n > rows {
				break
			}
			out.WriteString("r")
			out.WriteByte(byte('a' + round%26))
			out.WriteByte(byte('a' + round/26%26))
			out.WriteString(l + "\n")
		}
	}
	return out.Bytes()
}

func demoGauges(tb testing.TB) gaugeSet {
	tb.Helper()
	gauges := builtInGaugeSet()
	f, err := os.Open("../testdata/demo/gauges.csv")
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	errs := &collector{}
	if err := gauges.read("gauges.csv", f, errs); err != nil || !errs.empty() {
		tb.Fatal(err, errs.err())
	}
	return gauges
}

const benchRows = 100_000

// BenchmarkBare is what the others are held against: encoding/csv reading records and nothing more.
func BenchmarkBare(b *testing.B) {
	text := manyRows(b, benchRows)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		in := csv.NewReader(bytes.NewReader(text))
		in.ReuseRecord = true
		for {
			if _, err := in.Read(); err == io.EOF {
				break
			} else if err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkCut(b *testing.B) {
	text := manyRows(b, benchRows)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		c, err := newCutter(bytes.NewReader(text))
		if err != nil {
			b.Fatal(err)
		}
		for k := new(chunk); !k.last; {
			if c.next(k); k.odd || k.err != nil {
				b.Fatal("odd", k.err)
			}
		}
	}
}

// BenchmarkDecode is what a worker does with chunks before it judges.
func BenchmarkDecode(b *testing.B) {
	text := manyRows(b, benchRows)
	c, err := newCutter(bytes.NewReader(text))
	if err != nil {
		b.Fatal(err)
	}
	var chunks []*chunk
	for k := new(chunk); !k.last; {
		k = new(chunk)
		c.next(k)
		chunks = append(chunks, k)
	}
	m := newMapping(&Batch{Gauges: demoGauges(b), errs: &collector{}, readings: memory(text)}, 1, (*Kit).Clone, nil)
	r := newChunkReader(m.batch, c.split.layout, m.seed)
	out := new(chunk)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		for _, k := range chunks {
			out.data, out.line, out.lines = k.data, k.line, k.lines
			if r.read(out); out.odd {
				b.Fatal("odd")
			}
		}
	}
}

// BenchmarkSplit is parting cells alone.
func BenchmarkSplit(b *testing.B) {
	text := manyRows(b, benchRows)
	c, err := newCutter(bytes.NewReader(text))
	if err != nil {
		b.Fatal(err)
	}
	body := text[bytes.IndexByte(text, '\n')+1:]
	s := splitter{layout: c.split.layout}
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		for data := body; len(data) > 0; {
			n, o := s.plain(data)
			if o == isOdd {
				n, o = s.next(data, true) // the last few bytes
			}
			if o != isRow {
				b.Fatal(o)
			}
			data = data[n:]
		}
	}
}

func BenchmarkMap(b *testing.B) {
	text := manyRows(b, benchRows)
	gauges := demoGauges(b)
	for _, workers := range []int{1, 2} {
		b.Run(string(rune('0'+workers)), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			for b.Loop() {
				batch := &Batch{Gauges: gauges, errs: &collector{}, readings: memory(text)}
				rows := 0
				err := Map(context.Background(), batch, workers,
					func(k *Kit) int { return len(k.Readings) }, func(n int) error { rows += n; return nil })
				if err != nil || rows != benchRows {
					b.Fatal(rows, err)
				}
			}
		})
	}
}

// BenchmarkTwin is the way through gocsv.
func BenchmarkTwin(b *testing.B) {
	text := manyRows(b, benchRows/10)
	gauges := demoGauges(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		batch := &Batch{Gauges: gauges, errs: &collector{}, readings: memory(text)}
		if err := batch.Each(func(*Kit) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
}
