// Package words makes the English of every report: numbers rounded for people, verdicts, what to do,
// what is missing. What is below it hands over values; what is above it lays the sentences out as
// text, as a page or on paper. All of it is plain text in one line.
package words
