package figure

import "math"

// How units push and lean until they fit, in parts of the room that a unit has in an even ring (from memory: pushed
// together as hard as can be, a ring is a fifth shorter than usual; and a point goes into its pocket without more ado
// when it stands no farther beside the middle of the unit than the pocket's mouth stands open, and a little).
const (
	pressed = 0.8  // a unit's middle is at least so far from the next
	aside   = 0.53 // a point that a unit takes stands at most so far to its own side of the unit's middle
	astray  = 0.2  // and at most so far to the other side
	drift   = 0.9  // of the play that its points leave it, a unit of a closed ring uses so much to stand evenly
)

// sweeps is how often all units that do not fit push and are pushed, at most; they do so all at once, and what moves
// is a mean of all that pushes, so that what is mirror-symmetric stays so and no order tells.
const (
	sweeps  = 40
	over    = 1.6  // a unit moves this much of the mean
	settled = 0.03 // of a unit's room may be left

	rounding = 1e-12 // turns
)

// row is the units of a ring while they settle. Places are in turns.
type row struct {
	arcs  []arc
	room  float64   // of a unit in an even ring
	least []float64 // how far each unit is at least from the next
	foot  Footing
	spans []span // the points of the ring below that each unit takes; nil on the table
	open  bool   // its units stand in a line: the last is not next to the first
	still bool   // nothing of it was out of place at the last look
}

// span is the first and the last point that a unit takes: the units of the ring below that they belong to, by how much
// they stand beside their middles, once around added.
type span struct {
	first, last     int32
	loose           int8 // −1 where nothing goes into the left pocket, 1 into the right: an end unit of a line that takes one point
	atFirst, atLast float64
}

// rowOn seats a ring on its footing, which is among the rows: every unit at the middle of the points it takes, or as near to
// standing evenly and as near there as can be without standing too close to another.
func rowOn(rows []row, foot Footing, ring *Ring) row {
	if foot.ownCircle() {
		return bottomRow(len(ring.Cells))
	}
	below := &rows[foot.Ring()]
	r := row{foot: foot, open: foot.open, arcs: naturalArcs(ground{foot, below.arcs}, ring), spans: spansOf(foot, below, ring)}
	n := len(r.arcs)
	covered := 0.0
	for _, a := range r.arcs {
		covered += a.to - a.from
	}
	r.room = covered / float64(n)
	if r.open {
		r.room = below.room
	}
	r.least = make([]float64, n)
	places := make([]float64, n)
	for i, a := range r.arcs {
		places[i], r.least[i] = a.mid, pressed*r.room
		if r.next(i) && openingAfter(ring, i) > 0 {
			next := r.arcs[(i+1)%n].from + float64((i+1)/n)
			r.least[i] += (next - a.to) / 2
		}
	}
	if !r.open && closed(ring) {
		r.even(below, places)
	}
	keepApart(places, r.least, r.around())
	shift := math.Round(places[0])
	for i := range r.arcs {
		r.arcs[i].mid, r.arcs[i].tip = places[i]-shift, r.room/4
	}
	for i := range r.spans {
		r.spans[i].atFirst -= shift
		r.spans[i].atLast -= shift
	}
	r.share(ring)
	return r
}

// even lets the units of a closed ring drift towards equal distances, as those of a real ring do when it is pressed
// round: each as far as the points it takes let it go without more ado, by a part of it in every ring.
func (r *row) even(below *row, places []float64) {
	round := make([]arc, len(places))
	for i, p := range places {
		round[i].from, round[i].to = p, p
	}
	level(round)
	for i := range places {
		low, high := r.spans[i].play(below)
		places[i] += math.Max(-drift*math.Max(0, places[i]-low), math.Min(drift*math.Max(0, high-places[i]), (round[i].from+round[i].to)/2-places[i]))
	}
}

// play is from where to where a unit may stand for the points it takes.
func (s *span) play(below *row) (low, high float64) {
	first, last := below.arcs[s.first].mid+s.atFirst, below.arcs[s.last].mid+s.atLast
	low = math.Max(first-astray*below.room, last-aside*below.room)
	return low, math.Min(first+aside*below.room, last+astray*below.room)
}

