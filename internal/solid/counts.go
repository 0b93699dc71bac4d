package solid

import (
	"math"

	"tuckring/internal/figure"
)

func fit(wanted []float64, unit figure.Unit) ([]int, error) {
	out := make([]int, len(wanted))
	for i, w := range wanted {
		out[i] = max(leastUnits, int(math.Round(w)))
		if i > 0 {
			out[i] = max(out[i-1]-min(out[i-1]/3, 7), min(out[i-1]+min(out[i-1]/3, 7), out[i]))
		}
	}
	return out, nil
}

func stack(title string, unit figure.Unit, papers []figure.Colour, counts []int) (*figure.Figure, error) {
	f := figure.Tube(title, unit, papers, counts[0], len(counts))
	list := []figure.RingCount{}
	for i := range counts {
		list = append(list, figure.RingCount{Ring: f.Rings[i].ID, Units: counts[i]})
	}
	if _, _, err := figure.Apply(f, &figure.SetCounts{Counts: list}); err != nil {
		return nil, err
	}
	if faults := f.Validate(); len(faults) > 0 {
		return nil, faults
	}
	return f, nil
}
