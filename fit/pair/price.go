package pair

import (
	"cmp"
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/fit/lot"
	"neckfit/measure"
	"neckfit/measure/workers"
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
)

// Work tells whether there is more to do than to read again.
func (a Action) Work() bool { return a&^Read != 0 }

// Obstacle is why two parts cannot be a pair. The zero Obstacle is none.
type Obstacle struct {
	Kind                     ObstacleKind
	Missing                  fit.Missing // the readings without which a part cannot be seated
	NeckStrings, BodyStrings int         // where they differ
}

// ObstacleKind is a kind of obstacle.
type ObstacleKind uint8

// The obstacles.
const (
	NoObstacle   ObstacleKind = iota
	NoNeck                    // there is no neck at all
	NoBody                    // there is no body at all
	NeckUnread                // the neck lacks readings
	BodyUnread                // the body lacks readings
	StringCount               // the parts are for different numbers of strings
	Handedness                // one is left-handed, the other not
	HeelTooWide               // for the pocket, by more than its walls can give
	BridgeTooFar              // the bridge would stand too far from where the neck wants it
)

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

// guardBand is how many standard uncertainties inside a limit a value must lie for the guarded rule
// to pass it: the normal quantile at 95 % (ISO 14253-1:2017, default).
const guardBand = 1.645

// Price is what a pair costs.
type Price struct {
	Minutes  float64 // of bench work; +Inf when the pair cannot be
	Actions  Action
	Obstacle Obstacle // why it cannot be
}

func impossible(why Obstacle) Price { return Price{Minutes: math.Inf(1), Obstacle: why} }

// Possible tells whether the pair can be made at all.
func (p Price) Possible() bool { return !math.IsInf(p.Minutes, 1) }

// part is a neck or a body, fitted once, with what is wrong with it in any pair.
type part struct {
	*fit.LoosePart
	own        float64    // minutes
	told, left bool       // kits.csv says of which hand it is; it is for the left
	alone      fit.Result // of the part by itself: what cannot be so of it, and its suspects
}

// The characteristics that belong to one part alone.
var (
	ofNeck = []fit.ID{fit.ScaleLength, fit.FretError, fit.NutError, fit.SideBow, fit.HeelEndSquareness, fit.HeelWidthMouth, fit.HeelWidthEnd, fit.HeelThickness}
	ofBody = []fit.ID{fit.BridgeHoleMismatch, fit.StringHolePitch, fit.PlateHoleMismatch, fit.FerruleMismatch, fit.FloorFlatness, fit.PocketEndSquareness, fit.PocketWidthMouth, fit.PocketWidthEnd, fit.PocketDepth}
)

// parts fits parts of one kind and bills what is out of its limits on a part itself: it goes back.
func parts(kits []*measure.Kit, loose func(*measure.Kit, []fit.Nonsense) *fit.LoosePart, of []fit.ID, o Options) []part {
	list := make([]part, len(kits))
	back := minutesOf(o.Costs)[measure.SendBack]
	o.Check.Terse = true
	workers.Each(len(kits), func(i int) {
		r := fit.Check(kits[i], o.Check)
		list[i] = part{
			LoosePart: loose(kits[i], r.Nonsense), told: r.Info.Place != measure.Place{}, left: r.Info.LeftHanded,
			alone: fit.Result{Nonsense: r.Nonsense, Suspects: r.Suspects},
		}
		for _, c := range r.Characteristics {
			if !c.Missing.None() || !slices.Contains(of, c.ID) {
				continue
			}
			if out := max(c.Lower-c.Value, c.Value-c.Upper); out > 0 {
				list[i].own += back + perMillimetre*out
			}
		}
	})
	return list
}

// minutesOf are what works cost: costs.csv's over the built-in ones.
func minutesOf(costs []measure.Cost) (minutes [math.MaxUint8 + 1]float64) {
	for _, list := range [][]measure.Cost{measure.BuiltInCosts(), costs} {
		for _, c := range list {
			minutes[c.Work] = c.Minutes
		}
	}
	return minutes
}

