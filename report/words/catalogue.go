package words

import (
	"math"
	"strings"

	"neckfit/fit"
)

// about is what is known of a characteristic. {v} is its value without the sign.
type about struct {
	what        string    // what it is, after "the"
	formula     string    // how it follows from what was read
	read        string    // what to read for it
	plus, minus string    // what a value of that sign means; minus is "" for sizes, which have none
	side        [2]string // the same for a table, in a word or two: plus, minus; "" where the name says it
}

const (
	treble = "toward treble (the thin strings)"
	bass   = "toward bass (the thick strings)"
)

// abouts has every characteristic.
var abouts = [...]about{
	fit.CentreLineError: {
		what:    "distance of the bridge's middle from the neck's centre line",
		formula: "the centre line halves the angle between the fingerboard's two edges; the distance is taken square to it",
		read:    "both edges of the fingerboard and the outer saddles or bridge screws, or the bridge's holes from a straightedge along each edge",
		plus:    "the bridge lies {v} " + treble, minus: "the bridge lies {v} " + bass,
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.BridgeSkew: {
		what:    "angle between the bridge's heading and the neck's centre line",
		formula: "the heading is square to the row of the outer saddles at their front stops, less the bridge's own slant; of fixed saddles, square to its screws",
		read:    "the edges of the fingerboard and the outer saddles at their front stops",
		plus:    "the treble end of the saddles' row is turned {v} toward the headstock",
		minus:   "the bass end of the saddles' row is turned {v} toward the headstock",
		side:    [2]string{"treble forward", "bass forward"},
	},
	fit.HeelSkew: {
		what:    "angle between the heel's axis and the fingerboard's centre line: what the neck brings to the bridge's turn",
		formula: "the heel's axis halves its two sides",
		read:    "both edges of the fingerboard and both sides of the heel",
		plus:    "the heel turns {v} toward treble of the fingerboard, tailward", minus: "the heel turns {v} toward bass of the fingerboard, tailward",
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.HeelOffset: {
		what:    "distance of the heel's axis from the fingerboard's centre line, abreast of the bridge: what the neck brings to the centre-line error",
		formula: "square to the centre line at the bridge's middle; of a neck by itself, a scale length from the nut",
		read:    "as for heel-skew, and the bridge",
		plus:    "the heel's axis passes {v} toward treble of the fingerboard's centre line at the bridge", minus: "the heel's axis passes {v} toward bass of the fingerboard's centre line at the bridge",
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.BridgeOffPocket: {
		what:    "distance of the bridge's middle from the pocket's axis: what the body brings to the centre-line error",
		formula: "square to the line that halves the pocket's two walls; with heel-offset it makes centre-line-error",
		read:    "both walls of the pocket and the outer saddles or bridge screws, from one straightedge",
		plus:    "the bridge lies {v} toward treble of the pocket's axis", minus: "the bridge lies {v} toward bass of the pocket's axis",
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.BridgeOffTurn: {
		what:    "angle between the bridge's heading and the pocket's axis: what the body brings to bridge-skew",
		formula: "as bridge-skew, against the line that halves the pocket's two walls",
		read:    "as for bridge-off-pocket",
		plus:    "the treble end of the saddles' row is turned {v} toward the headstock, against the pocket",
		minus:   "the bass end of the saddles' row is turned {v} toward the headstock, against the pocket",
		side:    [2]string{"treble forward", "bass forward"},
	},
	fit.PocketOffCentre: {
		what:    "distance of the pocket's axis from the body's own middle line",
		formula: "halfway along the pocket, square to the line through the places where the body's middle was read",
		read:    "body-centre at two places far apart and both walls of the pocket, from one straightedge",
		plus:    "the pocket lies {v} toward treble of the body's middle", minus: "the pocket lies {v} toward bass of the body's middle",
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.BridgeOffCentre: {
		what:    "distance of the bridge's middle from the body's own middle line: beside pocket-off-centre it tells whether pocket or bridge is off its place",
		formula: "square to the line through the places where the body's middle was read",
		read:    "body-centre at two places far apart and the outer saddles or bridge screws, from one straightedge",
		plus:    "the bridge lies {v} toward treble of the body's middle", minus: "the bridge lies {v} toward bass of the body's middle",
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.MarginBass: {
		what:    "distance from the lowest string to the bass edge of the fingerboard at the last fret",
		formula: "the string runs straight from its slot in the nut to its saddle; the distance is square to the centre line",
		read:    "both edges, nut, last fret and the outer saddles; the outer nut slots, or nut_spread in kits.csv",
		plus:    "the lowest string runs {v} inside the bass edge", minus: "the lowest string runs {v} beyond the bass edge",
		side: [2]string{"", "off the board"},
	},
	fit.MarginTreble: {
		what:    "distance from the highest string to the treble edge of the fingerboard at the last fret",
		formula: "as margin-bass, on the treble side",
		read:    "as for margin-bass",
		plus:    "the highest string runs {v} inside the treble edge", minus: "the highest string runs {v} beyond the treble edge",
		side: [2]string{"", "off the board"},
	},
	fit.MarginBalance: {
		what:    "bass margin less the treble margin",
		formula: "margin-bass - margin-treble; 1.4 times the bridge's distance from the centre line, for the usual scale and fret",
		read:    "as for margin-bass",
		plus:    "the strings lie {v} nearer to the treble edge than to the bass edge", minus: "the strings lie {v} nearer to the bass edge than to the treble edge",
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.ScaleLength: {
		what:    "scale length of the neck",
		formula: "least squares over all frets read, each at scale x (1 - 2^(-fret/12)) from the nut",
		read:    "nut and fret 12, better more frets, from one straightedge",
		plus:    "the scale is {v} long",
	},
	fit.FretError: {
		what:    "distance from its place of the fret that is farthest from it",
		formula: "the fret's station less that of the fret law with the neck's own scale length; its U is for the worst of all frets read",
		read:    "nut and three frets or more",
		plus:    "the worst fret lies {v} too near the bridge", minus: "the worst fret lies {v} too near the nut",
		side: [2]string{"toward bridge", "toward nut"},
	},
	fit.NutError: {
		what:    "distance of the nut from where the frets have it",
		formula: "the nut's station less that of fret 0 by the law that fits the frets alone; of a board with a zero fret, that fret's",
		read:    "nut and three frets or more",
		plus:    "the nut lies {v} too near the bridge", minus: "the nut lies {v} too far from the bridge",
		side: [2]string{"toward bridge", "toward head"},
	},
	fit.SaddleReserveFront: {
		what:    "least travel that a saddle has left toward the headstock",
		formula: "scale length + the string's compensation, from the nut along the centre line, less the saddle's front stop; the least of all strings",
		read:    "nut, frets and every saddle at its front stop (saddle-front)",
		plus:    "every saddle can still go {v} or more toward the headstock", minus: "a saddle would have to go {v} farther toward the headstock than it can",
		side: [2]string{"", "short"},
	},
	fit.SaddleReserveBack: {
		what:    "least travel that a saddle has left toward the tail",
		formula: "the saddle's back stop less scale length + the string's compensation; the least of all strings",
		read:    "nut, frets and every saddle at its back stop (saddle-back)",
		plus:    "every saddle can still go {v} or more toward the tail", minus: "a saddle would have to go {v} farther toward the tail than it can",
		side: [2]string{"", "short"},
	},
	fit.IntonationError: {
		what:    "most that a string is too long or too short where saddles are set in pairs, at the best of both, or not at all",
		formula: "half the difference of what the two strings want; of fixed saddles, the saddle's place less scale length + compensation",
		read:    "nut, frets and every saddle, with its front stop where it has one; saddles in kits.csv",
		plus:    "a string stays {v} too long or too short: its octave is out of tune",
	},
	fit.PocketGapMouth: {
		what:    "width of the pocket at its mouth less that of the heel there",
		formula: "pocket width - heel width, or the feeler gauges' sum beside both walls",
		read:    "the width of pocket and heel at the mouth, or feeler gauges beside both walls",
		plus:    "the pocket is {v} wider than the heel at its mouth", minus: "the heel is {v} wider than the pocket at its mouth and does not go in",
		side: [2]string{"", "too tight"},
	},
	fit.PocketGapEnd: {
		what:    "width of the pocket near its end less that of the heel there",
		formula: "as pocket-gap-mouth",
		read:    "the width of pocket and heel near the end, or feeler gauges beside both walls",
		plus:    "the pocket is {v} wider than the heel near its end", minus: "the heel is {v} wider than the pocket near its end and does not go in",
		side: [2]string{"", "too tight"},
	},
	fit.EndGap: {
		what:    "widest gap between the heel's end and the pocket's end",
		formula: "felt, or what is left at the other corner when the first one touches",
		read:    "pocket-end by feeler gauges, or the ends and sides of both parts",
		plus:    "a gap of {v} is left at the heel's end", minus: "the heel's end lies {v} inside the pocket's end",
		side: [2]string{"", "overlap"},
	},
	fit.HeelEndSquareness: {
		what:    "angle of the heel's end from square to the heel's middle line",
		formula: "the end's line at two offsets against the line that halves the heel's sides",
		read:    "heel-end at two offsets and both of the heel's sides",
		plus:    "the heel is longer on its bass side by {v}", minus: "the heel is longer on its treble side by {v}",
		side: [2]string{"bass longer", "treble longer"},
	},
	fit.PocketEndSquareness: {
		what:    "angle of the pocket's end from square to the pocket's middle line",
		formula: "as heel-end-squareness, of the pocket",
		read:    "pocket-end at two offsets and both of the pocket's walls",
		plus:    "the pocket goes deeper on its bass side by {v}", minus: "the pocket goes deeper on its treble side by {v}",
		side: [2]string{"bass deeper", "treble deeper"},
	},
	fit.CornerReserve: {
		what:    "radius of the heel's corner less that of the pocket's, the smaller of both sides",
		formula: "heel-corner radius - pocket-corner radius",
		read:    "both corners' radius, or three points on each arc, bass and treble",
		plus:    "the heel's corners are {v} rounder than the pocket's", minus: "a corner of the heel is {v} sharper than the pocket's and keeps the end from going home",
		side: [2]string{"", "too sharp"},
	},
	fit.BridgeHoleMismatch: {
		what:    "greatest distance of a bridge screw's hole in the body from the plate's",
		formula: "the plate laid at its best, by least squares, over the body's holes",
		read:    "plate-screw from the bridge's datum and bridge-screw from the body's, two or more of the same marks",
		plus:    "the worst hole of the bridge lies {v} off the plate's",
	},
	fit.NeckScrewMismatch: {
		what:    "greatest distance of a neck screw's hole in the heel from the body's",
		formula: "the neck seated; where it cannot be, the heel's pattern laid at its best on the body's",
		read:    "heel-screw from the neck's datum and neck-screw from the body's, two or more of the same marks",
		plus:    "the worst screw hole of the heel lies {v} off the body's",
	},
	fit.NeckScrewReach: {
		what:    "length of the neck's screws in the heel",
		formula: "neck_screw_length, less body_thickness, plus pocket-depth; of a neck plate under the heads take its thickness off neck_screw_length",
		read:    "the pocket's floor and the top; neck_screw_length and body_thickness in kits.csv",
		plus:    "the neck's screws reach {v} into the heel", minus: "the neck's screws end {v} before the heel",
		side: [2]string{"", "too short"},
	},
	fit.PickupOffset: {
		what:    "distance of the outer strings from a pickup's outer poles, the mean of the two",
		formula: "the strings run straight from the nut to the saddles; square to the centre line over the poles",
		read:    "pickup bass and treble, and what margin-bass wants",
		plus:    "the strings run {v} toward treble of the poles", minus: "the strings run {v} toward bass of the poles",
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.StringHolePitch: {
		what:    "greatest distance of a string hole from an even row",
		formula: "a start and a step fitted by least squares to all the holes",
		read:    "string-hole of three strings or more",
		plus:    "the worst string hole lies {v} off an even row",
	},
	fit.PlateHoleMismatch: {
		what:    "greatest distance of a string hole in the body from the bridge plate's, the bridge lying as it will",
		formula: "distance of the two holes' middles, the bridge laid by its screws or read in place",
		read:    "plate-hole and string-hole of every string, and the bridge",
		plus:    "a string hole misses the bridge plate's by {v}",
	},
	fit.FerruleMismatch: {
		what:    "greatest distance of a string hole in the body from its ferrule",
		formula: "distance of the two middles, read from one straightedge",
		read:    "ferrule and string-hole of every string (datum body)",
		plus:    "a string hole misses its ferrule by {v}",
	},
	fit.SideBow: {
		what:    "sideways bow of the fingerboard",
		formula: "the sagitta of a parabola common to both edges, over the length that was read",
		read:    "both edges of the fingerboard at three stations or more",
		plus:    "the fingerboard's middle bows {v} " + treble, minus: "the fingerboard's middle bows {v} " + bass,
		side: [2]string{"toward treble", "toward bass"},
	},
	fit.FretPlaneHeight: {
		what:    "height of the frets' plane over the body's top at the saddles",
		formula: "a plane through the fret tops, carried on to the middle of the saddles' row",
		read:    "fret-top at three frets, bass and treble, and the body's top",
		plus:    "the frets' plane passes {v} over the top at the saddles", minus: "the frets' plane passes {v} below the top at the saddles",
		side: [2]string{"", "below the top"},
	},
	fit.SaddleHeightReserveLow: {
		what:    "least height that a saddle has left downward",
		formula: "frets' plane + 2 x action - nut's height, less the saddle's lowest height; the least of all strings",
		read:    "fret tops, the body's top, and every saddle's lowest height (saddle-low)",
		plus:    "every saddle can still go {v} or more down", minus: "a saddle would have to go {v} lower than it can",
		side: [2]string{"", "short"},
	},
	fit.SaddleHeightReserveHigh: {
		what:    "least height that a saddle has left upward",
		formula: "the saddle's highest height less frets' plane + 2 x action - nut's height; the least of all strings",
		read:    "fret tops, the body's top, and every saddle's highest height (saddle-high)",
		plus:    "every saddle can still go {v} or more up", minus: "a saddle would have to go {v} higher than it can",
		side: [2]string{"", "short"},
	},
	fit.Relief: {
		what:    "depth by which the fret tops are hollow along the neck",
		formula: "sagitta of a quadratic through the fret tops, over the length that was read",
		read:    "fret-top at three frets or more",
		plus:    "the neck is hollow by {v} in its middle", minus: "the neck is humped by {v} in its middle",
		side: [2]string{"hollow", "humped"},
	},
	fit.Pitch: {
		what:    "angle of the frets' plane to the body's top along the neck",
		formula: "the rise of the plane over the top, toward the tail",
		read:    "as for fret-plane-height",
		plus:    "the neck leans back by {v}: its plane rises toward the bridge", minus: "the neck leans forward by {v}: its plane falls toward the bridge",
		side: [2]string{"leans back", "leans forward"},
	},
	fit.Roll: {
		what:    "angle of the frets' plane to the body's top across the neck",
		formula: "the rise of the plane over the top, toward treble",
		read:    "as for fret-plane-height",
		plus:    "the treble side of the neck stands higher by {v}", minus: "the bass side of the neck stands higher by {v}",
		side: [2]string{"treble high", "bass high"},
	},
	fit.FloorFlatness: {
		what:    "distance of the pocket floor's worst place from flat",
		formula: "square to the plane through all places read; its U is for the worst of them",
		read:    "pocket-floor at four places or more",
		plus:    "the worst place of the pocket's floor stands {v} high", minus: "the worst place of the pocket's floor lies {v} low",
		side: [2]string{"high", "low"},
	},
	fit.PocketWidthMouth: {what: "width of the pocket at its mouth", formula: "as read, or between the two walls", read: "pocket width at the mouth", plus: "the pocket is {v} wide at its mouth"},
	fit.PocketWidthEnd:   {what: "width of the pocket near its end", formula: "as read, or between the two walls", read: "pocket width near the end", plus: "the pocket is {v} wide near its end"},
	fit.HeelWidthMouth:   {what: "width of the heel at the pocket's mouth", formula: "as read, or between the two sides", read: "heel width at the mouth", plus: "the heel is {v} wide at the mouth"},
	fit.HeelWidthEnd:     {what: "width of the heel near its end", formula: "as read, or between the two sides", read: "heel width near its end", plus: "the heel is {v} wide near its end"},
	fit.PocketDepth:      {what: "depth of the pocket's floor below the body's top", formula: "between the two planes, in the middle of the readings", read: "pocket-floor at three places or more, and the body's top", plus: "the pocket is {v} deep"},
	fit.HeelThickness:    {what: "height of the frets' plane over the heel's underside", formula: "in the middle of the heel", read: "fret-top at three frets and the heel's sides or widths, from the neck's datum", plus: "the heel is {v} thick, frets included"},
}

// aboutOf is empty for a characteristic of which nothing is said.
func aboutOf(id fit.ID) about {
	if int(id) < len(abouts) {
		return abouts[id]
	}
	return about{}
}

// Which says which way a value lies, in a word or two, such as "toward treble"; "" where it has but one
// way, or none.
func Which(c *fit.Characteristic) string {
	v, _ := Rounded(c.Value, c.StdUncertainty)
	side := aboutOf(c.ID).side
	switch {
	case strings.Trim(v, "-0.") == "":
		return ""
	case c.Value < 0:
		return side[1]
	}
	return side[0]
}

// ValueAside is a value as a line in a list has it: "1.92 ± 0.20 mm toward treble".
func ValueAside(c *fit.Characteristic) string {
	side, size := Which(c), *c
	if side == "" {
		return Value(c)
	}
	size.Value = math.Abs(c.Value)
	return Value(&size) + " " + side
}

// Meaning is a value with its uncertainty as a sentence says it: "the bridge lies 1.92 ± 0.20 mm toward
// treble (the thin strings)".
func Meaning(c *fit.Characteristic) string {
	a := aboutOf(c.ID)
	text, size := a.plus, *c
	if c.Value < 0 && a.minus != "" {
		text = a.minus
	}
	size.Value = math.Abs(c.Value)
	v, _ := Rounded(size.Value, c.StdUncertainty)
	if text == "" || a.minus != "" && strings.Trim(v, "0.") == "" { // of nothing there is no side
		return c.ID.String() + " is " + Value(&size)
	}
	return strings.Replace(text, "{v}", Value(&size), 1)
}
