package sampling_test

import (
	"fmt"

	"neckfit/fit/lot/sampling"
)

// A delivery of 60 kits at an AQL of 4 %: which to draw, and what one bad kit among them means.
func Example() {
	plan, err := sampling.For(60, sampling.LevelII, 4.0, sampling.Normal)
	if err != nil {
		fmt.Println(err)
		return
	}
	kits, err := sampling.Draw(plan.LotSize, plan.Sample, 2024)
	if err != nil {
		fmt.Println(err)
		return
	}
	outcome, err := plan.Decide(1, 0)
	fmt.Println(plan.Letter, plan.Sample, len(kits), plan.Accept, plan.Reject, outcome == sampling.Accepted, err)
	// Output: E 13 13 1 2 true <nil>
}