// pricing is what pairs are priced by: the limits in force, open ends as infinities, and what it costs
// to be beyond.
type pricing struct {
	check        fit.Options
	minutes      [math.MaxUint8 + 1]float64 // by work
	lower, upper fit.Values
	screws       bool       // the user limits the neck screws, so that their clearance does not
	guard        fit.Values // how near a limit a value inside is too near to say; 0 for no matter
}

// newPricing takes the built-in limits and the user's over them, of which the first counts, as in fit.
// Guard bands are by the uncertainties of the first pair by name that can be seated and of which nothing cannot be so: parts surveyed alike
// have like ones, and they only steer the match, for every pair that is chosen is judged with its own.
func newPricing(necks, bodies []part, o Options) *pricing {
	l := &pricing{check: o.Check, minutes: minutesOf(o.Costs)}
	for id := range l.lower {
		l.lower[id], l.upper[id] = math.Inf(-1), math.Inf(1)
	}
	for _, list := range [][]measure.Limit{fit.BuiltInLimits(), o.Check.Limits} {
		for _, m := range slices.Backward(list) {
			if id, ok := fit.Named(m.Characteristic); ok {
				l.lower[id], l.upper[id] = m.Lower, m.Upper
			}
		}
	}
	l.screws = slices.ContainsFunc(o.Check.Limits, func(m measure.Limit) bool {
		return m.Characteristic == fit.NeckScrewMismatch.String()
	})
	if o.Check.Rule == fit.Guarded {
		l.takeGuards(byName(necks), byName(bodies))
	}
	return l
}

func byName(list []part) []part {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b part) int { return cmp.Compare(a.Kit.Name, b.Kit.Name) })
	return list
}

func (l *pricing) takeGuards(necks, bodies []part) {
	for _, n := range necks {
		for _, b := range bodies {
			if mismatch(&n, &b) != (Obstacle{}) || len(n.alone.Nonsense)+len(b.alone.Nonsense) > 0 {
				continue
			}
			for _, c := range fit.Check(fit.Unite("", n.Kit, b.Kit), l.check).Characteristics {
				if c.Missing.None() && slices.Contains(fit.OfPairs, c.ID) {
					l.guard[c.ID] = guardBand * c.StdUncertainty
				}
			}
			return
		}
	}
}

// mismatch is why two parts cannot be of one instrument, whatever their sizes.
func mismatch(n, b *part) Obstacle {
	switch {
	case !n.Missing.None():
		return Obstacle{Kind: NeckUnread, Missing: n.Missing}
	case !b.Missing.None():
		return Obstacle{Kind: BodyUnread, Missing: b.Missing}
	case n.Strings > 0 && b.Strings > 0 && n.Strings != b.Strings:
		return Obstacle{Kind: StringCount, NeckStrings: n.Strings, BodyStrings: b.Strings}
	case n.told && b.told && n.left != b.left:
		return Obstacle{Kind: Handedness}
	}
	return Obstacle{}
}

// priceOf puts a neck and a body together and bills the work.
func (l *pricing) priceOf(s *fit.Seater, n, b *part) Price {
	if why := mismatch(n, b); why != (Obstacle{}) {
		return impossible(why)
	}
	s.Seat(n.LoosePart, b.LoosePart, l.check)
	v, screws := s.Values()
	if l.screws || math.IsInf(screws, 1) {
		screws = l.upper[fit.NeckScrewMismatch]
	}
	p := l.price(&v, screws, s.Swing)
	if own := n.own + b.own; own > 0 && p.Possible() {
		p.Minutes += own
		p.Actions |= PartOwn
	}
	return p
}

// leastOf is what a pair costs at the least: what shows in the gaps, which are had at a fraction of the time.
func (l *pricing) leastOf(n, b *part) float64 {
	if mismatch(n, b) != (Obstacle{}) {
		return math.Inf(1)
	}
	var p Price
	var v fit.Values
	v[fit.PocketGapMouth], v[fit.PocketGapEnd] = fit.Gaps(n.LoosePart, b.LoosePart)
	l.gaps(&p, &v)
	l.doubt(&p, &v, 0, fit.PocketGapMouth, fit.PocketGapEnd)
	const rounding = 1e-9 // of another order of adding up
	return p.Minutes + n.own + b.own - rounding
}

