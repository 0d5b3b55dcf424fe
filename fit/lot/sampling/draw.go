package sampling

import (
	"fmt"
	"math/rand/v2"
	"sort"
)

// Draw chooses sample of lotSize pieces at random without replacement and returns their indices,
// ascending. The same numbers give the same pieces always, so that a draw can be checked later: the
// generator (PCG, M. E. O'Neill 2014) is fixed by its definition, and the choice of an index from it is
// written out below, since that of the standard library may change. For the draw to be repeatable the
// lot must be listed in the same order.
func Draw(lotSize, sample int, seed uint64) ([]int, error) {
	if lotSize < 0 || sample < 0 || sample > lotSize {
		return nil, fmt.Errorf("cannot draw %d of %d pieces", sample, lotSize)
	}
	source := rand.NewPCG(seed, drawStream)
	pieces := make([]int, lotSize)
	for i := range pieces {
		pieces[i] = i
	}
	for i := range sample { // Fisher-Yates, as far as needed
		j := i + below(source, uint64(lotSize-i))
		pieces[i], pieces[j] = pieces[j], pieces[i]
	}
	drawn := pieces[:sample:sample]
	sort.Ints(drawn)
	return drawn, nil
}

// drawStream is the second half of the seed; any fixed number will do.
const drawStream = 105

// below returns a number from 0 to n-1, each equally likely: values beyond the last whole multiple
// of n are thrown away.
func below(source *rand.PCG, n uint64) int {
	reject := -n % n // 2^64 modulo n
	for {
		if v := source.Uint64(); v >= reject {
			return int(v % n)
		}
	}
}
