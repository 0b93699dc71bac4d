package solid

import (
	"cmp"
	"context"
	"math"
	"slices"

	"tuckring/internal/words"
)

// tree finds triangles by place: a box around all, in it one around either half of them, and so on. Halves are those of the triangles in
// the order of a curve that runs through all places near each other (Lauterbach and others, Fast BVH Construction on GPUs, Eurographics
// 2009), so that a solid may be fine in one place and coarse in another.
type tree struct {
	ctx    context.Context
	s      *stood
	order  []int32  // the triangles as the curve meets them
	boxes  []extent // of node 1 all; of node i the halves are 2i and 2i+1; the last half of the list are leaves
	leaves int
	work   int  // boxes and triangles looked at
	asked  int  // places asked for
	gone   bool // nobody waits any more
}

// extent is from where to where triangles reach, in mm.
type extent struct{ low, high [3]float32 }

const (
	inLeaf = 4 // triangles in a leaf at the most
	// So many boxes and triangles are looked at for one figure, and so many more for each place that is asked for. In a surface of a
	// million triangles it takes some 250 to find one; of triangles that lie across each other most have to be looked at, every time.
	mostWork = 8_000_000
	workEach = 500
	tooDeep  = 64 // halves of halves: no solid has so many triangles
)

func newTree(ctx context.Context, s *stood) *tree {
	n := s.mesh.TriangleCount()
	t := &tree{ctx: ctx, s: s, order: make([]int32, n), leaves: 1}
	for t.leaves*inLeaf < n {
		t.leaves *= 2
	}
	t.sort()
	t.boxes = make([]extent, 2*t.leaves)
	for i := range t.leaves {
		t.boxes[t.leaves+i] = t.around(t.leaf(i))
	}
	for i := t.leaves - 1; i > 0; i-- {
		t.boxes[i] = t.boxes[2*i].with(&t.boxes[2*i+1])
	}
	return t
}

// leaf gives the triangles of a leaf.
func (t *tree) leaf(i int) []int32 {
	n := len(t.order)
	return t.order[i*n/t.leaves : (i+1)*n/t.leaves]
}

// sort puts the triangles in the order in which the curve meets their middles.
func (t *tree) sort() {
	type met struct {
		at       uint64
		triangle int32
	}
	const fine = 1 << 21 // places along the longest side; three times 21 bits
	low, high := t.s.bounds()
	longest := math.Max(high[0]-low[0], math.Max(high[1]-low[1], high[2]-low[2]))
	list := make([]met, len(t.order))
	for i := range list {
		a, b, c := t.s.corners(i)
		at := uint64(0)
		for k := range low {
			place := ((a[k]+b[k]+c[k])/3 - low[k]) / longest * fine
			at |= everyThird(uint64(max(0, min(fine-1, place)))) << k
		}
		list[i] = met{at, int32(i)}
	}
	slices.SortFunc(list, func(a, b met) int {
		if d := cmp.Compare(a.at, b.at); d != 0 {
			return d
		}
		return cmp.Compare(a.triangle, b.triangle)
	})
	for i, m := range list {
		t.order[i] = m.triangle
	}
}

// everyThird moves 21 bits apart, so that two others fit between any two (Morton 1966).
func everyThird(v uint64) uint64 {
	v = (v | v<<32) & 0x001f00000000ffff
	v = (v | v<<16) & 0x001f0000ff0000ff
	v = (v | v<<8) & 0x100f00f00f00f00f
	v = (v | v<<4) & 0x10c30c30c30c30c3
	return (v | v<<2) & 0x1249249249249249
}

// around is the box of some triangles; that of none is nowhere.
func (t *tree) around(list []int32) extent {
	far := float32(math.Inf(1))
	out := extent{[3]float32{far, far, far}, [3]float32{-far, -far, -far}}
	for _, i := range list {
		for _, v := range t.s.mesh.Triangles[3*int(i):][:3] {
			for k, c := range t.s.at[3*int(v):][:3] {
				out.low[k], out.high[k] = min(out.low[k], c), max(out.high[k], c)
			}
		}
	}
	return out
}

func (b *extent) with(more *extent) (out extent) {
	for k := range b.low {
		out.low[k], out.high[k] = min(b.low[k], more.low[k]), max(b.high[k], more.high[k])
	}
	return out
}

