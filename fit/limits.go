package fit

import (
	"cmp"

	"neckfit/measure"
)

// blank is the catalogue with its limits, before anything has been found.
type blank struct {
	list  []Characteristic
	given []bool          // whether the user set the limits
	user  []measure.Limit // that it was made for
}

// fill makes the blank for the user's limits, unless it is already.
func (b *blank) fill(user []measure.Limit) {
	if len(b.list) > 0 && len(user) == len(b.user) && (len(user) == 0 || &user[0] == &b.user[0]) {
		return
	}
	*b = blank{list: make([]Characteristic, len(catalogue)), given: make([]bool, len(catalogue)), user: user}
	for i := range catalogue {
		c, out := &catalogue[i], &b.list[i]
		out.ID, out.Dimension = c.id, c.dimension
		out.Lower, out.Upper, out.Class, out.LimitSource = c.lower, c.upper, c.class, LimitSource{Origin: CommonPractice}
		b.given[i] = out.limit(user)
	}
}

// limit takes the user's limits over, if there are any.
func (c *Characteristic) limit(user []measure.Limit) bool {
	for i := range user {
		if u := &user[i]; u.Characteristic == c.ID.String() {
			c.Lower, c.Upper = u.Lower, u.Upper
			c.Class = cmp.Or(u.Class, c.Class)
			c.LimitSource = LimitSource{Origin: LimitTable, Text: u.Source}
			return true
		}
	}
	return false
}

// bind sets the limits that the kit itself sets, where the user sets none.
func (c *Characteristic) bind(b *bound, given bool) {
	if b != nil && !given {
		c.Lower, c.Upper, c.LimitSource = b.lower, b.upper, b.source
	}
}
