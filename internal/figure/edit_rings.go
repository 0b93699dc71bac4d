package figure

import (
	"math"
	"slices"
	"strconv"

	"tuckring/internal/words"
)

// RingState is a whole ring as edits carry it: identity, seam, units and notes.
type RingState struct {
	ID    RingID `json:"id"`
	Start int    `json:"start,omitempty"`
	Runs  []Run  `json:"runs"`
	After string `json:"after,omitempty"`
	Note  string `json:"note,omitempty"`
}

func (f *Figure) ringState(r *Ring) RingState {
	return RingState{ID: r.ID, Start: r.Start, Runs: f.runs(r), After: r.After, Note: r.Note}
}

// ring turns a state into a ring. bottom says that it takes no points.
func (f *Figure) ring(s RingState, bottom bool) (Ring, error) {
	r := Ring{ID: s.ID, Start: s.Start, After: s.After, Note: s.Note}
	for _, t := range []string{s.After, s.Note} {
		if what, fix, bad := TextFault(t, MaxNote, false); bad {
			return r, refuse("note", what, fix)
		}
	}
	free := 0
	for i, run := range s.Runs {
		at := "runs[" + strconv.Itoa(i) + "]"
		if run.Skip != 0 {
			if run.Skip < 0 || run.Skip > 2*MaxUnits || run.N != 0 || bottom {
				return r, refuse(at+".skip", words.T("figure.number", "Found", strconv.Itoa(run.Skip)), words.T("figure.whole.fix", "Low", "1", "High", strconv.Itoa(2*MaxUnits)))
			}
			free = min(free+run.Skip, 2*MaxUnits)
			continue
		}
		c, err := f.runCell(run, at, bottom)
		if err != nil {
			return r, err
		}
		if run.N < 1 || run.N > MaxUnits-len(r.Cells) {
			return r, refuse(at+".n", words.T("figure.number", "Found", strconv.Itoa(run.N)), words.T("figure.whole.fix", "Low", "1", "High", strconv.Itoa(MaxUnits)))
		}
		c.Free = uint16(free)
		for k := 0; k < run.N; k++ {
			r.Cells = append(r.Cells, c)
			c.Free = 0
		}
		free = 0
	}
	r.FreeEnd = free
	return r, nil
}

func (f *Figure) runCell(run Run, at string, bottom bool) (Cell, error) {
	c := Cell{}
	i, ok := f.ColourIndex(run.Colour)
	if !ok {
		return c, refuse(at+".colour", words.T("figure.no_colour", "ID", clip(run.Colour)), words.T("figure.no_colour.fix"))
	}
	c.Colour = uint8(i)
	if !bottom {
		takes := run.Takes
		if takes == 0 {
			takes = PlainTakes
		}
		if takes < MinTakes || takes > MaxTakes {
			return c, refuse(at+".takes", words.T("figure.number", "Found", strconv.Itoa(takes)), words.T("figure.whole.fix", "Low", strconv.Itoa(MinTakes), "High", strconv.Itoa(MaxTakes)))
		}
		c.Takes = uint8(takes)
	}
	side, ok := sideIndex(run.Side)
	if !ok {
		return c, refuse(at+".side", words.T("figure.choice", "Found", clip(run.Side)), words.T("figure.choice.fix", "Allowed", "long, short"))
	}
	c.Side = Side(max(side, 0))
	return c, nil
}

// stack is a new pile of rings in the making. seat[i] says that ring i stands on another ring than
// before, and so has to be seated anew: its units take the points evenly if they did not fit, and
// it is turned to where it stood.
type stack struct {
	rings []Ring
	seat  []bool
	front float64
	stay  bool // what is not touched ought to stay in place: say so when it cannot
	says  []words.Text

	closed []int // numbers of the rings whose openings were closed
	uneven []int // and of those that could not be spread the same to both sides of the front
}

// remarks is what the maker should know about how the stack was made.
func (s *stack) remarks() []words.Text {
	out := s.says
	if n := len(s.closed); n > 0 {
		out = append(out, words.T("figure.openings_gone", "Count", n, "Ring", slices.Min(s.closed)))
	}
	if n := len(s.uneven); n > 0 {
		out = append(out, words.T("figure.not_mirrored", "Count", n, "Ring", slices.Min(s.uneven)))
	}
	return out
}

func (f *Figure) stack() *stack {
	return &stack{rings: slices.Clone(f.Rings), seat: make([]bool, len(f.Rings), len(f.Rings)+4), front: f.Front}
}

func (s *stack) insert(at int, r Ring) {
	s.rings = slices.Insert(s.rings, at, r)
	s.seat = slices.Insert(s.seat, at, true)
	if at+1 < len(s.seat) {
		s.seat[at+1] = true
	}
}

func (s *stack) remove(at int) {
	s.rings = slices.Delete(s.rings, at, at+1)
	s.seat = slices.Delete(s.seat, at, at+1)
	if at < len(s.seat) {
		s.seat[at] = true
	}
}

