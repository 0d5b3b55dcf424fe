package draw

// bass is an invented short-scale four-string body with its bridge screws to be moved: pocket
// end at station 64, saddles at about 300.
func bass() Template {
	old := func(x, y float64) *Point { return &Point{x, y} }
	corner := []Point{{64, -31.7}, {64, 31.7}}
	return Template{
		Kit:   "Kit 07, lot B",
		Scale: "Scale length 762 mm, bridge moved 2.3 mm toward treble",
		Holes: []Hole{
			{Name: "screw 1", At: Point{312.4, -28.1}, Action: PlugAndDrill, Old: old(312.0, -30.4), OldDia: 3, Plug: 6, Pilot: 2.1, Depth: "18 mm", Within: 0.9,
				Move: "2.3 mm toward treble, 0.4 mm toward the tail of the old one"},
			{Name: "screw 2", At: Point{312.1, -9.0}, Action: PlugAndDrill, Old: old(311.8, -11.3), OldDia: 3, Plug: 6, Pilot: 2.1, Depth: "18 mm"},
			{Name: "screw 3", At: Point{311.8, 10.1}, Action: PlugAndDrill, Old: old(311.5, 7.8), OldDia: 3, Plug: 6, Pilot: 2.1, Depth: "18 mm"},
			{Name: "screw 4", At: Point{311.5, 29.2}, Action: Keep, OldDia: 3},
			{Name: "screw 5", At: Point{268.2, -20.0}, Action: DrillFresh, Old: old(261, -25), OldDia: 3, Pilot: 2.1, Depth: "18 mm"},
			{Name: "screw 6", At: Point{267.9, 20.0}, Action: PlugOnly, OldDia: 3, Plug: 6},
			{Name: "string 1", At: Point{322.2, -26.2}, Action: DrillFresh, Pilot: 3.2, Depth: "through, on a backing board"},
			{Name: "string 2", At: Point{322, -7.2}, Action: DrillFresh, Pilot: 3.2, Depth: "through, on a backing board"},
			{Name: "string 3", At: Point{321.8, 11.8}, Action: DrillFresh, Pilot: 3.2, Depth: "through, on a backing board"},
			{Name: "string 4", At: Point{321.6, 30.8}, Action: DrillFresh, Pilot: 3.2, Depth: "through, on a backing board"},
		},
		Register: []Outline{
			{Name: "pocket end", Points: corner},
			{Name: "pocket bass side", Points: []Point{{0, -32}, {64, -31.7}}},
			{Name: "pocket treble side", Points: []Point{{0, 32}, {64, 31.7}}},
		},
		Corners: corner,
		Centre:  []Point{{0, 0.4}, {300, 2.1}},
		Edges: []Outline{
			{Name: "fingerboard edge, bass", Points: []Point{{0, -29}, {300, -33.5}}},
			{Name: "fingerboard edge, treble", Points: []Point{{0, 29.6}, {300, 37.2}}},
		},
		Places: "Place: mm tailward of the pocket's end, mm toward treble of its middle.",
		Steps:  []string{"Print it.", "Check the bars.", "Cut and tape.", "Align it.", "Prick it.", "Check the pricks.", "Drill."},
		Plate:  []Outline{{Name: "bridge plate", Closed: true, Points: []Point{{258, -38}, {330, -39}, {331, 41}, {259, 42}}}},
		Cautions: []string{
			"Slacken the strings before the neck screws come out.",
			"Clamp the body; never hold it by hand under the drill.",
			"Wear eye protection and use dust extraction. Glue gives off fumes: follow its label.",
			"Check what lies under each hole, and how deep the wood is there, before drilling.",
			"Try plug, bit and depth on scrap first. Measure again before drilling.",
			"Local rules and licensed practice come first.",
		},
		Notes: []string{"Lay the bold lines on the pocket's end and sides and the long line on the neck's centre line."},
	}
}
