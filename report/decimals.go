package report

import (
	"encoding/binary"
	"slices"
	"strconv"
)

// mixed writes a number that is no whole one without an exponent; x is the same number, from 1e-7 to
// 1e3. It takes no branch that depends on the number, for of those every other one would be guessed
// wrong: it always writes as much as there may be, and keeps what there is.
func (d decimal) mixed(to []byte, x float64, negative uint64) []byte {
	const most = 40
	n := len(to)
	to = slices.Grow(to, most)
	room := (*[most]byte)(to[n : n+most])
	whole, places := uint64(int64(x)), &placesTable[-d.exponent%len(placesTable)]
	// The decimals are noughts and 17 digits.
	decimals := (d.digits - whole*places.power) * places.scale
	high := decimals / 1e8
	low := decimals - high*1e8
	first := high / 1e8
	high -= first * 1e8
	room[0] = '-'
	at := int(negative)
	before := wholeTexts[whole%uint64(len(wholeTexts))]
	binary.LittleEndian.PutUint32(room[at:], before)
	at += int(before >> 24)
	binary.LittleEndian.PutUint64(room[at:], '0'*ones&^0xff|'.') // and noughts
	end := at + 1 - d.exponent
	at += int(places.noughts) + 1
	room[at] = '0' + byte(first)
	binary.LittleEndian.PutUint64(room[at+1:], '0'*ones+eightDigits(high))
	binary.LittleEndian.PutUint64(room[at+9:], '0'*ones+eightDigits(low))
	return to[:n+end]
}

// placesOf is what is to be known of a number of decimals.
type placesOf struct {
	power   uint64 // of ten; 0 when it is too large: such numbers are below 1 anyhow
	scale   uint64 // what makes 17 of them
	noughts uint64 // those before 17 of them
}

var placesTable = func() (all [32]placesOf) {
	const digits = 17
	for places := range all {
		p := &all[places]
		if places < len(wholePowers) {
			p.power = wholePowers[places]
		}
		p.scale, p.noughts = wholePowers[max(0, digits-places)], uint64(max(0, places-digits))
	}
	return all
}()

// wholeTexts are the whole numbers below 1,000, the first digit as the lowest byte and how many there
// are as the highest.
var wholeTexts = func() (all [1000]uint32) {
	for i := range all {
		text := strconv.Itoa(i)
		all[i] = uint32(len(text)) << 24
		for place, digit := range []byte(text) {
			all[i] |= uint32(digit) << (8 * place)
		}
	}
	return all
}()

// eightDigits gives the digits of a number below 1e8 as bytes, the first digit as the lowest. (Fours,
// pairs and single digits at once, by multiplication with what is nearly 1/100 and 1/10.)
func eightDigits(x uint64) uint64 {
	const (
		hundredths = 10486 // over 2^20: exact below 10,000
		tenths     = 103   // over 2^10: exact below 100
	)
	high := x / 1e4
	fours := high | (x-high*1e4)<<32
	high = fours * hundredths >> 20 & 0x7f_0000007f
	pairs := high | (fours-high*100)<<16
	high = pairs * tenths >> 10 & 0x000f_000f_000f_000f
	return high | (pairs-high*10)<<8
}
