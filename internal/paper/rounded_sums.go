package paper

import (
	"cmp"
	"math"
	"slices"
)

// AddUp rounds values to the decimals so that the rounded rows add up to the rounded total: every
// row is its value rounded up or down, and those with the largest remainders are rounded up (the
// largest remainder method, Hamilton 1792). Values that are not negative and finite are expected.
func AddUp(values []float64, decimals int) (rows []float64, total float64) {
	p := math.Pow10(decimals)
	floor := make([]float64, len(values))
	order := make([]int, len(values))
	sum, floors := 0.0, 0.0
	for i, v := range values {
		order[i] = i
		floor[i] = math.Floor(v*p + 1e-9)
		floors += floor[i]
		sum += v
	}
	total = math.Round(sum * p)
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(values[b]*p-floor[b], values[a]*p-floor[a])
	})
	for k := range min(int(total-floors), len(order)) {
		floor[order[k]]++
	}
	rows = floor
	for i := range rows {
		rows[i] /= p
	}
	return rows, total / p
}
