package figure

import (
	"maps"
	"math"
	"slices"
	"strconv"

	"tuckring/internal/words"
)

// Structure by hand, unit by unit. Each of these edits is completed, so that the rule of the points is
// kept: what one unit takes more, the nearest neighbours that can take less give up, and the other way
// round. Where nobody can, the edit is refused with the reason.

// Take lets one unit take another number of points of the ring below. Openings keep their size.
type Take struct {
	Ring  RingID `json:"ring"`
	Unit  int    `json:"unit"`
	Takes int    `json:"takes"`
}

func (*Take) word() string { return "take" }

func (e *Take) label(f *Figure) words.Text {
	i, _ := f.RingIndex(e.Ring)
	return words.T("figure.did.take", "Ring", f.RowName(i), "Unit", e.Unit+1, "Count", e.Takes)
}

func (e *Take) apply(f *Figure) (Edit, Change, error) {
	i, err := f.takingRing(e.Ring)
	if err != nil {
		return nil, Change{}, err
	}
	if e.Takes < MinTakes || e.Takes > MaxTakes {
		return nil, Change{}, wholeFault("takes", e.Takes, MinTakes, MaxTakes)
	}
	n := len(f.Rings[i].Cells)
	if e.Unit < 0 || e.Unit >= n {
		return nil, Change{}, wholeFault("unit", e.Unit, 0, n-1)
	}
	if foot := f.Footing(i); foot.Open() || foot.Grows() {
		return f.takeInLine(i, foot, e.Unit, e.Takes)
	}
	b := newBalance(f.Footing(i), f.Rings[i])
	was := int(b.ring.Cells[e.Unit].Takes)
	step := 1
	if e.Takes < was {
		step = -1
	}
	for b.takes(e.Unit) != e.Takes {
		// For every point the unit gains, a neighbour loses one.
		right, left := b.partner(e.Unit+1, 1, -step, e.Unit), b.partner(e.Unit-1, -1, -step, e.Unit)
		if right == 0 && left == 0 {
			return nil, Change{}, f.stuck(i, e.Unit, step)
		}
		if left == 0 || (right != 0 && b.better(e.Unit, right, left, step)) {
			b.move(e.Unit, right, step)
		} else {
			b.move(e.Unit, -left, step)
		}
	}
	return f.settleRing(i, b.finish(), b.says(f, i, e.Unit))
}

// stuck says why a unit cannot take more (step 1) or fewer (step −1) points.
func (f *Figure) stuck(ring, unit, step int) error {
	key := "figure.take.more"
	if step < 0 {
		key = "figure.take.fewer"
	}
	if len(f.Rings[ring].Cells) == 1 {
		key = "figure.take.alone"
	}
	return Faults{{Ring: ring + 1, Where: "takes", What: words.T(key, "Ring", f.RowName(ring), "Unit", unit+1), Fix: words.T(key+".fix", "Ring", f.RowName(ring))}}
}

// LeaveFree sets how many points of the ring below are left free just before a unit; Unit n of a ring of
// n units means after its last one. The neighbours take fewer or more points for it.
type LeaveFree struct {
	Ring   RingID `json:"ring"`
	Unit   int    `json:"unit"`
	Points int    `json:"points"`
}

func (*LeaveFree) word() string { return "leave_free" }

func (e *LeaveFree) label(f *Figure) words.Text {
	i, _ := f.RingIndex(e.Ring)
	if e.Points == 0 {
		return words.T("figure.did.leave_none", "Ring", f.RowName(i))
	}
	return words.T("figure.did.leave_free", "Ring", f.RowName(i), "Count", e.Points)
}