// gaps bills a heel that is tight or loose in its pocket.
func (l *pricing) gaps(p *Price, v *fit.Values) {
	l.add(p, Relieve, l.tight(v), measure.RelieveWall)
	l.add(p, Shim, max(l.over(v, fit.PocketGapMouth), l.over(v, fit.PocketGapEnd)), measure.SideShim, measure.SideShim)
}

// tight is by how much a heel is too wide for its pocket.
func (l *pricing) tight(v *fit.Values) float64 {
	return max(l.under(v, fit.PocketGapMouth), l.under(v, fit.PocketGapEnd))
}

// price bills what a pair needs so that its measured values come within their limits.
func (l *pricing) price(v *fit.Values, screws float64, swing func(least float64) *fit.Swing) Price {
	if l.tight(v) > mostRelief {
		return impossible(Obstacle{Kind: HeelTooWide})
	}
	move := max(l.beyond(v, fit.SaddleReserveFront), l.beyond(v, fit.SaddleReserveBack))
	if max(move, l.beyond(v, fit.CentreLineError)) > mostMove {
		return impossible(Obstacle{Kind: BridgeTooFar})
	}
	var p Price
	l.gaps(&p, v)
	l.add(&p, Round, l.beyond(v, fit.CornerReserve), measure.EaseCorner)
	if miss := known(v[fit.NeckScrewMismatch] - screws); miss > mostReam {
		l.add(&p, Drill, miss, measure.PlugNeck)
	} else {
		l.add(&p, Ream, miss, measure.ReamScrews)
	}
	l.add(&p, Replan, move, measure.PlugBridge)
	l.add(&p, Replan, l.beyond(v, fit.BridgeSkew), measure.PlugBridge)
	l.sideways(v, swing, &p)
	for _, id := range []fit.ID{fit.FretPlaneHeight, fit.SaddleHeightReserveLow, fit.SaddleHeightReserveHigh, fit.Pitch, fit.Roll} {
		l.add(&p, Lift, l.beyond(v, id), measure.PitchShim)
	}
	l.doubt(&p, v, screws, fit.OfPairs...)
	return p
}

// beyond is how far a value lies outside its limits, 0 inside and for what was not measured.
func (l *pricing) beyond(v *fit.Values, id fit.ID) float64 {
	return max(0, l.under(v, id), l.over(v, id))
}

func (l *pricing) under(v *fit.Values, id fit.ID) float64 { return known(l.lower[id] - v[id]) }
func (l *pricing) over(v *fit.Values, id fit.ID) float64  { return known(v[id] - l.upper[id]) }

func known(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return max(0, x)
}

