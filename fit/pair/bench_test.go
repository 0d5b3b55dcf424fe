package pair

import (
	"math/rand/v2"
	"testing"

	"neckfit/fit"
)

// BenchmarkPrice is the price of one pair: of N necks and N bodies it runs N^2 times.
func BenchmarkPrice(b *testing.B) {
	l, necks, bodies, _ := priced(loose(rand.New(rand.NewPCG(1, 1)), 8, surveyed(true)))
	var s fit.Seater
	for i := 0; b.Loop(); i++ {
		l.priceOf(&s, &necks[i%8], &bodies[i/8%8])
	}
}
