package measure

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const header = "kit,datum,feature,mark,to,kind,station,offset,size,unit,gauge,trial\n"

var badReadings = []struct {
	name, text string
	want       []string
}{
	{"unknown words", header + "A,bodi,poket-bass,,,ofset,1,2,,,,\n", []string{
		`stdin:2:3: datum "bodi" is unknown, expected "body"`,
		`stdin:2:8: feature "poket-bass" is unknown, expected "pocket-bass"`,
		`stdin:2:21: kind "ofset" is unknown, expected "offset"`,
	}},
	{"blank words", header + ",,,,,,1,2,,,,\n", []string{
		`stdin:2:1: kit is blank, expected a name in every row; merged cells fill only their first`,
		`stdin:2:2: datum is blank, expected one of body, neck, bridge, edge-bass, edge-treble`,
		`stdin:2:3: feature is blank, expected one of edge-bass, edge-treble, fingerboard, heel-bass, heel-treble, heel, heel-end, heel-corner, nut, nut-slot, fret, heel-screw, fret-top, pocket-bass, pocket-treble, pocket, pocket-end, pocket-corner, pocket-floor, top, bridge-screw, string-hole, neck-screw, ferrule, body-centre, pickup, cavity, outline, plate-screw, plate-hole, saddle, saddle-front, saddle-back, saddle-low, saddle-high, plate-edge`,
		`stdin:2:6: kind is blank, expected one of point, offset, station, offset-near, offset-far, station-near, station-far, width, distance, diameter, radius, height, gap`,
	}},
	{"a word like none", header + "A,xyz,top,,,height,1,2,3,,,\n", []string{
		`stdin:2:3: datum "xyz" is unknown, expected one of body, neck, bridge, edge-bass, edge-treble`,
	}},
	{"kind of another feature", header + "A,neck,heel-bass,,,gap,1,,2,,,\n", []string{
		`stdin:2:20: kind "gap" does not go with feature heel-bass, expected one of point, offset`,
	}},
	{"datum of another part", header + "A,neck,pocket,,,width,1,,2,,,\n", []string{
		`stdin:2:3: datum "neck" does not go with feature pocket, expected one of body, edge-bass, edge-treble`,
	}},
	{"gap with the neck out", header + "A,neck,pocket-bass,,,gap,1,,0.1,,,\n", []string{
		`stdin:2:3: datum "neck" does not go with feature pocket-bass and kind gap, expected body`,
	}},
	{"edge from its own datum", header + "A,edge-bass,edge-treble,,,offset,1,2,,,,\n", []string{
		`stdin:2:3: datum "edge-bass" does not go with feature edge-treble, expected one of neck, body`,
	}},
	{"number that the kind does not use", header + "A,body,bridge-screw,1,,offset,,2,3,,,\n", []string{
		`stdin:2:34: size "3" is not used by kind offset of bridge-screw, expected a blank cell`,
	}},
	{"number that the kind needs", header + "A,body,pocket,,,width,,,5,,,\nA,body,pocket,,,width,5,,,,,\n", []string{
		`stdin:2:23: station is blank, but kind width of pocket needs it, expected a length`,
		`stdin:3:26: size is blank, but kind width of pocket needs it, expected a length`,
	}},
	{"mark missing", header + "A,body,bridge-screw,,,diameter,,,3,,,\n", []string{
		`stdin:2:21: mark is blank, but feature bridge-screw needs it, expected a hole's number`,
	}},
	{"mark not used", header + "A,body,pocket,1,,width,1,,3,,,\n", []string{
		`stdin:2:15: mark "1" is not used by feature pocket, expected a blank cell`,
	}},
	{"mark no number", header + "A,body,bridge-screw,one,,diameter,,,3,,,\nA,neck,fret,40,,station,1,,,,,\n", []string{
		`stdin:2:21: mark "one" is no such number, expected a hole's number, from 1 to 99`,
		`stdin:3:13: mark "40" is no such number, expected a fret's number, from 1 to 36`,
	}},
	{"corner", header + "A,body,pocket-corner,left,,radius,,,3,,,\n", []string{
		`stdin:2:22: mark "left" is unknown, expected one of bass, treble`,
	}},
	{"distance", header + "A,body,bridge-screw,1,,distance,,,3,,,\nA,body,bridge-screw,1,1,distance,,,3,,,\nA,body,bridge-screw,1,2,diameter,,,3,,,\n", []string{
		`stdin:2:23: to is blank, but kind distance needs it, expected a hole's number`,
		`stdin:3:23: to "1" is the same as mark, expected another mark`,
		`stdin:4:23: to "2" is not used by kind diameter, expected a blank cell`,
	}},
	{"doubled", header + "A,body,bridge-screw,1,,point,1,2,,,,\nA,body,bridge-screw,1,,point,1.1,2,,,,\n", []string{
		`stdin:3:21: mark "1" of bridge-screw was read already on line 2, expected another mark, or a trial number if it was read again`,
	}},
	{"doubled the other way round", header + "A,body,bridge-screw,1,2,distance,,,9,,,\nA,body,bridge-screw,2,1,distance,,,9,,,\n", []string{
		`stdin:3:21: mark "2" of bridge-screw was read already on line 2, expected another mark, or a trial number if it was read again`,
	}},
	{"doubled fret", header + "A,neck,fret,1,,station,1,,,,,\nA,neck,fret,1,,station,1.1,,,,,\n", []string{
		`stdin:3:13: mark "1" of fret was read already on line 2, expected another mark, or a trial number if it was read again`,
	}},
	{"offset from an edge", header + "A,edge-bass,bridge-screw,1,,offset,,-2,,,,\n", []string{
		`stdin:2:37: offset "-2" is negative, expected 0 or more: offsets from an edge grow inward`,
	}},
	{"sizes", header + "A,body,pocket,,,width,1,,0,,,\nA,body,pocket,,,width,1,,-5,,,\nA,body,pocket-bass,,,gap,1,,-0.1,,,\n", []string{
		`stdin:2:26: size "0" is not above zero, expected a length above 0`,
		`stdin:3:26: size "-5" is not above zero, expected a length above 0`,
		`stdin:4:29: size "-0.1" is negative, expected 0 or more`,
	}},
	{"unit", header + "A,body,pocket,,,width,x,,y,cm,,\nA,body,pocket,,,width,1,,2,deg,,\n", []string{
		`stdin:2:28: unit "cm" is no unit of length, expected mm or in, or blank for mm`,
		`stdin:3:28: unit "deg" is no unit of length, expected mm or in, or blank for mm`,
	}},
	{"inch mark", header + "A,body,pocket,,,width,1,,2 3/16\",mm,,\n", []string{
		`stdin:2:26: size "2 3/16\"" has an inch mark in a row whose unit is mm, expected a length in millimetres such as 55.6, or "in" in column unit`,
	}},
	{"fraction", header + "A,body,pocket,,,width,1,,2 3/16,,,\n", []string{
		`stdin:2:26: size "2 3/16" is a fraction in a row whose unit is mm, expected a length in millimetres such as 55.6, or "in" in column unit`,
	}},
	{"not numbers", header + "A,body,pocket,,,width,NaN,,Inf,,,\nA,body,pocket,,,width,1_0,,0x10,,,\nA,body,pocket,,,width,1e400,,12345,,,\n" +
		"A,body,pocket,,,width,--1,,1.2.3,,,\nA,body,pocket,,,width,1/0,,2 5/4,in,,\nA,body,pocket,,,width,5 mm,,1e,,,\n", []string{
		`stdin:2:23: station "NaN" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:2:28: size "Inf" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:3:23: station "1_0" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:3:28: size "0x10" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:4:23: station "1e400" is out of range, expected a length under 10000 mm`,
		`stdin:4:30: size "12345" is out of range, expected a length under 10000 mm`,
		`stdin:5:23: station "--1" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:5:28: size "1.2.3" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:6:23: station "1/0" is not a proper fraction, expected one with a divisor from 1 to 1024, as in 2 3/16`,
		`stdin:6:28: size "2 5/4" is not a proper fraction, expected one with a divisor from 1 to 1024, as in 2 3/16`,
		`stdin:7:23: station "5 mm" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:7:29: size "1e" is not a number, expected a length in millimetres such as 55.6`,
	}},
	{"thousands", header + "A,body,pocket,,,width,1 234,,1'234.5,,,\nA,body,pocket,,,width,12.345.678,,1.2345.6,,,\n", []string{
		`stdin:2:23: station "1 234" has a thousands separator, expected a length in millimetres such as 55.6, without one`,
		`stdin:2:30: size "1'234.5" has a thousands separator, expected a length in millimetres such as 55.6, without one`,
		`stdin:3:23: station "12.345.678" has a thousands separator, expected a length in millimetres such as 55.6, without one`,
		`stdin:3:35: size "1.2345.6" is not a number, expected a length in millimetres such as 55.6`,
	}},
	{"dates", header + "A,body,pocket,,,width,12.03.2026,,2026-03-12,,,\nA,body,pocket,,,width,3/16/26,,16-Mar,in,,\nA,body,pocket,,,width,Jan 08,,1. Mai,,,\nA,body,pocket,,,width,1,,12 mm,,,\n", []string{
		`stdin:2:23: station "12.03.2026" looks like a date, expected a length in millimetres such as 55.6; a spreadsheet leaves the number alone in a column whose format is text`,
		`stdin:2:35: size "2026-03-12" looks like a date, expected a length in millimetres such as 55.6; a spreadsheet leaves the number alone in a column whose format is text`,
		`stdin:3:23: station "3/16/26" looks like a date, expected a length in inches such as 2.1875 or 2 3/16; a spreadsheet leaves the number alone in a column whose format is text`,
		`stdin:3:32: size "16-Mar" looks like a date, expected a length in inches such as 2.1875 or 2 3/16; a spreadsheet leaves the number alone in a column whose format is text`,
		`stdin:4:23: station "Jan 08" looks like a date, expected a length in millimetres such as 55.6; a spreadsheet leaves the number alone in a column whose format is text`,
		`stdin:4:31: size "1. Mai" looks like a date, expected a length in millimetres such as 55.6; a spreadsheet leaves the number alone in a column whose format is text`,
		`stdin:5:26: size "12 mm" is not a number, expected a length in millimetres such as 55.6`,
	}},
	{"decimal comma", header + "A,body,pocket,,,width,\"1,5\",,\"1.234,5\",,,\nA,body,pocket,,,width,\"1,234\",,\"0,234\",,,\n", []string{
		`stdin:2:23: station "1,5" has a decimal comma in a file whose cells are parted by commas, expected a decimal point`,
		`stdin:2:30: size "1.234,5" has a thousands separator, expected a length in millimetres such as 55.6, without one`,
		`stdin:3:23: station "1,234" has a thousands separator, expected a length in millimetres such as 55.6, without one`,
		`stdin:3:32: size "0,234" has a decimal comma in a file whose cells are parted by commas, expected a decimal point`,
	}},
	{"gauge", header + "A,body,pocket,,,width,1,,2,,ruler,\n", []string{
		`stdin:2:29: gauge "ruler" is not in gauges.csv, expected one of calliper, calliper-inside, rule, feeler, straightedge`,
	}},
	{"gauge in many rows", "kit,datum,feature,kind,station,size,gauge,station_gauge\nA,body,pocket,width,1,2,ruler,\nA,body,pocket,width,2,2,calliper,\nA,body,pocket,width,3,2,ruler,ruler\nA,body,pocket,width,x,2,tape,ruler\n", []string{
		`stdin:2:25: gauge "ruler" is not in gauges.csv (3 rows have it), expected one of calliper, calliper-inside, rule, feeler, straightedge`,
		`stdin:5:21: station "x" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:5:25: gauge "tape" is not in gauges.csv, expected one of calliper, calliper-inside, rule, feeler, straightedge`,
	}},
	{"trial", header + "A,body,pocket,,,width,1,,2,,,0\nA,body,pocket,,,width,1,,2,,,1.5\n", []string{
		`stdin:2:30: trial "0" is no such number, expected a whole number, from 1 to 9999`,
		`stdin:3:30: trial "1.5" is no such number, expected a whole number, from 1 to 9999`,
	}},
	{"control character", header + "A\x1b[2J,body,pocket,,,width,1,,2,,,\n", []string{
		`stdin:2:1: kit "A\x1b[2J" has a line break or another control character, expected plain text`,
	}},
	{"columns are characters", header + "Käse,body,pocket,,,width,x,,2,,,\n\"ä,\"\"\nö\",body,pocket,,,width,x,,2,,,\n", []string{
		`stdin:2:26: station "x" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:3:1: kit "ä,\"\nö" has a line break or another control character, expected plain text`,
		`stdin:4:24: station "x" is not a number, expected a length in millimetres such as 55.6`,
	}},

	{"empty", "", []string{
		`stdin:1:1: the file has no header, expected the columns kit, datum, feature, mark, to, kind, station, offset, size, unit, gauge, station_gauge, trial, by, stage, note`,
	}},
	{"only comments", "# nothing\n\n", []string{
		`stdin:1:1: the file has no header, expected the columns kit, datum, feature, mark, to, kind, station, offset, size, unit, gauge, station_gauge, trial, by, stage, note`,
	}},
	{"unknown column", "kit,datum,feature,kind,statoin,colour\nA,body,pocket,width,1,2\n", []string{
		`stdin:1:24: column "statoin" is unknown, expected "station"; a header that starts with # is passed over`,
		`stdin:1:32: column "colour" is unknown, expected one of kit, datum, feature, mark, to, kind, station, offset, size, unit, gauge, station_gauge, trial, by, stage, note; a header that starts with # is passed over`,
	}},
	{"doubled column", "kit,datum,feature,kind,Kit\n", []string{
		`stdin:1:24: column "kit" is there twice, first as column 1, expected one column of that name`,
	}},
	{"missing columns", "kit,station\n", []string{
		`stdin:1:1: column "datum" is missing, expected a header with kit, datum, feature, kind`,
		`stdin:1:1: column "feature" is missing, expected a header with kit, datum, feature, kind`,
		`stdin:1:1: column "kind" is missing, expected a header with kit, datum, feature, kind`,
	}},
	{"too many cells", "kit,datum,feature,kind\nA,body,pocket,width,1\n", []string{
		`stdin:2:21: the row has 5 cells, expected 4 as the header has`,
	}},
	{"too few cells", "kit,station,datum,feature,kind,note\nA,1,body\n", []string{
		`stdin:2:9: the row has 3 cells, expected 6 as the header has`,
	}},
	{"absent column", "kit,datum,feature,kind,station\nA,body,pocket,width,1\n", []string{
		`stdin:2:1: size is blank, but kind width of pocket needs it, expected a length`,
	}},
	{"text in a nameless column", "kit,datum,feature,kind,offset,station,,\nA,body,outline,point,1,2,,what\n", []string{
		`stdin:2:27: there is a cell in a column without a name, expected a name in the header, or # to pass the column over`,
	}},
	{"open quote", "kit,datum,feature,kind\nA,body,\"pocket,width\nB,body\n", []string{
		`stdin:2:8: a quote is opened here and never closed, expected a closing quote, or none`,
	}},
	{"text after a quote", "kit,datum,feature,kind\nA,body,\"pocket\"x,width\nB,bodi,pocket,width\n", []string{
		`stdin:2:8: there is text after the closing quote of the cell, expected a delimiter; a quote inside a quoted cell is doubled`,
		`stdin:3:3: datum "bodi" is unknown, expected "body"`,
	}},
	{"bad header", "kit,\"datum\"x,feature,kind\nA,body,pocket,width\n", []string{
		`stdin:1:5: there is text after the closing quote of the cell, expected a delimiter; a quote inside a quoted cell is doubled`,
	}},
	{"header in Latin-1", "kit,datum,feature,kind,#H\xf6he\nA,body,pocket,width\n", []string{
		`stdin:1:26: byte 0xF6 is not UTF-8, expected the table exported as CSV in UTF-8`,
	}},
	{"endless line", "kit,datum,feature,kind\n" + strings.Repeat("A,", 1<<16), []string{
		`stdin:2:1: the line is longer than 65536 bytes, expected a table with a row a line`,
	}},
	{"endless quote", "kit,datum,feature,kind\n\"" + strings.Repeat("A,\n", 1<<16), []string{
		`stdin:2:1: a quote is opened here and never closed, expected a closing quote, or none`,
	}},
	{"Latin-1", "kit,datum,feature,kind\nK\xe4se,body,pocket,width\nK\xe4se,body,pocket,width\n", []string{
		`stdin:2:2: byte 0xE4 is not UTF-8, expected the table exported as CSV in UTF-8`,
	}},
	{"UTF-32", "\xff\xfe\x00\x00k\x00\x00\x00", []string{
		`stdin:1:1: this file is in UTF-32, expected the table exported as CSV in UTF-8`,
	}},
	{"UTF-16 without a mark", "k\x00i\x00t\x00\n\x00", []string{
		`stdin:1:1: this file is in UTF-16 without a byte-order mark, or is no text, expected the table exported as CSV in UTF-8`,
	}},
	{"workbook", "PK\x03\x04....", []string{
		`stdin:1:1: this is a spreadsheet's own file (.xlsx or .ods), not CSV, expected the table exported as CSV in UTF-8`,
	}},
	{"page", "\ufeff<!doctype html>\n<table>", []string{
		`stdin:1:1: this is a web page or another file of tags, not CSV, expected the table exported as CSV in UTF-8`,
	}},
	{"results", "{\"kit\":\"A\"}\n", []string{
		`stdin:1:1: this is JSON, not CSV, expected the table exported as CSV in UTF-8`,
	}},
	{"a title above the header", "Measurements of March\nkit,datum,feature,kind\n", []string{
		`stdin:1:1: the first line is no header, expected the columns kit, datum, feature, mark, to, kind, station, offset, size, unit, gauge, station_gauge, trial, by, stage, note, parted by commas, semicolons or tabs; lines above them begin with #`,
	}},
	{"signs that are no numbers", header + "A,body,pocket,,,width,#N/A,,#DIV/0!,in,,\nA,body,pocket,,,width,−5,,5¼,in,,\nA,body,pocket,,,width,n/a,,####,,,\n", []string{
		`stdin:2:23: station "#N/A" is what a spreadsheet writes for an error or a narrow column, expected a length in inches such as 2.1875 or 2 3/16`,
		`stdin:2:29: size "#DIV/0!" is what a spreadsheet writes for an error or a narrow column, expected a length in inches such as 2.1875 or 2 3/16`,
		`stdin:3:23: station "−5" has a printer's minus or dash, expected a length in inches such as 2.1875 or 2 3/16, with a plain - for minus`,
		`stdin:3:27: size "5¼" has a fraction in one character, expected a length in inches such as 2.1875 or 2 3/16; write 1/2 and so on`,
		`stdin:4:23: station "n/a" is not a number, expected a length in millimetres such as 55.6`,
		`stdin:4:28: size "####" is what a spreadsheet writes for an error or a narrow column, expected a length in millimetres such as 55.6`,
	}},
	{"another table", "# the gauges\nGauge,resolution,#,\nx,1,,\n", []string{
		`stdin:2:1: this is the header of a gauges.csv, expected that of a readings.csv, with kit, datum, feature, kind`,
	}},
	{"old line ends", "kit,datum,feature,kind,station,size\rA,body,pocket,width,x,1\r", []string{
		`stdin:2:21: station "x" is not a number, expected a length in millimetres such as 55.6`,
	}},
	{"old and new line ends", "kit,datum,feature,kind,station,size\nA,body,pocket,width,1,2\rA,body,pocket,width,1,2\n", []string{
		`stdin:2:27: the row has 11 cells, expected 6 as the header has`,
	}},
	{"mixed decimal signs", "kit;datum;feature;kind;station;size\nA;body;pocket;width;1,5;56\nA;body;pocket;width;2.5;1.234,5\nA;body;pocket;width;2;1,234\n", []string{
		`stdin:3:21: station "2.5" has the decimal sign "." where line 2 has ",", expected one decimal sign in all the file`,
		`stdin:3:25: size "1.234,5" has a thousands separator, expected a length in millimetres such as 55.6, without one`,
	}},
}

