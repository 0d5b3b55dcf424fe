package fit

// trend is the least-squares line through points, from sums about the first of them, in which little
// cancels.
type trend struct {
	n                        int
	x0, y0                   float64
	sumX, sumY, sumXX, sumXY float64
}

func (t *trend) see(x, y float64) {
	if t.n == 0 {
		t.x0, t.y0 = x, y
	}
	t.n++
	x -= t.x0
	y -= t.y0
	t.sumX += x
	t.sumY += y
	t.sumXX += x * x
	t.sumXY += x * y
}

func (t *trend) meanX() float64 { return t.x0 + t.sumX/float64(max(t.n, 1)) }
func (t *trend) meanY() float64 { return t.y0 + t.sumY/float64(max(t.n, 1)) }

// slope is false where the points have one x but for rounding.
func (t *trend) slope() (slope float64, ok bool) {
	const rounding = 1e-12
	if t.n < 2 {
		return 0, false
	}
	n := float64(t.n)
	spread := t.sumXX - t.sumX*t.sumX/n
	if !(spread > rounding*(t.sumXX+t.x0*t.x0)) {
		return 0, false
	}
	return (t.sumXY - t.sumX*t.sumY/n) / spread, true
}