// add puts an action on the bill for an excess beyond a limit, once, at what the works cost.
func (l *pricing) add(p *Price, a Action, excess float64, works ...measure.Work) {
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

// sideways bills the centre line and the margins: by re-seating where the pocket's play reaches far
// enough, else by moving the bridge.
func (l *pricing) sideways(v *fit.Values, swing func(least float64) *fit.Swing, p *Price) {
	out := 0.0
	for _, id := range []fit.ID{fit.CentreLineError, fit.MarginBass, fit.MarginTreble, fit.MarginBalance} {
		out = max(out, l.beyond(v, id))
	}
	if out == 0 {
		return
	}
	if s := swing(2 * out); s != nil && out <= (s.High-s.Low)/2 {
		l.add(p, Reseat, out, measure.Reseat)
		return
	}
	l.add(p, Replan, out, measure.PlugBridge)
}

// doubt bills values that lie inside their limits, but within the guard band; the neck
// screws' limit is the pair's own.
func (l *pricing) doubt(p *Price, v *fit.Values, screws float64, ids ...fit.ID) {
	for _, id := range ids {
		upper := l.upper[id]
		if id == fit.NeckScrewMismatch {
			upper = screws
		}
		inside := min(v[id]-l.lower[id], upper-v[id]) // NaN for what was not measured
		if inside >= 0 && inside < l.guard[id] {
			p.Actions |= Read
			p.Minutes += minutesRead * (1 - inside/l.guard[id])
		}
	}
}

// table has what pairs cost, in minutes, +Inf where they cannot be: of most of them no more than what they cost at the least.
type table struct {
	*pricing
	necks, bodies []part
	minutes       []float64 // by neck, then by body
	known         []bool    // which are what the pair costs
}

// newTable finds what each pair costs at the least.
func newTable(l *pricing, necks, bodies []part) *table {
	t := &table{pricing: l, necks: necks, bodies: bodies, minutes: make([]float64, len(necks)*len(bodies)), known: make([]bool, len(necks)*len(bodies))}
	const band = 16 // necks that are put to a body while it is at hand
	workers.Each((len(necks)+band-1)/band, func(k int) {
		for j := range bodies {
			for i := k * band; i < min(len(necks), (k+1)*band); i++ {
				t.minutes[t.at(i, j)] = l.leastOf(&necks[i], &bodies[j])
			}
		}
	})
	return t
}

func (t *table) at(neck, body int) int { return neck*len(t.bodies) + body }

// least is what is known of a pair: at least so much.
func (t *table) least(neck, body int) float64 { return t.minutes[t.at(neck, body)] }

// cost is what a pair costs.
func (t *table) cost(s *fit.Seater, neck, body int) float64 {
	if at := t.at(neck, body); t.known[at] {
		return t.minutes[at]
	}
	return t.priceOf(s, &t.necks[neck], &t.bodies[body]).Minutes
}

// find gives what pairs cost, each of them once in the list, and keeps it. The list is of one neck after the other, or of one
// body; of a share of it, the pairs with the same other part come one after another while that is at hand, which saves half of
// the time.
func (t *table) find(cells []lot.Cell) []float64 {
	share := min(max(len(cells)/32, 64), 1<<15)
	list := make([]float64, len(cells))
	other := func(c lot.Cell) int { return c.Column }
	if len(cells) > 1 && cells[0].Column == cells[1].Column {
		other = func(c lot.Cell) int { return c.Row }
	}
	workers.Each((len(cells)+share-1)/share, func(k int) {
		s := new(fit.Seater)
		order := make([]int, 0, share)
		for i := k * share; i < min(len(cells), (k+1)*share); i++ {
			order = append(order, i)
		}
		slices.SortFunc(order, func(a, b int) int { return cmp.Or(other(cells[a])-other(cells[b]), a-b) })
		for _, i := range order {
			list[i] = t.cost(s, cells[i].Row, cells[i].Column)
		}
	})
	for i, c := range cells {
		t.minutes[t.at(c.Row, c.Column)], t.known[t.at(c.Row, c.Column)] = list[i], true
	}
	return list
}

// Random is what matching by chance comes to on average, every match equally likely.
type Random struct {
	Minutes    float64 // of the pairs that can be made
	Impossible float64 // pairs that cannot
}

// mostTurns is of how many matches the average is taken, where there are more parts than that: of some thousand parts it is
// then right to half a hundredth.
const mostTurns = 100

// randomMatch is exact for up to mostTurns parts: in a match of as many pairs as can be drawn, each pair is drawn with
// probability one over the larger number of parts. To match each part with that which stands so many places on, in a circle,
// is a match, and all such matches together have each pair once; of more parts a hundred of them are taken.
func randomMatch(necks, bodies int, price func([]lot.Cell) []float64) Random {
	larger := max(necks, bodies)
	turns := min(larger, mostTurns)
	var cells []lot.Cell
	for i := range necks {
		for turn := range turns {
			if j := (i + turn*larger/turns) % larger; j < bodies {
				cells = append(cells, lot.Cell{Row: i, Column: j})
			}
		}
	}
	var r Random
	for _, minutes := range price(cells) {
		if math.IsInf(minutes, 1) {
			r.Impossible += 1 / float64(turns)
		} else {
			r.Minutes += minutes / float64(turns)
		}
	}
	return r
}
