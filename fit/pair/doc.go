// Package pair finds which neck should go with which body, of parts that were surveyed alone, so
// that the least work is left. Each part is fitted once (fit.LooseNeck, fit.LooseBody); a pair is
// then put together in closed form, its geometry held against the limits and the remedy priced in
// minutes; the assignment solver of fit/lot picks the pairs, and fit.Check judges those in full.
//
// The closed form gives the very values of fit.Check, since the two parts' least squares share no
// unknowns. Uncertainties only the full check knows; the price takes one pair's for all, as guard bands
// that keep the match off pairs which only just fit.
package pair
