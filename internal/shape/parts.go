package shape

import (
	"math"

	"tuckring/internal/figure"
)

// Where the parts of a figure stand.
//
// An open row goes on where the wall below it points to: its units keep the distance along the row that they have in the row
// they grow from, and every bend turns the row, with all above it, about the points of the row below. Bent outwards or inwards a
// wide row follows a cone, as a wall that is pressed does, so that each unit stays above the points it takes.
//
// A tube that grows from a stretch of points closes above the stretch's middle, and draws the wall together: see closing.go. What is glued on stands with its
// lowest corners on the points of the row it is set on; what is pushed on goes over them, as a next ring does.

// part places the rows of a part; nil is the whole of a figure of one part.
func (p *Placement) part(f *figure.Figure, u *figure.Unrolled, k int) {
	if len(f.Parts) == 0 {
		p.closedRows(f, u, nil, 0, len(f.Rings), 0, Standing, 0)
		return
	}
	part := &f.Parts[k]
	switch {
	case part.Open:
		p.openRows(f, u, part, k)
	case part.Set != nil:
		frame, down := p.setting(f, u, part)
		p.closedRows(f, u, part, part.First, part.Rows, u.PartFront(k), frame, down)
	case f.Footing(part.First).Grows():
		p.tube(f, u, part)
	default:
		p.closedRows(f, u, part, part.First, part.Rows, u.FrontTurn(), Standing, 0)
	}
}

// newFrame adds a frame and gives its number.
func (p *Placement) newFrame(f Frame) int32 {
	p.Frames = append(p.Frames, f)
	return int32(len(p.Frames) - 1)
}

// closedRows places rows that close around the axis of a frame, the first of them at the given height; front is where their
// front is, in turns.
func (p *Placement) closedRows(f *figure.Figure, u *figure.Unrolled, part *figure.Part, first, rows int, front float64, frame int32, y float64) {
	if part == nil {
		front = u.FrontTurn()
	}
	for i := range rows {
		r := &p.Rings[first+i]
		r.turn0, r.perTurn = front, 2*math.Pi
		r.Y = y + float64(i)*p.Gauge.Rise.Best
		if out, right := bendOf(part, i); out != 0 || right != 0 {
			foot := [3]float64{0, math.Max(0, r.Y-p.Gauge.Rise.Best), 0}
			turned := p.Frames[frame].turned(foot, rightward, out)
			frame = p.newFrame(turned.turned(foot, outward, -right))
		}
		r.In = frame
		p.lean(f, first+i)
		p.tilt(f, first+i)
	}
}

// openRows places rows whose units stand in a line. They stand on a row of the part they grow on, which is placed.
func (p *Placement) openRows(f *figure.Figure, u *figure.Unrolled, part *figure.Part, k int) {
	base := f.Footing(part.First).Ring()
	below := &p.Rings[base]
	front := u.PartFront(k)
	at0, width := below.azimuth(near(u, base, front)), below.perTurn*below.RadiusMM
	frame, radius, y, lean := below.In, below.RadiusMM, below.Y, below.Lean
	pivot := at0
	for i := range part.Rows {
		row := part.First + i
		r := &p.Rings[row]
		out, right := bendOf(part, i)
		lean += out
		if right != 0 {
			sa, ca := math.Sincos(pivot)
			sl, cl := math.Sincos(lean)
			foot, normal := [3]float64{radius * sa, y, radius * ca}, [3]float64{cl * sa, -sl, cl * ca}
			frame = p.newFrame(p.Frames[frame].turned(foot, normal, -right))
		}
		sin, cos := math.Sincos(lean)
		radius, y = radius+p.Gauge.Rise.Best*sin, y+p.Gauge.Rise.Best*cos
		// Leaning inwards the row stays as wide open as where it grows from: its circle moves instead.
		r.RadiusMM, r.In = math.Max(radius, below.RadiusMM), frame
		if r.RadiusMM != radius {
			sa, ca := math.Sincos(at0)
			by := radius - r.RadiusMM
			r.In = p.newFrame(p.Frames[frame].moved([3]float64{by * sa, 0, by * ca}))
		}
		middle := rowMiddle(u, row)
		r.Y, r.Lean, r.Tilt = y, lean, [2]float64{tiltOf(figure.Long, lean), tiltOf(figure.Short, lean)}
		r.at0, r.turn0, r.perTurn, r.line = at0, front+math.Round(middle-front), width/r.RadiusMM, true
		pivot = r.azimuth(middle)
	}
}

// rowMiddle is where the middle of a row is, in turns.
func rowMiddle(u *figure.Unrolled, row int) float64 {
	from, to := u.Span(row)
	return (from + to) / 2
}

