package figure

import "math"

// Unrolled knows where every unit sits around the circle, in turns: 0 is the middle of ring 1's
// unit 0, 1 is once around to the right as seen from outside.
//
// In ring 1 every unit has 1/n turn. A unit of a ring above would sit at the middle of the points it takes. Where a
// ring takes more points of some units than of others, its units push and lean until they fit (see relax): each as near
// as can be to the middle of its points, none closer to its neighbour than paper allows, and points that go into one
// unit a little pulled together. So a plain ring comes to lie half a unit off the ring below. Neighbours share the room
// between them, so the arcs of a ring tile the circle but for its openings.
type Unrolled struct {
	arcs  [][]arc
	front float64
}

// arc is the room of a unit, where its middle stands in it, and how far to either side its points stand.
type arc struct{ from, to, mid, tip float64 }

// Unroll places every unit of the figure. The figure must keep the rule of the points.
func Unroll(f *Figure) *Unrolled {
	rows := make([]row, len(f.Rings))
	for i := range f.Rings {
		if i == 0 {
			rows[0] = bottomRow(len(f.Rings[0].Cells))
			continue
		}
		rows[i] = rowOver(&rows[i-1], &f.Rings[i])
	}
	u := &Unrolled{arcs: make([][]arc, len(f.Rings))}
	for i, moved := range settle(rows) {
		if moved {
			rows[i].finish(&f.Rings[i])
		}
		u.arcs[i] = rows[i].arcs
	}
	if len(f.Rings) > 0 {
		u.front = frontOf(u.arcs[0], f.Front)
	}
	return u
}

// frontOf is where the front stands once the units of ring 1 have settled: between the middles of the units that it lies
// between, in turns.
func frontOf(ring []arc, front float64) float64 {
	n := len(ring)
	i := int(math.Floor(front))
	lap := math.Floor(float64(i) / float64(n))
	k := i - int(lap)*n
	here, next := ring[k].mid, ring[(k+1)%n].mid+float64((k+1)/n)
	return lap + here + (front-float64(i))*(next-here)
}

// plan places every unit as rings are planned: those of a ring without openings at equal distances, turned as a whole
// so that they stay as near as can be to the middles of the points they take. What an edit decides by place, it decides by the plan:
// which point a ring starts at, which units take more. So an edit that is carried out again decides the same.
func plan(f *Figure) *Unrolled {
	u := &Unrolled{arcs: make([][]arc, len(f.Rings))}
	for i := range f.Rings {
		if i == 0 {
			u.arcs[0] = bottomArcs(len(f.Rings[0].Cells))
			continue
		}
		u.arcs[i] = arcsOver(u.arcs[i-1], &f.Rings[i])
	}
	if len(f.Rings) > 0 {
		u.front = f.Front / float64(len(f.Rings[0].Cells))
	}
	return u
}

func bottomArcs(n int) []arc {
	out := make([]arc, n)
	for i := range out {
		out[i] = centred((float64(i)-0.5)/float64(n), (float64(i)+0.5)/float64(n))
	}
	return out
}

// centred is the arc of a unit that stands in the middle of its room.
func centred(from, to float64) arc { return arc{from, to, (from + to) / 2, (to - from) / 4} }

// naturalArcs gives the units of a ring the arcs of the points they take, from the first to the last.
func naturalArcs(below []arc, ring *Ring) []arc {
	offered := 2 * len(below)
	p := ring.Start
	if p > offered/2 {
		p -= offered
	}
	out := make([]arc, len(ring.Cells))
	for i, c := range ring.Cells {
		p += int(c.Free)
		last := p + int(c.Takes) - 1
		from, _ := pointArc(below, p)
		_, to := pointArc(below, last)
		out[i] = arc{from: from, to: to, mid: (tipOf(below, p) + tipOf(below, last)) / 2}
		p += int(c.Takes)
	}
	return out
}

// arcsOver places a ring on the arcs of the ring below as it is planned. The seam's unit is kept within half a turn
// of 0, so that leaning figures do not wind their numbers up.
func arcsOver(below []arc, ring *Ring) []arc {
	out := naturalArcs(below, ring)
	if len(out) == 0 {
		return out
	}
	if _, free := ring.Points(); free == 0 {
		level(out)
	}
	shift := math.Round((out[0].from + out[0].to) / 2)
	for i, a := range out {
		out[i] = centred(a.from-shift, a.to-shift)
	}
	return out
}

// level brings the arcs of a closed ring to equal widths, turned so that they stay where they were
// on the average.
func level(arcs []arc) {
	width := 1 / float64(len(arcs))
	turn := 0.0
	for i, a := range arcs {
		turn += (a.from+a.to)/2 - float64(i)*width
	}
	turn /= float64(len(arcs))
	for i := range arcs {
		middle := turn + float64(i)*width
		arcs[i].from, arcs[i].to = middle-width/2, middle+width/2
	}
}

