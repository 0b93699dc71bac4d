// Package outline makes figures of counts: how many units every ring is to have.
//
// Whoever has an outline — a shape (shapes.go), a picture's silhouette, the slices of a solid — wants so many units in each ring, and
// seldom a whole number. Fit finds the counts nearest to these of all that the craft can build: rings widen and narrow by units that
// take one, three or four points in place of two, a change of more than a third strains the wall, and how much less is safe
// depends on where the change is. So the checks (package findings) have the last word.
package outline

import (
	"context"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// LeastUnits is the smallest ring that is made of an outline: fewer than 6 units hardly close to a tube (common practice).
const LeastUnits = 6

const (
	// mostStep is by how many units rings are let widen and narrow at first; what a unit can reach allows about as much
	// (shape.Placement).
	mostStep = 9
	// offPower is the power of what a ring is off that counts: a little less than 1, so that where rings cannot follow a few are far
	// off rather than many a little.
	offPower = 0.95
	// mostWork is how many steps from a count to a count are weighed at most.
	mostWork = 60_000_000
)

// Fit finds whole counts for the rings wanted, from the lowest up, and makes a figure of them in the first of the papers. The sum of
// what the counts are off is the least of all ways that widen and narrow by no more than a number of units a ring; that number is
// the greatest, up to 9, with which the checks find no fault and nothing to warn of. Where even single units make them warn,
// the last figure is given with an error of what they found first.
//
// It fails when there is no ring or more than figure.MaxRings, a number is none or below 0, or the units are too many.
func Fit(title string, unit figure.Unit, papers []figure.Colour, wanted []float64, g shape.Gauge) ([]int, *figure.Figure, error) {
	return (&effort{}).fit(title, unit, papers, wanted, g)
}

func (e *effort) fit(title string, unit figure.Unit, papers []figure.Colour, wanted []float64, g shape.Gauge) ([]int, *figure.Figure, error) {
	if err := check(wanted); err != nil {
		return nil, nil, err
	}
	var counts []int
	var f *figure.Figure
	for most := mostStep; most >= 1; most-- {
		if err := e.gone(); err != nil {
			return nil, nil, err
		}
		next := Nearest(wanted, most)
		if counts != nil && slices.Equal(next, counts) {
			continue
		}
		made, err := Stack(title, unit, papers, next)
		if err != nil {
			if most == 1 {
				return nil, nil, err
			}
			continue
		}
		e.spend(made)
		e.soften(made, g)
		counts, f = next, made
		e.spend(made)
		if Warns(made, g) == nil {
			return counts, f, nil
		}
	}
	return counts, f, words.T("outline.warns", "What", Warns(f, g).What)
}

func check(wanted []float64) error {
	if len(wanted) < 1 || len(wanted) > figure.MaxRings {
		return words.T("outline.rings", "Found", len(wanted), "Most", figure.MaxRings)
	}
	sum := 0.0
	for i, w := range wanted {
		if !(w >= 0 && w <= figure.MaxUnits) {
			return words.T("outline.units", "Ring", i+1, "Least", LeastUnits, "Most", figure.MaxUnits)
		}
		sum += math.Max(w, LeastUnits)
	}
	if sum > figure.MaxAllUnits {
		return words.T("outline.many", "Found", int(sum), "Most", figure.MaxAllUnits)
	}
	return nil
}

// Nearest is the way through the counts of all rings, each at least LeastUnits, that is off least (dynamic programming): neighbours
// differ by at most so many units, and by no more than a third of the lower ring.
func Nearest(wanted []float64, most int) []int {
	low, high := figure.MaxUnits, LeastUnits+1
	for _, w := range wanted {
		low, high = min(low, int(w)), max(high, min(int(math.Ceil(w))+2, figure.MaxUnits))
	}
	low = max(LeastUnits, min(low-2, high-1))
	n := high - low + 1
	for most > 1 && len(wanted)*n*2*most > mostWork {
		most--
	}
	off := make([]float64, n)
	from := make([][]int16, len(wanted))
	for i, w := range wanted {
		next := make([]float64, n)
		from[i] = make([]int16, n)
		for c := range n {
			best := 0.0
			if i > 0 {
				best = math.Inf(1)
				// Of equally good ways the one that changes least.
				for step := 0; step <= most; step++ {
					for _, below := range [2]int{c - step, c + step} {
						if below >= 0 && below < n && 3*step <= below+low && off[below] < best {
							best, from[i][c] = off[below], int16(below)
						}
					}
				}
			}
			next[c] = best + math.Pow(math.Abs(float64(c+low)-w), offPower)
		}
		off = next
	}
	best := 0
	for c := range off {
		if off[c] < off[best] {
			best = c
		}
	}
	out := make([]int, len(wanted))
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = best + low
		best = int(from[i][best])
	}
	return out
}