// block finds rings that stand directly upon one another, given in any order.
func (f *Figure) block(ids []RingID) (from, to int, err error) {
	if len(ids) == 0 {
		return 0, 0, refuse("rings", words.T("figure.no_rings"), words.T("figure.no_rings.fix"))
	}
	where := ringNumbers(f)
	from, to = len(f.Rings), -1
	seen := map[RingID]bool{}
	for i, id := range ids {
		n, ok := where[id]
		if !ok || seen[id] {
			return 0, 0, refuse("rings["+strconv.Itoa(i)+"]", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
		}
		seen[id] = true
		from, to = min(from, n), max(to, n)
	}
	if to-from+1 != len(ids) {
		return 0, 0, refuse("rings", words.T("figure.not_block"), words.T("figure.not_block.fix"))
	}
	return from, to + 1, nil
}

// settle seats the rings that need it, checks the whole stack and puts it in the figure's place.
func (f *Figure) settle(s *stack) (Edit, Change, error) {
	old := plan(f)
	numbers := ringNumbers(f)
	if len(s.rings) < 1 || len(s.rings) > MaxRings {
		return nil, Change{}, refuse("rings", words.T("figure.rings.count", "Count", len(s.rings)), words.T("figure.rings.count.fix", "Max", MaxRings))
	}
	front := s.front / float64(len(s.rings[0].Cells))
	fresh := make([][]arc, len(s.rings))
	for i := range s.rings {
		if n := len(s.rings[i].Cells); n < MinUnits || n > MaxUnits {
			return nil, Change{}, Faults{{Ring: i + 1, Where: "rings", What: words.T("figure.ring.units", "Count", n), Fix: words.T("figure.ring.units.fix", "Min", MinUnits, "Max", MaxUnits)}}
		}
		if i == 0 {
			s.rings[0] = unseat(s.rings[0])
			fresh[0] = bottomArcs(len(s.rings[0].Cells))
			continue
		}
		if s.seat[i] || s.rings[i].Cells[0].Takes == 0 {
			wanted := math.NaN()
			if was, ok := numbers[s.rings[i].ID]; ok {
				wanted = old.Middle(was, 0)
			}
			if err := s.sit(i, fresh[i-1], wanted, front); err != nil {
				return nil, Change{}, err
			}
		}
		if fault := balanceFault(&s.rings[i], i, 2*len(s.rings[i-1].Cells)); fault != nil {
			return nil, Change{}, Faults{*fault}
		}
		fresh[i] = arcsOver(fresh[i-1], &s.rings[i])
	}
	return f.exchange(s, old, fresh)
}

// unseat makes a ring fit for the bottom: it takes nothing.
func unseat(r Ring) Ring {
	if r.Start == 0 && r.FreeEnd == 0 && !slices.ContainsFunc(r.Cells, func(c Cell) bool { return c.Takes != 0 || c.Free != 0 }) {
		return r
	}
	r = r.Clone()
	r.Start, r.FreeEnd = 0, 0
	for i := range r.Cells {
		r.Cells[i].Takes, r.Cells[i].Free = 0, 0
	}
	return r
}

// sit seats ring i on the ring below, whose arcs are given, as near as it can to where its first
// unit stood (wanted, in turns; NaN for a new ring).
func (s *stack) sit(i int, below []arc, wanted, front float64) error {
	offered := 2 * len(below)
	r := s.rings[i].Clone()
	if taken, free := r.Points(); taken+free != offered || r.Cells[0].Takes == 0 {
		n := len(r.Cells)
		if n*MaxTakes < offered || n*MinTakes > offered {
			return Faults{{Ring: i + 1, Where: "rings[" + strconv.Itoa(i) + "]",
				What: words.T("figure.spread", "Ring", i+1, "Count", n, "Below", i, "BelowUnits", offered/2),
				Fix:  words.T("figure.spread.fix", "Low", max(MinUnits, (offered+MaxTakes-1)/MaxTakes), "High", min(MaxUnits, offered))}}
		}
		if free > 0 && r.Cells[0].Takes != 0 {
			s.closed = append(s.closed, i+1)
		}
		if !spread(&r, below, wanted, front, i) {
			s.uneven = append(s.uneven, i+1)
		}
		s.rings[i] = r
		return nil
	}
	alignStart(&r, below, wanted, i)
	s.rings[i] = r
	return nil
}

// bridges counts the units that take points of more than one unit of the ring below, and so hold
// neighbours together, when the ring starts at a point of the given parity.
func bridges(cells []Cell, parity int) int {
	n, p := 0, parity
	for _, c := range cells {
		p += int(c.Free)
		if p/2 != (p+int(c.Takes)-1)/2 {
			n++
		}
		p += int(c.Takes)
	}
	return n
}

// alignStart chooses the start that holds most neighbours together and then brings the ring's
// first unit nearest to where it stood; of two equally near ones, the default start.
func alignStart(r *Ring, below []arc, wanted float64, index int) {
	offered := 2 * len(below)
	parity := 1
	if bridges(r.Cells, 0) > bridges(r.Cells, 1) {
		parity = 0
	}
	usual := DefaultStart(index, offered)
	if math.IsNaN(wanted) {
		r.Start = usual
		if usual%2 != parity {
			r.Start = (usual + 1) % offered
		}
		return
	}
	best := math.Inf(1)
	for start := parity; start < offered; start += 2 {
		first := start + int(r.Cells[0].Free)
		from, _ := pointArc(below, first)
		_, to := pointArc(below, first+int(r.Cells[0].Takes)-1)
		away := circular((from+to)/2, wanted)
		if away < best-1e-9 || (away < best+1e-9 && start == usual) {
			best, r.Start = min(best, away), start
		}
	}
}

// circular is the distance of two places around the circle, in turns, 0 … 0.5.
func circular(a, b float64) float64 {
	d := wrap(a - b)
	return min(d, 1-d)
}

// spread lets the units of a ring take all points of the ring below, as evenly as possible and
// mirror-symmetric about the front where that can be; it tells whether it could.
func spread(r *Ring, below []arc, wanted, front float64, index int) (mirrored bool) {
	offered, n := 2*len(below), len(r.Cells)
	r.FreeEnd = 0
	for i := range r.Cells {
		r.Cells[i].Free = 0
	}
	boundary := -1
	for p := 0; p < offered; p++ {
		if from, _ := pointArc(below, p); circular(from, front) < 1e-9 {
			boundary = p
		}
	}
	if boundary < 0 {
		setTakes(r.Cells, even(n, offered))
		alignStart(r, below, wanted, index)
		return false
	}
	takes, start := mirrorSpread(n, offered, boundary)
	// The sequence begins at the front; the seam is put at the unit nearest to where it stood.
	if math.IsNaN(wanted) {
		wanted = 0
	}
	best, seam, p, usual := math.Inf(1), 0, start, DefaultStart(index, offered)
	for k, t := range takes {
		from, _ := pointArc(below, p)
		_, to := pointArc(below, p+t-1)
		at := ((p % offered) + offered) % offered
		if away := circular((from+to)/2, wanted); away < best-1e-9 || (away < best+1e-9 && at == usual) {
			best, seam, r.Start = min(best, away), k, at
		}
		p += t
	}
	setTakes(r.Cells, append(slices.Clone(takes[seam:]), takes[:seam]...))
	return true
}

func setTakes(cells []Cell, takes []int) {
	for i, t := range takes {
		cells[i].Takes = uint8(t)
	}
}

// even splits a sum into n whole parts that differ by at most one, spread as evenly as possible.
func even(n, sum int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = (2*(i+1)*sum+n)/(2*n) - (2*i*sum+n)/(2*n)
	}
	return out
}

