package html

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report"
)

// residualRow is the residuals of all readings of one feature.
type residualRow struct {
	Name   string
	Strip  template.HTML
	Values template.HTML
}

// residualRows gathers the residuals by datum and feature, in the order of the readings.
func residualRows(r *fit.Result) []residualRow {
	var order []string
	of := map[string][]*fit.Residual{}
	for i := range r.Residuals {
		e := &r.Residuals[i]
		name := e.Datum.String() + " " + e.Feature.String()
		if of[name] == nil {
			order = append(order, name)
		}
		of[name] = append(of[name], e)
	}
	var rows []residualRow
	for _, name := range order {
		rows = append(rows, residualRow{name, residualStrip(of[name]), residualValues(of[name])})
	}
	return rows
}

// residualStrip is a scale of standardised residuals from -4 to 4 with a tick for each number
// read; those beyond stand at its ends. The style draws the scale behind it.
func residualStrip(list []*fit.Residual) template.HTML {
	const width, most = 180.0, 4.0
	f := &figure{width: width, height: 18}
	x := between(-most, most, 6, width-6)
	data := ""
	for _, e := range list {
		if !e.Checked {
			continue
		}
		at := x.of(math.Max(-most, math.Min(most, e.W)))
		if e.Suspect {
			f.polygon("suspect", point{at, 3}, point{at + 6, 14}, point{at - 6, 14})
			continue
		}
		data += fmt.Sprintf("M%.0f 4v10", at)
	}
	if data != "" {
		f.path("", data)
	}
	return f.bare("dev")
}

// residualValues writes line and residual of each reading, in 0.01 mm; a point's two together.
// Readings of successive lines share one heading.
func residualValues(list []*fit.Residual) template.HTML {
	var b strings.Builder
	for i := 0; i < len(list); {
		end := i + 1
		for end < len(list) && list[end].Place.Line-list[end-1].Place.Line <= 1 && list[end].Place.Line >= list[end-1].Place.Line {
			end++
		}
		first, last := list[i].Place.Line, list[end-1].Place.Line
		b.WriteString("<b>" + strconv.Itoa(first))
		if last > first {
			b.WriteString("–" + strconv.Itoa(last))
		}
		b.WriteString("</b>")
		if !slices.ContainsFunc(list[i:end], func(e *fit.Residual) bool { return e.Checked || e.Suspect }) {
			b.WriteString(" unchecked\n")
			i = end
			continue
		}
		for ; i < end; i++ {
			separator := " "
			if i > 0 && list[i].Axis == measure.Offset.String() && list[i-1].Place == list[i].Place {
				separator = "/"
			}
			b.WriteString(separator + residualWord(list[i]))
		}
		b.WriteByte('\n')
	}
	return template.HTML(b.String()) //nolint:gosec // numbers and the program's own words only
}

func residualWord(e *fit.Residual) string {
	text := "·"
	if e.Checked {
		text = hundredths(e.Residual)
	}
	if e.Suspect {
		return "<mark>▲" + text + " suspect, line " + strconv.Itoa(e.Place.Line) + "</mark>"
	}
	return text
}

// hundredths writes a residual with its sign in hundredths of a millimetre.
func hundredths(mm float64) string {
	const perMM, longest = 100, 1e7
	if math.Abs(mm) > longest {
		return report.LimitWord(mm * perMM)
	}
	text := strconv.FormatFloat(math.Round(mm*perMM), 'f', 0, 64)
	switch {
	case text == "-0" || text == "0":
		return "0"
	case mm > 0:
		return "+" + text
	}
	return "−" + text[1:]
}
