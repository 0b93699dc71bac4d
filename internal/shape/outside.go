package shape

import (
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
)

// The outside of a figure. Pitch and rise describe the wall: the circle of a ring's points is its units × pitch
// around, and a ring's points stand one rise over those of the ring below. A ruler reads more. The spines stand
// beyond the circle of the points, the lowest ring stands whole below its points, and a tucked extra reaches
// where its units reach. All of this is read off the very mesh (fold.Solid) that the 3D view and the model file
// show, turned as it stands there, so that what is stated is what a ruler reads on either.

// body is the corners of a unit's mesh, each once, in mm.
type body [][3]float64

func bodyOf(s *fold.Solid) body {
	seen := map[[3]float32]bool{}
	var out body
	for i := 0; i < len(s.Positions); i += 3 {
		v := [3]float32(s.Positions[i : i+3])
		if !seen[v] {
			seen[v] = true
			out = append(out, [3]float64{float64(v[0]), float64(v[1]), float64(v[2])})
		}
	}
	return out
}

// radius is how far the farthest corner lies from the middle of the points, in mm.
func (b body) radius() float64 {
	far := 0.0
	for _, c := range b {
		far = math.Max(far, math.Sqrt(c[0]*c[0]+c[1]*c[1]+c[2]*c[2]))
	}
	return far
}

// rises is how far a unit that is turned by tilt reaches below and above the middle of its points, in mm.
func (b body) rises(tilt float64) (down, up float64) {
	sin, cos := math.Sincos(tilt)
	for _, c := range b {
		y := c[1]*cos - c[2]*sin
		down, up = math.Max(down, -y), math.Max(up, y)
	}
	return down, up
}

// reach is how far from the axis a unit reaches that stands on a circle of the given radius, in mm, with its
// short side out or not, and how far to either side of its middle that corner lies, in radians.
func (b body) reach(radius, tilt float64, short bool) (far, aside float64) {
	sin, cos := math.Sincos(tilt)
	for _, c := range b {
		z := c[1]*sin + c[2]*cos
		if short {
			z = -z
		}
		if away := math.Hypot(radius+z, c[0]); away > far {
			far, aside = away, math.Abs(math.Atan2(c[0], radius+z))
		}
	}
	return far, aside
}

// fromAbove is the outline of a unit that is turned by tilt, its short side out or not, seen from above: mm to its right and
// outwards from the middle of its points.
func (b body) fromAbove(tilt float64, short bool) [][2]float64 {
	sin, cos := math.Sincos(tilt)
	s := &shadow{}
	for _, c := range b {
		x, z := c[0], c[1]*sin+c[2]*cos
		if short {
			x, z = -x, -z
		}
		s.add(x, z)
	}
	return s.outline()
}

// outside is what a ruler reads on a placed figure, in mm.
type outside struct {
	height, diameter float64   // of everything, table to top and tip to tip
	radius           float64   // of the outermost corner
	across, top      []float64 // of every ring's units alone
}

// outside measures the figure. The units of rings around the axis are measured ring by ring, extras' unit by unit, and so are those of
// loose rows where they may be the outermost or the highest (see measureLoose).
func (p *Placement) outside(f *figure.Figure, u *figure.Unrolled) outside {
	out := outside{across: make([]float64, len(p.Rings)), top: make([]float64, len(p.Rings))}
	b, all, rings := bodyOf(p.Solid), &shadow{}, make([]ringReach, len(p.Rings))
	for i := range p.Rings {
		if p.Rings[i].Loose() {
			continue
		}
		rings[i] = p.ringReach(b, f.Rings[i].Cells, i)
		out.across[i], out.top[i] = rings[i].across(f.Rings[i].Cells, u, i), rings[i].top
		out.height, out.diameter = math.Max(out.height, out.top[i]), math.Max(out.diameter, out.across[i])
		out.radius = math.Max(out.radius, rings[i].most())
	}
	for _, e := range p.Extras {
		for k := range e.Count {
			out.height = math.Max(out.height, p.addSpot(b, all, &p.Spots[e.First+k]))
		}
	}
	for i := range p.Pieces {
		out.height = math.Max(out.height, p.addPiece(all, &p.Pieces[i]))
	}
	p.measureLoose(f, u, b, all, &out)
	out.radius = math.Max(out.radius, all.most)
	for i := range rings { // only rings that can be wider together with something else than a ring is alone
		if !p.Rings[i].Loose() && rings[i].most()+out.radius > out.diameter {
			rings[i].addTo(all, f.Rings[i].Cells, u, i)
		}
	}
	out.diameter = math.Max(out.diameter, all.width())
	return out
}

// ringReach is how far the units of a ring reach: with their long and with their short side out, 0 where there is none.
type ringReach struct {
	spot       *RingSpot
	of         body
	far, aside [2]float64      // see reach
	outline    [2][][2]float64 // of a unit seen from above, once asked for: mm to its right and out of the circle
	top        float64         // mm over the table
}

