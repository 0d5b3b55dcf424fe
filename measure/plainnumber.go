package measure

// powersOfTen are exact as floats.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// plainDecimal reads digits with at most one sign before them and one decimal sign among them, which
// it gives, or 0. With at most fifteen digits the digits and the power of ten are whole numbers that
// a float holds exactly, so that their one division is correctly rounded and the result the same as
// strconv's (Clinger, How to read floating point numbers accurately, PLDI 1990). Anything else is
// not plain.
func plainDecimal(cell []byte) (x float64, sign byte, ok bool) {
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
