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
			return d.fixed(sign(to, x))
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
			return d.fixed(sign(to, x)), true
		}
		return d.exponential(sign(to, x)), true
	}
	if x == 0 || size >= low && size < high {
		return strconv.AppendFloat(to, x, 'f', -1, 64), true
	}
	return to, false
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
// than above, it leaves to strconv. Against strconv it is tested, and takes a third of the time.
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
	// At most one number of one digit less lies within the bounds.
	if tens := s / 10; s >= 10 {
		below, above := low <= 40*tens, 40*tens+40 <= high
		if below != above {
			return decimal{tens + one(above), k + 1}.trimmed(), true
		}
	}
	below, above := low <= 4*s, 4*s+4 <= high
	if below != above {
		return decimal{s + one(above), k}, true
	}
	half := 4*s + 2
	return decimal{s + one(at > half || at == half && s&1 == 1), k}, true
}

func one(b bool) uint64 {
	if b {
		return 1
	}
	return 0
}

// floorLog10 is the floor of log10(2^q); the fraction is good for |q| < 1651 (Giulietti, section 8).
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

// fixed writes the number without an exponent.
func (d decimal) fixed(to []byte) []byte {
	n := digitsOf(d.digits)
	point := n + d.exponent
	if point <= 0 {
		return appendDigits(append(to, noughts[:len("0.")-point]...), d.digits, n)
	}
	if d.exponent >= 0 {
		return append(appendDigits(to, d.digits, n), noughts[len("0."):len("0.")+d.exponent]...)
	}
	return pointed(to, d.digits, n, point)
}

// exponential writes a number below 1 with an exponent.
func (d decimal) exponential(to []byte) []byte {
	n := digitsOf(d.digits)
	if n == 1 {
		to = appendDigits(to, d.digits, n)
	} else {
		to = pointed(to, d.digits, n, 1)
	}
	return strconv.AppendInt(append(to, 'e'), int64(n-1+d.exponent), 10)
}

// noughts are more than any number within appendJSONNumber's bounds begins or ends with.
const noughts = "0.0000000000000000000000"

// pointed writes n digits with a decimal point after some of them.
func pointed(to []byte, digits uint64, n, point int) []byte {
	begun := len(to)
	to = appendDigits(append(to, ' '), digits, n)
	for i := begun; i < begun+point; i++ {
		to[i] = to[i+1]
	}
	to[begun+point] = '.'
	return to
}

// digitsOf is how many digits a number has.
func digitsOf(x uint64) int {
	n := bits.Len64(x|1) * 1233 >> 12 // 1233/4096 is log10(2) well enough for 64 bits (Warren, Hacker's Delight, 11-4)
	if x >= wholePowers[n] {
		n++
	}
	return n
}

var wholePowers = [...]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19}

// appendDigits writes a number that has n digits.
func appendDigits(to []byte, x uint64, n int) []byte {
	to = append(to, "00000000000000000000"[:n]...)
	at := to[len(to)-n:]
	for ; n > 8; n -= 8 {
		eight := uint32(x % 1e8)
		x /= 1e8
		high, low := eight/1e4, eight%1e4 // so that the divisions do not wait for each other
		twoDigits(at[n-8:n-6], high/100)
		twoDigits(at[n-6:n-4], high%100)
		twoDigits(at[n-4:n-2], low/100)
		twoDigits(at[n-2:n], low%100)
	}
	left := uint32(x)
	for ; n >= 2; n -= 2 {
		twoDigits(at[n-2:n], left%100)
		left /= 100
	}
	if n == 1 {
		at[0] = '0' + byte(left)
	}
	return to
}

// twoDigits writes two digits.
func twoDigits(to []byte, x uint32) {
	const pairs = "0001020304050607080910111213141516171819" + "2021222324252627282930313233343536373839" +
		"4041424344454647484950515253545556575859" + "6061626364656667686970717273747576777879" + "8081828384858687888990919293949596979899"
	_ = to[1]
	to[0], to[1] = pairs[2*x], pairs[2*x+1]
}
