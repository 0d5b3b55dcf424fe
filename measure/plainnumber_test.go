package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// Every plain decimal is the very float that strconv makes of it.
func TestPlainDecimalIsExact(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 12))
	plain := 0
	for range 200000 {
		digits := fmt.Sprint(random.Uint64() >> random.IntN(64))
		if at := random.IntN(len(digits) + 1); random.IntN(8) > 0 {
			digits = digits[:at] + "." + digits[at:]
		}
		text := []string{"", "-", "+", "0", "-00"}[random.IntN(5)] + digits
		x, _, ok := plainDecimal([]byte(text))
		if !ok {
			continue
		}
		plain++
		want, err := strconv.ParseFloat(text, 64)
		if err != nil || math.Float64bits(x) != math.Float64bits(want) {
			t.Fatalf("%q: got %v, want %v, %v", text, x, want, err)
		}
	}
	if plain < 100000 {
		t.Errorf("only %d were plain", plain)
	}
	for _, text := range []string{"", "+", "-", ".", ",", "-.", "1.2.3", "1,2.3", "1e3", "--1", "1 ", " 1", "0x1", "1_0", "1234567890123456", "0.1234567890123456", "½", "1-"} {
		if x, _, ok := plainDecimal([]byte(text)); ok {
			t.Errorf("%q was taken for %v", text, x)
		}
	}
}

// Numbers of at most eight characters are the same eight at once and byte by byte, whatever stands
// behind them in the row; nor is anything taken for one that is not.
func TestShortDecimals(t *testing.T) {
	random := rand.New(rand.NewPCG(13, 14))
	short := 0
	for range 1_000_000 {
		const letters = "0123456789012345678901234567890123456789..-+,/:x\x00\xae\xff"
		row := make([]byte, 24)
		for i := range row {
			row[i] = letters[random.IntN(len(letters))]
		}
		n := random.IntN(10)
		x, sign, ok := shortDecimal(row[:n])
		if !ok {
			continue
		}
		short++
		want, wantSign, wantOK := longDecimal(row[:n])
		if math.Float64bits(x) != math.Float64bits(want) || sign != wantSign || !wantOK {
			t.Fatalf("%q: %v, want %v (%v)", row[:n], x, want, wantOK)
		}
	}
	if short < 300_000 {
		t.Errorf("only %d were short", short)
	}
	for _, text := range []string{"0", "-0", "1.", ".5", "12345678", "1234567.", ".1234567", "-123456.7", "00000.00"} {
		if _, _, ok := shortDecimal(append(make([]byte, 0, 16), text...)); !ok {
			t.Errorf("%q is short", text)
		}
	}
}

// The table of words finds each of them and nothing else.
func TestWordTables(t *testing.T) {
	for _, table := range []*wordTable{datumTable, featureTable, kindTable} {
		for i, name := range table.names[1:] {
			if got := table.find([]byte(name)); got != i+1 {
				t.Errorf("%s: got %d", name, got)
			}
			for _, other := range []string{strings.ToUpper(name), name + "x", name[1:], name[:len(name)-1], "", strings.Repeat(name, 9)} {
				got := table.find([]byte(other))
				if got != 0 && table.names[got] != other {
					t.Errorf("%q: got %s", other, table.names[got])
				}
			}
			if got, ok := table.word([]byte(strings.ToUpper(name))); got != i+1 || !ok {
				t.Errorf("%s in capitals: got %d", name, got)
			}
		}
	}
}