// closed tells whether a ring leaves no point free.
func closed(ring *Ring) bool {
	_, free := ring.Points()
	return free == 0
}

func bottomRow(n int) row {
	r := row{arcs: bottomArcs(n), room: 1 / float64(n), least: make([]float64, n)}
	for i := range r.least {
		r.least[i] = pressed * r.room
	}
	return r
}

func spansOf(foot Footing, below *row, ring *Ring) []span {
	out := make([]span, len(ring.Cells))
	tip := below.room / 4
	at := func(p int) (of int32, beside float64) {
		unit, side, lap := foot.Owner(p)
		return int32(unit), float64(lap) + float64(2*side-1)*tip
	}
	for i, first := range foot.Seats(ring) {
		out[i].first, out[i].atFirst = at(first)
		out[i].last, out[i].atLast = at(first + int(ring.Cells[i].Takes) - 1)
	}
	if last := len(out) - 1; foot.open && last > 0 {
		if ring.Cells[0].Takes == 1 {
			out[0].loose = -1
		}
		if ring.Cells[last].Takes == 1 {
			out[last].loose = 1
		}
	}
	return out
}

// openingAfter is how many points of the ring below are left free after a unit.
func openingAfter(ring *Ring, unit int) int {
	if unit+1 < len(ring.Cells) {
		return int(ring.Cells[unit+1].Free)
	}
	return ring.FreeEnd + int(ring.Cells[0].Free)
}

// share shares out the room between neighbours: each has it up to half way to the next, at an opening at most half of
// what a unit has in an even ring.
func (r *row) share(ring *Ring) {
	arcs, n := r.arcs, len(r.arcs)
	for i := range arcs {
		if !r.next(i) {
			arcs[0].from, arcs[i].to = arcs[0].mid-r.room/2, arcs[i].mid+r.room/2
			continue
		}
		j, lap := (i+1)%n, float64((i+1)/n)
		middle := (arcs[i].mid + arcs[j].mid + lap) / 2
		arcs[i].to, arcs[j].from = middle, middle-lap
		if openingAfter(ring, i) > 0 {
			arcs[i].to = math.Min(middle, arcs[i].mid+r.room/2)
			arcs[j].from = math.Max(middle, arcs[j].mid+lap-r.room/2) - lap
		}
	}
}

// settle lets the units of all rings push each other until they fit, or as well as they can, and tells which moved.
func settle(rows []row) (moved []bool) {
	moved = make([]bool, len(rows))
	moves := make([][]push, len(rows))
	for i := range rows {
		moves[i] = make([]push, len(rows[i].arcs))
	}
	stirred := make([]bool, len(rows))
	for range sweeps {
		any := false
		for i := range rows {
			below, pushed, under := &row{still: true}, []push(nil), i
			if foot := rows[i].foot; !foot.OnTable() {
				under = foot.Ring()
				below, pushed = &rows[under], moves[under]
			}
			if rows[i].still && below.still {
				continue
			}
			if rows[i].push(below, moves[i], pushed) > settled*rows[i].room {
				any, stirred[i], stirred[under] = true, true, true
			}
		}
		for i := range rows {
			moved[i] = rows[i].give(moves[i]) || moved[i]
			rows[i].still, stirred[i] = !stirred[i], false
		}
		if !any {
			return moved
		}
	}
	return moved
}

// give moves the units of a row by the mean of what pushes them, and tells whether any was pushed.
func (r *row) give(moves []push) (pushed bool) {
	for k := range moves {
		if m := &moves[k]; m.count > 0 {
			r.arcs[k].mid += over * m.sum / float64(m.count)
			*m = push{}
			pushed = true
		}
	}
	return pushed
}

// finish keeps the units of a row that has moved apart once for all, and shares out their room anew.
func (r *row) finish(ring *Ring) {
	places := make([]float64, len(r.arcs))
	for i, a := range r.arcs {
		places[i] = a.mid
	}
	keepApart(places, r.least, r.around())
	for i := range r.arcs {
		r.arcs[i].mid = places[i]
	}
	r.share(ring)
}

// push is what pushes a unit, in turns, and by how many.
type push struct {
	sum   float64
	count int
}

