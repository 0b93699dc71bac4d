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
//
// A part that closes has a circle of its own, in which turns are counted from the middle of its first row's unit 0. An open
// part stands in the circle of what it grows on: its units keep the width that units have there.
type Unrolled struct {
	arcs   [][]arc
	fronts []float64 // of each part
}

// arc is the room of a unit, where its middle stands in it, and how far to either side its points stand.
type arc struct{ from, to, mid, tip float64 }

// Unroll places every unit of the figure. The figure must keep the rule of the points.
func Unroll(f *Figure) *Unrolled {
	rows := make([]row, len(f.Rings))
	for i := range f.Rings {
		rows[i] = rowOn(rows, f.Footing(i), &f.Rings[i])
	}
	u := &Unrolled{arcs: make([][]arc, len(f.Rings))}
	for i, moved := range settle(rows) {
		if moved {
			rows[i].finish(&f.Rings[i])
		}
		u.arcs[i] = rows[i].arcs
	}
	f.stand(u, frontOf)
	return u
}

// stand finds the fronts of all parts, by a rule for those that close, and puts twins where the mirror image of their part is.
func (f *Figure) stand(u *Unrolled, of func(ring []arc, front float64) float64) {
	u.fronts = f.fronts(u.arcs, of)
	if f.hasTwins() {
		f.reflect(u.arcs, u.fronts)
		u.fronts = f.fronts(u.arcs, of)
	}
}

// fronts is where the front of every part stands, by a rule for those that close; that of an open part is the middle of its
// first row.
func (f *Figure) fronts(rows [][]arc, of func(ring []arc, front float64) float64) []float64 {
	if len(rows) == 0 {
		return nil
	}
	out := []float64{of(rows[0], f.Front)}
	for i := range f.Parts {
		part := &f.Parts[i]
		if part.Rows == 0 { // a twin that is not made
			out = append(out[:i:i], 0)
			continue
		}
		first := rows[part.First]
		switch {
		case i == 0:
		case part.Open:
			out = append(out, (first[0].from+first[len(first)-1].to)/2)
		default:
			out = append(out, of(first, part.Front))
		}
	}
	return out
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
		u.arcs[i] = plannedArcs(groundOf(f.Footing(i), u.arcs), &f.Rings[i])
	}
	f.stand(u, func(ring []arc, front float64) float64 { return front / float64(len(ring)) })
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

// ground is a footing whose units have their places.
type ground struct {
	Footing
	arcs []arc // of the units of the row below; none on the table
}

// groundOf finds the places of what a footing stands on among those of all rings.
func groundOf(foot Footing, rings [][]arc) ground {
	if foot.OnTable() {
		return ground{}
	}
	return ground{foot, rings[foot.Ring()]}
}

// naturalArcs gives the units of a ring the arcs of the points they take, from the first to the last.
func naturalArcs(g ground, ring *Ring) []arc {
	out := make([]arc, len(ring.Cells))
	for i, first := range g.Seats(ring) {
		last := first + int(ring.Cells[i].Takes) - 1
		from, _ := g.pointArc(first)
		_, to := g.pointArc(last)
		out[i] = arc{from: from, to: to, mid: (g.tip(first) + g.tip(last)) / 2}
	}
	if g.open {
		g.atEnds(out, ring)
	}
	return out
}

// atEnds lets the end units of an open row reach beyond the point that they take, where they take but one: it goes into
// their inner pocket.
func (g ground) atEnds(arcs []arc, ring *Ring) {
	last := len(arcs) - 1
	if last < 1 {
		return
	}
	beyond := func(i int, way float64) {
		if ring.Cells[i].Takes == 1 {
			by := way * g.width() / 4
			arcs[i] = arc{from: arcs[i].from + min(by, 0), to: arcs[i].to + max(by, 0), mid: arcs[i].mid + by}
		}
	}
	beyond(0, -1)
	beyond(last, 1)
}

