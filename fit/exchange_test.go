package fit

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"neckfit/measure"
)

var exchanges = flag.Bool("exchanges", false, "every exchange of numbers in every kit of the demo and the example; else in some rows of four simulated kits")

// transposed are a number's digits as written, each two neighbours that differ changed over.
func transposed(v float64) (list []float64) {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	for i := range s {
		j := i + 1
		if j < len(s) && s[j] == '.' {
			j++
		}
		if j < len(s) && s[i] >= '0' && s[i] <= '9' && s[j] >= '0' && s[j] <= '9' && s[i] != s[j] {
			other := []byte(s)
			other[i], other[j] = s[j], s[i]
			x, _ := strconv.ParseFloat(string(other), 64)
			list = append(list, x)
		}
	}
	return list
}

// exchanged are the ways in which row i of a kit may be written down with numbers that were read, but not there, or with their
// digits or signs in disorder: each by its name, with the kit and the rows concerned.
func exchanged(kit *measure.Kit, i int, each func(what string, k *measure.Kit, rows ...int)) {
	changed := func(change func(list []measure.Reading)) *measure.Kit {
		k := *kit
		k.Readings = slices.Clone(kit.Readings)
		change(k.Readings)
		return &k
	}
	numbers := func(to, from *measure.Reading) {
		switch { // what is read of a line is an offset, of an end a station, of a place or a stop both
		case to.Kind >= measure.Width:
			to.Size = from.Size
		case to.Kind == measure.Station && to.Mark == from.Mark:
			to.Station = from.Station
		case to.Kind == measure.Offset && to.Mark == from.Mark:
			to.Offset = from.Offset
		default:
			to.Station, to.Offset = from.Station, from.Offset
		}
	}
	r := &kit.Readings[i]
	like := func(q measure.Reading) bool {
		return q.Datum == r.Datum && q.Feature == r.Feature && q.Kind == r.Kind && q.To == r.To
	}
	if j := slices.IndexFunc(kit.Readings[i+1:], like); j >= 0 {
		j += i + 1
		q := &kit.Readings[j]
		each("two rows exchanged", changed(func(list []measure.Reading) { numbers(&list[i], q); numbers(&list[j], r) }), i, j)
		each("the next row's numbers", changed(func(list []measure.Reading) { numbers(&list[i], q) }), i, j)
		each("the former row's numbers", changed(func(list []measure.Reading) { numbers(&list[j], r) }), i, j)
		if q.Mark != r.Mark {
			each("the next row's mark", changed(func(list []measure.Reading) { list[i].Mark = q.Mark }), i, j)
		}
	}
	if r.HasStation && r.HasOffset && r.Kind == measure.Point {
		each("station and offset exchanged", changed(func(list []measure.Reading) { list[i].Station, list[i].Offset = r.Offset, r.Station }), i)
	}
	for n, cell := range cells(r) {
		if *cell < 0 {
			each("sign lost", changed(func(list []measure.Reading) { *cells(&list[i])[n] = -*cell }), i)
		}
		for _, v := range transposed(*cell) {
			each("digits transposed", changed(func(list []measure.Reading) { *cells(&list[i])[n] = v }), i)
		}
	}
}

// Numbers that were read, but written into another row, or with digits or a sign in disorder, are named or move nothing by more than
// its U, but for those as small as what things are made to.
func TestExchangedNumbers(t *testing.T) {
	count, where := map[string]int{}, map[string]int{}
	silent := 0
	for _, w := range walkedKits(t, *exchanges) {
		for i := range w.kit.Readings {
			if !*exchanges && i%9 != 2 {
				continue
			}
			exchanged(w.kit, i, func(what string, k *measure.Kit, rows ...int) {
				by, named := 0.0, false
				for _, at := range rows {
					for n, cell := range cells(&w.kit.Readings[at]) {
						by = max(by, math.Abs(*cells(&k.Readings[at])[n]-*cell))
					}
				}
				got := Check(k, w.o)
				for _, at := range rows {
					named = named || got.names(&k.Readings[at])
				}
				var moved []string
				for id := range characteristics {
					if b, c := w.base.Find(id), got.Find(id); b.Measured() && c.Measured() && math.Abs(b.Value-c.Value) > Coverage*b.StdUncertainty {
						moved = append(moved, id.String())
					}
				}
				is := "named"
				switch {
				case named:
				case len(moved) == 0:
					is = "moves nothing"
				case by < tooSmall && what != "the next row's mark":
					is = "too small"
				default:
					is = "silent"
					r := &w.kit.Readings[i]
					silent++
					where[fmt.Sprintf("%s %s, %s", r.Feature, r.Kind, what)]++
					t.Logf("%s, line %d, %s %s: %s by %.2f is not named and moves %s", w.kit.Name, r.Place.Line, r.Feature, r.Kind, what, by, strings.Join(moved, ", "))
				}
				count[what+": "+is]++
			})
		}
	}
	for _, list := range []map[string]int{count, where} {
		for _, what := range slices.Sorted(maps.Keys(list)) {
			t.Logf("%s: %d", what, list[what])
		}
	}
	if silent > 0 && !*exchanges {
		t.Errorf("%d exchanges are not named", silent)
	}
}
