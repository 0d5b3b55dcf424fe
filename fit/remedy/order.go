package remedy

import (
	"cmp"
	"slices"

	"neckfit/measure"
)

// bench is the order in which works are done: wood is cut before it is packed, the heel set when its
// pocket is ready, and the bridge last, by the neck as it then lies.
var bench = []measure.Work{
	measure.LevelFloor, measure.EaseCorner, measure.RelieveWall, measure.SideShim, measure.PitchShim, measure.RiseShim,
	measure.ReamScrews, measure.PlugNeck, measure.Reseat, measure.BridgeMove, measure.PlugBridge, measure.PlugStrings,
}

// inOrder puts a plan's actions into the order in which they are done.
func inOrder(actions []Action) []Action {
	out := slices.Clone(actions)
	slices.SortStableFunc(out, func(a, b Action) int {
		return cmp.Compare(slices.Index(bench, a.Work), slices.Index(bench, b.Work))
	})
	return out
}