// Every message says what is wrong, where, and what is wanted instead.
func TestBadReadings(t *testing.T) {
	for _, c := range badReadings {
		t.Run(c.name, func(t *testing.T) {
			kits, err := readAll(t, "-", c.text)
			if diff := cmp.Diff(c.want, messages(err, "")); diff != "" {
				t.Error(diff)
			}
			if len(kits) > 0 {
				t.Errorf("%d kits were handed on all the same", len(kits))
			}
		})
	}
}

var badTables = []struct {
	name, file, text string
	want             []string
}{
	{"gauge", "gauges.csv", "gauge,kind,resolution,max_error,repeatability,unit\n,x,1,1,1,\ng,x,-1,a,1,\nh,x,0,,0,\ni,x,1,1,1,\ni,x,1,1,1,\n", []string{
		`gauges.csv:2:1: gauge is blank, expected a name`,
		`gauges.csv:3:5: resolution "-1" is negative, expected 0 or more`,
		`gauges.csv:3:8: max_error "a" is not a number, expected a length in millimetres such as 55.6`,
		`gauges.csv:4:1: gauge "h" has no uncertainty at all, expected at least one of resolution, max_error, repeatability and reproducibility above 0`,
		`gauges.csv:6:1: gauge "i" is there already on line 5, expected another id`,
	}},
	{"kits", "kits.csv", "kit,scale_bass,scale_treble,straight_fret,zero_fret,board_radius,saddles,slant,aim,unit\n" +
		"A,34,,,,,,,,in\nB,,,7,maybe,-3,,,,\nC,,,,,,singly,x,bridge-scew,\n", []string{
		`kits.csv:2:3: scale_bass and scale_treble come together, expected both, or scale alone where the frets are square`,
		`kits.csv:3:7: zero_fret "maybe" is unknown, expected one of yes, no`,
		`kits.csv:3:13: board_radius "-3" is not above zero, expected a length above 0`,
		`kits.csv:4:8: saddles "singly" is unknown, expected one of each, pairs, fixed`,
		`kits.csv:4:15: slant "x" is not a number, expected a length in millimetres such as 55.6`,
		`kits.csv:4:17: aim "bridge-scew" is unknown, expected "bridge-skew"`,
	}},
	{"limits", "limits.csv", "characteristic,lower,upper,unit,class,source\nbridge-scew,0,1,deg,,\nbridge-skew,0,1,mm,,\ncentre-line-error,0,1,deg,,\n" +
		"pocket-gap-mouth,,,mm,mayor,\npocket-gap-mouth,2,1,,,\nbridge-skew,-400,,,,\n,1,2,,,\n", []string{
		`limits.csv:2:1: characteristic "bridge-scew" is unknown, expected "bridge-skew"`,
		`limits.csv:3:17: unit "mm" is no unit for an angle, expected deg, or blank for deg`,
		`limits.csv:4:23: unit "deg" is no unit of length, expected mm or in, or blank for mm`,
		`limits.csv:5:18: lower and upper are both blank, expected at least one of them`,
		`limits.csv:5:23: class "mayor" is unknown, expected "major"`,
		`limits.csv:6:1: characteristic "pocket-gap-mouth" is there already on line 5, expected one row for each`,
		`limits.csv:6:18: lower "2" is above upper, expected one that is not`,
		`limits.csv:7:1: characteristic "bridge-skew" is there already on line 3, expected one row for each`,
		`limits.csv:7:13: lower "-400" is out of range, expected an angle of at most 360 degrees`,
		`limits.csv:8:1: characteristic is blank, expected a name`,
	}},
	{"kits", "kits.csv", "kit,hand,strings,frets,scale\nA,lefty,0,40,-1\nB,,,,\nB,,,,\n,,,,\n", []string{
		`kits.csv:2:3: hand "lefty" is unknown, expected "left"`,
		`kits.csv:2:9: strings "0" is no such number, expected how many strings there are, from 1 to 24`,
		`kits.csv:2:11: frets "40" is no such number, expected the last fret's number, from 1 to 36`,
		`kits.csv:2:14: scale "-1" is not above zero, expected a length above 0`,
		`kits.csv:4:1: kit "B" is there already on line 3, expected one row for each kit`,
	}},
	{"strings", "strings.csv", "string,compensation\n1,1\n1,2\n,\nx,y\n99,1\n", []string{
		`strings.csv:3:1: string "1" is there already on line 2, expected one row for each string`,
		`strings.csv:5:1: string "x" is no such number, expected a string's number (1 is the highest pitched), from 1 to 24`,
		`strings.csv:5:3: compensation "y" is not a number, expected a length in millimetres such as 55.6`,
		`strings.csv:6:1: string "99" is no such number, expected a string's number (1 is the highest pitched), from 1 to 24`,
	}},
}

