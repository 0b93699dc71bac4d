package shape

import (
	"math"

	"tuckring/internal/figure"
)

// A tube that grows from a stretch of a wall closes to a circle that is much narrower than the stretch is long. Its paper and
// that of the wall give way together (from memory): from the second row of the tube, which is closed, down through the
// first row and the rows of the wall, each row comes a step less near to the circle, and beyond the stretch the wall follows
// its ends and comes to rest a few units on. The more there is to draw together the more rows share it, so that a point that is
// taken stays in its pocket.
const (
	drawnLegs   = 0.24 // of a leg, that a row is drawn further than the next
	drawnBeyond = 1.5  // units beyond the stretch that still follow
)

// Drawn is a part that draws the wall which it grows from together: by so much, in mm, at the ends of the stretch.
type Drawn struct {
	Part figure.PartID
	MM   float64
}

// closing is how the wall under a tube is drawn together.
type closing struct {
	base   int     // the row that the tube grows from
	there  Frame   // of the tube: its axis, and which way is out of the wall
	front  float64 // direction of the stretch's middle from the axis of the base's frame, in radians
	length float64 // of the stretch, along the wall, in mm
	unit   float64 // of it, that one unit has, in mm
	radius float64 // of the tube, in mm

	most float64 // how far the outermost units of the tube are drawn, in mm
	step float64 // how much less of it each row below has
}

// meanArc is how wide a unit of a row is, in turns.
func meanArc(u *figure.Unrolled, f *figure.Figure, row int) float64 {
	sum := 0.0
	for k := range f.Rings[row].Cells {
		from, to := u.Arc(row, k)
		sum += to - from
	}
	return sum / float64(len(f.Rings[row].Cells))
}

// plan finds over how many rows the wall is drawn together.
func (c *closing) plan(p *Placement, f *figure.Figure, part *figure.Part) {
	n := float64(len(f.Rings[part.First].Cells))
	c.unit = c.length / n
	way := c.way(p, (c.length-c.unit)/2)
	c.most = math.Hypot(way[0], way[1])
	rows := math.Max(2, math.Ceil(c.most/(drawnLegs*p.Measures.LegMM)))
	base := &f.Parts[f.PartOf(c.base)]
	c.step = 1 / math.Min(rows, float64(2+c.base-base.First))
}

// way is how far, and where to, the wall has to go to come to the circle, at so many mm along it from the stretch's middle: to
// the right of the tube and out of the wall, in its frame.
func (c *closing) way(p *Placement, along float64) [2]float64 {
	r := &p.Rings[c.base]
	sin, cos := math.Sincos(c.front + along/r.RadiusMM)
	wall := c.there.Back(p.Frames[r.In].Place([3]float64{r.RadiusMM * sin, r.Y, r.RadiusMM * cos}))
	sin, cos = math.Sincos(2 * math.Pi * along / c.length)
	return [2]float64{c.radius*sin - wall[0], c.radius*cos - wall[2]}
}

// drawTogether moves the units of the row that a tube grows from, and of those around it in its part.
func (p *Placement) drawTogether(f *figure.Figure, u *figure.Unrolled, c *closing) {
	part := &f.Parts[f.PartOf(c.base)]
	for row := part.First; row < part.First+part.Rows; row++ {
		away := math.Abs(float64(row - c.base))
		if share := 1 - c.step*(2+away); share > 1e-9 {
			p.drawRow(f, u, c, row, share)
		}
	}
}

func (p *Placement) drawRow(f *figure.Figure, u *figure.Unrolled, c *closing, row int, share float64) {
	r, base := &p.Rings[row], &p.Rings[c.base]
	if r.own == nil {
		r.own = make([]Spot, len(f.Rings[row].Cells))
		for k := range r.own {
			r.own[k] = spotAt(r, r.azimuth(u.Middle(row, k)))
		}
	}
	half, beyond := c.length/2, drawnBeyond*c.unit
	for k := range r.own {
		off := r.azimuth(u.Middle(row, k)) - c.front
		if !r.line {
			off = math.Remainder(off, 2*math.Pi)
		}
		along := off * base.RadiusMM
		inside := math.Max(-half, math.Min(half, along))
		rest := 1 - math.Abs(along-inside)/beyond
		if rest <= 0 {
			continue
		}
		way := c.way(p, inside)
		to := c.there.Direction([3]float64{way[0] * share * rest, 0, way[1] * share * rest})
		s := &r.own[k]
		fr := &p.Frames[r.In]
		moved := fr.Back([3]float64{to[0] + fr.At[0], to[1] + fr.At[1], to[2] + fr.At[2]}) // its direction in the row's frame
		s.X, s.Y, s.Z = s.X+moved[0], s.Y+moved[1], s.Z+moved[2]
		facing := share * rest * (2*math.Pi/c.length - 1/base.RadiusMM) * inside // they turn with the wall
		s.Azimuth, s.Yaw = s.Azimuth+facing, s.Yaw+facing
	}
}
