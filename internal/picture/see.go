package picture

import (
	"math"

	"tuckring/internal/wall"
)

// Seen is what a unit shows of a picture that lies over it.
type Seen struct {
	Light [3]float64 // linear red, green and blue (IEC 61966-2-1), the average over the part of its face that is covered
	Cover float64    // how much of its visible face is covered by what is not clear of the picture, 0 … 1
}

// See works out what every unit of the ground shows of a picture. It is exact: the integral of the picture's pixels, as squares of
// even light, over the polygon of each face. It fails when the Lay makes no sense.
func (p *Picture) See(g *Ground, l Lay) ([]Seen, error) {
	if err := l.check(); err != nil {
		return nil, err
	}
	v := newViewer(p, g, l)
	for i := range g.units {
		v.look(i, g.face(i))
	}
	return v.seen(len(g.units)), nil
}

// leaves is into how many pieces SeeParts cuts a face: its two leaves, each into three levels.
const leaves = 6

// seeParts works out what the pieces of every unit's face show, leaves of them for each.
func (p *Picture) seeParts(g *Ground, l Lay) []Seen {
	v := newViewer(p, g, l)
	var poly, cut []point
	var spots []wall.Spot
	clip := &clipper{}
	for i := range g.units {
		face := g.face(i)
		poly = poly[:0]
		for _, s := range face {
			poly = append(poly, point{s.Turn, s.Up})
		}
		foot, base := face[0].Turn, face[0].Up
		low, high := within(poly)
		for k := range leaves {
			from, to := low.x, foot
			if k%2 == 1 {
				from, to = foot, high.x
			}
			level := float64(k / 2)
			lower, upper := base+level*wall.Shoulder, base+(level+1)*wall.Shoulder
			if level == 2 {
				upper = math.Max(upper, high.y)
			}
			cut = append(cut[:0], clip.strip(poly, from, to, true)...)
			cut = append(cut[:0], clip.strip(cut, lower, upper, false)...)
			spots = spots[:0]
			for _, c := range cut {
				spots = append(spots, wall.Spot{Turn: c.x, Up: c.y})
			}
			v.look(leaves*i+k, spots)
		}
	}
	return v.seen(leaves * len(g.units))
}

// piece is a part of a face that one copy of the picture may cover.
type piece struct {
	of    int32
	share float64 // of the face's area
	area  float64 // of the piece, in stored pixels
}

// edge is one side of a piece in stored pixels, from top to bottom; down says whether the outline runs that way.
type edge struct {
	x, y, slope, end float64 // upper end, x for each y, and the lower end's y
	piece            int32
	down             bool
}

// viewer collects the outlines of all pieces, and then looks at the picture once.
type viewer struct {
	p      *Picture
	g      *Ground
	l      Lay
	period float64
	w, h   float64 // of the stored picture
	pieces []piece
	edges  []edge

	clip        clipper
	poly, turns []point
}

func newViewer(p *Picture, g *Ground, l Lay) *viewer {
	l.Times = max(1, l.Times)
	b := p.stored.Bounds()
	v := &viewer{p: p, g: g, l: l, w: float64(b.Dx()), h: float64(b.Dy()), period: g.wide / float64(l.Times)}
	if g.open && l.Times == 1 && l.Way != Around {
		v.period = 1e9 // there is no way around to the other end
	}
	if g.open && l.Way == Straight {
		v.l.Way = Flat
	}
	if l.Way == Around {
		v.l.Width = v.period
	}
	return v
}

// onto brings the plane, in pitches around a copy of the picture at x, to stored pixels.
func (v *viewer) onto(x float64) affine {
	sin, cos := math.Sincos(v.l.Turn * math.Pi / 180)
	w, h := float64(v.p.Width), float64(v.p.Height)
	across, up := w/v.l.Width, h/v.l.Height
	if v.l.Mirror {
		across = -across
	}
	// Turned to the right by the angle, the picture's own right is (cos, −sin) and its own up (sin, cos).
	m := affine{1, 0, -x, 0, 1, -v.l.Y}.
		then(affine{cos, -sin, 0, sin, cos, 0}).
		then(affine{across, 0, w / 2, 0, -up, h / 2})
	return m.then(toStored(v.p.orientation, v.w, v.h))
}

