package report

import (
	"math"
	"sort"
)

// Printed rounds values to a number of decimals so that they add up to their total as printed: the
// total is rounded as usual, every value is rounded down, and what is then missing goes to
// those that lost most (the method of the largest remainder). No printed value is off by as much as
// one unit of the last decimal. Values must be finite and not negative.
func Printed(values []float64, decimals int) (printed []float64, total float64) {
	scale := math.Pow10(decimals)
	whole := make([]int64, len(values))
	lost := make([]float64, len(values))
	order := make([]int, len(values))
	sum, given := 0.0, int64(0)
	for i, v := range values {
		sum += v
		down := math.Floor(v*scale + 1e-9)
		whole[i], lost[i], order[i] = int64(down), v*scale-down, i
		given += whole[i]
	}
	target := int64(math.Round(sum * scale))
	sort.SliceStable(order, func(a, b int) bool { return lost[order[a]] > lost[order[b]] })
	for k := 0; given < target && k < len(order); k++ {
		whole[order[k]]++
		given++
	}
	printed = make([]float64, len(values))
	for i, w := range whole {
		printed[i] = float64(w) / scale
	}
	return printed, float64(given) / scale
}
