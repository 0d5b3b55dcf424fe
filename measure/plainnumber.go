package measure

import (
	"encoding/binary"
	"math/bits"
)

// powersOfTen are exact as floats.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// plainDecimal reads digits with at most one sign before them and one decimal sign among them, which
// it gives, or 0. With at most fifteen digits the digits and the power of ten are whole numbers that
// a float holds exactly, so that their one division is correctly rounded and the result the same as
// strconv's (Clinger, How to read floating point numbers accurately, PLDI 1990). Anything else is
// not plain.
func plainDecimal(cell []byte) (x float64, sign byte, ok bool) {
	if x, sign, ok = shortDecimal(cell); ok {
		return x, sign, ok
	}
	return longDecimal(cell)
}

// shortDecimal is longDecimal for the commonest numbers, of at most eight characters after a minus and
// with a point: it works on all of them at once. It refuses more.
func shortDecimal(cell []byte) (x float64, sign byte, ok bool) {
	negative := len(cell) > 0 && cell[0] == '-'
	if negative {
		cell = cell[1:]
	}
	n := len(cell)
	if n == 0 || n > 8 || cap(cell) < 8 {
		return 0, 0, false
	}
	x, sign, ok = decimalOf(binary.LittleEndian.Uint64(cell[:8]), n)
	if negative {
		x = -x
	}
	return x, sign, ok
}

// lengthBefore is how many bytes of a word stand before a delimiter, eight when it has none.
func lengthBefore(w, commas uint64) int { return bits.TrailingZeros64(equalBytes(w, commas)) / 8 }

// equalBytes has the high bit of every byte that two words have alike.
func equalBytes(a, b uint64) uint64 {
	x := a ^ b
	return ^((x&sevens + sevens) | x | sevens)
}

// decimalOf reads up to eight bytes at the beginning of a word.
func decimalOf(w uint64, n int) (x float64, sign byte, ok bool) {
	const (
		zeros  = '0' * ones
		points = '.' * ones
		nibble = 0xf0 * ones // the half of a digit's byte that all digits have alike
	)
	if n == 0 {
		return 0, 0, false
	}
	w <<= (64 - 8*n) & 63 // the last character is the highest byte
	after := 0
	if p := equalBytes(w, points); p != 0 {
		at := bits.TrailingZeros64(p) &^ 7
		before := uint64(1)<<(at&63) - 1
		w = w&before<<8 | w&^(before<<8|0xff)
		sign, after = '.', 7-at/8
		n--
	}
	if w |= zeros >> uint(8*n); n == 0 || w&nibble != zeros || (w+6*ones)&nibble != zeros {
		return 0, 0, false
	}
	// Pairs, fours and eights of digits (Lemire, Number parsing at a gigabyte per second, 2021).
	w -= zeros
	w = w*10 + w>>8
	const pairs = 0x000000ff000000ff
	digits := (w&pairs*(100+1e6<<32) + w>>16&pairs*(1+1e4<<32)) >> 32
	return float64(digits) / powersOfTen[after&7], sign, true
}

// longDecimal goes byte by byte.
func longDecimal(cell []byte) (x float64, sign byte, ok bool) {
	negative := false
	i := 0
	if len(cell) > 0 && (cell[0] == '-' || cell[0] == '+') {
		negative = cell[0] == '-'
		i = 1
	}
	if len(cell)-i >= len(powersOfTen)+1 { // fifteen digits and a decimal sign
		return 0, 0, false
	}
	digits, after := uint64(0), 0
	begun := i
	for ; i < len(cell); i++ {
		switch b := cell[i]; {
		case b-'0' <= 9:
			digits = digits*10 + uint64(b-'0')
		case (b == '.' || b == ',') && sign == 0:
			sign, after = b, len(cell)-i-1
			begun++ // the sign is no digit
		default:
			return 0, 0, false
		}
	}
	if len(cell) <= begun || len(cell)-begun > len(powersOfTen)-1 {
		return 0, 0, false
	}
	x = float64(digits) / powersOfTen[after]
	if negative {
		x = -x
	}
	return x, sign, true
}

// plainCount reads what small reads.
func plainCount(cell []byte) (int, bool) {
	const most = 5
	if len(cell) == 0 || len(cell) > most {
		return 0, false
	}
	n := 0
	for _, b := range cell {
		if b-'0' > 9 {
			return 0, false
		}
		n = n*10 + int(b-'0')
	}
	return n, true
}