func (e *LeaveFree) apply(f *Figure) (Edit, Change, error) {
	i, err := f.takingRing(e.Ring)
	if err != nil {
		return nil, Change{}, err
	}
	n := len(f.Rings[i].Cells)
	if e.Unit < 0 || e.Unit > n {
		return nil, Change{}, wholeFault("unit", e.Unit, 0, n)
	}
	if e.Points < 0 || e.Points > 2*MaxUnits {
		return nil, Change{}, wholeFault("points", e.Points, 0, 2*MaxUnits)
	}
	if foot := f.Footing(i); foot.Open() || foot.Grows() {
		return f.freeInLine(i, foot, e.Unit, e.Points)
	}
	b := newBalance(f.Footing(i), f.Rings[i])
	step := 1
	if e.Points < b.free(e.Unit) {
		step = -1
	}
	for turn := 0; b.free(e.Unit) != e.Points; turn++ {
		// The opening grows by the points its neighbours on either side give up in turn.
		right, left := b.partner(e.Unit, 1, -step, -1), b.partner(e.Unit-1, -1, -step, -1)
		if right == 0 && left == 0 {
			return nil, Change{}, f.closed(i, step)
		}
		if left == 0 || (right != 0 && (right < left || (right == left && turn%2 == 0))) {
			b.open(e.Unit, right, step)
		} else {
			b.open(e.Unit, -left, step)
		}
	}
	return f.settleRing(i, b.finish(), b.says(f, i, -1))
}

func (f *Figure) closed(ring, step int) error {
	key := "figure.free.more"
	if step < 0 {
		key = "figure.free.fewer"
	}
	return Faults{{Ring: ring + 1, Where: "points", What: words.T(key, "Ring", f.RowName(ring)), Fix: words.T(key + ".fix")}}
}

// LeaveOut takes units out of a ring and leaves their points free: an opening. The ring above is spread
// anew over what is left.
type LeaveOut struct {
	Ring RingID `json:"ring"`
	At   int    `json:"at"`
	N    int    `json:"n"`
}

func (*LeaveOut) word() string { return "leave_out" }

func (e *LeaveOut) label(f *Figure) words.Text {
	i, _ := f.RingIndex(e.Ring)
	return words.T("figure.did.leave_out", "Ring", f.RowName(i), "Count", e.N)
}

func (e *LeaveOut) apply(f *Figure) (Edit, Change, error) {
	i, err := f.takingRing(e.Ring)
	if err != nil {
		return nil, Change{}, err
	}
	n := len(f.Rings[i].Cells)
	if e.At < 0 || e.N < 1 || e.N > n || e.At > n-e.N {
		key := "figure.leave_out.range.fix"
		if f.Open(i) {
			key = "figure.leave_out.open.fix"
		}
		return nil, Change{}, refuse("at", words.T("figure.paint.range", "At", e.At, "N", e.N), words.T(key, "Count", n))
	}
	if least := f.pile().least(i); n-e.N < least {
		return nil, Change{}, refuse("n", words.T("figure.leave_out.few", "Ring", f.RowName(i), "Count", n-e.N), words.T("figure.leave_out.few.fix", "Count", least))
	}
	r := f.Rings[i].Clone()
	points := 0
	for _, c := range r.Cells[e.At : e.At+e.N] {
		points += int(c.Free) + int(c.Takes)
	}
	r.Cells = slices.Delete(r.Cells, e.At, e.At+e.N)
	if e.At < len(r.Cells) {
		r.Cells[e.At].Free += uint16(points)
	} else {
		r.FreeEnd += points
	}
	if foot := f.Footing(i); foot.Grows() {
		trimEdges(&r, foot)
	}
	return f.settleRing(i, r, nil)
}

// FillIn closes an opening with new units, which look like the unit to its left; two points go to each
// of them. Unit names the unit after the opening, n the opening after the last one.
type FillIn struct {
	Ring RingID `json:"ring"`
	Unit int    `json:"unit"`
}

func (*FillIn) word() string { return "fill_in" }

func (e *FillIn) label(f *Figure) words.Text {
	i, _ := f.RingIndex(e.Ring)
	return words.T("figure.did.fill_in", "Ring", f.RowName(i))
}

func (e *FillIn) apply(f *Figure) (Edit, Change, error) {
	i, err := f.takingRing(e.Ring)
	if err != nil {
		return nil, Change{}, err
	}
	r := f.Rings[i].Clone()
	n := len(r.Cells)
	if e.Unit < 0 || e.Unit > n {
		return nil, Change{}, wholeFault("unit", e.Unit, 0, n)
	}
	points := r.FreeEnd
	if e.Unit < n {
		points = int(r.Cells[e.Unit].Free)
		r.Cells[e.Unit].Free = 0
	} else {
		r.FreeEnd = 0
	}
	if points == 0 {
		return nil, Change{}, refuse("unit", words.T("figure.fill_in.none", "Ring", f.RowName(i)), words.T("figure.fill_in.none.fix"))
	}
	units := max(1, points/PlainTakes)
	if n+units > MaxUnits {
		return nil, Change{}, refuse("unit", words.T("figure.ring.units", "Count", n+units), words.T("figure.ring.units.fix", "Min", MinUnits, "Max", MaxUnits))
	}
	like := r.Cells[(e.Unit+n-1)%n]
	fresh := make([]Cell, units)
	for k, takes := range even(units, points) {
		fresh[k] = Cell{Colour: like.Colour, Side: like.Side, Takes: uint8(takes)}
	}
	r.Cells = slices.Insert(r.Cells, e.Unit, fresh...)
	return f.settleRing(i, r, nil)
}

