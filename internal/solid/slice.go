package solid

import (
	"cmp"
	"context"
	"math"
	"slices"

	"tuckring/internal/words"
)

// point is a place in a slice, in mm: x to the right, z to the front.
type point struct{ x, z float64 }

// loop is one outline in a slice: what a thread shows that is drawn tight around it.
type loop struct {
	hull      []point // convex, turning left
	rough     []point // some of its corners
	profile   profile // how far it reaches in every direction from its middle
	area      float64 // mm²
	perimeter float64 // mm
	middle    point
}

// slice is a solid cut level at a height.
type slice struct {
	y     float64
	loops []loop
}

// Limits of cutting: how many crossings of triangles and slices are held at a time; and how much is done for one figure, where looking
// in one direction along one line is 1. A surface of 2.5 million triangles, cut for 1000 rings, takes about half of it.
const (
	crossingsHeld = 2_000_000
	mostCutting   = 400_000_000
	eachCrossing  = 40 // what a crossing takes until it is in an outline
)

// crossing is the line in which a triangle crosses a slice.
type crossing struct{ a, b point }

// slices cuts a solid at heights that grow. It fails when that, with all that was cut before, takes too much.
func (s *stood) slices(ctx context.Context, heights []float64) ([]slice, error) {
	counts := s.crossingCounts(heights)
	total := 0
	for _, n := range counts {
		total += n
	}
	s.work += eachCrossing * total
	out := make([]slice, len(heights))
	for from := 0; from < len(heights); {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if s.work > mostCutting {
			return nil, words.T("solid.detailed", "Found", s.mesh.TriangleCount())
		}
		to, held := from, 0
		for to < len(heights) && (to == from || held+counts[to] <= crossingsHeld) {
			held += counts[to]
			to++
		}
		for i, lines := range s.cut(heights[from:to], counts[from:to]) {
			out[from+i] = slice{heights[from+i], loopsOf(lines, &s.work)}
		}
		from = to
	}
	return out, nil
}

// between gives which heights a triangle crosses: first … last−1.
func between(heights []float64, a, b, c float64) (first, last int) {
	low, high := math.Min(a, math.Min(b, c)), math.Max(a, math.Max(b, c))
	// A corner is above a slice when it is at its height or higher.
	first, _ = slices.BinarySearch(heights, low)
	for first < len(heights) && heights[first] <= low {
		first++
	}
	last, _ = slices.BinarySearch(heights, high)
	for last < len(heights) && heights[last] <= high {
		last++
	}
	return first, last
}

func (s *stood) crossingCounts(heights []float64) []int {
	steps := make([]int, len(heights)+1)
	for t := range s.mesh.TriangleCount() {
		v := s.mesh.Triangles[3*t:][:3]
		first, last := between(heights, float64(s.at[3*v[0]+1]), float64(s.at[3*v[1]+1]), float64(s.at[3*v[2]+1]))
		if first < last {
			steps[first]++
			steps[last]--
		}
	}
	for i := 1; i < len(heights); i++ {
		steps[i] += steps[i-1]
	}
	return steps[:len(heights)]
}

// cut gives the crossings of each of some heights.
func (s *stood) cut(heights []float64, counts []int) [][]crossing {
	out := make([][]crossing, len(heights))
	for i, n := range counts {
		out[i] = make([]crossing, 0, n)
	}
	for t := range s.mesh.TriangleCount() {
		v := s.mesh.Triangles[3*t:][:3]
		first, last := between(heights, float64(s.at[3*v[0]+1]), float64(s.at[3*v[1]+1]), float64(s.at[3*v[2]+1]))
		if first >= last {
			continue
		}
		a, b, c := s.corners(t)
		for i := first; i < last; i++ {
			out[i] = append(out[i], crossingOf(heights[i], a, b, c))
		}
	}
	return out
}

// crossingOf is where a triangle crosses a height. Triangles that share an edge get the very same end of it.
func crossingOf(y float64, a, b, c [3]float64) crossing {
	corners := [3][3]float64{a, b, c}
	var ends [2]point
	n := 0
	for i, p := range corners {
		q := corners[(i+1)%3]
		if (p[1] >= y) == (q[1] >= y) {
			continue
		}
		if p[1] >= y {
			p, q = q, p // from below to above
		}
		t := (y - p[1]) / (q[1] - p[1])
		ends[n] = point{p[0] + t*(q[0]-p[0]), p[2] + t*(q[2]-p[2])}
		n++
	}
	return crossing{ends[0], ends[1]}
}