// look adds the outline of a face, or of a part of one.
func (v *viewer) look(of int, face []wall.Spot) {
	if len(face) < 3 {
		return
	}
	if v.l.Way == Straight {
		v.straight(of, face)
		return
	}
	v.poly = v.poly[:0]
	for _, s := range face {
		v.poly = append(v.poly, point{s.Turn * v.g.around, s.Up * v.g.rise})
	}
	whole := math.Abs(area(v.poly))
	low, high := within(v.poly)
	first, last := math.Floor((low.x-v.l.X)/v.period+0.5), math.Floor((high.x-v.l.X)/v.period+0.5)
	for k := first; k <= last; k++ {
		x := v.l.X + k*v.period
		part := v.poly
		if first < last {
			part = v.clip.strip(v.poly, x-v.period/2, x+v.period/2, true)
		}
		v.add(of, part, math.Abs(area(part))/whole, x)
	}
}

// Sides of outlines are no longer than this when they are bent over the body, in turns.
const finest = 1.0 / 90

// straight adds a face as it is seen on the body from in front of each copy.
func (v *viewer) straight(of int, face []wall.Spot) {
	v.turns = v.turns[:0]
	for _, s := range face {
		v.turns = append(v.turns, point{s.Turn, s.Up})
	}
	whole := math.Abs(area(v.turns))
	low, high := within(v.turns)
	times := float64(v.l.Times)
	half := math.Min(0.25, 0.5/times)
	first, last := math.Floor((low.x+half)*times), math.Ceil((high.x-half)*times)
	for k := first; k <= last; k++ {
		front := k / times
		part := v.clip.strip(v.turns, front-half, front+half, true)
		share := math.Abs(area(part)) / whole
		if len(part) < 3 || share == 0 {
			continue
		}
		v.poly = v.poly[:0]
		for i, b := range part {
			a := part[(i+len(part)-1)%len(part)]
			steps := math.Max(1, math.Ceil(math.Abs(b.x-a.x)/finest))
			for s := 1.0; s <= steps; s++ {
				turn, up := a.x+(b.x-a.x)*s/steps, a.y+(b.y-a.y)*s/steps
				v.poly = append(v.poly, point{v.g.radius(up) * math.Sin(2*math.Pi*(turn-front)), up * v.g.rise})
			}
		}
		v.add(of, v.poly, share, v.l.X)
	}
}

// add notes a piece of a face under the copy of the picture at x.
func (v *viewer) add(of int, poly []point, share, x float64) {
	if len(poly) < 3 {
		return
	}
	m := v.onto(x)
	on := make([]point, len(poly), len(poly)+8)
	for i, p := range poly {
		on[i] = m.at(p)
	}
	whole := area(on)
	if math.Abs(whole) < 1e-9 {
		return
	}
	low, high := within(on)
	if low.x >= v.w || high.x <= 0 || low.y >= v.h || high.y <= 0 {
		return
	}
	if low.x < 0 || high.x > v.w {
		on = append(on[:0], v.clip.strip(on, 0, v.w, true)...)
	}
	if low.y < 0 || high.y > v.h {
		on = append(on[:0], v.clip.strip(on, 0, v.h, false)...)
	}
	v.pieces = append(v.pieces, piece{int32(of), share, whole})
	k := int32(len(v.pieces) - 1)
	for i, b := range on {
		a := on[(i+len(on)-1)%len(on)]
		e := edge{piece: k, down: a.y < b.y}
		if !e.down {
			a, b = b, a
		}
		if b.y-a.y < 1e-12 {
			continue
		}
		e.x, e.y, e.end, e.slope = a.x, a.y, b.y, (b.x-a.x)/(b.y-a.y)
		v.edges = append(v.edges, e)
	}
}

// bands is into how many bands the picture's rows are shared, each summed by itself, however many processors there are: the
// same picture gives the same sums.
const bands = 4

