package solid

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/shape"
)

// mostStep is by how many units rings are let widen and narrow at first; what a unit can reach allows about as much (see
// shape.Placement), and never more than a third (see findings).
const mostStep = 9

// offPower is the power of what a ring is off that counts: a little less than 1, so that where rings cannot follow a few are far off
// rather than many a little.
const offPower = 0.95

// fit finds the counts that come nearest to those wanted of all that begin with a ring of six at the
// least and widen and narrow by no more than rings can, and makes a figure of them. Rings can as much as lets the checks find
// nothing: where they warn, less is tried.
func (k *maker) fit(wanted []float64) (counts []int, f *figure.Figure, err error) {
	most := mostStep
	for ; most >= 1; most-- {
		if counts = nearestCounts(wanted, most); counts == nil {
			continue
		}
		if f, err = stack(k.Title, k.Unit, k.Papers, counts); err != nil {
			continue
		}
		k.soften(f)
		if warnings(f, k.gauge) == 0 {
			return counts, f, nil
		}
	}
	return counts, f, err
}

// nearestCounts is the way through all counts of all rings, from the lowest up, that is off least (dynamic programming).
func nearestCounts(wanted []float64, most int) []int {
	top := 0
	for _, w := range wanted {
		top = max(top, min(int(math.Ceil(w))+2, figure.MaxUnits))
	}
	top = max(top, leastUnits+1)
	n := top + 1
	off := make([]float64, n)
	from := make([][]int16, len(wanted))
	for i, w := range wanted {
		next := make([]float64, n)
		from[i] = make([]int16, n)
		for c := range n {
			next[c] = math.Inf(1)
			if c < leastUnits {
				continue
			}
			best := 0.0
			if i > 0 {
				best = math.Inf(1)
				// Of equally good ways the one that changes least.
				for step := 0; step <= most; step++ {
					for _, below := range [2]int{c - step, c + step} {
						if below >= leastUnits && below < n && 3*step <= below && off[below] < best {
							best, from[i][c] = off[below], int16(below)
						}
					}
				}
			}
			next[c] = best + math.Pow(math.Abs(float64(c)-w), offPower)
		}
		off = next
	}
	out := make([]int, len(wanted))
	best := leastUnits
	for c := range off {
		if off[c] < off[best] {
			best = c
		}
	}
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = best
		best = int(from[i][best])
	}
	return out
}

// stack makes a figure of counts: a tube whose rings are brought to them.
func stack(title string, unit figure.Unit, papers []figure.Colour, counts []int) (*figure.Figure, error) {
	f := figure.Tube(title, unit, papers, counts[0], len(counts))
	var list []figure.RingCount
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

// soften takes the edits that the checks propose of walls that are straight for too long.
func (k *maker) soften(f *figure.Figure) {
	for range figure.MaxRings {
		edit := straight(f, k.gauge)
		if edit == nil {
			return
		}
		if _, _, err := figure.Apply(f, edit); err != nil {
			return
		}
	}
}

func straight(f *figure.Figure, g shape.Gauge) figure.Edit {
	if len(f.Rings) <= 40 {
		return nil // no wall is so long
	}
	for _, found := range findings.Check(f, g) {
		if found.Rule == "straight" && found.Edit != nil {
			return found.Edit
		}
	}
	return nil
}