// mirrorSpread splits offered points among n units so that the split reads the same to both sides
// of the boundary between two points where the front line runs. It gives the takes to the right
// from the front, and the point the first of them starts at.
//
// Takes differ by at most one, and the units of the rarer kind, where the ring widens or narrows, stand as
// evenly as can be: the gaps between them, counted in units, differ by at most one. Of the ways to do so it
// chooses the one in which most units hold neighbours together. (There always is one. Points lie the same to both
// sides, so a unit on the line takes an even number, and a gap across the line is even where a unit lies on it
// and odd where none does. If n is odd the line has a unit at one end only, and the gaps across can be of either
// length that n divided by their number asks for. If n is even both ends are alike, and the front may lie on a
// unit or beside it, whichever the gaps fit.)
func mirrorSpread(n, offered, boundary int) (takes []int, start int) {
	best := -1
	for _, onUnit := range []bool{false, true} {
		t, ok := mirrored(n, offered, onUnit)
		if !ok {
			continue
		}
		from := boundary
		if onUnit {
			from -= t[0] / 2
		}
		cells := make([]Cell, n)
		setTakes(cells, t)
		if held := bridges(cells, from&1); held > best {
			best, takes, start = held, t, from
		}
	}
	if takes == nil {
		return even(n, offered), boundary
	}
	return takes, start
}

// mirrored is the even split that starts at the front line, with the first unit on the line or beside it. It
// is not ok when the gaps would differ by more than one.
func mirrored(n, offered int, onUnit bool) (takes []int, ok bool) {
	plain, rare := offered/n, offered/n+1
	m := offered % n // units of the rare kind
	if 2*m > n {
		plain, rare, m = rare, plain, n-m
	}
	takes = make([]int, n)
	for i := range takes {
		takes[i] = plain
	}
	places, ok := halfPlaces(n, m, onUnit, rare%2 == 0)
	for _, at := range places {
		takes[at] = rare
		if onUnit {
			takes[(n-at)%n] = rare
		} else {
			takes[n-1-at] = rare
		}
	}
	return takes, ok
}

