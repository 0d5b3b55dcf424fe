package measure

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"neckfit/measure/csvtext"
)

// benchRows repeats the demo's kits under new names until there are so many rows.
func benchRows(b *testing.B) (text []byte, gauges gaugeSet) {
	b.Helper()
	demo, err := os.ReadFile("../testdata/demo/readings.csv")
	if err != nil {
		b.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(demo)), "\n")
	for strings.HasPrefix(lines[0], "#") {
		lines = lines[1:]
	}
	out := bytes.NewBufferString(lines[0] + "\n")
	for n := 0; n < 100_000; n++ {
		fmt.Fprintf(out, "r%d%s\n", n/(len(lines)-1), lines[1+n%(len(lines)-1)])
	}
	gauges = builtInGaugeSet()
	table, err := os.Open("../testdata/demo/gauges.csv")
	if err != nil {
		b.Fatal(err)
	}
	defer table.Close()
	errs := &csvtext.Collector{}
	if err := gauges.read("gauges.csv", table, errs); err != nil || !errs.Empty() {
		b.Fatal(err, errs.Err())
	}
	return out.Bytes(), gauges
}

// BenchmarkKits reads 100,000 rows and judges nothing.
func BenchmarkKits(b *testing.B) {
	text, gauges := benchRows(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		batch := &Batch{Gauges: gauges, errs: &csvtext.Collector{}, readings: memory(text)}
		rows := 0
		count := func(n int) error { rows += n; return nil }
		err := Kits(b.Context(), batch, 1, func(k *Kit) int { return len(k.Readings) }, count, nil)
		if err != nil || rows != 100_000 {
			b.Fatal(rows, err)
		}
	}
}

// BenchmarkBare is what the other is held against: encoding/csv reading records and nothing more.
func BenchmarkBare(b *testing.B) {
	text, _ := benchRows(b)
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
