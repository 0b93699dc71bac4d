package shape

import (
	"math"

	"tuckring/internal/fold"
)

// footMM is how far over the table a corner may be that the figure stands on, in mm: paper gives so much (from memory).
const footMM = 1.5

// Balance tells how the figure stands: Out is how far, in mm, the place under its centre of mass lies outside of the outline of
// all that touches the table, seen from above; negative, how far within it, and then by so much it may be off before it tips.
// X and Z are the place under the centre of mass, in mm from the figure's axis.
type Balance struct{ Out, X, Z float64 }

// Balance finds where the centre of mass of all units is, each as heavy as any other (they are folded from one size of paper),
// and whether it lies over what the figure stands on. Glued pieces are card of no known weight and do not count. The placement
// must be of Place.
func (p *Placement) Balance() Balance {
	middle := centroid(p.Solid)
	b := bodyOf(p.Solid)
	reach := b.radius()
	foot := &shadow{}
	var out Balance
	for i := range p.Spots {
		s := &p.Spots[i]
		at := p.Corner(s, middle[0], middle[1], middle[2])
		out.X, out.Z = out.X+at[0]/float64(len(p.Spots)), out.Z+at[2]/float64(len(p.Spots))
		if p.Middle(s)[1]-reach > footMM {
			continue
		}
		for _, c := range b {
			if v := p.Corner(s, c[0], c[1], c[2]); v[1] <= footMM {
				foot.add(v[0], v[2])
			}
		}
	}
	out.Out = foot.outside([2]float64{out.X, out.Z})
	return out
}

// centroid is the middle of the mass of a unit, in its own mm: of its faces, which are all as thick.
func centroid(s *fold.Solid) (out [3]float64) {
	corner := func(i uint16) [3]float64 {
		v := s.Positions[3*int(i):]
		return [3]float64{float64(v[0]), float64(v[1]), float64(v[2])}
	}
	whole := 0.0
	for t := 0; t < len(s.Indices); t += 3 {
		a, b, c := corner(s.Indices[t]), corner(s.Indices[t+1]), corner(s.Indices[t+2])
		var u, v [3]float64
		for k := range 3 {
			u[k], v[k] = b[k]-a[k], c[k]-a[k]
		}
		area := math.Sqrt(square(u[1]*v[2]-u[2]*v[1])+square(u[2]*v[0]-u[0]*v[2])+square(u[0]*v[1]-u[1]*v[0])) / 2
		whole += area
		for k := range 3 {
			out[k] += area * (a[k] + b[k] + c[k]) / 3
		}
	}
	for k := range 3 {
		out[k] /= whole
	}
	return out
}

func square(v float64) float64 { return v * v }

// outside is how far a place lies outside of the outline, negative within it.
func (s *shadow) outside(at [2]float64) float64 {
	c := s.outline()
	if len(c) == 0 {
		return math.Inf(1)
	}
	within, nearest := len(c) > 2, math.Inf(1)
	for i, a := range c {
		b := c[(i+1)%len(c)]
		within = within && left(a, b, at) >= 0
		along := [2]float64{b[0] - a[0], b[1] - a[1]}
		length, t := along[0]*along[0]+along[1]*along[1], 0.0
		if length > 0 {
			t = math.Max(0, math.Min(1, ((at[0]-a[0])*along[0]+(at[1]-a[1])*along[1])/length))
		}
		nearest = math.Min(nearest, math.Hypot(at[0]-a[0]-t*along[0], at[1]-a[1]-t*along[1]))
	}
	if within {
		return -nearest
	}
	return nearest
}