func (p *push) add(by float64) {
	p.sum += by
	p.count++
}

// push notes by how much the units of a row and the points they take have to move towards each other, and neighbours
// apart, and gives the most that any has to. Nothing hangs on a bound by a jump: where it is but
// touched, the push is none. So rounding cannot part what is mirror-symmetric.
func (r *row) push(below *row, own, others []push) float64 {
	n, most := len(r.arcs), 0.0
	pairs := n
	if r.open {
		pairs--
	}
	for i := range pairs {
		j, lap := (i+1)%n, float64((i+1)/n)
		if under := r.least[i] - (r.arcs[j].mid + lap - r.arcs[i].mid); under > rounding {
			own[i].add(-under / 2)
			own[j].add(under / 2)
			most = math.Max(most, under)
		}
	}
	for i := range r.spans {
		s, mid := &r.spans[i], r.arcs[i].mid
		left := mid - (below.arcs[s.first].mid + s.atFirst) // how far the first point stands to the left
		right := below.arcs[s.last].mid + s.atLast - mid
		if s.loose >= 0 {
			most = math.Max(most, pull(left, below.room, 1, &own[i], &others[s.first]))
		}
		if s.loose <= 0 {
			most = math.Max(most, pull(right, below.room, -1, &own[i], &others[s.last]))
		}
	}
	return most
}

// pull brings a unit and a point together that stands too far aside, on the left when way is 1, on the right when −1,
// and gives by how much it does.
func pull(away, room, way float64, unit, point *push) float64 {
	by := math.Max(0, away-aside*room) + math.Min(0, away+astray*room)
	if math.Abs(by) <= rounding {
		return 0
	}
	unit.add(-way * by / 2)
	point.add(way * by / 2)
	return math.Abs(by)
}

// next tells whether a unit has a neighbour to its right: the last of a line has none.
func (r *row) next(unit int) bool { return !r.open || unit < len(r.arcs)-1 }

// around is how long the circle is that the units stand in: a turn. A line is so long that its ends never meet.
func (r *row) around() float64 {
	if r.open {
		return endless
	}
	return 1
}

// endless is more turns than any line is long.
const endless = 1e6

// keepApart moves places around a circle of so many turns, in order, until each is at least so far before the next (the last
// before the first) as least says, with the least sum of squares of all ways; it says whether any moved. Substituting
// each place less the sum of the distances before it, that is a regression that must not fall, on a circle; its exact
// solution is found by pooling neighbours that violate it, until none do (pool adjacent violators: Ayer et al. 1955, from
// memory). The distances must come to less than that together.
func keepApart(places, least []float64, around float64) bool {
	n, tight := len(places), false
	for i := range places {
		next := places[0] + around
		if i+1 < n {
			next = places[i+1]
		}
		tight = tight || next-places[i] < least[i]-1e-9
	}
	if !tight {
		return false
	}
	total := 0.0
	value := make([]float64, n) // places, less the distances before them
	for i, p := range places {
		value[i] = p - total
		total += least[i]
	}
	spare := around - total
	type pool struct {
		first, count int
		mean         float64
	}
	pools := make([]pool, 0, n)
	add := func(p pool) {
		for len(pools) > 0 {
			last := pools[len(pools)-1]
			if last.mean <= p.mean {
				break
			}
			sum := float64(last.count)*last.mean + float64(p.count)*p.mean
			p = pool{last.first, last.count + p.count, sum / float64(last.count+p.count)}
			pools = pools[:len(pools)-1]
		}
		pools = append(pools, p)
	}
	for i, v := range value {
		add(pool{i, 1, v})
	}
	// The last pool comes before the first once more, once around: where these two violate the rule they are pooled too.
	for len(pools) > 1 && pools[len(pools)-1].mean > pools[0].mean+spare {
		head := pools[0]
		pools = pools[1:]
		add(pool{head.first + n, head.count, head.mean + spare})
	}
	for _, p := range pools {
		for k := p.first; k < p.first+p.count; k++ {
			lap := k / n
			value[k%n] = p.mean - float64(lap)*spare
		}
	}
	total = 0
	for i := range places {
		places[i] = value[i] + total
		total += least[i]
	}
	return true
}
