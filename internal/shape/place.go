package shape

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
)

// How a unit leans in an upright wall, in radians (from memory): with the long side out its spine
// droops outwards, so that the ends of the spines show like scales; with the short side out the half
// base faces outwards and leans a little in.
const (
	longTilt  = 18 * math.Pi / 180
	shortTilt = 12 * math.Pi / 180
	mostLean  = 60 * math.Pi / 180 // a wall is not drawn flatter than this
)

// Spot is where one unit stands. X, Y, Z in mm is the middle between its two points: the axis of the
// figure is x = z = 0, y is up from the table, z points to the viewer who looks at the front line,
// x to that viewer's right. The unit's own mesh (fold.Solid) is first turned by Tilt about x, then by
// Yaw about y, both right-handed, in radians. Azimuth is its direction from the axis, 0 on the front
// line, growing to the right as seen from outside; Yaw is the same for a unit with the long side out
// and half a turn more for the short side.
type Spot struct {
	X, Y, Z            float64
	Azimuth, Yaw, Tilt float64
	Colour             uint8
}

// RingSpot is where a ring stands: the radius of the circle of its points and their height, in mm,
// and the lean of its wall, in radians, positive outwards.
type RingSpot struct {
	First, Count int // its units in Placement.Spots
	RadiusMM, Y  float64
	Lean         float64
}

// Placement is a figure standing in space, in mm and radians.
type Placement struct {
	Measures fold.Measures
	Gauge    Gauge
	Solid    *fold.Solid // the unit's mesh, drawn once for every spot
	Rings    []RingSpot
	Spots    []Spot // the units of all rings, bottom ring first, each from its seam, then the tucked extras' units
	Extras   []ExtraSpot
	Pieces   []Piece
	Size     Size    // what a ruler reads on it
	RadiusMM float64 // of the outermost corner of all, from the axis
}

// Place puts every unit and extra of the figure in its place. A ring of n units lies on a regular
// 2n-gon of points, whose circle is n times the best pitch around; rings rise by the best rise; a
// unit leans with the wall, whose slope follows the radii below and above. Size says what a ruler reads on the
// figure so placed. The figure must keep the rules of the document.
func Place(f *figure.Figure, g Gauge) *Placement {
	u := figure.Unroll(f)
	p := frame(f, u, g, true)
	out := p.outside(f, u)
	p.Size, p.RadiusMM = sizeOf(f, u, g, out), out.radius
	return p
}

// frame puts the rings and extras in their places, at the gauge's best values, and if wanted every unit of the rings.
func frame(f *figure.Figure, u *figure.Unrolled, g Gauge, units bool) *Placement {
	m := fold.Of(f.Unit)
	p := &Placement{Measures: m, Gauge: g, Solid: fold.NewSolid(m, g.Pitch.Best/2, fold.PaperMM)}
	p.rings(f, u)
	if units {
		p.Spots = make([]Spot, 0, f.Units())
		for i := range f.Rings {
			p.units(f, u, i)
		}
	}
	p.extras(f, u)
	return p
}

func (p *Placement) rings(f *figure.Figure, u *figure.Unrolled) {
	p.Rings = make([]RingSpot, len(f.Rings))
	for i, units := range circles(f, u) {
		p.Rings[i].RadiusMM = units * p.Gauge.Pitch.Best / (2 * math.Pi)
	}
	for i := range p.Rings {
		below, above := max(0, i-1), min(len(p.Rings)-1, i+1)
		if above > below {
			out := p.Rings[above].RadiusMM - p.Rings[below].RadiusMM
			lean := math.Atan2(out, float64(above-below)*p.Gauge.Rise.Best)
			p.Rings[i].Lean = math.Max(-mostLean, math.Min(mostLean, lean))
		}
		p.Rings[i].Y = float64(i) * p.Gauge.Rise.Best
	}
	p.stand(f)
}

// stand lifts the figure until its lowest corner stands on the table.
func (p *Placement) stand(f *figure.Figure) {
	b, lift := bodyOf(p.Solid), math.Inf(-1)
	for i := range p.Rings {
		for _, side := range []figure.Side{figure.Long, figure.Short} {
			if hasSide(f.Rings[i].Cells, side) {
				down, _ := b.rises(tiltOf(side, p.Rings[i].Lean))
				lift = math.Max(lift, down-p.Rings[i].Y)
			}
		}
	}
	for i := range p.Rings {
		p.Rings[i].Y += lift
	}
}

func tiltOf(side figure.Side, lean float64) float64 {
	if side == figure.Short {
		return shortTilt - lean
	}
	return longTilt + lean
}

func (p *Placement) units(f *figure.Figure, u *figure.Unrolled, ring int) {
	r := &p.Rings[ring]
	cells := f.Rings[ring].Cells
	r.First, r.Count = len(p.Spots), len(cells)
	front := u.FrontTurn()
	for i, c := range cells {
		s := spotAt(r, u.Middle(ring, i)-front)
		s.Tilt, s.Colour = tiltOf(c.Side, r.Lean), c.Colour
		if c.Side == figure.Short {
			s.Yaw += math.Pi
		}
		p.Spots = append(p.Spots, s)
	}
}

// spotAt is a place on the circle of a ring's points, in turns from the front line.
func spotAt(r *RingSpot, turn float64) Spot {
	azimuth := 2 * math.Pi * turn
	sin, cos := math.Sincos(azimuth)
	return Spot{X: r.RadiusMM * sin, Y: r.Y, Z: r.RadiusMM * cos, Azimuth: azimuth, Yaw: azimuth}
}

// Points gives the places of a unit's left and right point, on the circle of its ring, in mm. They
// stand a quarter of the unit's arc to either side of its middle.
func (p *Placement) Points(f *figure.Figure, u *figure.Unrolled, ring, unit int) (left, right [3]float64) {
	from, to := u.Arc(ring, unit)
	quarter, front := (to-from)/4, u.FrontTurn()
	l, r := spotAt(&p.Rings[ring], from+quarter-front), spotAt(&p.Rings[ring], to-quarter-front)
	return [3]float64{l.X, l.Y, l.Z}, [3]float64{r.X, r.Y, r.Z}
}