// line shifts points within a row that has ends: what a unit or an opening gains, the points left free at the ends give
// up, the nearer end first, and then the nearest units; what it loses comes free at the nearer end. The first row of a part that
// grows has no such ends: it takes more or fewer points in all.
type line struct {
	ring  Ring
	grows bool
}

// ends are the nearer end of a unit or opening and the other, as openings before a unit; n is the one after the last.
func (l *line) ends(unit int) [2]int {
	if n := len(l.ring.Cells); 2*unit >= n {
		return [2]int{n, 0}
	} else {
		return [2]int{0, n}
	}
}

func (l *line) free(unit int) int {
	if unit == len(l.ring.Cells) {
		return l.ring.FreeEnd
	}
	return int(l.ring.Cells[unit].Free)
}

func (l *line) addFree(unit, points int) {
	if unit == len(l.ring.Cells) {
		l.ring.FreeEnd += points
		return
	}
	l.ring.Cells[unit].Free = uint16(int(l.ring.Cells[unit].Free) + points)
}

// give finds one point for a unit or an opening, but not from the unit or opening that gets it; ok is false where there is none.
func (l *line) give(near, butUnit, butFree int) (ok bool) {
	if l.grows {
		return true
	}
	for _, end := range l.ends(near) {
		if end != butFree && l.free(end) > 0 {
			l.addFree(end, -1)
			return true
		}
	}
	n := len(l.ring.Cells)
	for away := range n {
		for _, u := range []int{near + away, near - away} {
			if u >= 0 && u < n && u != butUnit && l.ring.Cells[u].Takes > MinTakes {
				l.ring.Cells[u].Takes--
				return true
			}
		}
	}
	return false
}

// drop leaves one point more free at the nearer end, or at the other when the nearer is the opening that loses it.
func (l *line) drop(near, butFree int) {
	if l.grows {
		return
	}
	for _, end := range l.ends(near) {
		if end != butFree {
			l.addFree(end, 1)
			return
		}
	}
}

// trimEdges lets the first row of a part that grows begin and end with a unit.
func trimEdges(r *Ring, foot Footing) {
	r.Start = foot.Point(r.Start + int(r.Cells[0].Free))
	r.Cells[0].Free, r.FreeEnd = 0, 0
}

// takeInLine is Take for a row that has ends.
func (f *Figure) takeInLine(i int, foot Footing, unit, takes int) (Edit, Change, error) {
	l := &line{f.Rings[i].Clone(), foot.Grows()}
	for int(l.ring.Cells[unit].Takes) < takes {
		if !l.give(unit, unit, -1) {
			return nil, Change{}, f.stuck(i, unit, 1)
		}
		l.ring.Cells[unit].Takes++
	}
	for int(l.ring.Cells[unit].Takes) > takes {
		l.ring.Cells[unit].Takes--
		l.drop(unit, -1)
	}
	return f.settleRing(i, l.ring, nil)
}

// freeInLine is LeaveFree for a row that has ends.
func (f *Figure) freeInLine(i int, foot Footing, unit, points int) (Edit, Change, error) {
	l := &line{f.Rings[i].Clone(), foot.Grows()}
	if l.grows && (unit == 0 || unit == len(l.ring.Cells)) && points > 0 {
		return nil, Change{}, Faults{{Ring: i + 1, Where: "unit", What: words.T("figure.part.edge"), Fix: words.T("figure.part.edge.fix")}}
	}
	for l.free(unit) < points {
		if !l.give(min(unit, len(l.ring.Cells)-1), -1, unit) {
			return nil, Change{}, f.closed(i, 1)
		}
		l.addFree(unit, 1)
	}
	for l.free(unit) > points {
		l.addFree(unit, -1)
		l.drop(unit, unit)
	}
	return f.settleRing(i, l.ring, nil)
}

