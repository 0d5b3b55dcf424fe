package report

import (
	"math/rand/v2"
	"testing"
)

// Lines put together are what the Writer of the format writes.
func TestLinesAreTheWriters(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for _, format := range Formats() {
		lines, ok := LinesOf(format)
		if !ok {
			if format != "text" && format != "html" {
				t.Errorf("%s has no lines", format)
			}
			continue
		}
		for range 100 {
			results := batch(rng, 1+rng.IntN(4))
			want, err := written(format, Options{}, results...)
			if err != nil {
				t.Fatal(err)
			}
			got := lines.Header(results[0])
			for _, r := range results {
				if got, err = lines.Append(got, r); err != nil {
					t.Fatal(err)
				}
			}
			if string(got) != want {
				t.Fatalf("%s:\n%s\nthe Writer has\n%s", format, got, want)
			}
		}
	}
}

func BenchmarkLines(b *testing.B) {
	rng := rand.New(rand.NewPCG(23, 24))
	r := anyResult(rng)
	for len(r.Characteristics) < 45 { // as many as a kit has
		r.Characteristics = append(r.Characteristics, anyCharacteristic(rng, ids[rng.IntN(len(ids))]))
	}
	for _, format := range []string{"csv", "jsonl"} {
		b.Run(format, func(b *testing.B) {
			lines, _ := LinesOf(format)
			var line []byte
			var err error
			b.ReportAllocs()
			for b.Loop() {
				if line, err = lines.Append(line[:0], r); err != nil {
					b.Fatal(err)
				}
			}
			b.SetBytes(int64(len(line)))
		})
	}
}
