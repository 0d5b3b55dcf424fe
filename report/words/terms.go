package words

import (
	"fmt"
	"strings"

	"neckfit/fit"
	"neckfit/measure"
)

// CheckedAlike is what is expected of kits that are judged as one delivery.
const CheckedAlike = "kits checked by one version on the same limits, costs and gauges"

// NoTerms is for kits of which nobody knows how they were checked, beside others of which it is known.
func NoTerms(source, other string) string {
	return fmt.Sprintf("%s does not tell by which version, limits and gauges its kits were checked, %s does: check them again by this version", source, other)
}

// OtherTerms says that kits of a source were checked otherwise than those before them.
func OtherTerms(source, before, what string) string {
	return fmt.Sprintf("%s was checked otherwise than %s, so that they are not one delivery: %s", source, before, what)
}

// What follows is what differs, here and in what came before.

// OtherVersion is for versions of the program.
func OtherVersion(here, before string) string { return fmt.Sprintf("by %s, not by %s", here, before) }

// OtherRule is for the rules of deciding.
func OtherRule(here, before string) string {
	return fmt.Sprintf("with --rule %s, not %s", here, before)
}

// OtherTable is for a table whose rows are not told one by one.
func OtherTable(name string) string { return "with another " + name }

// OtherLimit is for a row of limits.csv; nil where it is not there.
func OtherLimit(here, before *measure.Limit) string {
	say := func(l *measure.Limit) string {
		if l == nil {
			return "the built-in limit"
		}
		return strings.TrimSpace(Limits(&fit.Characteristic{Lower: l.Lower, Upper: l.Upper}) + " " + l.Class.String())
	}
	name := before
	if here != nil {
		name = here
	}
	return fmt.Sprintf("limits.csv gives %s %s, not %s", name.Characteristic, say(here), say(before))
}

// OtherCost is for a row of costs.csv; nil where it is not there.
func OtherCost(here, before *measure.Cost) string {
	say := func(c *measure.Cost) string {
		if c == nil {
			return "the built-in cost"
		}
		return fmt.Sprintf("%s minutes, a price of %s and %s mm at the worst", Limit(c.Minutes), Limit(c.Price), Limit(c.Worst))
	}
	name := before
	if here != nil {
		name = here
	}
	return fmt.Sprintf("costs.csv gives %s %s, not %s", name.Work, say(here), say(before))
}

// OtherGauge is for a gauge of the same name.
func OtherGauge(here, before *measure.Gauge) string {
	return fmt.Sprintf("its gauge is %s, not %s", GaugeLine(here), GaugeLine(before))
}

// OtherAim is for kits of one lot that are judged on nothing alike.
func OtherAim(here, before []string) string {
	say := func(aim []string) string {
		if len(aim) == 0 {
			return "everything"
		}
		return strings.Join(aim, ", ")
	}
	return fmt.Sprintf("kits of one lot are judged on %s, not on %s", say(here), say(before))
}

// Twice says which kits are there twice, and in which files.
func Twice(kits [][3]string) string {
	var list []string
	for _, k := range kits {
		list = append(list, fmt.Sprintf("%q in %s and in %s", k[0], k[1], k[2]))
	}
	const most = 5
	if more := len(list) - most; more > 0 {
		list = append(list[:most], fmt.Sprintf("and %d more", more))
	}
	return "kits are there twice, and would be judged twice: " + strings.Join(list, "; ")
}
