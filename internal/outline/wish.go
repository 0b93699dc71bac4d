package outline

import (
	"cmp"
	"context"
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

// How much is done to come nearer to a wish: figures are made and measured whole, and what counts are their units, as often as they are
// made, checked and measured. It is counted, never timed, so that a wish always gets the same answer.
const (
	quickWork  = 50_000  // for each cut of paper
	deepWork   = 120_000 // for each way that comes first
	hugeUnits  = 12_000
	beside     = 1 // so many rings beside the best counts are looked at, and twice as many units
	farBeside  = 5 // and for the ways that come first: widths do not grow evenly where walls change
	closeWays  = 3 // so many ways come first
	wayPercent = 5 // ways that miss the wish by no more are as good as one another, and the one of fewer units comes first (own)
)

// MostUnits is how many units a way may have, counted as a tube of its widest ring.
const MostUnits = hugeUnits

// Ways finds for each cut of paper the units in the widest ring and the rings with which a shape comes near to the wish, and gives
// them from the best on: those that miss it by up to 5 % by how few units they take, then the others by how much they miss it. For the
// three that come first all counts up to ten units and five rings beside theirs were weighed, in figures of up to some hundred units; of larger ones fewer.
// Cuts with which the shape cannot be made, or not with MostUnits, are left out; the list may be empty. It fails as shape.Suggest does,
// and with the context's error when nobody waits any more.
func Ways(ctx context.Context, s Shape, w shape.Wish, cuts []shape.Cut, papers []figure.Colour, gauge func(figure.Unit) shape.Gauge) ([]Way, error) {
	tubes, err := shape.Suggest(w, cuts, gauge)
	if err != nil {
		return nil, err
	}
	var out []Way
	for _, tube := range tubes {
		if tube.Total > hugeUnits {
			continue
		}
		k := newSearch(ctx, s, w, tube.Cut, papers, gauge(tube.Unit), quickWork)
		if way, ok := k.measure(max(LeastWidest, tube.Units), max(LeastRings, tube.Rings)); ok {
			out = append(out, k.nearer(way, beside))
		}
	}
	inOrder(out)
	for i := range out[:min(closeWays, len(out))] {
		k := newSearch(ctx, s, w, out[i].Cut, papers, gauge(out[i].Cut.Unit), deepWork)
		out[i] = k.nearer(out[i], farBeside)
	}
	inOrder(out)
	return out, ctx.Err()
}

func inOrder(ways []Way) {
	good := func(w Way) bool { return w.Miss <= wayPercent/100.0 }
	slices.SortStableFunc(ways, func(a, b Way) int {
		switch {
		case good(a) != good(b) && good(a):
			return -1
		case good(a) != good(b):
			return 1
		case good(a):
			return a.Figure.Units() - b.Figure.Units()
		}
		return cmp.Compare(a.Miss, b.Miss)
	})
}

// search is the search for the counts of one cut.
type search struct {
	effort
	s      Shape
	w      shape.Wish
	cut    shape.Cut
	papers []figure.Colour
	g      shape.Gauge
	seen   map[[2]int]bool
	most   int // work
}

func newSearch(ctx context.Context, s Shape, w shape.Wish, cut shape.Cut, papers []figure.Colour, g shape.Gauge, most int) *search {
	return &search{effort: effort{ctx: ctx}, s: s, w: w, cut: cut, papers: papers, g: g, seen: map[[2]int]bool{}, most: most}
}

// measure makes a shape and measures it; ok is false where it cannot be made, was made already, or enough was done.
func (k *search) measure(widest, rings int) (way Way, ok bool) {
	at := [2]int{widest, rings}
	if k.seen[at] || k.spent > k.most || widest < LeastWidest || rings < LeastRings || widest*rings > hugeUnits || k.gone() != nil {
		return way, false
	}
	k.seen[at] = true
	f, err := k.shape(k.s, k.s.Key, k.cut.Unit, k.papers, widest, rings, k.g)
	if err != nil {
		return way, false
	}
	k.spend(f)
	size := shape.Estimate(f, k.g)
	way = Way{Cut: k.cut, Widest: widest, Rings: rings, Figure: f, Height: size.Height, Diameter: size.Diameter}
	way.Miss = math.Max(math.Abs(size.Height.Best/k.w.HeightMM-1), math.Abs(size.Diameter.Best/k.w.DiameterMM-1))
	return way, true
}

// nearer goes on from a way to whichever of the counts up to so many beside it is nearest, until none is.
func (k *search) nearer(best Way, by int) Way {
	for {
		from := best
		// First by as much as is missing, then by what is beside, the nearest first.
		rings := best.Rings + int(math.Round((k.w.HeightMM-best.Height.Best)/k.g.Rise.Best))
		widest := best.Widest + int(math.Round((k.w.DiameterMM-best.Diameter.Best)*math.Pi/k.g.Pitch.Best))
		nearby := [][2]int{{widest, rings}}
		for far := 1; far <= by; far++ {
			for dw := -2 * far; dw <= 2*far; dw++ { // so much less does a unit change than a ring
				for dr := -far; dr <= far; dr++ {
					if max((dw+1)/2, (1-dw)/2, dr, -dr) == far {
						nearby = append(nearby, [2]int{from.Widest + dw, from.Rings + dr})
					}
				}
			}
		}
		for _, at := range nearby {
			if way, ok := k.measure(at[0], at[1]); ok && way.Miss < best.Miss {
				best = way
			}
		}
		if best.Widest == from.Widest && best.Rings == from.Rings {
			return best
		}
	}
}
