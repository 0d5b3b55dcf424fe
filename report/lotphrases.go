package report

import (
	"neckfit/fit/delivery"
	"neckfit/fit/lot"
	"neckfit/measure"
)

// LotNote says what the numbers of a judged delivery are.
const LotNote = lotNote

// DeliveryHeadline counts the decisions on the lots and names them.
func DeliveryHeadline(r *delivery.Report) string { return lotsHeadline(r) }

// LotName names a lot and, where it is known, whose it is; it is never empty.
func LotName(l *delivery.Lot) string { return lotName(l) }

// LotHeadline says what to do with a lot and why.
func LotHeadline(l *delivery.Lot) string { return lotHeadline(l) }

// LotCounts are a lot's verdicts and yields in a sentence or two.
func LotCounts(l *delivery.Lot) string { return lotCounts(l) }

// OutcomeWord is what the inspection of a class came to.
func OutcomeWord(c *delivery.ClassAcceptance) string { return outcomeWord(c) }

// DrawnWords name the sample; "" where none was drawn.
func DrawnWords(a *delivery.Acceptance, seed uint64) string { return drawnWords(a, seed) }

// UnsureWords say how unsure kits and kits without a reading were counted.
func UnsureWords(a *delivery.Acceptance) []string { return unsureWords(a) }

// RiskWords are the risks of a class's plan; "" where none is taken.
func RiskWords(c *delivery.ClassAcceptance) string { return riskWords(c) }

// CurveRows is the operating curve as a table: its head, then a line for each class that is
// inspected by a sample.
func CurveRows(a *delivery.Acceptance) [][]string { return curveRows(a) }

// ClassHeading is a class as tables head it.
func ClassHeading(c measure.Class) string { return classHeading(c) }

// ProcessUnit is the unit of a process's values.
func ProcessUnit(p *delivery.Process) string { return unitOf(p) }

// Small writes a length or an angle to a thousandth, large ones to a hundredth.
func Small(x float64) string { return small(x) }

// IndexWords is a capability index with its 95 % confidence limits, or a dash.
func IndexWords(x lot.Index) string { return indexWords(x) }

// ToleranceWords is where 95 % of a process lie; "" where that is not known.
func ToleranceWords(t *lot.Interval) string { return toleranceWords(t) }

// SignalWords are the run rules that were broken, and by which kits; "" for none.
func SignalWords(signals []delivery.Signal) string { return signalWords(signals) }

// LotNotes are a lot's warnings, each said once with the characteristics that it holds for.
func LotNotes(l *delivery.Lot) []string { return noteWords(l) }