// mostLoops is how many outlines of a slice are looked at: the largest.
const mostLoops = 200

// loopsOf gathers crossings to loops, the largest first. Lines that share ends belong together, and so do outlines of which
// tight threads would cross or lie in each other: the shells of a solid, the inside of a hollow one. What does not close is a
// piece of the outline next to it. So faces that are missing or the wrong way round change nothing. What it takes is added to work.
func loopsOf(lines []crossing, work *int) []loop {
	var whole, broken []group
	for _, g := range joined(lines) {
		if g.whole {
			whole = append(whole, g)
		} else {
			broken = append(broken, g)
		}
	}
	if len(whole) > mostLoops {
		whole = largest(whole)
	}
	out := make([]loop, 0, len(whole))
	for _, g := range whole {
		if o, ok := loopOf(g, work); ok {
			out = append(out, o)
		}
	}
	bySize(out)
	out = merged(gatherBroken(out, broken, work))
	bySize(out)
	return out
}

// largest are the groups that reach farthest.
func largest(list []group) []group {
	type sized struct {
		group
		size float64
	}
	all := make([]sized, len(list))
	for i, g := range list {
		low, high := g.lines[0].a, g.lines[0].a
		for _, l := range g.lines {
			low.x, low.z = math.Min(low.x, math.Min(l.a.x, l.b.x)), math.Min(low.z, math.Min(l.a.z, l.b.z))
			high.x, high.z = math.Max(high.x, math.Max(l.a.x, l.b.x)), math.Max(high.z, math.Max(l.a.z, l.b.z))
		}
		all[i] = sized{g, high.x - low.x + high.z - low.z}
	}
	slices.SortStableFunc(all, func(a, b sized) int { return cmp.Compare(b.size, a.size) })
	out := make([]group, mostLoops)
	for i := range out {
		out[i] = all[i].group
	}
	return out
}

// merged makes one of outlines that touch, and of what touches that.
func merged(list []loop) []loop {
	for i := 0; i < len(list); {
		j := 0
		for j < len(list) && (j == i || !touch(list[i].rough, list[j].rough)) {
			j++
		}
		if j == len(list) {
			i++
			continue
		}
		list[i] = list[i].with(&list[j])
		if list = slices.Delete(list, j, j+1); j < i {
			i--
		}
	}
	return list
}

func bySize(list []loop) {
	slices.SortStableFunc(list, func(a, b loop) int { return cmp.Compare(b.perimeter, a.perimeter) })
}

// group is lines that hang together; whole says that no end of them is loose.
type group struct {
	lines []crossing
	whole bool
}

func joined(lines []crossing) []group {
	ids := newPlaces(2 * len(lines))
	ends := make([][2]int32, len(lines))
	for i, l := range lines {
		ends[i] = [2]int32{ids.number(l.a), ids.number(l.b)}
	}
	leads := make([]int32, len(ids.list))
	for i := range leads {
		leads[i] = int32(i)
	}
	find := func(i int32) int32 {
		for leads[i] != i {
			leads[i] = leads[leads[i]]
			i = leads[i]
		}
		return i
	}
	odd := make([]bool, len(ids.list))
	for _, e := range ends {
		leads[find(e[0])] = find(e[1])
		odd[e[0]], odd[e[1]] = !odd[e[0]], !odd[e[1]]
	}
	return groupsOf(lines, ends, odd, find)
}

// groupsOf parts lines by the lead of their ends; a group is whole when none of its ends is odd.
func groupsOf(lines []crossing, ends [][2]int32, odd []bool, find func(int32) int32) []group {
	numbers, counts := make([]int32, len(odd)), []int32{} // of each lead its group, from 1
	for _, e := range ends {
		lead := find(e[0])
		if numbers[lead] == 0 {
			counts = append(counts, 0)
			numbers[lead] = int32(len(counts))
		}
		counts[numbers[lead]-1]++
	}
	out, all := make([]group, len(counts)), make([]crossing, len(lines))
	for k, n := range counts {
		out[k] = group{all[:0:n], true}
		all = all[n:]
	}
	for i, e := range ends {
		g := &out[numbers[find(e[0])]-1]
		g.lines = append(g.lines, lines[i])
		g.whole = g.whole && !odd[e[0]] && !odd[e[1]]
	}
	return out
}

