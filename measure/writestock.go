package measure

import "io"

// WriteStock writes a stock.csv in mm, wedges by their angle in degrees.
func WriteStock(w io.Writer, stock []Stock) error {
	return writeTable(w, stockTable.names(), func(yield func([]string) bool) {
		for _, s := range stock {
			size, unit := exact(s.Size), unitNames[millimetres]
			if s.Angle > 0 {
				size, unit = exact(s.Angle), unitNames[degrees]
			}
			if !yield([]string{s.Kind.String(), size, unit, s.Name}) {
				return
			}
		}
	})
}

// WriteCosts writes a costs.csv in mm.
func WriteCosts(w io.Writer, costs []Cost) error {
	return writeTable(w, costsTable.names(), func(yield func([]string) bool) {
		for _, c := range costs {
			if !yield([]string{c.Work.String(), exact(c.Minutes), exact(c.Worst), unitNames[millimetres]}) {
				return
			}
		}
	})
}