// Stack makes a figure whose rings have these counts, from the lowest up, all units in the first of the papers; widening and
// narrowing units are spread as evenly as can be, mirrored about the front. It fails when the figure would break a rule of the document.
func Stack(title string, unit figure.Unit, papers []figure.Colour, counts []int) (*figure.Figure, error) {
	if len(counts) < 1 || len(counts) > figure.MaxRings || len(papers) == 0 {
		return nil, words.T("outline.rings", "Found", len(counts), "Most", figure.MaxRings)
	}
	sum := 0
	for i, n := range counts {
		if n < figure.MinUnits || n > figure.MaxUnits {
			return nil, words.T("outline.units", "Ring", i+1, "Least", figure.MinUnits, "Most", figure.MaxUnits)
		}
		sum += n
	}
	if sum > figure.MaxAllUnits || counts[0]*len(counts) > figure.MaxAllUnits {
		return nil, words.T("outline.many", "Found", max(sum, counts[0]*len(counts)), "Most", figure.MaxAllUnits)
	}
	f := figure.Tube(title, unit, papers, counts[0], len(counts))
	list := make([]figure.RingCount, len(counts))
	for i := range counts {
		list[i] = figure.RingCount{Ring: f.Rings[i].ID, Units: counts[i]}
	}
	if _, _, err := figure.Apply(f, &figure.SetCounts{Counts: list}); err != nil {
		return nil, err
	}
	if faults := f.Validate(); len(faults) > 0 {
		return nil, faults
	}
	return f, nil
}

// Widest is how many units the widest ring of a figure has.
func Widest(f *figure.Figure) int {
	most := 0
	for i := range f.Rings {
		most = max(most, len(f.Rings[i].Cells))
	}
	return most
}

// Warns is the first thing that the checks find which is more than a hint, nil when there is nothing.
func Warns(f *figure.Figure, g shape.Gauge) *findings.Finding {
	all := findings.Check(f, g)
	for i := range all {
		if all[i].Level != findings.Hint {
			return &all[i]
		}
	}
	return nil
}

// soften makes the edits that the checks propose of walls that are straight for too long: each halves its wall.
func (e *effort) soften(f *figure.Figure, g shape.Gauge) {
	if len(f.Rings) <= findings.LongStraight {
		return
	}
	for again := true; again; {
		again = false
		e.spend(f)
		for _, found := range findings.Check(f, g) {
			if found.Rule != "straight" || found.Edit == nil {
				continue
			}
			if _, _, err := figure.Apply(f, found.Edit); err != nil {
				return
			}
			again = true
		}
	}
}

// effort counts the units of figures that were made, checked or measured, each time they were.
type effort struct {
	ctx   context.Context // of who waits, nil where nobody leaves
	spent int
}

func (e *effort) spend(f *figure.Figure) { e.spent += f.Units() }

// gone is the context's error when nobody waits any more.
func (e *effort) gone() error {
	if e.ctx == nil {
		return nil
	}
	return e.ctx.Err()
}