// near brings a turn as many times around as brings it nearest to the middle of an open row.
func near(u *figure.Unrolled, row int, turn float64) float64 {
	return turn - math.Round(turn-rowMiddle(u, row))
}

// tube places a part that grows from a stretch of points and closes.
func (p *Placement) tube(f *figure.Figure, u *figure.Unrolled, part *figure.Part) {
	foot, first := f.Footing(part.First), &f.Rings[part.First]
	base := foot.Ring()
	below := &p.Rings[base]
	// Where its first units would stand in the wall, in the frame of the row below, and over which middle.
	azimuths := make([]float64, len(first.Cells))
	var middle, centre [3]float64
	n := float64(len(azimuths))
	for k, start := range foot.Seats(first) {
		turn, takes := 0.0, int(first.Cells[k].Takes)
		for i := range takes {
			unit, side, lap := foot.Owner(start + i)
			turn += (u.Tip(base, unit, side) + float64(lap)) / float64(takes)
		}
		azimuths[k] = below.azimuth(turn)
		middle[0] += azimuths[k] / n
		sin, cos := math.Sincos(azimuths[k])
		centre[0], centre[2] = centre[0]+below.RadiusMM*sin/n, centre[2]+below.RadiusMM*cos/n
	}
	centre[1] = below.Y
	there := p.Frames[below.In].moved(centre)
	there = there.turned([3]float64{}, upward, middle[0])
	there = there.turned([3]float64{}, rightward, below.Lean)
	turn0 := rowMiddle(u, part.First)
	p.closedRows(f, u, part, part.First, part.Rows, turn0, p.newFrame(there), p.Gauge.Rise.Best)
	c := closing{base: base, there: there, front: middle[0], length: n * below.perTurn * below.RadiusMM * meanArc(u, f, base), radius: p.Rings[part.First].RadiusMM}
	c.plan(p, f, part)
	p.Drawn = append(p.Drawn, Drawn{part.ID, c.most})
	r := &p.Rings[part.First]
	sl, cl := math.Sincos(below.Lean)
	radius, y := below.RadiusMM+p.Gauge.Rise.Best*sl, below.Y+p.Gauge.Rise.Best*cl
	r.own = make([]Spot, len(azimuths))
	done := 1 - c.step
	for k, azimuth := range azimuths {
		s := spotAt(r, r.azimuth(u.Middle(part.First, k)))
		sin, cos := math.Sincos(azimuth)
		wall := p.Frames[r.In].Back(p.Frames[below.In].Place([3]float64{radius * sin, y, radius * cos}))
		s.X, s.Y, s.Z = wall[0]+done*(s.X-wall[0]), wall[1]+done*(s.Y-wall[1]), wall[2]+done*(s.Z-wall[2])
		facing := azimuth - middle[0]
		s.Azimuth = facing + done*(s.Azimuth-facing)
		s.Yaw = s.Azimuth
		r.own[k] = s
	}
	p.drawTogether(f, u, &c)
}

// setting is the frame of a part that is set on, and how high its first row stands in it.
func (p *Placement) setting(f *figure.Figure, u *figure.Unrolled, part *figure.Part) (frame int32, y float64) {
	on, _ := f.RingIndex(part.Set.On)
	below := &p.Rings[on]
	place, azimuth, lean := [3]float64{0, below.Y, 0}, 0.0, 0.0
	if below.line || !part.Set.Centred {
		turn := rowMiddle(u, on)
		if !part.Set.Centred {
			turn = turnAt(f, u, on, part.Set.At)
		}
		azimuth = below.azimuth(turn)
		sin, cos := math.Sincos(azimuth)
		place = [3]float64{below.RadiusMM * sin, below.Y, below.RadiusMM * cos}
	}
	if below.line {
		lean = below.Lean
	}
	there := p.Frames[below.In].moved(place)
	there = there.turned([3]float64{}, upward, azimuth)
	there = there.turned([3]float64{}, rightward, lean+part.Set.Tilt*math.Pi/180)
	first := part.First
	b := bodyOf(p.Solid)
	for _, side := range []figure.Side{figure.Long, figure.Short} {
		if hasSide(f.Rings[first].Cells, side) {
			down, _ := b.rises(tiltOf(side, p.leanOf(f, first)))
			y = math.Max(y, down)
		}
	}
	if part.Set.How == figure.PushedOn { // its pockets go over the points, as those of a next ring
		y = math.Min(y, p.Gauge.Rise.Best)
	}
	return p.newFrame(there), y
}
