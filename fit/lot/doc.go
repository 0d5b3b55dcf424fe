// Package lot answers questions about a delivery: is the supplier's process centred, steady and
// capable, are our gauges good enough to say so, how many kits pass, and which neck should go with
// which body. It takes plain numbers, knows no necks and imports nothing of ours. Acceptance by
// sampling is in lot/sampling.
//
// Values may be in any one unit (the program uses mm and degrees); standard deviations come back in
// that unit, indices and percentages have none. Bad data is an error. Data that says nothing, such
// as one value or values that are all equal, gives a result that says so in its Warnings.
package lot
