package solid

import "math"

// grid finds triangles by place: boxes of one size, with the triangles that may reach into each.
type grid struct {
	s     *stood
	low   [3]float64
	size  float64
	n     [3]int
	first []int32 // of each box, where its triangles begin in list
	list  []int32
}

const (
	mostBoxes   = 64         // along the longest side
	fineFrom    = 200_000    // triangles from which on there are twice as many
	mostEntries = 24_000_000 // triangles in boxes
)

func newGrid(s *stood) *grid {
	low, high := s.bounds()
	longest := math.Max(high[0]-low[0], math.Max(high[1]-low[1], high[2]-low[2]))
	boxes := mostBoxes
	if s.mesh.TriangleCount() >= fineFrom {
		boxes *= 2
	}
	for ; ; boxes /= 2 {
		g := &grid{s: s, low: low, size: longest / float64(boxes)}
		for k := range g.n {
			g.n[k] = int((high[k]-low[k])/g.size) + 1
		}
		if g.fill() {
			return g
		}
	}
}

// fill sorts the triangles into boxes, unless there are too many entries; into few boxes they always go.
func (g *grid) fill() bool {
	counts := make([]int32, g.n[0]*g.n[1]*g.n[2]+1)
	entries := 0
	triangles := g.s.mesh.TriangleCount()
	for t := range triangles {
		from, to := g.span(t)
		entries += (to[0] - from[0] + 1) * (to[1] - from[1] + 1) * (to[2] - from[2] + 1)
		if entries > mostEntries && max(g.n[0], g.n[1], g.n[2]) > 2 {
			return false
		}
		g.each(from, to, func(box int) { counts[box+1]++ })
	}
	for i := 1; i < len(counts); i++ {
		counts[i] += counts[i-1]
	}
	g.first = counts
	at := make([]int32, len(counts))
	copy(at, counts)
	g.list = make([]int32, entries)
	for t := range triangles {
		from, to := g.span(t)
		g.each(from, to, func(box int) {
			g.list[at[box]] = int32(t)
			at[box]++
		})
	}
	return true
}

// span gives the boxes that a triangle may reach into.
func (g *grid) span(t int) (from, to [3]int) {
	a, b, c := g.s.corners(t)
	for k := range from {
		from[k] = g.box(k, math.Min(a[k], math.Min(b[k], c[k])))
		to[k] = g.box(k, math.Max(a[k], math.Max(b[k], c[k])))
	}
	return from, to
}

func (g *grid) box(axis int, v float64) int {
	return max(0, min(g.n[axis]-1, int(math.Floor((v-g.low[axis])/g.size))))
}

func (g *grid) each(from, to [3]int, do func(box int)) {
	for z := from[2]; z <= to[2]; z++ {
		for y := from[1]; y <= to[1]; y++ {
			at := (z*g.n[1] + y) * g.n[0]
			for x := from[0]; x <= to[0]; x++ {
				do(at + x)
			}
		}
	}
}

// spot is a place on the solid's surface.
type spot struct {
	triangle int
	share    [3]float64 // of its corners
	away     float64    // mm
}

// nearest is the place of the surface that is nearest to p.
func (g *grid) nearest(p [3]float64) spot {
	best := spot{triangle: -1, away: math.Inf(1)}
	var home [3]int
	k := 0
	for axis := range home {
		home[axis] = int(math.Floor((p[axis] - g.low[axis]) / g.size))
		k = max(k, -home[axis], home[axis]-g.n[axis]+1)
	}
	for ; ; k++ {
		g.shell(home, k, func(t int32) {
			a, b, c := g.s.corners(int(t))
			if share, away := nearestOf(p, a, b, c); away < best.away {
				best = spot{int(t), share, away}
			}
		})
		// All that is nearer than the sides of what was searched is found.
		room, all := math.Inf(1), true
		for axis := range home {
			at := p[axis] - g.low[axis] - float64(home[axis])*g.size
			room = math.Min(room, math.Min(at, g.size-at)+float64(k)*g.size)
			all = all && home[axis]-k <= 0 && home[axis]+k >= g.n[axis]-1
		}
		if best.away <= room || all {
			return best
		}
	}
}

