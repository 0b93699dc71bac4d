package shape

import (
	"math"

	"tuckring/internal/figure"
)

// Frame says where the circle that a row lies on stands in space: what is placed around the axis of its own frame is turned
// and then moved. The first frame of a placement, Standing, is the table's and changes nothing.
type Frame struct {
	Turn [3][3]float64 // rows of the matrix of its rotation
	At   [3]float64    // mm
}

// Standing is the frame of what stands upright on the table.
const Standing = 0

func upright() Frame { return Frame{Turn: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}} }

// Direction turns a direction of the frame's own into space.
func (f *Frame) Direction(v [3]float64) (out [3]float64) {
	for i, row := range f.Turn {
		out[i] = row[0]*v[0] + row[1]*v[1] + row[2]*v[2]
	}
	return out
}

// Place brings a place of the frame's own into space.
func (f *Frame) Place(v [3]float64) [3]float64 {
	out := f.Direction(v)
	for i := range out {
		out[i] += f.At[i]
	}
	return out
}

// Back undoes Place.
func (f *Frame) Back(v [3]float64) (out [3]float64) {
	for i := range v {
		v[i] -= f.At[i]
	}
	for i := range out {
		out[i] = f.Turn[0][i]*v[0] + f.Turn[1][i]*v[1] + f.Turn[2][i]*v[2]
	}
	return out
}

// moved is a frame within the frame, its origin at a place of this one's own.
func (f *Frame) moved(to [3]float64) Frame { return Frame{f.Turn, f.Place(to)} }

// turned is the frame turned about a line through a place of its own, along a unit vector of its own, by an angle in
// radians, right-handed (Rodrigues' formula).
func (f *Frame) turned(about, along [3]float64, by float64) Frame {
	sin, cos := math.Sincos(by)
	var turn [3][3]float64
	for i := range 3 {
		for j := range 3 {
			turn[i][j] = (1 - cos) * along[i] * along[j]
		}
		turn[i][i] += cos
	}
	x, y, z := along[0]*sin, along[1]*sin, along[2]*sin
	turn[0][1], turn[0][2] = turn[0][1]-z, turn[0][2]+y
	turn[1][0], turn[1][2] = turn[1][0]+z, turn[1][2]-x
	turn[2][0], turn[2][1] = turn[2][0]-y, turn[2][1]+x
	out := Frame{}
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out.Turn[i][j] += f.Turn[i][k] * turn[k][j]
			}
		}
	}
	middle := f.Place(about)
	back := out.Direction(about)
	for i := range 3 {
		out.At[i] = middle[i] - back[i]
	}
	return out
}

var (
	rightward = [3]float64{1, 0, 0}
	upward    = [3]float64{0, 1, 0}
	outward   = [3]float64{0, 0, 1}
)

// WidthMM is how wide a unit stands in its row, in mm.
func (p *Placement) WidthMM(u *figure.Unrolled, ring, unit int) float64 {
	from, to := u.Arc(ring, unit)
	r := &p.Rings[ring]
	return (to - from) * r.perTurn * r.RadiusMM
}

// inSpace brings a place of a frame into space.
func (p *Placement) inSpace(frame int32, v [3]float64) [3]float64 {
	if frame == Standing {
		return v
	}
	return p.Frames[frame].Place(v)
}

// Middle gives the place of a spot in space: the middle between its two points, in mm.
func (p *Placement) Middle(s *Spot) [3]float64 { return p.inSpace(s.In, [3]float64{s.X, s.Y, s.Z}) }

// Corner gives the place in space of a corner of a spot's unit, or of whatever is placed like one, given in its own mm.
func (p *Placement) Corner(s *Spot, x, y, z float64) [3]float64 {
	v := turning(s.Yaw, s.Tilt).apply(x, y, z)
	return p.inSpace(s.In, [3]float64{s.X + v[0], s.Y + v[1], s.Z + v[2]})
}

// Axes gives the directions in space of a spot's own: to its right as seen from outside, up along a wall that leans so (in
// radians), and out of that wall.
func (p *Placement) Axes(s *Spot, lean float64) (right, up, out [3]float64) {
	sa, ca := math.Sincos(s.Azimuth)
	sl, cl := math.Sincos(lean)
	right, up, out = [3]float64{ca, 0, -sa}, [3]float64{sl * sa, cl, sl * ca}, [3]float64{cl * sa, -sl, cl * ca}
	if s.In == Standing {
		return right, up, out
	}
	fr := &p.Frames[s.In]
	return fr.Direction(right), fr.Direction(up), fr.Direction(out)
}

// bendOf is how a row of a part, counted from 0, is bent against the one below, in radians: away from the wall, and to
// the right.
func bendOf(part *figure.Part, row int) (out, right float64) {
	if part == nil {
		return 0, 0
	}
	for _, b := range part.Bend {
		if row < b.Rows {
			return b.Out * math.Pi / 180, b.Right * math.Pi / 180
		}
		row -= b.Rows
	}
	return 0, 0
}
