package report

import (
	"math/bits"
	"strconv"
)

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