// shell visits the triangles of the boxes that are k away from one.
func (g *grid) shell(home [3]int, k int, do func(t int32)) {
	visit := func(x, y, z int) {
		box := (z*g.n[1]+y)*g.n[0] + x
		for _, t := range g.list[g.first[box]:g.first[box+1]] {
			do(t)
		}
	}
	for z := max(0, home[2]-k); z <= min(g.n[2]-1, home[2]+k); z++ {
		for y := max(0, home[1]-k); y <= min(g.n[1]-1, home[1]+k); y++ {
			if z == home[2]-k || z == home[2]+k || y == home[1]-k || y == home[1]+k {
				for x := max(0, home[0]-k); x <= min(g.n[0]-1, home[0]+k); x++ {
					visit(x, y, z)
				}
				continue
			}
			if x := home[0] - k; x >= 0 && x < g.n[0] {
				visit(x, y, z)
			}
			if x := home[0] + k; x >= 0 && x < g.n[0] {
				visit(x, y, z)
			}
		}
	}
}

func minus(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// nearestOf is the place of a triangle that is nearest to p: in its plane when that is inside, else on one of its sides.
func nearestOf(p, a, b, c [3]float64) (share [3]float64, away float64) {
	ab, ac, ap := minus(b, a), minus(c, a), minus(p, a)
	n := cross(ab, ac)
	if nn := dot(n, n); nn > 0 {
		v := dot(cross(ap, ac), n) / nn
		w := dot(cross(ab, ap), n) / nn
		if v >= 0 && w >= 0 && v+w <= 1 {
			return [3]float64{1 - v - w, v, w}, math.Abs(dot(ap, n)) / math.Sqrt(nn)
		}
	}
	away = math.Inf(1)
	corners := [3][3]float64{a, b, c}
	for i := range corners {
		j := (i + 1) % 3
		side, to := minus(corners[j], corners[i]), minus(p, corners[i])
		t, long := 0.0, dot(side, side)
		if long > 0 {
			t = math.Max(0, math.Min(1, dot(to, side)/long))
		}
		d := minus(to, [3]float64{t * side[0], t * side[1], t * side[2]})
		if off := math.Sqrt(dot(d, d)); off < away {
			share, away = [3]float64{}, off
			share[i], share[j] = 1-t, t
		}
	}
	return share, away
}

// hit is the first place of the surface on a level way from p to the figure's axis. It goes from box to box (Amanatides and Woo, A Fast
// Voxel Traversal Algorithm for Ray Tracing, Eurographics 1987).
func (g *grid) hit(p [3]float64) (spot, bool) {
	long := math.Hypot(p[0], p[2])
	y := int(math.Floor((p[1] - g.low[1]) / g.size))
	if long == 0 || y < 0 || y >= g.n[1] {
		return spot{}, false
	}
	d := [3]float64{-p[0] / long, 0, -p[2] / long}
	way := [2]stride{g.stride(0, p[0], d[0]), g.stride(2, p[2], d[2])}
	best := spot{triangle: -1, away: long}
	for at := 0.0; at <= best.away; {
		if x, z := way[0].box, way[1].box; x >= 0 && x < g.n[0] && z >= 0 && z < g.n[2] {
			box := (z*g.n[1]+y)*g.n[0] + x
			for _, t := range g.list[g.first[box]:g.first[box+1]] {
				a, b, c := g.s.corners(int(t))
				if share, away, ok := crosses(p, d, a, b, c); ok && away < best.away {
					best = spot{int(t), share, away}
				}
			}
		}
		k := 0
		if way[1].next < way[0].next {
			k = 1
		}
		at = way[k].next
		way[k].box += way[k].step
		way[k].next += way[k].each
	}
	return best, best.triangle >= 0
}

// stride is a way through boxes along one axis: the box it is in, how far it is to the next and from one to another.
type stride struct {
	box, step  int
	next, each float64
}

func (g *grid) stride(axis int, from, d float64) stride {
	at := (from - g.low[axis]) / g.size
	s := stride{box: int(math.Floor(at)), next: math.Inf(1), each: math.Inf(1)}
	inside := at - float64(s.box)
	switch {
	case d > 0:
		s.step, s.next, s.each = 1, (1-inside)*g.size/d, g.size/d
	case d < 0:
		s.step, s.next, s.each = -1, -inside*g.size/d, -g.size/d
	}
	return s
}

// crosses is where a way from p along d meets a triangle (Möller and Trumbore, Journal of Graphics Tools 2(1), 1997).
func crosses(p, d, a, b, c [3]float64) (share [3]float64, away float64, ok bool) {
	ab, ac := minus(b, a), minus(c, a)
	q := cross(d, ac)
	det := dot(ab, q)
	if det == 0 {
		return share, 0, false
	}
	ap := minus(p, a)
	u := dot(ap, q) / det
	r := cross(ap, ab)
	v := dot(d, r) / det
	away = dot(ac, r) / det
	if u < 0 || v < 0 || u+v > 1 || away < 0 {
		return share, 0, false
	}
	return [3]float64{1 - u - v, u, v}, away, true
}
