// Package fit turns a kit's readings into geometry, the geometry into characteristics with
// their uncertainties, and those into verdicts. DEVELOPERS.md has the formulas' home.
package fit

import "neckfit/measure"

// Rule decides from value, uncertainty and limits.
type Rule uint8

// The decision rules.
const (
	Guarded Rule = iota // pass at P >= 0.95, fail at P <= 0.05 (ISO 14253-1:2017 default)
	Simple              // value against limits
)

// Options steer Check; the zero value uses the built-in limits and the guarded rule.
type Options struct {
	Rule         Rule
	Limits       []measure.Limit // the user's; they override the built-in ones by name
	Compensation measure.Strings // nil for the built-in ones
}

// Check fits one kit.
func Check(kit *measure.Kit, o Options) *Result { return &Result{Kit: kit.Name} }

// Characteristics lists the names that limits.csv may use, with their dimension.
func Characteristics() map[string]measure.Dimension { return nil }