// halfPlaces gives where the m rare ones of n units stand in the half to the right of the front, counted
// from the unit on the line or right of it. A unit on the line is a rare one if rareOnLine. It is not ok when the
// gaps would differ by more than one, and when a unit on the line would be rare in vain (m = 0).
func halfPlaces(n, m int, onUnit, rareOnLine bool) (places []int, ok bool) {
	backOnUnit := onUnit == (n%2 == 0)
	if m == 0 {
		return nil, !rareOnLine || !onUnit && !backOnUnit
	}
	gap := func(unit bool) int { // across the line: 0 where a rare unit stands on it
		if unit && rareOnLine {
			return 0
		}
		g := n / m
		if unit != (g%2 == 0) {
			g++
		}
		return g
	}
	front, back := gap(onUnit), gap(backOnUnit)
	pairs := m // gaps wholly in this half, each with its mirror image
	for _, across := range []int{front, back} {
		if across > 0 {
			pairs--
		}
	}
	pairs /= 2
	room := (n - front - back) / 2
	at := front / 2 // (front − 1)/2 beside the line is the same
	places = append(places, at)
	least, most := n, 0
	for _, g := range even(max(pairs, 1), room)[:pairs] {
		at += g
		places = append(places, at)
		least, most = min(least, g), max(most, g)
	}
	for _, across := range []int{front, back} {
		if across > 0 {
			least, most = min(least, across), max(most, across)
		}
	}
	return places, most-least <= 1 && (pairs > 0 || room == 0)
}

// exchange puts a checked stack in place of the figure's rings and gives the edit that takes it back.
func (f *Figure) exchange(s *stack, old *Unrolled, fresh [][]arc) (Edit, Change, error) {
	total := f.extraUnits()
	for i := range s.rings {
		total += len(s.rings[i].Cells)
	}
	if total > MaxAllUnits {
		return nil, Change{}, refuse("rings", words.T("figure.too_many_units", "Found", total), words.T("figure.too_many_units.fix", "Max", MaxAllUnits))
	}
	for i := range s.rings {
		if s.rings[i].ID > maxIdentity-1 {
			return nil, Change{}, refuse("rings", words.T("figure.identities"), words.T("figure.identities.fix"))
		}
	}
	extras, err := f.carryExtras(s, old, fresh)
	if err != nil {
		return nil, Change{}, err
	}
	head := 0
	for head < min(len(f.Rings), len(s.rings)) && sameRing(&f.Rings[head], &s.rings[head]) {
		head++
	}
	tail := 0
	for tail < min(len(f.Rings), len(s.rings))-head && sameRing(&f.Rings[len(f.Rings)-1-tail], &s.rings[len(s.rings)-1-tail]) {
		tail++
	}
	back := &Splice{ByFront: true}
	if head > 0 {
		back.After = f.Rings[head-1].ID
	}
	for i := head; i < len(f.Rings)-tail; i++ {
		back.In = append(back.In, f.ringState(&f.Rings[i]))
	}
	for i := head; i < len(s.rings)-tail; i++ {
		back.Out = append(back.Out, f.ringState(&s.rings[i]))
	}
	ch := Change{Front: s.front != f.Front}
	if ch.Front {
		was := f.Front
		back.Front = &was
	}
	for i := range extras {
		if extras[i] != f.Extras[i] {
			ch.Extras = true
		}
		// A place that was carried over by angle is given back as it was, not carried back.
		if len(f.Rings[f.Extras[i].Ring-1].Cells) != len(s.rings[extras[i].Ring-1].Cells) {
			back.Extras = append(back.Extras, ExtraPlace{Key: extras[i].ID, At: f.Extras[i].At})
		}
	}
	numbers := ringNumbers(f)
	before, after := Unroll(f), Unroll(&Figure{Rings: s.rings, Front: s.front})
	if s.stay {
		s.sayShift(f, old, fresh)
	}
	ch.Remarks = s.remarks()
	ch.Order = len(s.rings) != len(f.Rings)
	for i := range s.rings {
		was, ok := numbers[s.rings[i].ID]
		if !ok || was != i {
			ch.Order = true
		}
		if !ok || !sameRing(&f.Rings[was], &s.rings[i]) || !slices.Equal(before.arcs[was], after.arcs[i]) {
			ch.Rings = append(ch.Rings, s.rings[i].ID)
		}
		f.NextRing = max(f.NextRing, s.rings[i].ID+1)
	}
	f.Rings, f.Front, f.Extras = s.rings, s.front, extras
	return back, ch, nil
}

// sayShift says by how much the top of the figure has moved, which an odd number of new or lost
// rings makes unavoidable: a unit that stood over a gap would stand on a unit.
func (s *stack) sayShift(f *Figure, old *Unrolled, fresh [][]arc) {
	was, is := len(f.Rings)-1, len(s.rings)-1
	n := len(s.rings[is].Cells)
	if f.Rings[was].ID != s.rings[is].ID || len(f.Rings[was].Cells) != n {
		return
	}
	before, now := old.Middle(was, 0), (fresh[is][0].from+fresh[is][0].to)/2
	before -= f.Front / float64(len(f.Rings[0].Cells))
	now -= s.front / float64(len(s.rings[0].Cells))
	if by := math.Round(2*circular(before, now)*float64(n)) / 2; by > 0 {
		s.says = append(s.says, words.T("figure.shifted", "By", words.T("figure.units", "Count", shortest(by))))
	}
}

func sameRing(a, b *Ring) bool {
	return a.ID == b.ID && a.Start == b.Start && a.FreeEnd == b.FreeEnd && a.After == b.After && a.Note == b.Note &&
		(len(a.Cells) == len(b.Cells) && (&a.Cells[0] == &b.Cells[0] || slices.Equal(a.Cells, b.Cells)))
}

