package html

import (
	"html/template"
	"io"
	"math"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/fit/study"
	"neckfit/measure"
	"neckfit/report/words"
)

// Gauge writes gauge studies as a page: which gauge to mend, what to write into gauges.csv and that table ready
// to use, then each study with its readings drawn. Gauges are those of the table as it is to be; batch is the
// input as the user gave it, which may be "".
func Gauge(w io.Writer, studies []*study.Study, gauges []measure.Gauge, batch string) error {
	var table strings.Builder
	if err := measure.WriteGauges(&table, gauges); err != nil {
		return err
	}
	lines := strings.Split(table.String(), "\n")
	for i := range lines {
		lines[i] = words.Harmless(lines[i])
	}
	entries := words.GaugeEntries(studies)
	if note := len(entries[0]) - 1; !slices.ContainsFunc(entries, func(e []string) bool { return e[note] != "" }) {
		for i := range entries {
			entries[i] = entries[i][:note]
		}
	}
	p := &gaugePage{
		shell: newShell("Study of "+words.Amount(len(entries)-1, "gauge", "gauges"), batch), Headline: words.GaugeHeadline(studies),
		EntryHead: entries[0], Entries: entries[1:], Table: strings.Join(lines, "\n"), Hint: words.GaugesHint, Note: words.GaugeNote, Assumed: words.StudiesAssumed(studies),
	}
	counts := map[fit.Verdict]int{}
	for i, s := range studies {
		v := studyView{
			Place: words.StudyPlace(s), Verdict: words.GaugeVerdict(s), Said: []string{words.StudyHeadline(s) + ".", words.StudyReadings(s)}, Chart: deviations(s),
		}
		verdict := fit.Pass
		switch {
		case s.Share() > lot.GaugeInadequate:
			verdict = fit.Fail
		case s.Share() > lot.GaugeAdequate:
			verdict = fit.Unsure
		}
		v.Sign, v.Colour = words.Sign(verdict), words.Verdict(verdict)
		if s.ANOVA == nil {
			v.Said = append(v.Said, words.NoStudy(s))
		} else {
			rows := words.StudyRows(s)
			v.Head, v.Rows = rows[0], rows[1:]
			v.Said = append(v.Said, words.VarianceShares(s))
			if text := words.Categories(s); text != "" {
				v.Said = append(v.Said, text)
			}
			v.Said = append(v.Said, words.LotWarnings(s.ANOVA.Warnings)...)
		}
		if i == 0 || s.Gauge != studies[i-1].Gauge { // the first of a gauge is over all its places
			p.Gauges = append(p.Gauges, gaugeView{Number: len(p.Gauges) + 1, Name: words.KitName(s.Gauge, len(p.Gauges)+1)})
			counts[verdict]++
		}
		of := &p.Gauges[len(p.Gauges)-1]
		of.Studies = append(of.Studies, v)
	}
	p.Tally = threeTallies([3]string{"✕ inadequate", "? marginal", "✓ adequate"}, [3]int{counts[fit.Fail], counts[fit.Unsure], counts[fit.Pass]})
	p.Glossary = words.Glossary(words.GaugeTerms...)
	return templates.ExecuteTemplate(w, "gauges", p)
}

// gaugePage is what the template gauges takes.
type gaugePage struct {
	shell
	Headline, Table, Hint, Note, Assumed string
	Tally                                []tally
	EntryHead                            []string
	Entries                              [][]string
	Gauges                               []gaugeView
}

// gaugeView is a gauge with its studies, that over all its places first.
type gaugeView struct {
	Number  int
	Name    string
	Studies []studyView
}

type studyView struct {
	Place, Verdict, Sign, Colour string
	Said                         []string
	Head                         []string
	Rows                         [][]string
	Chart                        template.HTML
}

// deviations draws every reading of a study by how much it differs from the mean of its place: a field for each
// person, in it the places in their order, and a bar at the person's mean. The band is where 997 readings in 1000
// of a gauge lie that takes up no more than may be: three standard deviations either way.
func deviations(s *study.Study) template.HTML {
	const height, left, right, top, bottom, letter, mostNamed = 210.0, 54.0, 446.0, 26.0, 176.0, 9.0, 8
	band := lot.GaugeInadequate * s.Tolerance.Width / 2
	reach := 1.15 * band
	sums, counts := make([]float64, len(s.Persons)), make([]float64, len(s.Persons))
	for _, d := range s.Deviations {
		reach = math.Max(reach, 1.05*math.Abs(d.MM))
		sums[d.Person] += d.MM
		counts[d.Person]++
	}
	f := &figure{width: chartWidth, height: height}
	y := between(-reach, reach, bottom, top)
	f.rect("band", left, y.of(band), right-left, y.of(-band)-y.of(band))
	for _, v := range []float64{-band, band} {
		f.line("control", point{left, y.of(v)}, point{right, y.of(v)})
		f.text("tiny e", point{left - 4, y.of(v) + 4}, words.Small(v))
	}
	f.line("base", point{left, y.of(0)}, point{right, y.of(0)})
	f.text("note", point{14, 16}, words.DeviationsNote)
	wide := (right - left) / float64(len(s.Persons))
	dots := ""
	for i, d := range s.Deviations {
		x := between(-1, float64(s.Places), left+wide*float64(d.Person), left+wide*float64(d.Person+1))
		trial := 0
		for k := i - 1; k >= 0 && s.Deviations[k].Place == d.Place && s.Deviations[k].Person == d.Person; k-- {
			trial++
		}
		dots += dot(point{x.of(float64(d.Place)) + math.Min(1.5, wide/float64(4*s.Places))*float64(trial), y.of(d.MM)})
	}
	f.path("dots fine", dots)
	for i, name := range s.Persons {
		from, to := left+wide*float64(i), left+wide*float64(i+1)
		if i > 0 {
			f.line("control", point{from, top}, point{from, bottom})
		}
		f.line("mean", point{from + 3, y.of(sums[i] / counts[i])}, point{to - 3, y.of(sums[i] / counts[i])})
		if letters, most := []rune(words.Person(name)), int(wide/letter); len(s.Persons) <= mostNamed {
			if len(letters) > most {
				letters = append(letters[:most-1], '…')
			}
			f.text("tiny m", point{(from + to) / 2, bottom + 16}, string(letters))
		}
	}
	f.text("note", point{14, height - 4}, words.DeviationsBand)
	return f.svg("fig", words.DeviationsLabel(s), "data-y", y.data())
}
