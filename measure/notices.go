package measure

import (
	"fmt"
	"hash/maphash"
	"maps"
	"slices"
	"strings"

	"neckfit/measure/csvtext"
)

// found is what a reading of the file found that the other tables, or whoever filled them in, may want to
// know.
type found struct {
	blank       rows // of a sheet, in which nothing was written yet
	identical   rows // that were there already, in every cell
	identicalTo int  // the first line that was pasted again
	strings     int  // the greatest number of one
	gauges      map[*Gauge]bool
	unknown     []string // the first kits without a row in kits.csv
}

// rows counts rows.
type rows struct{ n, first int }

func (r *rows) count(line int) {
	if r.n == 0 {
		r.first = line
	}
	r.n++
}

// kit notes a kit that was met.
func (f *found) kit(name string, infos map[string]Info) {
	const enough = 1000 // to look for the one that was meant
	if _, ok := infos[name]; !ok && len(infos) > 0 && len(f.unknown) < enough {
		f.unknown = append(f.unknown, strings.Clone(name))
	}
}

// Notices tells of what is no mistake but may not be meant: rows in which nothing was written yet, rows that
// were pasted twice, rows of the small tables that match nothing. They are of the last run through the
// readings that went well.
func (b *Batch) Notices() []Notice { return b.notices }

// notices are those of a run.
func (k *kitReader) notices() []Notice {
	f, file := &k.found, k.batch.readings.name()
	all := slices.Clone(k.errs.Notices())
	if n := f.blank.n; n > 0 {
		all = append(all, Notice{Place: Place{File: file, Line: f.blank.first}, What: some(n, "row has no numbers yet and was not read", "rows have no numbers yet and were not read, the first of them here")})
	}
	if n := f.identical.n; n > 0 {
		what := some(n, "row is in every cell like one before it and was not counted", "rows are in every cell like one before them and were not counted, the first of them here")
		all = append(all, Notice{Place: Place{File: file, Line: f.identical.first}, What: fmt.Sprintf("%s; the first is line %d once more. A second reading of the same place has a trial number", what, f.identicalTo)})
	}
	all = append(all, k.unmatchedGauges()...)
	places := map[string]Place{} // of rows of kits.csv of which there is no reading
	for name, info := range k.batch.Infos {
		if !k.seen.has(maphash.String(k.seed, name)) {
			places[name] = info.Place
		}
	}
	all = append(all, unmatched("no reading is of kit %s", "and no reading of %d more kits", places, f.unknown)...)
	return append(all, k.unmatchedStrings()...)
}

// some counts in words.
func some(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// unmatchedGauges are rows of gauges.csv that no reading names, but for those of the built-in gauges,
// which stand for blanks.
func (k *kitReader) unmatchedGauges() []Notice {
	places, used := map[string]Place{}, []string{}
	for _, g := range BuiltInGauges() {
		used = append(used, g.ID)
	}
	builtIn := len(used)
	for _, id := range slices.Sorted(maps.Keys(k.batch.Gauges)) {
		switch g := k.batch.Gauges[id]; {
		case slices.Contains(used[:builtIn], id):
		case k.found.gauges[g]:
			used = append(used, id)
		default:
			places[id] = g.Place
		}
	}
	return unmatched("no reading names gauge %s", "nor %d more gauges", places, used)
}

// unmatchedStrings are rows of strings.csv beyond the strings that any kit has.
func (k *kitReader) unmatchedStrings() (all []Notice) {
	most := k.found.strings
	for _, info := range k.batch.Infos {
		most = max(most, info.Strings)
	}
	for _, n := range slices.Sorted(maps.Keys(k.batch.stringPlaces)) {
		if most > 0 && n > most {
			all = append(all, Notice{Place: k.batch.stringPlaces[n], What: fmt.Sprintf("no kit has a string %d; the most is %d", n, most)})
		}
	}
	return all
}

// unmatched tells of names that match nothing, in the order of their places: each of which another one is
// near, and a few of the others.
func unmatched(one, more string, places map[string]Place, others []string) (all []Notice) {
	names := slices.SortedFunc(maps.Keys(places), func(a, b string) int { return places[a].Line - places[b].Line })
	const shown = 3
	told := 0
	for _, name := range names {
		what := fmt.Sprintf(one, csvtext.Quote(name))
		if near := csvtext.Nearest(name, others); near != "" && len(all) < 10*shown {
			all = append(all, Notice{Place: places[name], What: what + "; is it " + csvtext.Quote(near) + "?"})
			continue
		}
		if told++; told <= shown {
			all = append(all, Notice{Place: places[name], What: what})
		}
	}
	if told > shown {
		last := &all[len(all)-1]
		last.What += ", " + fmt.Sprintf(more, told-shown)
	}
	return all
}