func TestBadTables(t *testing.T) {
	good := "kit,datum,feature,kind\n" // no rows
	for _, c := range badTables {
		t.Run(c.name, func(t *testing.T) {
			dir := folder(t, map[string]string{"readings.csv": good, c.file: c.text})
			_, err := readAll(t, dir, "")
			if diff := cmp.Diff(c.want, messages(err, dir)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// One run lists the errors of all tables, in the order in which they are read.
func TestErrorsOfAllTables(t *testing.T) {
	dir := folder(t, map[string]string{
		"readings.csv": header + "A,bodi,pocket,,,width,1,,2,,,\n",
		"strings.csv":  "string,compensation\n1,x\n",
		"gauges.csv":   "gauge,resolution\ng,x\n",
	})
	_, err := readAll(t, dir, "")
	var files []string
	for _, m := range messages(err, dir) {
		file, _, _ := strings.Cut(m, ":")
		files = append(files, file)
	}
	if diff := cmp.Diff([]string{"gauges.csv", "strings.csv", "readings.csv"}, files); diff != "" {
		t.Error(diff)
	}
}

// A hopeless file takes no more memory than its first thousand errors.
func TestManyErrors(t *testing.T) {
	_, err := readAll(t, "-", header+strings.Repeat("A,body,pocket,,,width,x,,2,,,\n", 1500))
	all, ok := err.(Errors)
	if !ok || len(all) != 1001 {
		t.Fatalf("%d errors of type %T", len(all), err)
	}
	if got, want := all[1000].Error(), "and 500 more errors that are not listed"; got != want {
		t.Errorf("last is %q, want %q", got, want)
	}
}