// takingRing finds a ring that takes points: any but the bottom one.
func (f *Figure) takingRing(id RingID) (int, error) {
	i, ok := f.RingIndex(id)
	if !ok {
		return 0, refuse("ring", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
	}
	if f.Footing(i).OnTable() {
		return 0, Faults{{Ring: 1, Where: "ring", What: words.T("figure.ring1.hand"), Fix: words.T("figure.ring1.hand.fix")}}
	}
	return i, nil
}

// settleRing puts a ring with the same points taken and free in the place of ring i; the ring above is
// seated anew when the number of units changed.
func (f *Figure) settleRing(i int, r Ring, says []words.Text) (Edit, Change, error) {
	s := f.stack()
	s.rings[i] = r
	s.says = says
	if len(r.Cells) != len(f.Rings[i].Cells) {
		s.reseat(i)
	}
	return f.settle(s)
}

func wholeFault(where string, found, low, high int) Faults {
	return refuse(where, words.T("figure.number", "Found", strconv.Itoa(found)), words.T("figure.whole.fix", "Low", strconv.Itoa(low), "High", strconv.Itoa(high)))
}

// balance shifts points between the units and openings of one ring. begin is the first point of unit 0,
// not wrapped; the first point of every other unit follows from it.
type balance struct {
	foot  Footing
	ring  Ring
	was   []Cell
	begin int
}

func newBalance(foot Footing, r Ring) *balance {
	return &balance{foot: foot, ring: r.Clone(), was: r.Cells, begin: r.Start + int(r.Cells[0].Free)}
}

func (b *balance) at(unit int) int { n := len(b.ring.Cells); return ((unit % n) + n) % n }

func (b *balance) takes(unit int) int { return int(b.ring.Cells[b.at(unit)].Takes) }

// free is the size of the opening before a unit; unit n is the one after the last.
func (b *balance) free(unit int) int {
	if unit == len(b.ring.Cells) {
		return b.ring.FreeEnd
	}
	return int(b.ring.Cells[unit].Free)
}

// partner looks from a unit on, in one direction, for the nearest one that can take one point more
// (step 1) or fewer (−1); but is passed over. It gives its distance counted from 1, or 0 for none.
func (b *balance) partner(from, way, step, but int) int {
	for k := range len(b.ring.Cells) {
		u := b.at(from + way*k)
		if but >= 0 && u == b.at(but) {
			return 0
		}
		if t := b.takes(u) + step; t >= MinTakes && t <= MaxTakes {
			return k + 1
		}
	}
	return 0
}

// better tells whether the partner to the right is to be preferred: the nearer one, then the one that
// leaves the takes more even, then the right one.
func (b *balance) better(unit, right, left, step int) bool {
	if right != left {
		return right < left
	}
	r, l := b.takes(unit+right), b.takes(unit-left)
	return (r-l)*step >= 0
}

// move gives a unit one point more (step 1) or fewer (−1), which the partner at the given distance (to
// the left when negative) loses or gains; units between them move by a point.
func (b *balance) move(unit, partner, step int) {
	b.ring.Cells[b.at(unit)].Takes += uint8(step)
	b.shift(unit, partner, step)
}

// open does the same for the opening before a unit.
func (b *balance) open(unit, partner, step int) {
	if unit == len(b.ring.Cells) {
		b.ring.FreeEnd += step
	} else {
		b.ring.Cells[unit].Free += uint16(step)
	}
	// Seen from an opening the first partner to the right is the unit after it, to the left the one before.
	if partner > 0 {
		b.shift(unit-1, partner, step)
	} else {
		b.shift(unit-1, partner+1, step)
	}
}

// shift lets the unit at a distance give up (step 1) or take over (−1) a point. To the right the units
// after the middle one up to that unit move by a point, to the left the middle one and those before that
// unit; begin follows when unit 0 is among them.
func (b *balance) shift(middle, partner, step int) {
	b.ring.Cells[b.at(middle+partner)].Takes -= uint8(step)
	if partner > 0 {
		for k := 1; k <= partner; k++ {
			if b.at(middle+k) == 0 {
				b.begin += step
			}
		}
		return
	}
	for k := 0; k > partner; k-- {
		if b.at(middle+k) == 0 {
			b.begin -= step
		}
	}
}

// finish gives the ring with its seam where unit 0 now begins.
func (b *balance) finish() Ring {
	b.ring.Start = b.foot.Point(b.begin - int(b.ring.Cells[0].Free))
	return b.ring
}

// says names the units that another one's change has changed.
func (b *balance) says(f *Figure, ring, but int) []words.Text {
	var out []words.Text
	for u := range b.ring.Cells {
		if u != but && b.ring.Cells[u].Takes != b.was[u].Takes {
			out = append(out, words.T("figure.takes_instead", "Ring", f.RowName(ring), "Unit", u+1, "Count", int(b.ring.Cells[u].Takes)))
		}
	}
	if len(out) > 3 {
		return []words.Text{words.T("figure.takes_instead.many", "Ring", f.RowName(ring), "Count", len(out))}
	}
	return out
}

// SetCounts gives several rings a number of units of their own, as SetCount does for a block.
type SetCounts struct {
	Counts []RingCount `json:"counts"`
}

// RingCount is a ring and the number of units it is to have.
type RingCount struct {
	Ring  RingID `json:"ring"`
	Units int    `json:"units"`
}

func (*SetCounts) word() string { return "set_counts" }

func (e *SetCounts) label(*Figure) words.Text {
	return words.T("figure.did.counts", "Count", len(e.Counts))
}

func (e *SetCounts) apply(f *Figure) (Edit, Change, error) {
	if len(e.Counts) == 0 {
		return nil, Change{}, refuse("counts", words.T("figure.no_rings"), words.T("figure.no_rings.fix"))
	}
	where := ringNumbers(f)
	counts := make(map[int]int, len(e.Counts))
	for k, c := range e.Counts {
		at := "counts[" + strconv.Itoa(k) + "]"
		i, ok := where[c.Ring]
		if _, twice := counts[i]; !ok || twice {
			return nil, Change{}, refuse(at+".ring", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
		}
		if err := f.countFault(at+".units", i, c.Units); err != nil {
			return nil, Change{}, err
		}
		counts[i] = c.Units
	}
	return f.recount(counts)
}

func (f *Figure) countFault(where string, ring, units int) error {
	least := f.pile().least(ring)
	if units >= least && units <= MaxUnits {
		return nil
	}
	return Faults{{Ring: ring + 1, Where: where, What: words.T("figure.ring.units", "Count", units), Fix: words.T("figure.ring.units.fix", "Min", least, "Max", MaxUnits)}}
}

// recount gives rings, by index, another number of units. The pattern is carried over by angle.
func (f *Figure) recount(counts map[int]int) (Edit, Change, error) {
	s := f.stack()
	for _, i := range slices.Sorted(maps.Keys(counts)) {
		r, units := f.Rings[i], counts[i]
		if len(r.Cells) != units {
			if s.opens(i) {
				s.closed = append(s.closed, i)
			}
			r.Cells = make([]Cell, units)
			r.FreeEnd = 0
		}
		s.rings[i], s.seat[i] = r, true
		s.reseat(i)
	}
	if units, ok := counts[0]; ok {
		s.front = carryPlace(f.Front, len(f.Rings[0].Cells), units)
	}
	old := plan(f)
	fresh, err := f.seatAll(&stack{pile: pile{slices.Clone(s.rings), s.parts}, seat: s.seat, front: s.front}, old)
	if err != nil {
		return nil, Change{}, err
	}
	// Now that it is known where the new units will stand, they get the looks of what stood there.
	new := &Unrolled{arcs: fresh}
	for i, units := range counts {
		if len(f.Rings[i].Cells) == units {
			continue
		}
		for u := range s.rings[i].Cells {
			was, _ := old.UnitAt(i, new.Middle(i, u))
			s.rings[i].Cells[u] = Cell{Colour: f.Rings[i].Cells[was].Colour, Side: f.Rings[i].Cells[was].Side}
		}
	}
	return f.settle(s)
}

// graded gives rings from..to−1 counts that go in even steps from low at the bottom to high at the top.
func graded(from, to, low, high int) map[int]int {
	counts := make(map[int]int, to-from)
	for i := from; i < to; i++ {
		part := 0.0
		if to-from > 1 {
			part = float64(i-from) / float64(to-from-1)
		}
		counts[i] = int(math.Round(float64(low) + part*float64(high-low)))
	}
	return counts
}
