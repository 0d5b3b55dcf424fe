package lot_test

import (
	"fmt"
	"math"

	"neckfit/fit/lot"
)

// Minutes of work for three necks (rows) in four bodies; the third neck does not go into two of them.
func ExampleAssign() {
	never := math.Inf(1)
	a, err := lot.Assign([][]float64{
		{5, 9, 30, 12},
		{5, 6, 25, 20},
		{5, never, never, 40},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(a.Column, a.Total, a.UnmatchedColumns)
	// Output: [3 1 0] 23 [2]
}

// Pocket widths of thirty invented bodies, in mm, against limits of 57.0 and 57.6.
func ExampleNewCapability() {
	var widths []float64
	for i := range 30 {
		widths = append(widths, 57.35+0.05*math.Sin(float64(i*i)))
	}
	c, err := lot.NewCapability(widths, 57.0, 57.6, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("Ppk %.1f, 95 %% limits %.1f to %.1f\n", c.Ppk.Value, c.Ppk.Low, c.Ppk.High)
	// Output: Ppk 2.5, 95 % limits 1.8 to 3.1
}