// places numbers places in the order in which they come (open addressing, Knuth, The Art of Computer Programming 3, 6.4).
type places struct {
	list []point
	at   []int32 // number and 1, 0 where nothing is
}

func newPlaces(most int) *places {
	size := 16
	for size < 2*most {
		size *= 2
	}
	return &places{at: make([]int32, size)}
}

func (p *places) number(v point) int32 {
	v.x, v.z = v.x+0, v.z+0 // there is but one 0
	const spread = 0x9e3779b97f4a7c15
	h := (math.Float64bits(v.x)*spread ^ math.Float64bits(v.z)) * spread
	for i := int(h>>32) & (len(p.at) - 1); ; i = (i + 1) & (len(p.at) - 1) {
		switch k := p.at[i]; {
		case k == 0:
			p.list = append(p.list, v)
			p.at[i] = int32(len(p.list))
			return int32(len(p.list) - 1)
		case p.list[k-1] == v:
			return k - 1
		}
	}
}

// loopOf is the outline of lines; there is none around a single place.
func loopOf(g group, work *int) (loop, bool) {
	points := make([]point, 0, 2*len(g.lines))
	for _, l := range g.lines {
		points = append(points, l.a, l.b)
	}
	hull := hullOf(points)
	if len(hull) < 2 {
		return loop{}, false
	}
	o := loop{hull: hull}
	o.measure()
	*work += o.profile.add(o.middle, g.lines)
	return o, true
}

// mostRough is how many corners say where a hull is, where that is enough.
const mostRough = 64

func (o *loop) measure() {
	o.rough = o.hull
	if n := len(o.hull); n > mostRough {
		o.rough = make([]point, mostRough)
		for i := range o.rough {
			o.rough[i] = o.hull[i*n/mostRough]
		}
	}
	o.area, o.perimeter = 0, 0
	var sum point
	for i, a := range o.hull {
		b := o.hull[(i+1)%len(o.hull)]
		cross := (a.x-o.hull[0].x)*(b.z-o.hull[0].z) - (b.x-o.hull[0].x)*(a.z-o.hull[0].z)
		o.area += cross / 2
		sum.x += cross * (a.x + b.x + o.hull[0].x) / 3
		sum.z += cross * (a.z + b.z + o.hull[0].z) / 3
		o.perimeter += math.Hypot(b.x-a.x, b.z-a.z)
	}
	if o.area > 1e-9*o.perimeter*o.perimeter {
		o.middle = point{sum.x / (2 * o.area), sum.z / (2 * o.area)}
		return
	}
	o.middle = point{}
	for _, p := range o.hull {
		o.middle.x += p.x / float64(len(o.hull))
		o.middle.z += p.z / float64(len(o.hull))
	}
}

// with is the outline around two.
func (o *loop) with(more *loop) loop {
	out := loop{hull: hullOf(append(slices.Clone(o.hull), more.hull...))}
	out.measure()
	for _, from := range []*loop{o, more} {
		out.profile.add(out.middle, from.profile.lines(from.middle))
	}
	return out
}

// gatherBroken puts lines that do not close to the outline that is nearest: something is missing between. Where no lines close they
// are one outline.
func gatherBroken(list []loop, broken []group, work *int) []loop {
	if len(broken) == 0 {
		return list
	}
	*work += len(broken) * len(list)
	more := make([][]crossing, max(len(list), 1))
	for _, g := range broken {
		best, nearest := 0, math.Inf(1)
		for k := range list {
			if d := math.Hypot(list[k].middle.x-g.lines[0].a.x, list[k].middle.z-g.lines[0].a.z); d < nearest {
				best, nearest = k, d
			}
		}
		more[best] = append(more[best], g.lines...)
	}
	for k, lines := range more {
		o, ok := loopOf(group{lines: lines}, work)
		switch {
		case !ok:
		case len(list) == 0:
			list = append(list, o)
		default:
			list[k] = list[k].with(&o)
		}
	}
	return list
}

