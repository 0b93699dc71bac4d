package outline

import (
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
)

// Way is one way to make a shape of a wished size: a cut of paper, units in the widest ring, and rings.
type Way struct {
	Cut      shape.Cut
	Widest   int
	Rings    int
	Figure   *figure.Figure
	Height   shape.Range // mm
	Diameter shape.Range // mm
	Miss     float64     // the larger of the relative differences of height and diameter from the wish
}

// How many figures are made to come nearer to a wish, and from how many units on fewer: each is made and measured whole.
const (
	mostTries  = 90
	manyUnits  = 4000
	fewTries   = 6
	hugeUnits  = 25_000
	beside     = 2 // so far beside the best counts are looked at: widths do not grow evenly where walls change
	wayPercent = 5 // ways that miss the wish by no more are as good as one another, and the one of fewer units comes first (own)
)

// Ways finds for each cut of paper the units in the widest ring and the rings with which a shape comes nearest to the wish, and gives
// them from the best on: those that miss it by up to 5 % by how few units they take, then the others by how much they miss it. Of
// figures up to some thousand units each is the best of its cut among all counts (TestWishesComeTrueAsWellAsCanBe); larger ones are
// searched less. Cuts with which the shape cannot be made are left out; the list may be empty. It fails as shape.Suggest does.
func Ways(s Shape, w shape.Wish, cuts []shape.Cut, papers []figure.Colour, gauge func(figure.Unit) shape.Gauge) ([]Way, error) {
	tubes, err := shape.Suggest(w, cuts, gauge)
	if err != nil {
		return nil, err
	}
	var out []Way
	for _, tube := range tubes {
		if tube.Total > hugeUnits {
			continue
		}
		if way, ok := s.nearest(w, tube, papers, gauge(tube.Unit)); ok {
			out = append(out, way)
		}
	}
	slices.SortStableFunc(out, func(a, b Way) int {
		if good := func(w Way) bool { return w.Miss <= wayPercent/100.0 }; good(a) != good(b) {
			if good(a) {
				return -1
			}
			return 1
		} else if good(a) {
			return a.Figure.Units() - b.Figure.Units()
		}
		return int(math.Copysign(1, a.Miss-b.Miss))
	})
	return out, nil
}

// nearest goes from the counts of a tube of the wished size to those of the shape: step by step to whichever of the
// counts beside is nearest, until none is.
func (s Shape) nearest(w shape.Wish, tube shape.Candidate, papers []figure.Colour, g shape.Gauge) (Way, bool) {
	tries := mostTries
	if tube.Total > manyUnits {
		tries = fewTries
	}
	seen := map[[2]int]bool{}
	measure := func(widest, rings int) (way Way, ok bool) {
		if seen[[2]int{widest, rings}] || tries == 0 || widest < LeastWidest || rings < LeastRings || widest*rings > hugeUnits {
			return way, false
		}
		seen[[2]int{widest, rings}] = true
		tries--
		f, err := s.Make(s.Key, tube.Unit, papers, widest, rings, g)
		if err != nil {
			return way, false
		}
		size := shape.Estimate(f, g)
		way = Way{Cut: tube.Cut, Widest: widest, Rings: rings, Figure: f, Height: size.Height, Diameter: size.Diameter}
		way.Miss = math.Max(math.Abs(size.Height.Best/w.HeightMM-1), math.Abs(size.Diameter.Best/w.DiameterMM-1))
		return way, true
	}
	best, ok := measure(max(LeastWidest, tube.Units), max(LeastRings, tube.Rings))
	if !ok {
		return best, false
	}
	for {
		from := best
		// First by as much as is missing, then by one at a time.
		rings := best.Rings + int(math.Round((w.HeightMM-best.Height.Best)/g.Rise.Best))
		widest := best.Widest + int(math.Round((w.DiameterMM-best.Diameter.Best)*math.Pi/g.Pitch.Best))
		nearby := [][2]int{{widest, rings}}
		for by := -beside; by <= beside; by++ {
			for up := -beside; up <= beside; up++ {
				nearby = append(nearby, [2]int{best.Widest + by, best.Rings + up})
			}
		}
		for _, at := range nearby {
			if way, ok := measure(at[0], at[1]); ok && way.Miss < best.Miss {
				best = way
			}
		}
		if best.Widest == from.Widest && best.Rings == from.Rings {
			return best, true
		}
	}
}
