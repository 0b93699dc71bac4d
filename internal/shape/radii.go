package shape

import (
	"tuckring/internal/figure"
	"tuckring/internal/fold"
)

// Radii gives for every row the radius of the circle that its points lie on, as Place puts it, in widths of a plain unit
// (the pitch). A tube of n units has n/2π.
func Radii(f *figure.Figure, u *figure.Unrolled, g Gauge) []float64 {
	p := &Placement{Measures: fold.Of(f.Unit), Gauge: g}
	out := p.radii(f, circles(f, u))
	for i := range out {
		out[i] /= g.Pitch.Best
	}
	return out
}
