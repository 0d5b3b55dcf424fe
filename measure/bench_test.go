package measure

import (
	"strings"
	"testing"
)

// BenchmarkEach reads 2500 rows of 1000 kits from memory.
func BenchmarkEach(b *testing.B) {
	text := tableOf(b, manyKits(1000))
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		batch := &Batch{Gauges: builtInGaugeSet(), errs: &collector{}, readings: memory(text)}
		if err := batch.Each(func(*Kit) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(strings.Count(text, "\n")-1), "rows/op")
}
