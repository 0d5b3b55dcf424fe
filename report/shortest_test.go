package report

import (
	"encoding/json"
	"flag"
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"
)

var manyNumbers = flag.Int("numbers", 300_000, "how many numbers TestShortest tries of each sort")

// Numbers are written as strconv and encoding/json write them.
func TestShortest(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	bits := rng.Uint64
	sorts := []struct {
		name string
		next func() float64
	}{
		{"any bits", func() float64 { return math.Float64frombits(bits()) }},
		{"any bits of a usual size", func() float64 {
			const least, span = 1023 - 130, 200 // binary exponents from -130 to 69
			return math.Float64frombits(bits()&^(0x7ff<<52) | (least+bits()%span)<<52)
		}},
		{"normal", rng.NormFloat64},
		{"few decimals", func() float64 { return float64(rng.IntN(2e6)-1e6) / math.Pow10(rng.IntN(12)) }},
		{"beside few decimals", func() float64 {
			return math.Nextafter(float64(rng.IntN(2e6)-1e6)/math.Pow10(rng.IntN(12)), math.Inf(1-2*rng.IntN(2)))
		}},
		{"halves, quarters and so on", func() float64 { return math.Ldexp(float64(bits()>>rng.IntN(64)), -rng.IntN(80)) }},
		{"whole", func() float64 { return float64(int64(bits()) >> rng.IntN(64)) }},
		{"powers of two and beside", func() float64 {
			x := math.Ldexp(1, rng.IntN(300)-200)
			return []float64{x, math.Nextafter(x, 0), math.Nextafter(x, 2*x), -x}[rng.IntN(4)]
		}},
		{"seventeen digits", func() float64 {
			x, _ := strconv.ParseFloat(strconv.FormatUint(1e16+bits()%9e16, 10)+"e-"+strconv.Itoa(rng.IntN(30)), 64)
			return x
		}},
	}
	for _, sort := range sorts {
		for range *manyNumbers {
			if x := sort.next(); !math.IsNaN(x) && !math.IsInf(x, 0) {
				asOthers(t, sort.name, x)
			}
		}
	}
	for _, x := range []float64{0, math.Copysign(0, -1), math.MaxFloat64, math.SmallestNonzeroFloat64, 1 << 53, 1<<53 - 1, 1<<53 + 2,
		1e6, 999999.9999999999, 1e-4, 0.00009999999999999999, 1e-6, 0.0000009999999999999999, 1e21, 1e20, 999999999999999868928, 5e-324, 1e23, 9007199254740993} {
		asOthers(t, "at a bound", x)
		asOthers(t, "at a bound", -x)
	}
}

func asOthers(t *testing.T, sort string, x float64) {
	t.Helper()
	var room [64]byte
	if got, want := appendShortest(room[:0], x), strconv.FormatFloat(x, 'g', -1, 64); string(got) != want {
		t.Fatalf("%s: %s, strconv has %s", sort, got, want)
	}
	got, ok := appendJSONNumber(room[:0], x)
	if !ok {
		return
	}
	format := byte('f')
	if size := math.Abs(x); size != 0 && size < 1e-6 { // encoding/json's own bound, see its floatEncoder
		format = 'e'
	}
	want := strconv.AppendFloat(nil, x, format, -1, 64)
	if n := len(want); format == 'e' && want[n-2] == '0' { // encoding/json writes e-9 for e-09
		want = append(want[:n-2], want[n-1])
	}
	if string(got) != string(want) {
		t.Fatalf("%s: %s, expected %s", sort, got, want)
	}
}

// The logarithm lies between whole powers of ten.
func TestFloorLog10(t *testing.T) {
	power := func(base int64, n int) *big.Int { return new(big.Int).Exp(big.NewInt(base), big.NewInt(int64(n)), nil) }
	for q := -1074; q <= 0; q++ {
		k := -floorLog10(q)
		// 10^-k <= 2^q < 10^(1-k), both sides times 10^k and 2^-q
		if two := power(2, -q); two.Cmp(power(10, k)) > 0 || k > 0 && two.Cmp(power(10, k-1)) <= 0 {
			t.Fatalf("2^%d: 10^%d", q, -k)
		}
	}
}

// What is said above of encoding/json is so.
func TestJSONNumbers(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 34))
	own := 0
	for range 100_000 {
		x := rng.NormFloat64() * math.Pow10(rng.IntN(60)-40)
		want, err := json.Marshal(x)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := appendJSONNumber(nil, x)
		if ok && string(got) != string(want) {
			t.Fatalf("%s, encoding/json has %s", got, want)
		}
		if ok {
			own++
		}
	}
	if own < 80_000 {
		t.Errorf("only %d of the numbers are not left to encoding/json", own)
	}
}

func BenchmarkShortest(b *testing.B) {
	rng := rand.New(rand.NewPCG(35, 36))
	numbers := make([]float64, 1000)
	for i := range numbers {
		numbers[i] = rng.NormFloat64()
	}
	for _, way := range []struct {
		name   string
		append func([]byte, float64) []byte
	}{
		{"own", appendShortest},
		{"strconv", func(to []byte, x float64) []byte { return strconv.AppendFloat(to, x, 'g', -1, 64) }},
	} {
		b.Run(way.name, func(b *testing.B) {
			var room [64]byte
			i := 0
			for b.Loop() {
				way.append(room[:0], numbers[i%len(numbers)])
				i++
			}
		})
	}
}