// hullOf is the convex outline of places, turning left when x is to the right and z up (Andrew's monotone chain, Information
// Processing Letters 9(5), 1979). It sorts the places.
func hullOf(p []point) []point {
	p = outer(p)
	slices.SortFunc(p, func(a, b point) int {
		switch {
		case a.x < b.x || a.x == b.x && a.z < b.z:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	left := func(a, b, c point) bool { return (b.x-a.x)*(c.z-a.z)-(b.z-a.z)*(c.x-a.x) > 0 }
	out := make([]point, 0, 64)
	for _, q := range p {
		for len(out) >= 2 && !left(out[len(out)-2], out[len(out)-1], q) {
			out = out[:len(out)-1]
		}
		out = append(out, q)
	}
	lower := len(out) + 1
	for i := len(p) - 2; i >= 0; i-- {
		for len(out) >= lower && !left(out[len(out)-2], out[len(out)-1], p[i]) {
			out = out[:len(out)-1]
		}
		out = append(out, p[i])
	}
	return slices.Clone(out[:len(out)-1])
}

// outer leaves out what lies well within the places that reach farthest in eight directions: it is none of the convex outline (Akl and
// Toussaint, Information Processing Letters 7(5), 1978).
func outer(p []point) []point {
	const few, little = 64, 1e-9
	if len(p) < few {
		return p
	}
	reach := func(q point) [8]float64 {
		return [8]float64{q.x, q.x + q.z, q.z, q.z - q.x, -q.x, -q.x - q.z, -q.z, q.x - q.z}
	}
	var far [8]point // turning left
	most := [8]float64{}
	for i := range most {
		most[i] = math.Inf(-1)
	}
	for _, q := range p {
		for i, r := range reach(q) {
			if r > most[i] {
				far[i], most[i] = q, r
			}
		}
	}
	size := most[0] + most[2] + most[4] + most[6]
	kept := p[:0]
	for _, q := range p {
		within := true
		for i, a := range far {
			b := far[(i+1)%8]
			if a != b && (b.x-a.x)*(q.z-a.z)-(b.z-a.z)*(q.x-a.x) <= little*size*size {
				within = false
				break
			}
		}
		if !within {
			kept = append(kept, q)
		}
	}
	return kept
}

// touch says whether two convex outlines have a place in common: no side of either parts them.
func touch(a, b []point) bool { return !parts(a, b) && !parts(b, a) }

// parts says whether all of b lies beyond one side of a.
func parts(a, b []point) bool {
	for i, p := range a {
		q := a[(i+1)%len(a)]
		beyond := true
		for _, c := range b {
			if (q.x-p.x)*(c.z-p.z)-(q.z-p.z)*(c.x-p.x) >= 0 {
				beyond = false
				break
			}
		}
		if beyond {
			return true
		}
	}
	return false
}

// holds says whether a place lies within a convex outline.
func holds(hull []point, p point) bool { return len(hull) > 2 && !parts(hull, []point{p}) }

// directions is in how many directions a profile looks.
const directions = 180

// profile is how far an outline reaches in each direction from its middle, in mm: direction k is at (k+½)·2π/directions from
// x towards z. 0 is where it has nothing.
type profile [directions]float64

func bearing(k int) (dx, dz float64) { return bearings[k].x, bearings[k].z }

var bearings = func() (out [directions]point) {
	for k := range out {
		out[k].z, out[k].x = math.Sincos((float64(k) + 0.5) * 2 * math.Pi / directions)
	}
	return out
}()

// add looks at lines from a middle, and says how often.
func (p *profile) add(middle point, lines []crossing) (looks int) {
	const perRadian = directions / (2 * math.Pi)
	for _, l := range lines {
		ax, az, bx, bz := l.a.x-middle.x, l.a.z-middle.z, l.b.x-middle.x, l.b.z-middle.z
		from, to := math.Atan2(az, ax)*perRadian, math.Atan2(bz, bx)*perRadian
		if math.Abs(to-from) > directions/2 {
			if from < to {
				from += directions
			} else {
				to += directions
			}
		}
		if from > to {
			from, to, ax, az, bx, bz = to, from, bx, bz, ax, az
		}
		for k := math.Ceil(from - 0.5); k+0.5 <= to; k++ {
			at := (int(k) + 2*directions) % directions
			dx, dz := bearing(at)
			if cross := dx*(bz-az) - dz*(bx-ax); cross != 0 {
				p[at] = max(p[at], (ax*(bz-az)-az*(bx-ax))/cross)
			}
			looks++
		}
	}
	return looks
}

// lines are those between neighbouring directions, about a middle.
func (p *profile) lines(middle point) []crossing {
	var out []crossing
	at := func(k int) point {
		dx, dz := bearing(k)
		return point{middle.x + p[k]*dx, middle.z + p[k]*dz}
	}
	for k := range p {
		if next := (k + 1) % directions; p[k] > 0 && p[next] > 0 {
			out = append(out, crossing{at(k), at(next)})
		}
	}
	return out
}
