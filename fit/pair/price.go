package pair

import (
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// Action is something to be done to a pair or to one of its parts.
type Action uint16

// The actions, a bit each. No bit is: leave everything as it is.
const (
	Reseat  Action = 1 << iota // re-seat the neck within the pocket's play
	Shim                       // side shims on both walls: the pocket is loose
	Relieve                    // take wood off a wall: the heel is tight
	Round                      // round the heel's corners
	Ream                       // open the body's holes for the neck screws
	Drill                      // plug and re-drill the neck's screw holes
	Lift                       // a shim under the heel, level or tapered
	Replan                     // plug and re-drill the bridge
	PartOwn                    // a fault of one part, whichever it is paired with
	Read                       // read again: a value lies so near a limit that it may come out unsure

	actions = iota // how many there are
)

// actionWords are in the order of the bits.
var actionWords = [actions]string{
	"re-seat the neck", "shim both walls", "relieve a wall", "round the heel's corners",
	"open the neck screws' holes", "plug and re-drill the neck screws", "shim under the heel", "plug and re-drill the bridge",
	"mend the part's own fault", "read again",
}

// Work tells whether there is more to do than to read again.
func (a Action) Work() bool { return a&^Read != 0 }

// String lists the actions, and "leave" for none.
func (a Action) String() string {
	if a == 0 {
		return "leave"
	}
	var list []string
	for i, words := range actionWords {
		if a&(1<<i) != 0 {
			list = append(list, words)
		}
	}
	return strings.Join(list, "; ")
}

// Minutes of bench work and mm beyond those of costs.csv. All are common practice, no source: they
// only have to be in proportion to each other for the match to be the right one.
const (
	// minutesRead is for a value right on its limit; farther inside it fades to nothing at the guard
	// band's end. It is what keeps the match off pairs that only just fit.
	minutesRead = 15.0

	// perMillimetre is added to an action for each mm (or degree) beyond the limit, so that of two
	// pairs that want the same action the milder is cheaper.
	perMillimetre = 10.0

	// mostRelief is how much of both walls together can be taken off before the cheeks are weak.
	mostRelief = 1.5 // mm

	// mostReam is by how much the neck screws may miss for opening their holes to be enough: holes are
	// elongated by 1 mm at the most, half of it each way.
	mostReam = 0.5 // mm

	// mostMove is how far a bridge can be moved before it no longer covers its old holes or meets
	// the body's other cavities: beyond it the parts are of different instruments.
	mostMove = 12.0 // mm
)

// Price is what a pair costs.
type Price struct {
	Minutes float64 // of bench work; +Inf when the pair cannot be
	Actions Action
	Why     string // why it cannot be; empty when it can
}

func impossible(why string) Price { return Price{Minutes: math.Inf(1), Why: why} }

// Possible tells whether the pair can be made at all.
func (p Price) Possible() bool { return !math.IsInf(p.Minutes, 1) }

// add puts an action on the bill for an excess beyond a limit, once, at what the works cost.
func (l *limits) add(p *Price, a Action, excess float64, works ...measure.Work) {
	if excess <= 0 {
		return
	}
	if p.Actions&a == 0 {
		for _, w := range works {
			p.Minutes += l.minutes[w]
		}
	}
	p.Actions |= a
	p.Minutes += perMillimetre * excess
}

// minutesOf are what works cost: costs.csv's over the built-in ones.
func minutesOf(costs []measure.Cost) map[measure.Work]float64 {
	minutes := map[measure.Work]float64{}
	for _, list := range [][]measure.Cost{measure.BuiltInCosts(), costs} {
		for _, c := range list {
			minutes[c.Work] = c.Minutes
		}
	}
	return minutes
}

// limits are those in force, by quantity, open ends as infinities, and what it costs to be beyond.
type limits struct {
	minutes      map[measure.Work]float64
	lower, upper [quantities]float64
	user         [quantities]bool    // set by the user, so that nothing of the kit overrides it
	guard        [quantities]float64 // how near a limit a value inside is too near to say; 0 for no matter
}

// limitsFrom takes the built-in limits and the user's over them.
func limitsFrom(user []measure.Limit, costs []measure.Cost) *limits {
	l := &limits{minutes: minutesOf(costs)}
	for q := range l.lower {
		l.lower[q], l.upper[q] = math.Inf(-1), math.Inf(1)
	}
	set := func(list []measure.Limit, user bool) {
		for _, m := range list {
			for q, id := range ids {
				if id.String() == m.Characteristic && !l.user[q] {
					l.lower[q], l.upper[q], l.user[q] = m.Lower, m.Upper, user
				}
			}
		}
	}
	set(user, true) // of several for one name the first counts, as in fit
	set(fit.BuiltInLimits(), false)
	return l
}

// beyond is how far a value lies outside its limits, 0 inside and for what was not measured.
func (l *limits) beyond(v *Values, q Quantity) float64 {
	return max(0, l.under(v, q), l.over(v, q))
}

func (l *limits) under(v *Values, q Quantity) float64 { return known(l.lower[q] - v[q]) }
func (l *limits) over(v *Values, q Quantity) float64  { return known(v[q] - l.upper[q]) }

func known(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return max(0, x)
}

// price bills what a pair needs so that its measured values come within their limits.
func (l *limits) price(s *seating, v *Values) Price {
	tight := max(l.under(v, PocketGapMouth), l.under(v, PocketGapEnd))
	if tight > mostRelief {
		return impossible("the heel is too wide for the pocket")
	}
	move := max(l.beyond(v, SaddleReserveFront), l.beyond(v, SaddleReserveBack))
	if max(move, l.beyond(v, CentreLineError)) > mostMove {
		return impossible("the bridge would stand too far from where the neck wants it")
	}
	var p Price
	l.add(&p, Relieve, tight, measure.RelieveWall)
	l.add(&p, Shim, max(l.over(v, PocketGapMouth), l.over(v, PocketGapEnd)), measure.SideShim, measure.SideShim)
	l.add(&p, Round, l.beyond(v, CornerReserve), measure.EaseCorner)
	screws := l.screwLimit(s)
	if miss := known(v[NeckScrewMismatch] - screws); miss > mostReam {
		l.add(&p, Drill, miss, measure.PlugNeck)
	} else {
		l.add(&p, Ream, miss, measure.ReamScrews)
	}
	l.add(&p, Replan, move, measure.PlugBridge)
	l.add(&p, Replan, l.beyond(v, BridgeSkew), measure.PlugBridge)
	l.sideways(s, v, &p)
	for _, q := range []Quantity{FretPlaneHeight, SaddleHeightReserveLow, SaddleHeightReserveHigh, Pitch, Roll} {
		l.add(&p, Lift, l.beyond(v, q), measure.PitchShim)
	}
	l.doubt(v, screws, &p)
	return p
}

// doubt bills values that lie inside their limits, but within the guard band; the neck
// screws' limit is the pair's own.
func (l *limits) doubt(v *Values, screws float64, p *Price) {
	for q := range quantities {
		upper := l.upper[q]
		if q == NeckScrewMismatch {
			upper = screws
		}
		inside := min(v[q]-l.lower[q], upper-v[q]) // NaN for what was not measured
		if inside >= 0 && inside < l.guard[q] {
			p.Actions |= Read
			p.Minutes += minutesRead * (1 - inside/l.guard[q])
		}
	}
}

// sideways bills the centre line and the margins: by re-seating where the pocket's play reaches far
// enough, else by moving the bridge.
func (l *limits) sideways(s *seating, v *Values, p *Price) {
	out := l.beyond(v, CentreLineError)
	for _, q := range []Quantity{MarginBass, MarginTreble, MarginBalance} {
		out = max(out, l.beyond(v, q))
	}
	if out == 0 {
		return
	}
	low, high, ok := s.swing(v)
	if ok && out <= (high-low)/2 {
		l.add(p, Reseat, out, measure.Reseat)
		return
	}
	l.add(p, Replan, out, measure.PlugBridge)
}

// screwLimit is half the clearance where hole and screw are known and the user has set no limit.
func (l *limits) screwLimit(s *seating) float64 {
	if hole := s.hole(); !l.user[NeckScrewMismatch] && hole > 0 && s.screw > 0 {
		return max(0, hole-s.screw) / 2
	}
	return l.upper[NeckScrewMismatch]
}

// hole is the least diameter of the matched holes in the body, 0 where none was read.
func (s *seating) hole() float64 {
	least := 0.0
	for i := range s.b.Screws {
		hole := &s.b.Screws[i]
		if _, ok := s.n.Screws[hole.Mark]; ok && hole.Diameter > 0 && (least == 0 || hole.Diameter < least) {
			least = hole.Diameter
		}
	}
	return least
}