// seen looks at the picture and gives what so many faces show.
func (v *viewer) seen(faces int) []Seen {
	sums := v.sums()
	out, weights := make([]Seen, faces), make([]float64, faces)
	for k, p := range v.pieces {
		s, per := &sums[k], p.share/p.area/full
		cover := s[3] * per
		o := &out[p.of]
		for c := range o.Light {
			o.Light[c] += s[c] * per
		}
		weights[p.of] += cover
	}
	for i := range out {
		o := &out[i]
		o.Cover = math.Min(1, math.Max(0, weights[i]))
		for c := range o.Light {
			if weights[i] > 1e-9 {
				o.Light[c] = math.Min(1, math.Max(0, o.Light[c]/weights[i]))
			} else {
				o.Light[c] = 0
			}
		}
	}
	return out
}

// sums integrates the light over every piece.
func (v *viewer) sums() [][channels]float64 {
	rows := v.p.stored.Bounds().Dy()
	starts := v.sorted(rows)
	parts := make([][][channels]float64, bands)
	inBands(bands, func(b, _ int) { parts[b] = v.band(starts, rows*b/bands, rows*(b+1)/bands) })
	total := parts[0]
	for _, part := range parts[1:] {
		for k := range part {
			for c := range part[k] {
				total[k][c] += part[k][c]
			}
		}
	}
	return total
}

// sorted puts the edges in the order of the rows in which they begin, and says where those of each row are.
func (v *viewer) sorted(rows int) (starts []int32) {
	starts = make([]int32, rows+1)
	row := func(e *edge) int { return min(int(e.y), rows-1) }
	for i := range v.edges {
		starts[row(&v.edges[i])+1]++
	}
	for y := range rows {
		starts[y+1] += starts[y]
	}
	at, out := append([]int32(nil), starts...), make([]edge, len(v.edges))
	for i := range v.edges {
		y := row(&v.edges[i])
		out[at[y]] = v.edges[i]
		at[y]++
	}
	v.edges = out
	return starts
}

// band integrates rows from … to−1. By Green's theorem the light within an outline is the integral along it of the light to the left:
// the sum over its edges of the sums along each row.
func (v *viewer) band(starts []int32, from, to int) [][channels]float64 {
	out := make([][channels]float64, len(v.pieces))
	row := newRowSums(int(v.w))
	var active []int32
	for i := range v.edges[:starts[from]] {
		if v.edges[i].end > float64(from) {
			active = append(active, int32(i))
		}
	}
	for y := from; y < to; y++ {
		for i := starts[y]; i < starts[y+1]; i++ {
			active = append(active, i)
		}
		if len(active) == 0 {
			continue
		}
		row.read(v.p.stored, y)
		still := active[:0]
		for _, i := range active {
			e := &v.edges[i]
			top, bottom := math.Max(e.y, float64(y)), math.Min(e.end, float64(y+1))
			dy := bottom - top
			if !e.down {
				dy = -dy
			}
			x := e.x + (top-e.y)*e.slope
			row.along(x, x+(bottom-top)*e.slope, dy, &out[e.piece])
			if e.end > float64(y+1) {
				still = append(still, i)
			}
		}
		active = still
	}
	return out
}

// along adds the mean of the sums between two places of the row, times by.
func (s rowSums) along(a, b, by float64, to *[channels]float64) {
	if a > b {
		a, b = b, a
	}
	last := len(s) - 2
	a, b = math.Max(a, 0), math.Min(b, float64(last+1))
	i, end := min(int(a), last), min(int(b), last)
	if i == end {
		s.put(i, (a+b)/2-float64(i), by, to)
		return
	}
	per := by / (b - a)
	s.put(i, (a+float64(i+1))/2-float64(i), per*(float64(i+1)-a), to)
	for i++; i < end; i++ {
		s.put(i, 0.5, per, to)
	}
	s.put(end, (b-float64(end))/2, per*(b-float64(end)), to)
}

// put adds the sums up to a place within a pixel, times by.
func (s rowSums) put(pixel int, at, by float64, to *[channels]float64) {
	low, high := s[pixel].channels(), s[pixel+1].channels()
	for c := range to {
		to[c] += by * (low[c] + at*(high[c]-low[c]))
	}
}
