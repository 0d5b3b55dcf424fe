package pair

import (
	"math/rand/v2"
	"testing"
)

// BenchmarkPrice is the closed form of one pair: of N necks and N bodies it runs N^2 times.
func BenchmarkPrice(b *testing.B) {
	p := loose(rand.New(rand.NewPCG(1, 1)), 8, surveyed(true))
	var necks []*neck
	var bodies []*body
	for i := range p.Necks {
		necks, bodies = append(necks, newNeck(p.Necks[i], Options{})), append(bodies, newBody(p.Bodies[i], Options{}))
	}
	l := limitsFor(necks, bodies, Options{})
	for i := 0; b.Loop(); i++ {
		l.priceOf(necks[i%8], bodies[i/8%8])
	}
}