// carryExtras renumbers the extras for the new stack; an extra keeps its ring, and its place by
// angle when the ring's count changes. A ring that carries an extra cannot go.
func (f *Figure) carryExtras(s *stack, old *Unrolled, fresh [][]arc) ([]Extra, error) {
	extras := slices.Clone(f.Extras)
	to := map[RingID]int{}
	for i := range s.rings {
		to[s.rings[i].ID] = i
	}
	for i := range extras {
		x := &extras[i]
		was := &f.Rings[x.Ring-1]
		n, ok := to[was.ID]
		if !ok {
			return nil, Faults{{Ring: x.Ring, Where: "extras", What: words.T("figure.extra_holds_ring", "Ring", x.Ring, "Name", x.Name), Fix: words.T("figure.extra_holds_ring.fix")}}
		}
		if len(was.Cells) != len(s.rings[n].Cells) {
			off := fromFront(placeTurn(old.arcs[x.Ring-1], x.At) - f.Front/float64(len(f.Rings[0].Cells)))
			x.At = placeAside(fresh[n], s.front/float64(len(s.rings[0].Cells)), off)
		}
		x.Ring = n + 1
	}
	return extras, nil
}

// placeTurn is where a place of a ring stands, in turns; halves lie midway between two units.
func placeTurn(arcs []arc, at float64) float64 {
	middle := func(k int) float64 {
		a := arcs[k%len(arcs)]
		return (a.from+a.to)/2 + float64(k/len(arcs))
	}
	k := int(at)
	if at == float64(k) {
		return middle(k)
	}
	return (middle(k) + middle(k+1)) / 2
}

// fromFront is a turn as the short way from the front: −0.5 … 0.5.
func fromFront(turn float64) float64 { return turn - math.Round(turn) }

// placeAside is the place of a ring that stands most nearly so far from the front; of two equally near ones the one
// farther from it, so that what stands alike to both sides does so still.
func placeAside(arcs []arc, front, off float64) float64 {
	best, least, far := 0.0, math.Inf(1), 0.0
	for k := range 2 * len(arcs) {
		at := float64(k) / 2
		there := fromFront(placeTurn(arcs, at) - front)
		miss := math.Abs(fromFront(there - off))
		if miss < least-1e-9 || (miss < least+1e-9 && math.Abs(there) > far) {
			best, least, far = at, math.Min(miss, least), math.Abs(there)
		}
	}
	return best
}

// carryPlace keeps a place by angle when a ring's count changes, to the nearest half unit.
func carryPlace(at float64, from, to int) float64 {
	if from == to {
		return at
	}
	return min(math.Round(2*at*float64(to)/float64(from))/2, float64(to)-0.5)
}

// ExtraPlace puts an extra back to its place in its ring.
type ExtraPlace struct {
	Key ExtraID `json:"key"`
	At  float64 `json:"at"`
}

// Splice takes a stretch of rings out and puts others in, exactly as given: the form in which
// every change of rings is taken back. Out lists the rings as they were left; units of them that
// somebody has painted since keep their new paint where the ring stays.
type Splice struct {
	After  RingID       `json:"after,omitempty"` // the ring below the stretch, 0 for the bottom
	Out    []RingState  `json:"out,omitempty"`
	In     []RingState  `json:"in,omitempty"`
	Front  *float64     `json:"front,omitempty"`
	Extras []ExtraPlace `json:"extras,omitempty"`
	// ByFront says that the edit that this one takes back kept extras by their way from the front. In logs of before it
	// is missing: they were kept by their way from the seam.
	ByFront bool `json:"by_front,omitempty"`
}

func (*Splice) word() string { return "splice" }

func (*Splice) label(*Figure) words.Text { return words.T("figure.did.splice") }