// pointArc gives the arc of point p, which may lie outside 0 … 2n−1: each lap is a turn.
func pointArc(below []arc, p int) (from, to float64) {
	offered := 2 * len(below)
	lap := p / offered
	if p %= offered; p < 0 {
		p += offered
		lap--
	}
	a, turn := &below[p/2], float64(lap)
	if p%2 == 0 {
		return a.from + turn, a.mid + turn
	}
	return a.mid + turn, a.to + turn
}

// tipOf gives the place of point p, which may lie outside 0 … 2n−1 as in pointArc.
func tipOf(below []arc, p int) float64 {
	offered := 2 * len(below)
	lap := p / offered
	if p %= offered; p < 0 {
		p += offered
		lap--
	}
	a := &below[p/2]
	return a.mid + float64(lap) + float64(2*(p%2)-1)*a.tip
}

// Arc gives the arc of a unit, ring and unit counted from 0, in turns; from < to, and both may lie
// outside 0 … 1. It is the room that the unit has; see Middle for where it stands.
func (u *Unrolled) Arc(ring, unit int) (from, to float64) {
	a := u.arcs[ring][unit]
	return a.from, a.to
}

// Middle gives the middle of a unit, in turns.
func (u *Unrolled) Middle(ring, unit int) float64 {
	return u.arcs[ring][unit].mid
}

// FrontTurn gives the front line, in turns.
func (u *Unrolled) FrontTurn() float64 { return u.front }

// Even says whether all units of the ring are equally wide and leave no opening.
func (u *Unrolled) Even(ring int) bool {
	arcs := u.arcs[ring]
	width := 1 / float64(len(arcs))
	for i, a := range arcs {
		if math.Abs(a.from-arcs[0].from-float64(i)*width) > 1e-9 || math.Abs(a.to-a.from-width) > 1e-9 {
			return false
		}
	}
	return true
}

// UnitAt gives the unit of a ring whose arc holds the given turn; ok is false in an opening.
func (u *Unrolled) UnitAt(ring int, turn float64) (unit int, ok bool) {
	arcs := u.arcs[ring]
	first := arcs[0].from
	t := first + wrap(turn-first)
	low, high := 0, len(arcs)
	for high-low > 1 {
		if mid := (low + high) / 2; arcs[mid].from <= t+1e-9 {
			low = mid
		} else {
			high = mid
		}
	}
	return low, t < arcs[low].to+1e-9
}

// wrap brings a turn into 0 … 1 (1 itself excluded, but for rounding).
func wrap(t float64) float64 {
	t -= math.Floor(t)
	if t > 1-1e-9 {
		return 0
	}
	return t
}

// PointsTaken gives the points of the ring below that a unit takes: n of them from first on, which
// is 0 … 2m−1; the run wraps around after 2m−1. Point p belongs to unit p/2 of the ring below, its
// left point when p is even. In ring 1 n is 0.
func (f *Figure) PointsTaken(ring, unit int) (first, n int) {
	if ring == 0 {
		return 0, 0
	}
	r := &f.Rings[ring]
	p := r.Start
	for i := 0; i < unit; i++ {
		p += int(r.Cells[i].Free) + int(r.Cells[i].Takes)
	}
	p += int(r.Cells[unit].Free)
	return p % (2 * len(f.Rings[ring-1].Cells)), int(r.Cells[unit].Takes)
}

// PointOwners gives, for each point of the ring below in order, the unit of the ring that takes it,
// −1 where the point is left free.
func (f *Figure) PointOwners(ring int) []int {
	offered := 2 * len(f.Rings[ring-1].Cells)
	owners := make([]int, offered)
	for i := range owners {
		owners[i] = -1
	}
	p := f.Rings[ring].Start
	for i, c := range f.Rings[ring].Cells {
		p += int(c.Free)
		for k := 0; k < int(c.Takes); k++ {
			owners[p%offered] = i
			p++
		}
	}
	return owners
}

// Below gives the units of the ring below whose points a unit takes, in order.
func (f *Figure) Below(ring, unit int) []int {
	first, n := f.PointsTaken(ring, unit)
	var out []int
	for k := 0; k < n; k++ {
		u := (first + k) / 2 % len(f.Rings[ring-1].Cells)
		if len(out) == 0 || out[len(out)-1] != u {
			out = append(out, u)
		}
	}
	return out
}

// Above gives the units of the ring above that take the unit's points: none, one or two.
func (f *Figure) Above(ring, unit int) []int {
	if ring+1 >= len(f.Rings) {
		return nil
	}
	owners := f.PointOwners(ring + 1)
	var out []int
	for _, o := range owners[2*unit : 2*unit+2] {
		if o >= 0 && (len(out) == 0 || out[0] != o) {
			out = append(out, o)
		}
	}
	return out
}