// width is how wide the units of the row below are, on the average.
func (g ground) width() float64 {
	sum := 0.0
	for _, a := range g.arcs {
		sum += a.to - a.from
	}
	return sum / float64(len(g.arcs))
}

// plannedArcs places a ring on the ground as it is planned. The seam's unit is kept within half a turn
// of 0, so that leaning figures do not wind their numbers up.
func plannedArcs(g ground, ring *Ring) []arc {
	if g.ownCircle() {
		return bottomArcs(len(ring.Cells))
	}
	out := naturalArcs(g, ring)
	if len(out) == 0 {
		return out
	}
	if !g.open && closed(ring) {
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

// pointArc gives the arc of a point, counted on around the circle: each lap is a turn.
func (g ground) pointArc(p int) (from, to float64) {
	unit, side, lap := g.Owner(p)
	a, turn := &g.arcs[unit], float64(lap)
	if side == 0 {
		return a.from + turn, a.mid + turn
	}
	return a.mid + turn, a.to + turn
}

// tip gives the place of a point, counted on around the circle.
func (g ground) tip(p int) float64 {
	unit, side, lap := g.Owner(p)
	a := &g.arcs[unit]
	return a.mid + float64(lap) + float64(2*side-1)*a.tip
}

// Arc gives the arc of a unit, ring and unit counted from 0, in turns; from < to, and both may lie
// outside 0 … 1. It is the room that the unit has; see Middle for where it stands.
func (u *Unrolled) Arc(ring, unit int) (from, to float64) {
	a := u.arcs[ring][unit]
	return a.from, a.to
}

// Span gives from where to where the units of a row reach, in turns.
func (u *Unrolled) Span(ring int) (from, to float64) {
	arcs := u.arcs[ring]
	return arcs[0].from, arcs[len(arcs)-1].to
}

// Middle gives the middle of a unit, in turns.
func (u *Unrolled) Middle(ring, unit int) float64 {
	return u.arcs[ring][unit].mid
}

// Tip gives the place of a unit's left (0) or right (1) point, in turns.
func (u *Unrolled) Tip(ring, unit, side int) float64 {
	a := &u.arcs[ring][unit]
	return a.mid + float64(2*side-1)*a.tip
}

// FrontTurn gives the front line of the part that stands on the table, in turns.
func (u *Unrolled) FrontTurn() float64 { return u.fronts[0] }

// PartFront gives the front line of a part, by its index, in turns of the circle that the part stands in.
func (u *Unrolled) PartFront(part int) float64 { return u.fronts[part] }

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
	foot, r := f.Footing(ring), &f.Rings[ring]
	if foot.OnTable() {
		return 0, 0
	}
	for i, p := range foot.Seats(r) {
		if i == unit {
			return foot.Point(p), int(r.Cells[unit].Takes)
		}
	}
	panic("figure: no such unit")
}

// PointOwners gives, for each point of the ring below in order, the unit of the ring that takes it,
// −1 where the point is left free.
func (f *Figure) PointOwners(ring int) []int {
	return f.Footing(ring).TakenBy(&f.Rings[ring])
}

// Below gives the units of the ring below whose points a unit takes, in order.
func (f *Figure) Below(ring, unit int) []int {
	foot := f.Footing(ring)
	first, n := f.PointsTaken(ring, unit)
	var out []int
	for k := range n {
		u, _, _ := foot.Owner(first + k)
		if len(out) == 0 || out[len(out)-1] != u {
			out = append(out, u)
		}
	}
	return out
}

// Above gives the units of the ring above that take the unit's points: none, one or two.
func (f *Figure) Above(ring, unit int) []int {
	above, ok := f.Upon(ring)
	if !ok {
		return nil
	}
	owners := f.PointOwners(above)
	var out []int
	for _, o := range owners[2*unit : 2*unit+2] {
		if o >= 0 && (len(out) == 0 || out[0] != o) {
			out = append(out, o)
		}
	}
	return out
}
