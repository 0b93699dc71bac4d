package shape

import (
	"iter"
	"math"
	"slices"

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
// and half a turn more for the short side. All of this is in the frame In of the placement: axis, table and front line are
// those of the figure in the first frame, and of a part or row in the others; Middle, Corner and Axes give it in space.
type Spot struct {
	X, Y, Z            float64
	Azimuth, Yaw, Tilt float64
	In                 int32 // index in Placement.Frames
	Colour             uint8
}

// RingSpot is where a row stands: the radius of the circle that its points lie on and their height, in mm,
// the lean of its wall, in radians, positive outwards, and how its units tilt with either side out, all in its frame.
type RingSpot struct {
	First, Count int // its units in Placement.Spots
	RadiusMM, Y  float64
	Lean         float64
	Tilt         [2]float64 // by figure.Side
	In           int32      // index in Placement.Frames

	// A turn is the direction at0 + (turn − turn0) · perTurn from the frame's axis, in radians.
	at0, turn0, perTurn float64
	line                bool   // its units stand in a line
	own                 []Spot // where its units stand, when not simply on the circle: in and under a tube that grows
}

// Around says that the row stands around the figure's own axis, be it drawn together here or there.
func (r *RingSpot) Around() bool { return r.In == Standing && !r.line }

// azimuth is the direction of a turn from the axis of the row's frame, in radians.
func (r *RingSpot) azimuth(turn float64) float64 { return r.at0 + (turn-r.turn0)*r.perTurn }

// Loose says that the row is not simply a circle around the figure's own axis, so that it is measured and drawn unit by unit.
func (r *RingSpot) Loose() bool { return r.In != Standing || r.line || r.own != nil }

// Placement is a figure standing in space, in mm and radians.
type Placement struct {
	Measures fold.Measures
	Gauge    Gauge
	Solid    *fold.Solid // the unit's mesh, drawn once for every spot
	Frames   []Frame
	Rings    []RingSpot
	Spots    []Spot // the units of all rings, bottom ring first, each from its seam, then the tucked extras' units
	Extras   []ExtraSpot
	Pieces   []Piece
	Drawn    []Drawn // parts that draw the wall below them together
	Hanging  []Hang  // extras and parts that reach further down than the part on the table
	Size     Size    // what a ruler reads on it
	RadiusMM float64 // of the outermost corner of all, from the axis
}

// Place puts every unit and extra of the figure in its place: around the axis where figure.Unroll says; n units on a
// circle of points that is n times the best pitch around, unless they could not reach the ring below (see radii); rings
// rise by the best rise; a unit leans with the wall, whose slope follows the radii below and above, as far as the points
// that it takes stay in its pockets. Misfits says which units do not reach theirs even so. Size says what a ruler reads on the
// figure so placed. The figure must keep the rules of the document.
func Place(f *figure.Figure, g Gauge) *Placement {
	u := figure.Unroll(f)
	p := setUp(f, u, g, true)
	out := p.outside(f, u)
	p.Size, p.RadiusMM = sizeOf(f, u, g, out), out.radius
	return p
}

// setUp puts the rings and extras in their places, at the gauge's best values, and if wanted every unit of the rings.
func setUp(f *figure.Figure, u *figure.Unrolled, g Gauge, units bool) *Placement {
	m := fold.Of(f.Unit)
	p := &Placement{Measures: m, Gauge: g, Solid: fold.NewSolid(m, g.Pitch.Best/2, fold.PaperMM), Frames: []Frame{upright()}}
	p.rings(f, u)
	if units {
		p.Spots = make([]Spot, 0, f.Units())
		for i := range f.Rings {
			p.units(f, u, i)
		}
	}
	p.extras(f, u)
	p.stand(f, u)
	return p
}

func (p *Placement) rings(f *figure.Figure, u *figure.Unrolled) {
	p.Rings = make([]RingSpot, len(f.Rings))
	for i, radius := range p.radii(f, circles(f, u)) {
		p.Rings[i].RadiusMM = radius
	}
	for k := range max(1, len(f.Parts)) {
		p.part(f, u, k)
	}
}

// below gives the row below one in the same part, and above the one upon it, where the part closes.
func below(f *figure.Figure, row int) (int, bool) {
	foot := f.Footing(row)
	return foot.Ring(), !foot.OnTable() && !foot.Grows() && !foot.Open()
}

func above(f *figure.Figure, row int) (int, bool) {
	if f.Open(row) {
		return 0, false
	}
	return f.Upon(row)
}

func (p *Placement) lean(f *figure.Figure, ring int) { p.Rings[ring].Lean = p.leanOf(f, ring) }

// leanOf is the slope of the wall from the ring below a ring to the one upon it, as far as there are any in its part.
func (p *Placement) leanOf(f *figure.Figure, ring int) float64 {
	low, high, rings := ring, ring, 0
	if under, ok := below(f, ring); ok {
		low, rings = under, rings+1
	}
	if upon, ok := above(f, ring); ok {
		high, rings = upon, rings+1
	}
	if rings == 0 {
		return 0
	}
	lean := math.Atan2(p.Rings[high].RadiusMM-p.Rings[low].RadiusMM, float64(rings)*p.Gauge.Rise.Best)
	return math.Max(-mostLean, math.Min(mostLean, lean))
}

// How far a ring gives way where the next has many more or fewer units, so that its units still reach each other's
// points (from memory): neighbouring points stand at most so far apart along the wall, in legs, since a unit is a leg
// high; and a ring is pressed together to no less than this part of its pitch.
const (
	reachLegs  = 0.95
	pressedTo  = 0.8
	leastSteps = 0.2 // of a leg, sideways, where the rise alone is nearly a leg
)

// radii are those of the rings' circles, for rings that so many units fill: a ring's own, units × pitch around, as
// long as every ring reaches the points of the one below. Where the count changes by more than that allows, the rings
// on both sides give way: the wider ones are pulled in and the narrower ones stretched, the nearest most, each as
// little as makes the greatest change least (half way between the widest and the narrowest that reach).
func (p *Placement) radii(f *figure.Figure, units []float64) []float64 {
	leg, rise := p.Measures.LegMM, p.Gauge.Rise.Best
	step := math.Max(leastSteps*leg, math.Sqrt(math.Max(0, reachLegs*reachLegs*leg*leg-rise*rise)))
	own := make([]float64, len(units))
	for i, n := range units {
		own[i] = n * p.Gauge.Pitch.Best / (2 * math.Pi)
	}
	// Nothing wider than low reaches, nothing narrower than high; tight is what cannot be pressed below.
	low, high, tight := envelope(f, own, 1, step, math.Min), envelope(f, own, 1, -step, math.Max), envelope(f, own, pressedTo, -step, math.Max)
	for i := range own {
		own[i] = math.Max((low[i]+high[i])/2, tight[i])
	}
	return own
}

// envelope is, for every ring, the least (or with a step below 0 the greatest) of what all rings' radii, times part,
// allow: each its own, and a step more for every ring between.
func envelope(f *figure.Figure, radii []float64, part, step float64, of func(a, b float64) float64) []float64 {
	out := make([]float64, len(radii))
	for i, r := range radii {
		out[i] = part * r
		if under, ok := below(f, i); ok {
			out[i] = of(out[i], out[under]+step)
		}
	}
	for i := range slices.Backward(out) {
		if under, ok := below(f, i); ok {
			out[under] = of(out[under], out[i]+step)
		}
	}
	return out
}

// lowest is how far down the units of rings reach that stand around the figure's own axis.
func (p *Placement) lowest(f *figure.Figure, b body) float64 {
	low := math.Inf(1)
	for i := range p.Rings {
		if p.Rings[i].Loose() {
			continue
		}
		for _, side := range []figure.Side{figure.Long, figure.Short} {
			if hasSide(f.Rings[i].Cells, side) {
				down, _ := b.rises(p.Rings[i].Tilt[side])
				low = math.Min(low, p.Rings[i].Y-down)
			}
		}
	}
	return low
}

// Hang is an extra or a part that reaches further down than the part on the table does: the figure stands on it.
type Hang struct {
	ID   figure.ExtraID // 0 for a part
	Part figure.PartID
	MM   float64 // how far below the rings
}

// stand lifts the figure until the lowest corner of rings and extras stands on the table, and notes what hangs below
// the part that is to stand there.
func (p *Placement) stand(f *figure.Figure, u *figure.Unrolled) {
	b := bodyOf(p.Solid)
	rings := p.lowest(f, b)
	table := rings
	note := func(h Hang, low float64) {
		table = math.Min(table, low)
		if h.MM = rings - low; h.MM > 0 {
			p.Hanging = append(p.Hanging, h)
		}
	}
	reach := b.radius()
	for k := range f.Parts {
		part, low := &f.Parts[k], math.Inf(1)
		for i := part.First; i < part.First+part.Rows; i++ {
			if !p.Rings[i].Loose() {
				continue
			}
			if r := p.roomOf(f, u, i, reach); r.middle[1]-r.up >= math.Min(low, rings) {
				continue // it hangs nowhere as low
			}
			for s := range p.eachUnit(f, u, i) {
				if p.Middle(&s)[1]-reach < math.Min(low, rings) {
					low = math.Min(low, p.lowOfSpot(b, &s))
				}
			}
		}
		if k == 0 {
			rings = math.Min(rings, low) // of a standing part that is bent
			table = rings
			continue
		}
		note(Hang{Part: part.ID}, low)
	}
	for _, e := range p.Extras {
		low := math.Inf(1)
		for k := range e.Count {
			low = math.Min(low, p.lowOfSpot(b, &p.Spots[e.First+k]))
		}
		note(Hang{ID: e.ID}, low)
	}
	for i := range p.Pieces {
		note(Hang{ID: p.Pieces[i].ID}, p.lowOfPiece(&p.Pieces[i]))
	}
	p.lift(-table)
}

// lift moves the whole figure up.
func (p *Placement) lift(by float64) {
	for i := range p.Rings {
		r := &p.Rings[i]
		if r.In != Standing {
			continue
		}
		r.Y += by
		for k := range r.own {
			r.own[k].Y += by
		}
	}
	for i := range p.Spots {
		if p.Spots[i].In == Standing {
			p.Spots[i].Y += by
		}
	}
	for i := range p.Pieces {
		if p.Pieces[i].In == Standing {
			p.Pieces[i].Y += by
		}
	}
	for i := range p.Frames[1:] {
		p.Frames[1+i].At[1] += by
	}
}

// The points that a unit takes lie in its pockets when they are seen from its own points between straight down along the
// half base and 45° outwards along the hypotenuse (from the unit's geometry: legs of one length at a right angle); a
// little less, so that they lie well inside.
const (
	inPocketLeast = 4 * math.Pi / 180
	inPocketMost  = 38 * math.Pi / 180
)

// tilt lets the units of a ring lean with the wall, but no further than lets the points of the ring below lie in their
// pockets.
func (p *Placement) tilt(f *figure.Figure, ring int) {
	r := &p.Rings[ring]
	for _, side := range []figure.Side{figure.Long, figure.Short} {
		r.Tilt[side] = tiltOf(side, r.Lean)
	}
	under, ok := below(f, ring)
	if !ok {
		return
	}
	slope := math.Atan2(r.RadiusMM-p.Rings[under].RadiusMM, p.Gauge.Rise.Best)
	r.Tilt[figure.Long] = math.Max(slope+inPocketLeast, math.Min(slope+inPocketMost, r.Tilt[figure.Long]))
	r.Tilt[figure.Short] = math.Max(inPocketLeast-slope, math.Min(inPocketMost-slope, r.Tilt[figure.Short]))
}

func tiltOf(side figure.Side, lean float64) float64 {
	if side == figure.Short {
		return shortTilt - lean
	}
	return longTilt + lean
}

func (p *Placement) units(f *figure.Figure, u *figure.Unrolled, ring int) {
	r := &p.Rings[ring]
	r.First, r.Count = len(p.Spots), len(f.Rings[ring].Cells)
	for s := range p.eachUnit(f, u, ring) {
		p.Spots = append(p.Spots, s)
	}
}

// eachUnit gives the spots of a row's units, from its seam on.
func (p *Placement) eachUnit(f *figure.Figure, u *figure.Unrolled, ring int) iter.Seq[Spot] {
	return func(yield func(Spot) bool) {
		for i := range f.Rings[ring].Cells {
			if !yield(p.unitAt(f, u, ring, i)) {
				return
			}
		}
	}
}

// unitAt gives the spot of a unit of a row, from its seam.
func (p *Placement) unitAt(f *figure.Figure, u *figure.Unrolled, ring, unit int) (s Spot) {
	r, c := &p.Rings[ring], &f.Rings[ring].Cells[unit]
	if r.own != nil {
		s = r.own[unit]
	} else {
		s = spotAt(r, r.azimuth(u.Middle(ring, unit)))
	}
	s.Tilt, s.Colour = r.Tilt[c.Side], c.Colour
	if c.Side == figure.Short {
		s.Yaw += math.Pi
	}
	return s
}

// spotAt is a place on the circle of a row's points, in a direction from its axis in radians.
func spotAt(r *RingSpot, azimuth float64) Spot {
	sin, cos := math.Sincos(azimuth)
	return Spot{X: r.RadiusMM * sin, Y: r.Y, Z: r.RadiusMM * cos, Azimuth: azimuth, Yaw: azimuth, In: r.In}
}

// Points gives the places in space of a unit's left and right point, as seen from outside, in mm, ring and unit counted from 0.
// The placement must be of Place.
func (p *Placement) Points(ring, unit int) (left, right [3]float64) {
	s, spot := p.seats(), &p.Spots[p.Rings[ring].First+unit]
	return s.point(spot, 0), s.point(spot, 1)
}