func (e *Splice) apply(f *Figure) (Edit, Change, error) {
	at := 0
	if e.After != 0 {
		i, ok := f.RingIndex(e.After)
		if !ok {
			return nil, Change{}, refuse("after", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
		}
		at = i + 1
	}
	painted := map[RingID]*Ring{}
	for k, out := range e.Out {
		if at+k >= len(f.Rings) || f.Rings[at+k].ID != out.ID {
			return nil, Change{}, refuse("out["+strconv.Itoa(k)+"]", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
		}
		left, err := f.ring(out, at+k == 0)
		if err != nil {
			return nil, Change{}, refuse("out["+strconv.Itoa(k)+"]", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
		}
		now := &f.Rings[at+k]
		if sameRing(now, &left) {
			continue
		}
		if !sameShape(now, &left) {
			return nil, Change{}, Faults{{Ring: at + k + 1, Where: "out[" + strconv.Itoa(k) + "]", What: words.T("figure.ring_changed", "Ring", at+k+1), Fix: words.T("figure.ring_changed.fix")}}
		}
		painted[out.ID] = &left
	}
	s := f.stack()
	s.rings = slices.Delete(s.rings, at, at+len(e.Out))
	var in []Ring
	for k, state := range e.In {
		r, err := f.ring(state, at+k == 0)
		if err != nil {
			return nil, Change{}, err
		}
		if r.ID < 1 || r.ID >= f.NextRing {
			return nil, Change{}, refuse("in["+strconv.Itoa(k)+"].id", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
		}
		if left, ok := painted[r.ID]; ok {
			i, _ := f.RingIndex(r.ID)
			repaint(&r, left, &f.Rings[i])
			delete(painted, r.ID)
		}
		in = append(in, r)
	}
	for id := range painted {
		i, _ := f.RingIndex(id)
		return nil, Change{}, Faults{{Ring: i + 1, Where: "out", What: words.T("figure.ring_painted", "Ring", i+1), Fix: words.T("figure.ring_painted.fix")}}
	}
	s.rings = slices.Insert(s.rings, at, in...)
	if len(s.rings) == 0 {
		return nil, Change{}, refuse("out", words.T("figure.last_ring"), words.T("figure.last_ring.fix"))
	}
	seen := map[RingID]bool{}
	for i := range s.rings {
		if seen[s.rings[i].ID] {
			return nil, Change{}, refuse("in", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
		}
		seen[s.rings[i].ID] = true
	}
	s.seat = make([]bool, len(s.rings))
	if e.Front != nil {
		if err := placeFault("front", *e.Front, len(s.rings[0].Cells)); err != nil {
			return nil, Change{}, err
		}
		s.front = *e.Front
	}
	return f.settleExactly(s, e.Extras)
}

// settleExactly is settle for rings that fit already, with extras going back to given places.
func (f *Figure) settleExactly(s *stack, places []ExtraPlace) (Edit, Change, error) {
	for i := range s.rings {
		if n := len(s.rings[i].Cells); n < MinUnits || n > MaxUnits || s.rings[i].Start < 0 || (i > 0 && s.rings[i].Start >= 2*len(s.rings[i-1].Cells)) {
			return nil, Change{}, refuse("in", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
		}
		if i > 0 && s.rings[i].Cells[0].Takes == 0 {
			return nil, Change{}, refuse("in", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
		}
	}
	if len(s.rings) > 0 && s.front > float64(len(s.rings[0].Cells))-0.5 {
		s.front = carryPlace(s.front, len(f.Rings[0].Cells), len(s.rings[0].Cells))
	}
	before := slices.Clone(f.Extras)
	back, ch, err := f.settle(s)
	if err != nil {
		return nil, Change{}, err
	}
	splice := back.(*Splice)
	for _, p := range places {
		i, ok := f.extraIndex(p.Key)
		if !ok || f.Extras[i].At == p.At {
			continue
		}
		if placeFault("at", p.At, len(f.Rings[f.Extras[i].Ring-1].Cells)) != nil {
			continue
		}
		f.Extras[i].At = p.At
		ch.Extras = true
		if !slices.ContainsFunc(splice.Extras, func(e ExtraPlace) bool { return e.Key == p.Key }) {
			splice.Extras = append(splice.Extras, ExtraPlace{Key: p.Key, At: before[i].At})
		}
	}
	return splice, ch, nil
}

// sameShape says that two states of a ring differ at most in colours, sides and notes.
func sameShape(a, b *Ring) bool {
	if a.Start != b.Start || a.FreeEnd != b.FreeEnd || len(a.Cells) != len(b.Cells) {
		return false
	}
	for i := range a.Cells {
		if a.Cells[i].Takes != b.Cells[i].Takes || a.Cells[i].Free != b.Cells[i].Free {
			return false
		}
	}
	return true
}

// repaint carries over to r what was painted or noted on its ring between left and now; where the
// counts differ, by angle.
func repaint(r, left, now *Ring) {
	if now.After != left.After {
		r.After = now.After
	}
	if now.Note != left.Note {
		r.Note = now.Note
	}
	n, m := len(now.Cells), len(r.Cells)
	for i := range r.Cells {
		k := min((2*i+1)*n/(2*m), n-1)
		if now.Cells[k].Colour != left.Cells[k].Colour {
			r.Cells[i].Colour = now.Cells[k].Colour
		}
		if now.Cells[k].Side != left.Cells[k].Side {
			r.Cells[i].Side = now.Cells[k].Side
		}
	}
}

// InsertRing puts plain rings of one colour on top of ring Above (0: below all). They have as many
// units as the ring they stand on, or as the bottom ring.
type InsertRing struct {
	Above  RingID `json:"above"`
	Colour string `json:"colour"`
	Count  int    `json:"count,omitempty"` // how many rings, 1 when left out
}

func (*InsertRing) word() string { return "insert_ring" }

func (e *InsertRing) label(f *Figure) words.Text {
	i, ok := f.RingIndex(e.Above)
	if !ok {
		i = -1
	}
	return words.T("figure.did.insert", "Count", max(e.Count, 1), "Ring", i+2)
}

func (e *InsertRing) apply(f *Figure) (Edit, Change, error) {
	colour, ok := f.ColourIndex(e.Colour)
	if !ok {
		return nil, Change{}, refuse("colour", words.T("figure.no_colour", "ID", clip(e.Colour)), words.T("figure.no_colour.fix"))
	}
	count := max(e.Count, 1)
	if e.Count < 0 || count > MaxRings {
		return nil, Change{}, refuse("count", words.T("figure.number", "Found", strconv.Itoa(e.Count)), words.T("figure.whole.fix", "Low", "1", "High", strconv.Itoa(MaxRings)))
	}
	at, units := 0, len(f.Rings[0].Cells)
	if e.Above != 0 {
		i, ok := f.RingIndex(e.Above)
		if !ok {
			return nil, Change{}, refuse("above", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
		}
		at, units = i+1, len(f.Rings[i].Cells)
	}
	s := f.stack()
	s.stay = true
	for k := 0; k < count; k++ {
		cells := make([]Cell, units)
		for i := range cells {
			cells[i] = Cell{Colour: uint8(colour), Takes: PlainTakes}
		}
		s.insert(at+k, Ring{ID: f.NextRing + RingID(k), Cells: cells})
	}
	if at == 0 && count%2 == 1 {
		// The old bottom ring comes to lie half a unit further on; the front line goes with it.
		s.front = math.Mod(f.Front+0.5, float64(units))
	}
	return f.settle(s)
}

// DuplicateRings puts a copy of a block of rings on top of it.
type DuplicateRings struct {
	Rings []RingID `json:"rings"`
}

func (*DuplicateRings) word() string { return "duplicate_rings" }

func (e *DuplicateRings) label(f *Figure) words.Text {
	return words.T("figure.did.duplicate", "Count", len(e.Rings))
}

func (e *DuplicateRings) apply(f *Figure) (Edit, Change, error) {
	from, to, err := f.block(e.Rings)
	if err != nil {
		return nil, Change{}, err
	}
	s := f.stack()
	s.stay = true
	for i := from; i < to; i++ {
		r := f.Rings[i].Clone()
		r.ID = f.NextRing + RingID(i-from)
		s.insert(to+i-from, r)
		if i > from {
			s.seat[to+i-from] = false
		}
	}
	return f.settle(s)
}

// RemoveRings takes a block of rings out; what stood on it comes down.
type RemoveRings struct {
	Rings []RingID `json:"rings"`
}

func (*RemoveRings) word() string { return "remove_rings" }

func (e *RemoveRings) label(f *Figure) words.Text {
	if len(e.Rings) == 1 {
		if i, ok := f.RingIndex(e.Rings[0]); ok {
			return words.T("figure.did.remove_one", "Ring", i+1)
		}
	}
	return words.T("figure.did.remove", "Count", len(e.Rings))
}

func (e *RemoveRings) apply(f *Figure) (Edit, Change, error) {
	from, to, err := f.block(e.Rings)
	if err != nil {
		return nil, Change{}, err
	}
	if to-from == len(f.Rings) {
		return nil, Change{}, refuse("rings", words.T("figure.last_ring"), words.T("figure.last_ring.fix"))
	}
	s := f.stack()
	s.stay = true
	for i := from; i < to; i++ {
		s.remove(from)
	}
	if from == 0 {
		s.front = carryPlace(f.Front, len(f.Rings[0].Cells), len(s.rings[0].Cells))
	}
	return f.settle(s)
}

// MoveRings takes a block of rings out and puts it on top of ring Above (0: at the bottom).
type MoveRings struct {
	Rings []RingID `json:"rings"`
	Above RingID   `json:"above"`
}

func (*MoveRings) word() string { return "move_rings" }

func (e *MoveRings) label(f *Figure) words.Text {
	i, ok := f.RingIndex(e.Above)
	if !ok {
		i = -1
	}
	return words.T("figure.did.move", "Count", len(e.Rings), "Ring", i+1)
}

func (e *MoveRings) apply(f *Figure) (Edit, Change, error) {
	from, to, err := f.block(e.Rings)
	if err != nil {
		return nil, Change{}, err
	}
	at := 0
	if e.Above != 0 {
		i, ok := f.RingIndex(e.Above)
		if !ok || (i >= from && i < to) {
			return nil, Change{}, refuse("above", words.T("figure.no_ring"), words.T("figure.move.fix"))
		}
		at = i + 1
		if i >= to {
			at -= to - from
		}
	}
	s := f.stack()
	s.stay = true
	moved := slices.Clone(f.Rings[from:to])
	for i := from; i < to; i++ {
		s.remove(from)
	}
	for k, r := range moved {
		s.insert(at+k, r)
		if k > 0 {
			s.seat[at+k] = false
		}
	}
	s.front = carryPlace(f.Front, len(f.Rings[0].Cells), len(s.rings[0].Cells))
	return f.settle(s)
}

// SetCount gives a block of rings another number of units, or with Top counts that go in even steps from
// Units in the lowest to Top in the highest. The pattern is carried over by angle; each of the rings that
// does not fit takes the points below it as evenly as possible, mirror-symmetric about the front where
// that can be, and so does the ring above the block.
type SetCount struct {
	Rings []RingID `json:"rings"`
	Units int      `json:"units"`
	Top   int      `json:"top,omitempty"`
}

func (*SetCount) word() string { return "set_count" }

func (e *SetCount) label(f *Figure) words.Text {
	if e.Top != 0 && e.Top != e.Units {
		return words.T("figure.did.grade", "Count", len(e.Rings), "Units", e.Units, "Top", e.Top)
	}
	return words.T("figure.did.count", "Count", len(e.Rings), "Units", e.Units)
}

func (e *SetCount) apply(f *Figure) (Edit, Change, error) {
	from, to, err := f.block(e.Rings)
	if err != nil {
		return nil, Change{}, err
	}
	if err := countFault("units", from, e.Units); err != nil {
		return nil, Change{}, err
	}
	top := e.Units
	if e.Top != 0 {
		if err := countFault("top", to-1, e.Top); err != nil {
			return nil, Change{}, err
		}
		top = e.Top
	}
	return f.recount(graded(from, to, e.Units, top))
}

// Reshape sets the units of one ring by hand, with takes, sides and free points. The ring must fit
// the ring below; the ring above is spread anew when the number of units changes.
type Reshape struct {
	Ring  RingID `json:"ring"`
	Start *int   `json:"start,omitempty"`
	Runs  []Run  `json:"runs"`
}

func (*Reshape) word() string { return "reshape" }

func (e *Reshape) label(f *Figure) words.Text {
	i, _ := f.RingIndex(e.Ring)
	return words.T("figure.did.reshape", "Ring", i+1)
}

func (e *Reshape) apply(f *Figure) (Edit, Change, error) {
	i, ok := f.RingIndex(e.Ring)
	if !ok {
		return nil, Change{}, refuse("ring", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
	}
	was := f.Rings[i]
	state := RingState{ID: was.ID, Start: was.Start, Runs: e.Runs, After: was.After, Note: was.Note}
	if e.Start != nil {
		if i == 0 {
			return nil, Change{}, Faults{{Ring: 1, Where: "start", What: words.T("figure.ring1.takes"), Fix: words.T("figure.ring1.fix")}}
		}
		offered := 2 * len(f.Rings[i-1].Cells)
		if *e.Start < -1 || *e.Start >= offered {
			return nil, Change{}, refuse("start", words.T("figure.number", "Found", strconv.Itoa(*e.Start)), words.T("figure.whole.fix", "Low", "-1", "High", strconv.Itoa(offered-1)))
		}
		state.Start = (*e.Start + offered) % offered
	}
	r, err := f.ring(state, i == 0)
	if err != nil {
		return nil, Change{}, err
	}
	if len(r.Cells) == 0 {
		return nil, Change{}, refuse("runs", words.T("figure.ring.units", "Count", 0), words.T("figure.ring.units.fix", "Min", MinUnits, "Max", MaxUnits))
	}
	s := f.stack()
	s.rings[i] = r
	if len(r.Cells) != len(was.Cells) {
		if i+1 < len(s.seat) {
			s.seat[i+1] = true
		}
		if i == 0 {
			s.front = carryPlace(f.Front, len(was.Cells), len(r.Cells))
		}
	}
	return f.settle(s)
}

// Turn turns a block of rings against what stands below and above it, by half units to the right.
// What is not in the block stays where it is. A turn by an odd number of halves puts units straight
// upon units instead of upon gaps; package findings warns of what no longer holds together.
type Turn struct {
	Rings []RingID `json:"rings"`
	By    int      `json:"by"`
}

func (*Turn) word() string { return "turn" }

func (e *Turn) label(f *Figure) words.Text {
	key, by := "figure.did.turn_right", float64(e.By)/2
	if by < 0 {
		key, by = "figure.did.turn_left", -by
	}
	return words.T(key, "Count", len(e.Rings), "By", words.T("figure.units", "Count", shortest(by)))
}

func (e *Turn) apply(f *Figure) (Edit, Change, error) {
	from, to, err := f.block(e.Rings)
	if err != nil {
		return nil, Change{}, err
	}
	if e.By < -2*MaxUnits || e.By > 2*MaxUnits {
		return nil, Change{}, refuse("by", words.T("figure.number", "Found", strconv.Itoa(e.By)), words.T("figure.whole.fix", "Low", strconv.Itoa(-2*MaxUnits), "High", strconv.Itoa(2*MaxUnits)))
	}
	s := f.stack()
	shift := func(i, by int) {
		offered := 2 * len(f.Rings[i-1].Cells)
		s.rings[i] = f.Rings[i].Clone()
		s.rings[i].Start = ((f.Rings[i].Start+by)%offered + offered) % offered
	}
	if from == 0 {
		// Ring 1 is where places are counted from: turning it moves the front line the other way.
		n := float64(len(f.Rings[0].Cells))
		front := math.Mod(f.Front-float64(e.By)/2, n)
		if front < 0 {
			front += n
		}
		s.front = front
	} else {
		shift(from, e.By)
	}
	if to < len(f.Rings) {
		// In points of the ring below the upper rings, which may have another count.
		base := from
		if base > 0 {
			base--
		}
		by := math.Round(float64(e.By) * float64(len(f.Rings[to-1].Cells)) / float64(len(f.Rings[base].Cells)))
		shift(to, -int(by))
	}
	return f.settle(s)
}
