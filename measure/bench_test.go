package measure

import (
	"context"
	"encoding/csv"
	"io"
	"os"
	"testing"
)

// BenchmarkKits reads a batch and judges nothing; READINGS names it.
func BenchmarkKits(b *testing.B) {
	for b.Loop() {
		batch, err := Open(os.Getenv("READINGS"), Options{})
		if err != nil {
			b.Fatal(err)
		}
		n := 0
		err = Kits(context.Background(), batch, 1, func(k *Kit) int { return len(k.Readings) }, func(k int) error { n += k; return nil }, nil)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(n), "rows")
	}
}

// BenchmarkBare is what the other is held against: encoding/csv reading records and nothing more.
func BenchmarkBare(b *testing.B) {
	for b.Loop() {
		f, err := os.Open(os.Getenv("READINGS"))
		if err != nil {
			b.Fatal(err)
		}
		defer f.Close()
		in := csv.NewReader(f)
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
