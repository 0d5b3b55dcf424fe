package remedy

// Cautions are what every report says that tells somebody to cut, drill or glue. They are of the
// trade, none of them a substitute for training.
func Cautions() []string {
	return []string{
		"Slacken the strings before the neck screws are turned; keep the neck clamped to the body meanwhile.",
		"Clamp the body to bench or press; never hold it by hand. Eye protection; dust extraction and a mask.",
		"Fumes of glues, cyanoacrylate above all: ventilate, and keep your face away.",
		"Check the depth under every hole and what lies behind it: cavity, truss rod, the other face.",
		"Try on scrap of the same wood first. Measure again before you drill.",
		"Local rules and licensed practice come first.",
	}
}