// away is how far a place is from the box, in mm; 0 inside.
func (b *extent) away(p *[3]float64) float64 {
	sum := 0.0
	for k, v := range p {
		off := math.Max(0, math.Max(float64(b.low[k])-v, v-float64(b.high[k])))
		sum += off * off
	}
	return math.Sqrt(sum)
}

// enters is how far it is along a level way from p to the box; it is not ok where the way does not meet it.
func (b *extent) enters(p, d *[3]float64) (at float64, ok bool) {
	if p[1] < float64(b.low[1]) || p[1] > float64(b.high[1]) {
		return 0, false
	}
	const little = 1e-9 // rounding must not part a way from a box without depth
	out := math.Inf(1)
	for _, k := range [2]int{0, 2} {
		low, high := float64(b.low[k])-p[k], float64(b.high[k])-p[k]
		if d[k] == 0 {
			if low > 0 || high < 0 {
				return 0, false
			}
			continue
		}
		low, high = low/d[k], high/d[k]
		at, out = math.Max(at, math.Min(low, high)), math.Min(out, math.Max(low, high))
	}
	return at, at <= out*(1+little)+little
}

// tangled says that too much had to be looked at, or that nobody waits any more; what was found since is worth nothing.
func (t *tree) tangled() bool { return t.gone || t.work > mostWork+workEach*t.asked }

// err is the refusal of a tangled solid, nil of any other; the context's error when nobody waits any more.
func (t *tree) err() error {
	switch {
	case t == nil || !t.tangled():
		return nil
	case t.gone:
		return t.ctx.Err()
	}
	return words.T("solid.tangled", "Found", t.s.mesh.TriangleCount())
}

// spot is a place on the solid's surface.
type spot struct {
	triangle int
	share    [3]float64 // of its corners
	away     float64    // mm
}

// search visits the leaves that lie nearer than what was found, the nearest first: far says how far off a box is, look looks at a
// triangle and gives how far off the best is then.
func (t *tree) search(far func(*extent) (float64, bool), look func(triangle int) float64) {
	type node struct {
		i   int
		far float64
	}
	var stack [tooDeep]node
	const often = 1 << 10
	if t.asked++; t.asked%often == 0 {
		t.gone = t.ctx.Err() != nil
	}
	first, ok := far(&t.boxes[1])
	if !ok {
		return
	}
	stack[0] = node{1, first}
	best := math.Inf(1)
	for n := 1; n > 0 && !t.tangled(); {
		n--
		at := stack[n]
		if at.far > best {
			continue
		}
		if at.i >= t.leaves {
			list := t.leaf(at.i - t.leaves)
			t.work += len(list)
			for _, i := range list {
				best = look(int(i))
			}
			continue
		}
		t.work += 2
		a, b := node{i: 2 * at.i}, node{i: 2*at.i + 1}
		var meetsA, meetsB bool
		a.far, meetsA = far(&t.boxes[a.i])
		b.far, meetsB = far(&t.boxes[b.i])
		if meetsA && meetsB && a.far > b.far {
			a, b = b, a
		}
		if meetsB && b.far <= best {
			stack[n], n = b, n+1
		}
		if meetsA && a.far <= best {
			stack[n], n = a, n+1
		}
	}
}

// nearest is the place of the surface that is nearest to p.
func (t *tree) nearest(p [3]float64) spot {
	best := spot{away: math.Inf(1)}
	t.search(func(b *extent) (float64, bool) { return b.away(&p), true }, func(i int) float64 {
		a, b, c := t.s.corners(i)
		if share, away := nearestOf(p, a, b, c); away < best.away {
			best = spot{i, share, away}
		}
		return best.away
	})
	return best
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

// hit is the first place of the surface on a level way from p to the figure's axis.
func (t *tree) hit(p [3]float64) (spot, bool) {
	long := math.Hypot(p[0], p[2])
	if long == 0 {
		return spot{}, false
	}
	d := [3]float64{-p[0] / long, 0, -p[2] / long}
	best := spot{triangle: -1, away: long}
	t.search(func(b *extent) (float64, bool) {
		at, ok := b.enters(&p, &d)
		return at, ok && at <= long
	}, func(i int) float64 {
		a, b, c := t.s.corners(i)
		if share, away, ok := crosses(p, d, a, b, c); ok && away < best.away {
			best = spot{i, share, away}
		}
		return best.away
	})
	return best, best.triangle >= 0
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
