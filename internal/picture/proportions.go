package picture

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/outline"
	"tuckring/internal/shape"
)

// Rings is how many rings keep the picture's proportions on a tube of so many units, on a wall of this gauge: where it lies
// around the tube, or where it is seen straight on from the front.
func (p *Picture) Rings(way Way, units int, g shape.Gauge) int {
	across := float64(units) * g.Pitch.Best // mm
	if way != Around {
		across /= math.Pi
	}
	rings := across * float64(p.Height) / float64(p.Width) / g.Rise.Best
	return int(math.Max(outline.LeastRings, math.Min(figure.MaxRings, math.Round(rings))))
}
