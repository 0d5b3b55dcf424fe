package report

import "neckfit/fit"

// paint colours a text by a verdict. The words say the same without it.
func paint(on bool, v fit.Verdict, text string) string {
	if !on {
		return text
	}
	code := ""
	switch v {
	case fit.Pass:
		code = "32" // green
	case fit.Unsure:
		code = "33" // yellow
	case fit.Fail:
		code = "1;31" // bold red
	case fit.NotMeasured, fit.NotJudged:
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}
