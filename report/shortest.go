package report

import (
	"math"
	"math/bits"
	"strconv"
)

// appendShortest is shortest without the string.
func appendShortest(to []byte, x float64) []byte {
	const low, high = 1e-4, 1e6 // where strconv's format g has no exponent
	if size := math.Abs(x); size >= low && size < high {
		if d, ok := shortestOf(size); ok {
			return d.plain(to, x)
		}
	}
	return strconv.AppendFloat(to, x, 'g', -1, 64)
}

// appendJSONNumber writes a finite number as encoding/json does, false for one that is left to it.
func appendJSONNumber(to []byte, x float64) ([]byte, bool) {
	const low, high = 1e-6, 1e21 // where encoding/json has no exponent
	size := math.Abs(x)
	if d, ok := shortestOf(size); ok {
		if size >= low {
			return d.plain(to, x), true
		}
		return d.exponential(sign(to, x)), true
	}
	if x == 0 || size >= low && size < high {
		return strconv.AppendFloat(to, x, 'f', -1, 64), true
	}
	return to, false
}

// plain writes the decimal of x without an exponent.
func (d decimal) plain(to []byte, x float64) []byte {
	const low, high = 1e-7, 1e3 // where mixed knows them
	if size := math.Abs(x); d.exponent < 0 && size >= low && size < high {
		return d.mixed(to, size, math.Float64bits(x)>>63)
	}
	return d.fixed(sign(to, x))
}

func sign(to []byte, x float64) []byte {
	if x < 0 {
		return append(to, '-')
	}
	return to
}

// decimal is digits times a power of ten; but for the number 0 its last digit is not 0.
type decimal struct {
	digits   uint64
	exponent int
}

// Whole numbers and binary fractions that shortestOf knows.
const (
	mantissaBits = 52
	wholeBits    = mantissaBits + 1
	bias         = 1023 + mantissaBits // of the exponent of the mantissa as a whole number
	greatest     = 54                  // 5 to this power has 126 bits
)

// shortestOf gives the decimal of fewest digits that reads back as x, and of those the nearest, an
// even one when two are equally near; x is positive. It is Schubfach (Giulietti, The Schubfach way to
// render doubles, 2021) for the floats whose powers of ten are exact in 128 bits, so that all its
// arithmetic is exact; other floats, and powers of two below 1, which have a nearer neighbour below
// than above, it leaves to strconv. It is tested against strconv, and takes half the time.
func shortestOf(x float64) (decimal, bool) {
	if x < 1<<wholeBits && x == math.Floor(x) {
		return decimal{uint64(x), 0}.trimmed(), x >= 1
	}
	b := math.Float64bits(x)
	c, q := b&(1<<mantissaBits-1), int(b>>mantissaBits)-bias // x is c times 2 to the q
	if c == 0 || q >= 0 {
		return decimal{}, false
	}
	k := floorLog10(q)
	if -k > greatest {
		return decimal{}, false
	}
	c |= 1 << mantissaBits
	g := &exactPowers[-k]
	h := q + g.floorLog2 + 1
	// Four times x, and the bounds of what reads back as x, in units of 10 to the k. Bounds belong to
	// it when c is even.
	odd := c & 1
	low := g.times((4*c-2)<<h) + odd
	high := g.times((4*c+2)<<h) - odd
	at := g.times(4 * c << h)
	s := at / 4
	// At most one number of one digit less lies within the bounds. Both ways are reckoned and one is taken
	// by masks: a branch would be guessed wrong for every other number.
	tens := s / 10
	aboveTens := one(40*tens+40 <= high)
	fewer := one(low <= 40*tens) ^ aboveTens
	above := one(4*s+4 <= high)
	single := one(low <= 4*s) ^ above // of the two beside x, one alone is within the bounds
	nearer := one(at+(s&1) > 4*s+2)   // the even one when both are equally near
	s += above&single | nearer&^single
	d := decimal{s&(fewer-1) | (tens+aboveTens)&-fewer, k + int(fewer)}
	return d.trimmed(), true
}

func one(b bool) uint64 {
	if b {
		return 1
	}
	return 0
}

// floorLog10 is the floor of log10(2^q), for any float's q; a test holds it against whole powers.
func floorLog10(q int) int { return q * 1262611 >> 22 }

// power is 10 to the n, n from 0 to greatest: high and low times 2 to the (floorLog2 - 127).
type power struct {
	high, low uint64
	floorLog2 int
}

var exactPowers = func() (all [greatest + 1]power) {
	high, low, log2 := uint64(1)<<63, uint64(0), 0
	for n := range all {
		all[n] = power{high, low, log2}
		// Times ten is times 5/4 and 8. The last two bits are 0, for 5^n has n*2.33 bits of the 128.
		quarterLow := low>>2 | high<<62
		var carry uint64
		low, carry = bits.Add64(low, quarterLow, 0)
		high, carry = bits.Add64(high, high>>2, carry)
		log2 += 3
		if carry == 1 {
			low, high = low>>1|high<<63, high>>1|1<<63
			log2++
		}
	}
	return all
}()

// times is the product over 2^128, rounded to odd: its last bit is set when anything was cut off.
func (p *power) times(x uint64) uint64 {
	lowHigh, lowLow := bits.Mul64(p.low, x)
	high, middle := bits.Mul64(p.high, x)
	middle, carry := bits.Add64(middle, lowHigh, 0)
	high += carry
	return high | one(middle|lowLow != 0)
}

// trimmed takes noughts off the end.
func (d decimal) trimmed() decimal {
	if d.digits%10 != 0 || d.digits == 0 {
		return d // the commonest
	}
	for d.digits%1e8 == 0 {
		d = decimal{d.digits / 1e8, d.exponent + 8}
	}
	for d.digits%1e2 == 0 {
		d = decimal{d.digits / 1e2, d.exponent + 2}
	}
	if d.digits%10 == 0 {
		d = decimal{d.digits / 10, d.exponent + 1}
	}
	return d
}
