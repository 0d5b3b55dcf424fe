// Package remedy finds what a builder should do with a kit that does not pass: every work of the
// trade and their sensible combinations, out of the sizes in stock, each worked out on the moved parts,
// with its hole schedule and the probability that everything judged then passes. The best plan of each
// kind stands beside the others, and the first is the one whose sequence costs least.
package remedy

import (
	"cmp"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// Wall is a side of the pocket.
type Wall uint8

// The walls.
const (
	NoWall Wall = iota
	Bass
	Treble
)

// String is bass, treble or "".
func (w Wall) String() string { return [...]string{"", "bass", "treble"}[w] }

// Level is how reversible a plan is, least drastic first.
type Level uint8

// The levels.
const (
	Untouched  Level = iota // nothing is done
	Reversible              // everything can be taken out again; a shim as long as it is dry or taped
	Trimmed                 // a little wood is taken away: a wall, a corner, wider holes
	Redrilled               // holes are plugged and drilled anew
	Returned                // a part goes back
)

// Action is one work of a plan. Which numbers it uses follows from its Work; the others are zero.
type Action struct {
	Work measure.Work
	Wall Wall // SideShim, RelieveWall

	// Mouth and End, in mm. SideShim: thickness there. RelieveWall: depth. Reseat: how far toward
	// treble of the middle of the play that remains the heel is set.
	Mouth, End float64
	Against    [2]Wall // Reseat: the wall that the heel is pushed against at mouth and end, if any

	// Across (toward treble) and Along (tailward), in mm, and Turn (tail toward treble), in
	// degrees: BridgeMove, SlotBridge and PlugBridge. A PitchShim has its angle in Turn, positive when it is
	// thick at the pocket's end.
	Across, Along, Turn float64

	// Size in mm. ReamScrews: the bit. Slots: how far a hole is drawn out at the most. RiseShim: thickness. EaseCorner:
	// what is added to the radius. SquareCorner: the radius that is cut out. TrimHeel, DeepenFloor: what is taken off.
	Size float64
	Name string  // of the stock
	Std  float64 // standard deviation of what the work sets, normally distributed, mm: a third of its worst; 0 where it sets nothing
}

// Plan is a set of actions and what they will leave.
type Plan struct {
	Actions []Action
	Kind    measure.Work   // its most drastic work
	Return  []measure.Part // what goes back; empty for a plan that works on the kit
	OneOf   bool           // it is one of those, and the readings do not tell which
	Level   Level
	Minutes float64
	Price   float64 // in minutes, of what cannot be undone

	// P is the probability that every judged characteristic passes once the plan is carried out;
	// Curable is the same for those that some work could change. Both are zero for a return.
	P, Curable float64
	Weakest    Weakest // what holds P down
	Predicted  []Predicted

	// Expected is what the plan costs, in minutes: Minutes + Price + Again + Fails*Then + Back. Next is the index
	// in the advice of the plan that comes where it fails, -1 for none.
	Expected float64
	Again    float64 // measuring again
	Fails    float64 // the chance that something that work can change then fails
	Then     float64 // what is expected to be spent from there on
	Back     float64 // returning the part, due in any case where something fails that no work changes
	Next     int

	// Moves are what the plan does to neck and bridge, and Drilling the holes that it drills, laid out
	// from where the plan puts them; nil where it drills none.
	Moves    [fit.Moves]float64
	Drilling *Schedule
	Asks     []Ask

	// After is the play that remains at mouth and end beside each wall, the heel set as the plan
	// says, and Swing the range of the centre-line error that this play still allows: the worst
	// case if the heel slips. Nil where the play is not known.
	After    *After
	Swing    *fit.Swing
	SwingStd float64 // standard uncertainty of both its ends, mm

	// Beyond is by how much, in mm, the screws of a bridge that is moved as it is stand farther off its holes than these
	// let them; 0 where they let them. Only a plan of somebody's own has it: it then takes holes drilled anew.
	Beyond float64
}

// Stuck is where the heel does not go in, 0 the pocket's mouth and 1 its end, and by how much it is wider there, in mm.
func (p *Plan) Stuck() (at int, by float64, stuck bool) {
	const notable = 0.005 // mm: half of what is printed
	if p.After == nil {
		return 0, 0, false
	}
	for i := range p.After.Bass {
		if over := -p.After.Bass[i] - p.After.Treble[i]; over > by {
			at, by = i, over
		}
	}
	return at, by, by > notable
}

// Weakest is the characteristic that is least likely to pass under a plan.
type Weakest struct {
	ID fit.ID
	P  float64 // by itself; 1 where nothing is judged
}

// Ask is what must be answered before a plan is carried out.
type Ask uint8

// What may be asked.
const (
	BridgeScrewSize Ask = iota // kits.csv does not say it
	NeckScrewSize              // likewise
	FarBridge                  // the bridge would be moved by more than 3 mm: are these the right parts?
	FloorThickness             // how thick is the body under the pocket's floor?
	HolesUnread                // where the bridge's holes are was not read: there is no schedule before that
)

// Waits tells whether the plan cannot be carried out before its Asks are answered: where a hole is, how thick its
// screw or how thick the wood below was not read.
func (p *Plan) Waits() bool {
	return slices.Contains(p.Asks, HolesUnread) || slices.Contains(p.Asks, FloorThickness) || p.Drilling != nil && slices.ContainsFunc(p.Drilling.Holes, func(h Hole) bool { return h.Refused.unknown() })
}

// After is free space beside the walls at mouth and end, in mm.
type After struct{ Bass, Treble [2]float64 }

// Predicted is a characteristic as the plan leaves it.
type Predicted struct {
	Index                 int // in Result.Characteristics
	Value, StdUncertainty float64
	Lower, Upper          float64
	P                     float64 // by itself; 0 where nothing judges it
	Judged                bool
	Changed               bool // by more than a tenth of its standard uncertainty, or in its limits
}

// Advice is what is said of one kit.
type Advice struct {
	Plans []Plan    // the best of each kind; the first is the recommendation, the others by what they are expected to cost
	Why   Reason    // why the first stands before the second
	Own   bool      // the first is the user's own plan, and the recommendation is the second
	Vain  []Untried // what must be read before the user's own plan can be worked out

	Play *fit.Play // of the pocket as it is; nil where it is not known how far it is from the bridge

	Cannot  []Incurable // what fails whatever is done
	Waits   []Wait      // what fails and could not be worked out for want of readings
	Untried []Untried   // which works could not be tried
	// Suspect are the readings that contradict the others and on which the first plan rests: to be read again before anything
	// is done. Others may contradict theirs too, and move nothing of what the plan cures, changes or leaves in doubt.
	Suspect []fit.Suspect
}

// Reason is what the first plan has over the second.
type Reason uint8

// The reasons. The zero Reason is that there is no second plan.
const (
	NoSecond     Reason = iota
	NothingHelps        // the first returns a part, since no work is likely to help
	Cheaper             // it is expected to cost less, with what comes next where it fails
)

// Wait is a characteristic that fails, and the work that might cure it once the readings are there.
type Wait struct {
	ID      fit.ID
	Untried Untried
}

// Incurable is a characteristic that fails whatever is done. Which numbers it uses follows from its
// Cause; the others are zero. All are in mm.
type Incurable struct {
	ID         fit.ID
	Cause      Cause
	Have, Need float64
	Most       float64
}

// Cause is why something cannot be cured.
type Cause uint8

// The causes.
const (
	NotTogether    Cause = iota // each fault by itself can be cured, but not all at once; the ID says nothing
	OtherScale                  // the neck measures Have, kits.csv says Need
	HeelTooWide                 // by Have, and a wall is scraped by Most at the most
	NoStockFits                 // a shim of Have to Need is wanted, the thickest has Most; 0 for none
	TravelTooShort              // the reserves at both ends add up to Have and must be Need
	BridgeTooFar                // and it is moved by Most at the most
	Unchanged                   // no work changes it
	NoSizeFits                  // no work and no size in stock brings it inside
)

// Untried is a kind of work that the readings do not allow to be worked out.
type Untried uint8

// What may be untried.
const (
	HeelUntried      Untried = iota // re-seating, side shims, relief: the play is not known
	BridgeUntried                   // moving the bridge: its place is not known
	ClearanceUntried                // moving it within its screws' clearance: the plate's holes are not known
	ScrewsUntried                   // opening the neck-screw holes: their diameters are not known
	SaddlesUntried                  // what the saddles have left after a move
)

// Options steer For; the zero value has the built-in stock and costs.
type Options struct {
	Stock []measure.Stock // nil for the built-in ones
	Costs []measure.Cost  // those missing are the built-in ones
}

// Level is how reversible the action is by itself.
func (a Action) Level() Level {
	switch a.Work {
	case measure.NoWork, measure.Leave, measure.ReadAgain:
		return Untouched
	case measure.Reseat, measure.SideShim, measure.PitchShim, measure.RiseShim, measure.BridgeMove:
		return Reversible
	case measure.ReamScrews, measure.SlotScrews, measure.EaseCorner, measure.SquareCorner, measure.SlotStrings, measure.SlotBridge,
		measure.RelieveWall, measure.LevelFloor, measure.DeepenFloor, measure.TrimHeel:
		return Trimmed
	case measure.PlugNeck, measure.PlugStrings, measure.PlugBridge:
		return Redrilled
	case measure.SendBack:
		return Returned
	}
	panic("remedy: no such work")
}

// order is that in which works are done: wood is cut before it is packed, the heel is set when its
// pocket is ready, and holes are drilled last, through parts that lie where they will stay.
var order = []measure.Work{
	measure.TrimHeel, measure.DeepenFloor, measure.LevelFloor, measure.SquareCorner, measure.EaseCorner, measure.RelieveWall,
	measure.SideShim, measure.PitchShim, measure.RiseShim, measure.ReamScrews, measure.SlotScrews, measure.Reseat,
	measure.PlugNeck, measure.BridgeMove, measure.SlotBridge, measure.PlugBridge, measure.SlotStrings, measure.PlugStrings,
}

// inOrder puts a plan's actions into the order in which they are done.
func inOrder(actions []Action) []Action {
	out := slices.Clone(actions)
	slices.SortStableFunc(out, func(a, b Action) int {
		return cmp.Compare(slices.Index(order, a.Work), slices.Index(order, b.Work))
	})
	return out
}

// kindOf is the most drastic work of a plan.
func kindOf(actions []Action) measure.Work {
	kind := measure.Leave
	for _, a := range actions {
		kind = max(kind, a.Work)
	}
	return kind
}
