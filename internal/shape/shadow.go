package shape

import (
	"cmp"
	"math"
	"slices"
)

// shadow is the outermost of many corners as they are seen from above: of those that lie within others nothing is kept.
// Corners are x and z in mm; the zero shadow has none.
type shadow struct {
	corners [][2]float64
	hull    int     // so many of them, from the first on, are a convex outline, counterclockwise
	within  float64 // square of the radius around the axis that lies wholly within the outline
	most    float64 // of the distances from the axis
}

// atOnce is how many corners are taken before those within others are sorted out.
const atOnce = 1024

func (s *shadow) add(x, z float64) {
	far := x*x + z*z
	if far <= s.within && s.hull > 0 {
		return
	}
	s.most = math.Max(s.most, math.Sqrt(far))
	if s.corners = append(s.corners, [2]float64{x, z}); len(s.corners) >= s.hull+atOnce {
		s.outline()
	}
}

// left is twice the area of a triangle, positive when c lies to the left of the way from a to b.
func left(a, b, c [2]float64) float64 {
	return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
}

// outline keeps the convex outline alone (Andrew's monotone chain, 1979).
func (s *shadow) outline() [][2]float64 {
	if s.hull == len(s.corners) {
		return s.corners
	}
	slices.SortFunc(s.corners, func(a, b [2]float64) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	points := slices.Compact(s.corners)
	var chain [][2]float64
	half := func(from int, c [2]float64) {
		for len(chain) >= from+2 && left(chain[len(chain)-2], chain[len(chain)-1], c) <= 0 {
			chain = chain[:len(chain)-1]
		}
		chain = append(chain, c)
	}
	for _, c := range points {
		half(0, c)
	}
	lower := len(chain) - 1
	for i := len(points) - 2; i >= 0; i-- {
		half(lower, points[i])
	}
	if len(chain) > 1 {
		chain = chain[:len(chain)-1] // the first once more
	}
	s.corners, s.hull, s.within = chain, len(chain), math.Inf(1)
	for i, a := range chain {
		b := chain[(i+1)%len(chain)]
		off := left(a, b, [2]float64{})
		if off <= 0 {
			s.within = 0
			break
		}
		s.within = math.Min(s.within, off*off/((b[0]-a[0])*(b[0]-a[0])+(b[1]-a[1])*(b[1]-a[1])))
	}
	return chain
}

// width is the greatest distance between two of the corners: what a ruler reads from tip to tip, however it is laid
// across. It goes around with the two edges of a calliper (Shamos, 1978).
func (s *shadow) width() float64 {
	c := s.outline()
	n := len(c)
	wide, k := 0.0, 1
	away := func(a, b [2]float64) { wide = math.Max(wide, math.Hypot(a[0]-b[0], a[1]-b[1])) }
	for i := range n {
		next := c[(i+1)%n]
		away(c[i], c[k%n])
		for range n { // no farther than once around
			if !(left(c[i], next, c[(k+1)%n]) > left(c[i], next, c[k%n])) {
				break
			}
			k++
			away(c[i], c[k%n])
		}
		away(next, c[k%n])
	}
	return wide
}
