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
	HeightMM float64 // of the top of the highest unit over the table, tucked extras among them; see StandingMM
	RadiusMM float64 // of the outermost corner of any unit
}

// Place puts every unit and extra of the figure in its place. A ring of n units lies on a regular
// 2n-gon of points, whose circle is n times the best pitch around; rings rise by the best rise; a
// unit leans with the wall, whose slope follows the radii below and above. The figure must keep the
// rules of the document.
func Place(f *figure.Figure, g Gauge) *Placement {
	m := fold.Of(f.Unit)
	u := figure.Unroll(f)
	p := &Placement{
		Measures: m, Gauge: g,
		Solid: fold.NewSolid(m, g.Pitch.Best/2, fold.PaperMM),
		Spots: make([]Spot, 0, f.Units()),
	}
	p.rings(f, u)
	for i := range f.Rings {
		p.units(f, u, i)
	}
	p.extras(f, u)
	p.measure()
	return p
}

// StandingMM is how high the wall's top stands over the table, in mm, when its units are shown in space:
// the lowest ring's units at their own full height, and one best rise for every further ring. Size.Height, which
// gives the lowest ring one rise too, is less by what a unit is higher than a rise: about three quarters of a
// leg, whatever the number of rings, with the lean of units from memory.
func StandingMM(f *figure.Figure, g Gauge) float64 {
	p := &Placement{Measures: fold.Of(f.Unit), Gauge: g}
	p.rings(f, figure.Unroll(f))
	return p.Rings[len(p.Rings)-1].Y
}

func (p *Placement) rings(f *figure.Figure, u *figure.Unrolled) {
	p.Rings = make([]RingSpot, len(f.Rings))
	for i, units := range circles(f, u) {
		p.Rings[i].RadiusMM = units * p.Gauge.Pitch.Best / (2 * math.Pi)
	}
	base := 0.0
	for i := range p.Rings {
		below, above := max(0, i-1), min(len(p.Rings)-1, i+1)
		if above > below {
			out := p.Rings[above].RadiusMM - p.Rings[below].RadiusMM
			lean := math.Atan2(out, float64(above-below)*p.Gauge.Rise.Best)
			p.Rings[i].Lean = math.Max(-mostLean, math.Min(mostLean, lean))
		}
		if i == 0 {
			base = p.foot(&f.Rings[0], p.Rings[0].Lean)
		}
		p.Rings[i].Y = base + float64(i)*p.Gauge.Rise.Best
	}
}

// foot is how far the points of ring 1 stand over the table.
func (p *Placement) foot(ring *figure.Ring, lean float64) float64 {
	low := 0.0
	for _, side := range []figure.Side{figure.Long, figure.Short} {
		for _, c := range ring.Cells {
			if c.Side == side {
				for _, corner := range p.corners() {
					y, _ := tilted(corner, tiltOf(side, lean))
					low = math.Min(low, y)
				}
				break
			}
		}
	}
	return -low
}

// corners are the unit's corners in its middle plane: (y, z) of the points, the right-angled corner
// and the far end of the spine.
func (p *Placement) corners() [3][2]float64 {
	h := p.Measures.LegMM
	return [3][2]float64{{0, 0}, {-h, 0}, {-h, h}}
}

// tilted turns (y, z) about x.
func tilted(c [2]float64, tilt float64) (y, z float64) {
	sin, cos := math.Sincos(tilt)
	return c[0]*cos - c[1]*sin, c[0]*sin + c[1]*cos
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

// measure finds how high and how wide the units stand.
func (p *Placement) measure() {
	for _, s := range p.Spots {
		away := math.Hypot(s.X, s.Z)
		for _, c := range p.corners() {
			y, z := tilted(c, s.Tilt)
			if math.Cos(s.Yaw-s.Azimuth) < 0 {
				z = -z
			}
			p.HeightMM = math.Max(p.HeightMM, s.Y+y)
			p.RadiusMM = math.Max(p.RadiusMM, away+z)
		}
	}
}
