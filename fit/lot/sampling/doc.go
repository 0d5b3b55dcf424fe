// Package sampling is acceptance of lots by attributes with single sampling plans after MIL-STD-105E
// (10 May 1989): which plan, which kits to draw, whether the lot is acceptable, how strictly to look
// at the next one, and what risks the plan carries. It takes plain counts and imports nothing of ours.
//
// Quality is a percentage in an AQL, as in the standard, and a fraction from 0 to 1 elsewhere.
package sampling
