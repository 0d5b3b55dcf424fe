package measure

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// One fault in many cells is one line with their number and the first of them, as a spreadsheet names
// them: a row of it is a record, however many lines a note has.
func TestGroupedErrors(t *testing.T) {
	text := header + "# a comment\n" + strings.Repeat("A,body,pocket,,,width,x,,2,,,\n", 40) +
		"A,body,\"pocket\",,,width,1,,y,in,\"two\nlines\",\nA,bodi,pocket,,,width,1,,2,,ruler,\nA,body,pocket,,,width,1,,z,in,ruler,\nA,body,pocket,1,,width,1,,2,,,\nA,body,pocket,2,,width,1,,2,,,\n"
	_, err := readAll(t, "-", text)
	all, ok := err.(Errors)
	if !ok {
		t.Fatal(err)
	}
	want := []string{
		`stdin:3:23: station "x" is not a number, expected a length in millimetres such as 55.6 (40 cells: G3, G4, G5 and 37 more)`,
		`stdin:43:28: size "y" is not a number, expected a length in inches such as 2.1875 or 2 3/16 (2 cells: I43, I45)`,
		`stdin:43:33: gauge "two\nlines" is not in gauges.csv, expected one of calliper, calliper-inside, rule, feeler, straightedge (cell K43)`,
		`stdin:45:3: datum "bodi" is unknown, expected "body" (cell B44)`,
		`stdin:45:29: gauge "ruler" is not in gauges.csv (2 rows have it), expected one of calliper, calliper-inside, rule, feeler, straightedge (cell K44)`,
		`stdin:47:15: mark "1" is not used by feature pocket, expected a blank cell (2 cells: D46, D47)`,
	}
	if diff := cmp.Diff(want, all.Grouped()); diff != "" {
		t.Error(diff)
	}
}

// Ten thousand gauges and ten thousand cells that name none of them make a message that can be read.
func TestBoundedMessages(t *testing.T) {
	var gauges, readings strings.Builder
	gauges.WriteString("gauge,resolution\n")
	readings.WriteString("kit,datum,feature,kind,station,size,gauge\n")
	for i := range 10000 {
		fmt.Fprintf(&gauges, "gauge number %d,0.1\n", i)
		fmt.Fprintf(&readings, "A,body,pocket,width,1,2,cal %d\n", i)
	}
	_, err := readAll(t, folder(t, map[string]string{"readings.csv": readings.String(), "gauges.csv": gauges.String()}), "")
	all, ok := err.(Errors)
	if !ok || len(all) != 1001 || all[1000].What != "and 9000 more errors that are not listed" {
		t.Fatalf("%d errors, %.200v", len(all), err)
	}
	if n := len(err.Error()); n > 2_000_000 {
		t.Errorf("%d bytes of messages", n)
	}
	if n := len(strings.Join(all.Grouped(), "\n")); n > 2_000_000 {
		t.Errorf("%d bytes in groups", n)
	}
}
