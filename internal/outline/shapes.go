package outline

import (
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Shape is a rule for the outline of a figure, for any number of units and rings.
type Shape struct {
	Key    string  // by which forms name it; its name is outline.shape.KEY
	Aspect float64 // height over width as it looks best (own)
	// across is how wide it is at a height, 0 at the foot … 1 at the top, in shares of its greatest width.
	across func(t float64) float64
}

// Name is what people call it.
func (s Shape) Name() words.Text { return words.T("outline.shape." + s.Key) }

// Shapes are all of them, the simplest first. How their outlines run is our own.
var Shapes = []Shape{
	{"tube", 1.3, func(float64) float64 { return 1 }},
	{"cone", 1.4, func(t float64) float64 { return 1 - 0.6*t }},
	{"ball", 0.95, func(t float64) float64 { return oval(t, 0.5) }},
	{"egg", 1.25, func(t float64) float64 { return oval(t, 0.4) }},
	{"jar", 1.15, func(t float64) float64 {
		return joined(t, []knot{{0, 0.86}, {0.08, 1}, {0.68, 1}, {0.84, 0.72}, {1, 0.72}})
	}},
	{"bell", 1.1, func(t float64) float64 {
		return joined(t, []knot{{0, 1}, {0.12, 0.9}, {0.4, 0.74}, {0.75, 0.62}, {0.92, 0.5}, {1, 0.36}})
	}},
	{"vase", 1.6, func(t float64) float64 {
		return joined(t, []knot{{0, 0.62}, {0.1, 0.7}, {0.38, 1}, {0.62, 0.8}, {0.8, 0.56}, {0.9, 0.58}, {1, 0.74}})
	}},
	{"tower", 2, func(t float64) float64 {
		return joined(t, []knot{{0, 1}, {0.14, 0.94}, {0.24, 0.7}, {0.9, 0.6}, {0.95, 0.72}, {1, 0.72}})
	}},
	{"barrel", 1.2, func(t float64) float64 { return 0.76 + 0.24*math.Sin(math.Pi*t) }},
	{"owl", 1.45, func(t float64) float64 {
		return joined(t, []knot{{0, 0.7}, {0.1, 0.86}, {0.32, 1}, {0.52, 0.92}, {0.62, 0.82}, {0.78, 0.88}, {0.92, 0.78}, {1, 0.6}})
	}},
	{"bowl", 0.5, func(t float64) float64 { return 0.55 + 0.45*math.Sin(math.Pi/2*t) }},
}

// ByKey finds a shape.
func ByKey(key string) (Shape, bool) {
	for _, s := range Shapes {
		if s.Key == key {
			return s, true
		}
	}
	return Shape{}, false
}

// oval is an oval that is cut off where it is narrower than its opening, widest at a height.
func oval(t, widest float64) float64 {
	const opening = 0.45
	v := (t - widest) / widest
	if t > widest {
		v = (t - widest) / (1 - widest)
	}
	return opening + (1-opening)*math.Sqrt(math.Max(0, 1-v*v))
}

type knot struct{ at, across float64 }

// joined goes smoothly from knot to knot: level at each, by half a cosine between.
func joined(t float64, knots []knot) float64 {
	for i := 1; i < len(knots); i++ {
		a, b := knots[i-1], knots[i]
		if t <= b.at {
			share := (t - a.at) / (b.at - a.at)
			return a.across + (b.across-a.across)*(1-math.Cos(math.Pi*share))/2
		}
	}
	return knots[len(knots)-1].across
}

// Limits of a shape that is made: a ring of its greatest width, and rings. Below them nothing of a shape is left.
const (
	LeastWidest = 8
	LeastRings  = 4
)

// Wanted is how many units each ring would have, from the lowest up, with so many in the widest: a number for Fit.
func (s Shape) Wanted(widest, rings int) []float64 {
	out := make([]float64, rings)
	for i := range out {
		out[i] = s.across((float64(i) + 0.5) / float64(rings))
	}
	by := float64(widest) / slices.Max(out) // no ring may be just where the shape is widest
	for i := range out {
		out[i] *= by
	}
	return out
}

// Rings is how many rings make it look best with so many units in the widest, on a wall of this gauge.
func (s Shape) Rings(widest int, g shape.Gauge) int {
	rings := s.Aspect * float64(widest) * g.Pitch.Best / math.Pi / g.Rise.Best
	return int(math.Max(LeastRings, math.Min(figure.MaxRings, math.Round(rings))))
}

// Make makes a figure of the shape. With very few rings for so many units the widest has fewer than asked for (Widest tells): rings
// widen and narrow only so fast. It fails when there are too few units or rings for it, and as Fit does.
func (s Shape) Make(title string, unit figure.Unit, papers []figure.Colour, widest, rings int, g shape.Gauge) (*figure.Figure, error) {
	return (&effort{}).shape(s, title, unit, papers, widest, rings, g)
}

func (e *effort) shape(s Shape, title string, unit figure.Unit, papers []figure.Colour, widest, rings int, g shape.Gauge) (*figure.Figure, error) {
	if widest < LeastWidest || widest > figure.MaxUnits || rings < LeastRings || rings > figure.MaxRings {
		return nil, words.T("outline.shape.small", "Units", LeastWidest, "MostUnits", words.T("figure.units", "Count", figure.MaxUnits), "Rings", LeastRings, "MostRings", words.T("web.rings", "Count", figure.MaxRings))
	}
	_, f, err := e.fit(title, unit, papers, s.Wanted(widest, rings), g)
	return f, err
}
