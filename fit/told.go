package fit

import "neckfit/measure"

// told are the numbers of a row of kits.csv with what they are compared with. Most are lengths that are often known in inches.
var told = [...]struct {
	what Sense
	of   func(*measure.Info) *float64
}{
	{ScaleOfFrets, func(i *measure.Info) *float64 { return &i.Scale }},
	{ScaleOfFrets, func(i *measure.Info) *float64 { return &i.ScaleBass }},
	{ScaleOfFrets, func(i *measure.Info) *float64 { return &i.ScaleTreble }},
	{StringSpread, func(i *measure.Info) *float64 { return &i.NutSpread }},
	{RadiusOfBoard, func(i *measure.Info) *float64 { return &i.BoardRadius }},
	{ActionWanted, func(i *measure.Info) *float64 { return &i.Action }},
	{HeightAtNut, func(i *measure.Info) *float64 { return &i.NutHeight }},
	{SlantOfSaddles, func(i *measure.Info) *float64 { return &i.Slant }},
	{ThicknessOfBody, func(i *measure.Info) *float64 { return &i.BodyThickness }},
	{ScrewDiameter, func(i *measure.Info) *float64 { return &i.NeckScrew }},
	{ScrewDiameter, func(i *measure.Info) *float64 { return &i.BridgeScrew }},
	{ScrewDiameter, func(i *measure.Info) *float64 { return &i.NeckCore }},
	{ScrewDiameter, func(i *measure.Info) *float64 { return &i.BridgeCore }},
	{ScrewLength, func(i *measure.Info) *float64 { return &i.NeckScrewLength }},
	{ScrewLength, func(i *measure.Info) *float64 { return &i.BridgeScrewLength }},
}

// ToldBy tells whether it is a number of that row of kits.csv.
func (n *Nonsense) ToldBy(info *measure.Info) bool {
	return n.Told > 0 && *told[n.Told-1].of(info) == n.Value
}