func (p *Placement) ringReach(b body, cells []figure.Cell, ring int) (out ringReach) {
	r := &p.Rings[ring]
	out.spot, out.of = r, b
	for _, side := range []figure.Side{figure.Long, figure.Short} {
		if hasSide(cells, side) {
			tilt := r.Tilt[side]
			_, up := b.rises(tilt)
			out.top = math.Max(out.top, r.Y+up)
			out.far[side], out.aside[side] = b.reach(r.RadiusMM, tilt, side == figure.Short)
		}
	}
	return out
}

func (r *ringReach) most() float64 { return math.Max(r.far[figure.Long], r.far[figure.Short]) }

// across is how wide the ring is from tip to tip.
func (r *ringReach) across(cells []figure.Cell, u *figure.Unrolled, ring int) float64 {
	if side := cells[0].Side; oneSided(cells) {
		short := math.Max(0, shortOfOpposite(u, ring, len(cells))-2*r.aside[side])
		return 2 * r.far[side] * math.Cos(short/2)
	}
	own := &shadow{}
	r.addTo(own, cells, u, ring)
	return own.width()
}

// addTo adds the outermost corners of the ring's units to a shadow.
func (r *ringReach) addTo(all *shadow, cells []figure.Cell, u *figure.Unrolled, ring int) {
	for k, c := range cells {
		if r.outline[c.Side] == nil {
			r.outline[c.Side] = r.of.fromAbove(r.spot.Tilt[c.Side], c.Side == figure.Short)
		}
		at := r.spot.azimuth(u.Middle(ring, k))
		sin, cos := math.Sincos(at)
		for _, v := range r.outline[c.Side] {
			out := r.spot.RadiusMM + v[1]
			all.add(out*sin+v[0]*cos, out*cos-v[0]*sin)
		}
	}
}

// shortOfOpposite is by how much the two units of a ring that come closest to facing each other across it miss
// that, in radians: 0 for an even number of units at equal distances, half a unit for an odd one.
func shortOfOpposite(u *figure.Unrolled, ring, n int) float64 {
	if u.Even(ring) {
		return float64(n%2) * math.Pi / float64(n)
	}
	least, j := 0.5, 0
	place := func(k int) float64 { return u.Middle(ring, k%n) + float64(k/n) }
	for i := range n {
		half := place(i) + 0.5
		for j = max(j, i); j < i+n && place(j) < half; j++ {
		}
		for _, k := range []int{j - 1, j} {
			least = math.Min(least, math.Abs(place(k)-half))
		}
	}
	return 2 * math.Pi * least
}

func hasSide(cells []figure.Cell, side figure.Side) bool {
	return slices.ContainsFunc(cells, func(c figure.Cell) bool { return c.Side == side })
}

func oneSided(cells []figure.Cell) bool { return !hasSide(cells, cells[0].Side^1) }

// addSpot adds the corners of a single unit and gives how high they reach.
func (p *Placement) addSpot(b body, all *shadow, s *Spot) (top float64) {
	turn := turning(s.Yaw, s.Tilt)
	for _, c := range b {
		v := turn.apply(c[0], c[1], c[2])
		v = p.inSpace(s.In, [3]float64{s.X + v[0], s.Y + v[1], s.Z + v[2]})
		all.add(v[0], v[2])
		top = math.Max(top, v[1])
	}
	return top
}

// addPiece adds the corners of a glued piece and gives how high they reach.
func (p *Placement) addPiece(all *shadow, q *Piece) (top float64) {
	turn := turning(q.Azimuth, q.Tilt)
	for _, c := range q.Outline {
		v := turn.apply(c[0], c[1], 0)
		v = p.inSpace(q.In, [3]float64{q.X + v[0], q.Y + v[1], q.Z + v[2]})
		all.add(v[0], v[2])
		top = math.Max(top, v[1])
	}
	return top
}

// lowOfSpot is how far down a single unit reaches.
func (p *Placement) lowOfSpot(b body, s *Spot) float64 {
	low, turn := math.Inf(1), turning(s.Yaw, s.Tilt)
	for _, c := range b {
		v := turn.apply(c[0], c[1], c[2])
		low = math.Min(low, p.inSpace(s.In, [3]float64{s.X + v[0], s.Y + v[1], s.Z + v[2]})[1])
	}
	return low
}

// lowOfPiece is how far down a glued piece reaches.
func (p *Placement) lowOfPiece(q *Piece) float64 {
	low, turn := math.Inf(1), turning(q.Azimuth, q.Tilt)
	for _, c := range q.Outline {
		v := turn.apply(c[0], c[1], 0)
		low = math.Min(low, p.inSpace(q.In, [3]float64{q.X + v[0], q.Y + v[1], q.Z + v[2]})[1])
	}
	return low
}
