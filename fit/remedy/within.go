package remedy

import (
	"math"
	"slices"

	"neckfit/fit"
	"neckfit/measure"
)

// share is how the right place of a hole answers to an error of one element of the model: mm, or degrees, to
// mm in the assembled frame.
type share struct {
	element int
	x, y    float64
}

// circles draws the circle about each new hole of a candidate's schedule.
func (k *kit) circles(d *candidate, schedule *Schedule) {
	if schedule == nil {
		return
	}
	s := &scheduler{kit: k, placed: schedule.Placed}
	for i := range schedule.Holes {
		if h := &schedule.Holes[i]; h.Work == Fresh || h.Work == PlugFirst {
			h.Within = s.within(d, h)
		}
	}
}

// within is the radius of the circle about a new hole's place in which its right place lies with 95 %. The right
// place is where the hole of the bridge's plate, or of the body under the heel, comes to lie when all is as the
// plan predicts: the readings leave that uncertain by what they do not know of the two patterns of holes and of
// the bridge beside the neck. What the hand adds is that of the works (costs.csv) and of the drill at each hole.
func (s *scheduler) within(d *candidate, h *Hole) float64 {
	pattern, sign, drilling := fit.BridgeHoleMismatch, -1.0, measure.PlugBridge
	switch {
	case h.Feature == measure.HeelScrew:
		pattern, sign, drilling = fit.NeckScrewMismatch, 1, measure.PlugNeck
	case h.Feature == measure.StringHole:
		pattern, drilling = fit.PlateHoleMismatch, measure.PlugStrings
	}
	var aims, holes []share
	if h.Feature != measure.HeelScrew && d.newBridge {
		aims = s.aims(h)
	}
	if c := s.criterion(pattern); c != nil && c.taken == fit.LongestOf {
		for e := c.first; e < c.last; e += 2 {
			if s.model.Elements[e].Mark == h.Mark {
				holes = []share{{e, sign, 0}, {e + 1, 0, sign}}
			}
		}
	}
	std, shares := s.std(drilling), slices.Concat(aims, holes)
	xx, yy, xy := std*std, std*std, 0.0
	for _, a := range shares {
		for _, b := range shares {
			v := s.model.Covariance[a.element][b.element]
			xx, yy, xy = xx+a.x*b.x*v, yy+a.y*b.y*v, xy+a.x*b.y*v
		}
	}
	for i := range d.noise {
		x, y := s.slip(h, &d.noise[i].moves, aims, holes)
		xx, yy, xy = xx+x*x, yy+y*y, xy+x*y
	}
	return radius(xx, yy, xy, fit.Confidence)
}

// aims are what the bridge's place is set by: across by the centre line's error, in turn by the bridge's skew,
// along by the mean of the saddles' reserves. Each is as uncertain as what it is set by.
func (s *scheduler) aims(h *Hole) (list []share) {
	for _, aim := range []struct {
		id   fit.ID
		move fit.Move
	}{{fit.CentreLineError, fit.BridgeAcross}, {fit.BridgeSkew, fit.BridgeTurn}, {fit.SaddleReserveFront, fit.BridgeAlong}} {
		c := s.criterion(aim.id)
		if c == nil {
			continue
		}
		var one [fit.Moves]float64
		one[aim.move] = 1
		x, y := s.carried(h, &one)
		for e := c.first; e < c.last; e++ {
			if by := s.model.Response[e][aim.move] * float64(c.last-c.first); math.Abs(by) > noResponse {
				list = append(list, share{e, -x / by, -y / by})
			}
		}
	}
	return list
}

// carried is where a hole of the bridge goes when the bridge is moved.
func (s *scheduler) carried(h *Hole, by *[fit.Moves]float64) (x, y float64) {
	at := s.placed.Bridge
	if at == nil || s.placed.Centre == nil {
		return 0, 0
	}
	along, across, turn := by[fit.BridgeAlong], by[fit.BridgeAcross], by[fit.BridgeTurn]*math.Pi/180
	nx, ny := s.placed.Centre.NX, s.placed.Centre.NY
	return ny*along + nx*across - turn*(h.New.Y-at.Y), -nx*along + ny*across + turn*(h.New.X-at.X)
}

// slip is how far a hole comes to lie from its right place when the hand is off by some moves: a hole of the
// bridge goes with it, and what the heel is off by moves the right place.
func (s *scheduler) slip(h *Hole, by *[fit.Moves]float64, aims, holes []share) (x, y float64) {
	heel := *by
	heel[fit.BridgeAlong], heel[fit.BridgeAcross], heel[fit.BridgeTurn] = 0, 0, 0
	moved := aims
	if h.Feature == measure.HeelScrew {
		moved = holes
	} else {
		x, y = s.carried(h, by)
	}
	for _, m := range moved {
		off := dot(&s.model.Response[m.element], &heel)
		x, y = x-m.x*off, y-m.y*off
	}
	return x, y
}

// radius of the circle about the mean that a normal error in two directions stays in with a probability. Along
// a direction t of the error's own axes, in standard deviations, it reaches g(t) mm for each, and its length in
// these has the Rayleigh distribution: beyond r lies the mean over t of exp(-r²/2g(t)²).
func radius(xx, yy, xy, p float64) float64 {
	half, middle := math.Hypot((xx-yy)/2, xy), (xx+yy)/2
	long, short := middle+half, max(0, middle-half) // variances along the axes
	if long == 0 {
		return 0
	}
	const directions = 32         // of a half turn; a smooth periodic mean converges at once
	var along [directions]float64 // minus half of one over the variance in a direction
	for i := range along {
		sin, cos := math.Sincos(math.Pi * (float64(i) + 0.5) / directions)
		along[i] = -0.5 / (long*cos*cos + short*sin*sin)
	}
	low, high := 0.0, 4*math.Sqrt(long)
	for high-low > 1e-6*high {
		r, beyond := (low+high)/2, 0.0
		for _, a := range along {
			beyond += math.Exp(r*r*a) / directions
		}
		if beyond > 1-p {
			low = r
		} else {
			high = r
		}
	}
	return low
}
