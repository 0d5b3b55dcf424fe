package main

import (
	"math"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// builtInLimits are the limits that a kit without limits.csv is held against, in the order of the
// report; asking fit itself means that there is no second list.
func builtInLimits() []measure.Limit {
	var limits []measure.Limit
	for _, c := range fit.Check(&measure.Kit{Name: "none"}, fit.Options{}).Characteristics {
		if math.IsInf(c.Lower, -1) && math.IsInf(c.Upper, 1) {
			continue
		}
		limits = append(limits, measure.Limit{
			Characteristic: c.Name, Lower: c.Lower, Upper: c.Upper, Class: c.Class,
			Source: strings.Join(strings.Fields(c.LimitSource), " "), // one line, as it becomes a comment
		})
	}
	return limits
}
