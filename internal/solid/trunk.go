package solid

import (
	"math"
	"slices"
)

// trunk is the body of a solid: what rings can go around, one outline for each height from the table up.
type trunk struct {
	body  []loop
	legs  int       // heights, from the table up, at which rings go around several outlines
	feet  int       // the most outlines there
	above int       // outlines over it at the height at which the body ends before the solid does
	limbs []limb    // what stands off
	axis  point     // the middle of all
	lean  []float64 // how far the middle at each height is off the axis, in mm
}

// Shares by which the body is told from what stands off it (own choice).
const (
	mainShare  = 0.6  // an outline of so much of all is the body, though it is not over the middle
	asideShare = 0.35 // one beside the middle, and smaller than this against the one below, is a limb
	underShare = 0.3  // one over the middle that carries the body alone
)

// bit is a limb at one height: an outline of its own, or what stands out of the body's.
type bit struct {
	slice  int
	middle point
	around float64 // perimeter, mm
	aside  bool    // it hangs on the body at this height
	hull   []point
}

// limb is bits at neighbouring heights that hang together.
type limb struct {
	bits     []bit // from below
	from, to int   // its heights
	onTop    bool  // it grows up from the body below it
}

// follow finds the body among slices: from the greatest outline up and down. It is empty when there is none.
func follow(list []slice) *trunk {
	start := -1
	for i := range list {
		for k := range list[i].loops {
			if o := &list[i].loops[k]; start < 0 || o.area > list[start].loops[0].area {
				start = i
				if k > 0 {
					list[i].loops[0], list[i].loops[k] = list[i].loops[k], list[i].loops[0]
				}
			}
		}
	}
	t := &trunk{}
	if start < 0 {
		return t
	}
	taken := make([][]bool, len(list)) // outlines that are of the body
	for i := range list {
		taken[i] = make([]bool, len(list[i].loops))
	}
	body := make([]loop, start+1, len(list))
	body[start] = list[start].loops[0]
	taken[start][0] = true
	for i := start - 1; i >= 0; i-- {
		body[i] = t.down(&list[i], &body[i+1], taken[i])
	}
	for i := start + 1; i < len(list); i++ {
		k, over := up(&list[i], &body[i-1])
		if k < 0 {
			t.above = max(over, 1)
			break
		}
		taken[i][k] = true
		body = append(body, list[i].loops[k])
	}
	for i := range body {
		if len(body[i].hull) == 0 {
			body[i] = body[start] // nothing is there at all: the rings above have to stand on something
		}
	}
	t.body = body
	var bits []bit
	for i := range list {
		for k := range list[i].loops {
			if o := &list[i].loops[k]; !taken[i][k] {
				bits = append(bits, bit{i, o.middle, o.perimeter, false, o.rough})
			}
		}
	}
	for i := range t.body {
		bits = append(bits, t.body[i].trim(i)...)
	}
	t.measure()
	t.limbs = t.gather(bits)
	return t
}

// up finds the outline over another that goes on with it, −1 for none, and how many lie over it until it was found.
func up(s *slice, below *loop) (best, over int) {
	best = -1
	all := 0.0
	for k := range s.loops {
		o := &s.loops[k]
		if !touch(o.rough, below.rough) {
			continue
		}
		all += o.area
		over++
		if holds(o.hull, below.middle) {
			return k, over
		}
		if best < 0 || o.area > s.loops[best].area {
			best = k
		}
	}
	if best < 0 || over > 1 && s.loops[best].area < mainShare*all || s.loops[best].area < asideShare*below.area {
		return -1, over
	}
	return best, over
}

// down is the outline under another that carries it: one, or what goes around several legs.
func (t *trunk) down(s *slice, above *loop, taken []bool) loop {
	var under []int
	for k := range s.loops {
		o := &s.loops[k]
		if !touch(o.rough, above.rough) {
			continue
		}
		if holds(o.hull, above.middle) && o.area >= underShare*above.area {
			taken[k] = true
			return *o
		}
		under = append(under, k)
	}
	if len(under) == 0 {
		for k := range s.loops {
			under = append(under, k)
		}
	}
	var out loop
	for i, k := range under {
		taken[k] = true
		if i == 0 {
			out = s.loops[k]
		} else {
			out = out.with(&s.loops[k])
		}
	}
	if len(under) > 1 {
		t.legs, t.feet = t.legs+1, max(t.feet, len(under))
	}
	return out
}

// measure finds the axis: the middle of all outlines, each as heavy as it is large.
func (t *trunk) measure() {
	whole := 0.0
	for i := range t.body {
		o := &t.body[i]
		t.axis.x, t.axis.z = t.axis.x+o.area*o.middle.x, t.axis.z+o.area*o.middle.z
		whole += o.area
	}
	if whole > 0 {
		t.axis.x, t.axis.z = t.axis.x/whole, t.axis.z/whole
	}
	t.lean = make([]float64, len(t.body))
	for i := range t.body {
		t.lean[i] = math.Hypot(t.body[i].middle.x-t.axis.x, t.body[i].middle.z-t.axis.z)
	}
}

// gather joins bits to limbs: those at neighbouring heights that touch, or stand off in the same direction.
func (t *trunk) gather(bits []bit) []limb {
	slices.SortStableFunc(bits, func(a, b bit) int { return a.slice - b.slice })
	leads := make([]int, len(bits))
	find := func(i int) int {
		for leads[i] != i {
			i = leads[i]
		}
		return i
	}
	from := 0
	for i := range bits {
		leads[i] = i
		for from < i && bits[from].slice < bits[i].slice-1 {
			from++
		}
		for j := from; j < i; j++ {
			if bits[j].slice == bits[i].slice-1 && t.hang(&bits[j], &bits[i]) {
				leads[find(i)] = find(j)
			}
		}
	}
	numbers := map[int]int{}
	var out []limb
	for i := range bits {
		lead := find(i)
		k, ok := numbers[lead]
		if !ok {
			k = len(out)
			numbers[lead] = k
			out = append(out, limb{from: bits[i].slice})
		}
		out[k].bits = append(out[k].bits, bits[i])
		out[k].to = bits[i].slice
	}
	for k := range out {
		out[k].onTop = t.onTop(&out[k])
	}
	return out
}

// sameWay is within how much two bits stand off in one direction, in radians.
const sameWay = 30 * math.Pi / 180

// hang says whether two bits at neighbouring heights belong together.
func (t *trunk) hang(a, b *bit) bool {
	if a.hull != nil && b.hull != nil {
		return touch(a.hull, b.hull)
	}
	return math.Abs(math.Remainder(t.bearing(a.middle)-t.bearing(b.middle), 2*math.Pi)) < sameWay
}

// bearing is the direction of a place from the axis, in radians: 0 at the front, growing to the right as seen from outside.
func (t *trunk) bearing(p point) float64 { return math.Atan2(p.x-t.axis.x, p.z-t.axis.z) }

// onTop says whether a limb grows up from the body: its lowest bit is an outline of its own that stands over the body.
func (t *trunk) onTop(l *limb) bool {
	low := &l.bits[0]
	if low.hull == nil || l.from == 0 || l.from-1 >= len(t.body) {
		return false
	}
	return touch(low.hull, t.body[l.from-1].rough)
}
