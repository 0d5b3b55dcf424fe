package main

// tableComments explain the tables of a new batch, above their headers.
var tableComments = map[string]string{
	"readings.csv": `# Readings, one a row. Lines that begin with # are not read. A semicolon or a tab instead of the
# comma, and then a decimal comma, will do too.
# kit: name of the kit, the same in all its rows.
# datum: the straightedge that is read from: body, neck, bridge, edge-bass or edge-treble.
# feature, mark, to: what was touched, which of several, and the second one of a distance.
# kind: what the numbers are: point, offset, station, width, diameter, gap, height and so on.
# station: along the straightedge, growing from the headstock toward the tail. offset: square from
# it, growing from bass toward treble (from an edge: inward). size: width, diameter, gap or height.
# unit: mm (blank means mm) or in. gauge, station_gauge: blank for the built-in calliper and rule.
# trial: 1, 2, 3 for repeats of one reading. stage: received (or blank), or reworked for what is read
# again after work on the kit. by, note: free text.
# All rows of a kit that is to be filled in: neckfit sheet.
`,
	"gauges.csv": `# What the readings are taken with; these are the built-in gauges, change them to your own.
# resolution: smallest step shown. max_error: greatest error, the same in all readings of a kit.
# repeatability: standard deviation of one reading of yours. All in the unit of the last column.
`,
	"limits.csv": `# Limits that differ from the built-in ones. Those are listed below as comments and are in force;
# to change one, take the # away and edit the row. A blank lower or upper means no limit there.
# class: critical, major or minor. source: whose limit it is; reports print it.
`,
	"kits.csv": `# What is known of the kits besides their readings; every column but kit may stay blank.
# hand: right or left. scale, nut_spread, neck_screw, bridge_screw (screw diameters), action (strings
# over fret 12) and nut_height (strings over the fret plane at the nut): in the unit.
`,
	"strings.csv": `# Compensation: how much longer than the scale each string must be, string 1 the highest pitched. It
# may be left blank where core (diameter of the steel core, in the unit), unit_weight (g/m) and pitch
# (of the open string, Hz) are given: it is then worked out from these and the wanted action.
# Without rows the built-in values are used.
`,
	"stock.csv": `# What is on the shelf; remedies are made of these sizes only. These are the built-in ones, change
# them to your own. kind: side-shim (veneer and the like), wedge and floor-shim (under the heel),
# plug, drill. size: thickness or diameter; of a wedge its angle in deg, or its thick end.
`,
	"costs.csv": `# What a remedy's works take; these are the built-in ones, none of which has a source: change them
# to your own. minutes: each time. worst: how far off the work ends up at the worst, in the unit.
`,
}
