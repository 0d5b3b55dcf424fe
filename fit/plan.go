package fit

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"neckfit/fit/adjust"
	"neckfit/fit/survey"
	"neckfit/measure"
)

// Planned is what readings that are still to be taken will tell of a characteristic.
type Planned struct {
	ID             ID
	Missing        Missing // what the sheet has no row for
	StdUncertainty float64 // mm or degrees
	DOF            float64 // its degrees of freedom; 0 for no end
	Common         float64 // of it, what the gauges' maximum errors bring
	Lower, Upper   float64 // an open end is an infinity
	Wanted         bool    // a kit without it is incomplete, see Result.Wanted
	TooCoarse      bool    // no value could pass
	Needed         float64 // the greatest StdUncertainty with which the best value passes; 0 where any will do
	Cure           Cure    // where TooCoarse and Cures was asked
}

// Cure is the least that makes a characteristic decidable: each place read so many Times as often, with the built-in calliper,
// or a vernier as fine, Instead of these gauges, of none where they may stay. Times is 0 where nothing of the kind does.
type Cure struct {
	Times          int
	Instead        []string
	StdUncertainty float64 // then
}

// Forecast is what a sheet's rows will tell.
type Forecast struct {
	Characteristics []Planned        // always all of them, in the order of Catalogue
	Gauges          []*measure.Gauge // of the rows
}

// planned is how many kits of good parts a plan draws: the middle U of so many is good to 1.3 % where it has six degrees of freedom, and to far less of
// itself elsewhere.
const planned = 800

// Plan tells beforehand what U each characteristic will have, from the rows of a sheet and their gauges
// alone: what half of the kits have whose parts are as good, and whose gauges are, as is claimed. They are drawn, always the same ones: readings of an
// instrument of usual sizes. Rows have their datum, feature, mark, kind, gauges and trial; their
// numbers do not matter. Several rows of one line are taken as spread evenly along it, those of other trials at the same places.
// What no value could pass is told by that instrument itself, read without errors, whose places scatter just as is claimed; with Options.Brief so is U,
// for plans that are compared by the hundred.
func Plan(rows []measure.Reading, info measure.Info, o Options) Forecast {
	n := usual(rows, info)
	kit := &measure.Kit{Name: "plan", Info: info, Readings: n.readings(rows)}
	kit.Info.Strings, kit.Info.Scale = n.strings, cmp.Or(info.Scale, n.scale)
	o.Terse, o.Model = true, false
	var w Checker
	w.blank.fill(o.Limits)
	judge := func() []Characteristic {
		if w.solved.solve(kit) != nil {
			return nil
		}
		return w.assembly.put(&w.solved, wayOf(&w.solved.Survey), o, nil).judgeAll(nil, &w.blank)
	}
	w.solved.scatter = adjust.AsClaimed
	nominal := judge()
	if nominal == nil { // rows so odd that even a nominal instrument's do not settle
		nominal, o.Brief = slices.Clone(w.blank.list), true
		for i := range nominal {
			nominal[i].Missing = Missing{Want: WantSettled}
		}
	}
	f, r := Forecast{Gauges: w.solved.gauges(nil)}, Result{Info: info}
	for i := range nominal {
		c := &nominal[i]
		p := Planned{ID: c.ID, Missing: c.Missing, StdUncertainty: c.StdUncertainty, DOF: c.DOF, Common: c.Common, Lower: c.Lower, Upper: c.Upper, Wanted: r.Wanted(c)}
		if c.ID == ScaleLength && info.Scale+info.ScaleBass == 0 { // about what kits.csv will say it is
			p.Lower, p.Upper = c.Lower-n.scale, c.Upper-n.scale
		}
		p.hold(c)
		f.Characteristics = append(f.Characteristics, p)
	}
	if o.Brief {
		return f
	}
	n.misfit = 0
	draws := newSampler(n.readings(rows))
	w.solved.scatter, w.solved.drawn = adjust.AsRead, draws.rng
	var found [characteristics][]Characteristic
	for range planned {
		kit.Readings = draws.draw()
		for i, c := range judge() {
			found[i] = append(found[i], c)
		}
	}
	for i := range f.Characteristics {
		if len(found[i]) > 0 {
			f.Characteristics[i].expect(found[i])
		}
	}
	return f
}

// hold tells of a characteristic that has limits whether any value could pass.
func (p *Planned) hold(c *Characteristic) {
	if c.Missing.None() && c.Verdict != NotJudged {
		p.TooCoarse, p.Needed = c.bestCase() < Confidence, c.coarsest()
	}
}

// expect takes the uncertainty of the middle kit of those that have it, in the mean of the middle tenth; where half of the kits have not, what they lack.
func (p *Planned) expect(kits []Characteristic) {
	lacks := func(c Characteristic) bool { return !c.Missing.None() }
	at := slices.IndexFunc(kits, lacks)
	if all := len(kits); at >= 0 {
		lack := kits[at].Missing
		if kits = slices.DeleteFunc(kits, lacks); 2*len(kits) <= all {
			p.Missing, p.StdUncertainty, p.DOF, p.Common, p.TooCoarse, p.Needed = lack, 0, 0, 0, false, 0
			return
		}
	}
	slices.SortFunc(kits, func(a, b Characteristic) int { return cmp.Compare(a.StdUncertainty, b.StdUncertainty) })
	if c := &kits[len(kits)/2]; !p.Missing.None() { // by chance the nominal instrument lacks it
		p.Missing = Missing{}
		p.hold(c)
	}
	middle := kits[len(kits)*9/20 : len(kits)-len(kits)*9/20]
	var std, common, spent float64
	for i := range middle {
		c := &middle[i]
		std, common = std+c.StdUncertainty, common+c.Common
		if c.DOF > 0 {
			spent += 1 / c.DOF
		}
	}
	n := float64(len(middle))
	if p.StdUncertainty, p.Common, p.DOF = std/n, common/n, 0; spent > 0 {
		p.DOF = n / spent
	}
}

// Cures says of what a forecast is too coarse for what would do.
func (f *Forecast) Cures(rows []measure.Reading, info measure.Info, o Options) {
	brief := o
	brief.Brief = true
	left := func(p Planned) bool { return p.TooCoarse && p.Cure.Times == 0 }
	for _, c := range cures(rows) {
		if !slices.ContainsFunc(f.Characteristics, left) {
			return
		}
		with := c.readings(rows)
		var then []Planned
		for i, q := range Plan(with, info, brief).Characteristics {
			if p := &f.Characteristics[i]; left(*p) && q.Missing.None() && !q.TooCoarse {
				if then == nil {
					then = Plan(with, info, o).Characteristics
				}
				p.Cure = Cure{c.Times, c.Instead, then[i].StdUncertainty}
			}
		}
	}
}

// cures are what to try, the least trouble first: once more, a calliper for one of the gauges that it is better than, for
// all of them but one, for all, and more repeats.
func cures(rows []measure.Reading) []Cure {
	calliper := &measure.BuiltInGauges()[0]
	var blunt []string
	for i := range rows {
		for _, g := range []*measure.Gauge{rows[i].Gauge, rows[i].StationGauge} {
			if g != nil && g.Kind != "feeler" && g.Variance() > 1.01*calliper.Variance() && !slices.Contains(blunt, g.ID) {
				blunt = append(blunt, g.ID)
			}
		}
	}
	list := []Cure{{Times: 2}}
	for i := range blunt {
		list = append(list, Cure{Times: 1, Instead: blunt[i : i+1]})
	}
	for i := range blunt {
		list = append(list, Cure{Times: 1, Instead: slices.Delete(slices.Clone(blunt), i, i+1)})
	}
	return append(list, Cure{1, blunt, 0}, Cure{Times: 3}, Cure{2, blunt, 0}, Cure{3, blunt, 0})
}

// readings are those of a sheet as the cure has them taken.
func (c *Cure) readings(rows []measure.Reading) (again []measure.Reading) {
	trials, calliper := 1, &measure.BuiltInGauges()[0]
	for i := range rows {
		trials = max(trials, rows[i].Trial)
	}
	for k := range c.Times {
		for _, r := range rows {
			for _, g := range []**measure.Gauge{&r.Gauge, &r.StationGauge} {
				if *g != nil && slices.Contains(c.Instead, (*g).ID) {
					*g = calliper
				}
			}
			r.Trial = max(1, r.Trial) + k*trials
			again = append(again, r)
		}
	}
	return again
}

// sampler draws kits of one sheet.
type sampler struct {
	rng         *rand.Rand
	right, list []measure.Reading
	holes       []int        // for each row the first that is of the same hole of a body; -1 where it is of none
	moved       [][2]float64 // by that row
}

func newSampler(right []measure.Reading) *sampler {
	n := len(right)
	p := &sampler{rand.New(rand.NewPCG(1, 2)), right, make([]measure.Reading, n), make([]int, n), make([][2]float64, n)}
	for i := range right {
		p.holes[i] = -1
		switch f := right[i].Feature; f {
		case measure.BridgeScrew, measure.StringHole, measure.NeckScrew:
			p.holes[i] = slices.IndexFunc(right, func(r measure.Reading) bool { return r.Feature == f && r.Mark == right[i].Mark })
		}
	}
	return p
}

// draw gives readings as gauges show them of a kit whose holes lie about where they were meant to be, all but the form of places, see leaveForm, and
// the gauges' greatest errors, which next to no residual shows.
func (p *sampler) draw() []measure.Reading {
	copy(p.list, p.right)
	for i := range p.list {
		r := &p.list[i]
		if at := p.holes[i]; at >= 0 {
			if at == i {
				p.moved[i] = [2]float64{survey.HoleForm * p.rng.NormFloat64(), survey.HoleForm * p.rng.NormFloat64()}
			}
			inward := 1.0
			if r.Datum == measure.DatumEdgeTreble {
				inward = -1
			}
			r.Station, r.Offset = r.Station+p.moved[at][0], r.Offset+inward*p.moved[at][1]
		}
		if r.HasStation {
			r.Station = p.shown(r.StationGauge, r.Station)
		}
		if r.Kind >= measure.Width {
			r.Size = p.shown(r.Gauge, r.Size)
		} else if r.HasOffset {
			r.Offset = p.shown(r.Gauge, r.Offset)
		}
	}
	return p.list
}

// shown is what a gauge shows of a length.
func (p *sampler) shown(g *measure.Gauge, v float64) float64 {
	v += math.Hypot(g.Repeatability, g.Reproducibility) * p.rng.NormFloat64()
	if g.Resolution > 0 {
		v = math.Round(v/g.Resolution) * g.Resolution
	}
	return v
}

// leaveForm makes the values those of a kit of good parts. What holes leave their pattern by is in the readings already.
func (s *solved) leaveForm(rng *rand.Rand) {
	p := &s.Problem
	places := make([]float64, len(p.Places))
	for k, std := range p.Places {
		places[k] = std * rng.NormFloat64()
	}
	for i := range p.Rows {
		if r := &p.Rows[i]; r.Place > 0 {
			r.Value += places[r.Place-1]
		}
	}
	for _, f := range s.Forms {
		if r := &p.Rows[f.Row]; r.Sigma != survey.HoleForm {
			r.Value += r.Sigma * rng.NormFloat64()
		}
	}
}
