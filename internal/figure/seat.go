package figure

import (
	"math"
	"slices"

	"tuckring/internal/words"
)

// stack is a new pile of rings in the making. seat[i] says that ring i stands on another ring than
// before, and so has to be seated anew: its units take the points evenly if they did not fit, and
// it is turned to where it stood.
type stack struct {
	pile
	seat  []bool
	front float64
	exact bool // fronts and places of parts are as they are to be: they are not carried over
	stay  bool // what is not touched ought to stay in place: say so when it cannot
	says  []words.Text

	closed []int // the rings whose openings were closed
	uneven []int // and of those that could not be spread the same to both sides of the front
}

// remarks is what the maker should know about how the stack was made.
func (s *stack) remarks() []words.Text {
	out := s.says
	if n := len(s.closed); n > 0 {
		out = append(out, words.T("figure.openings_gone", "Count", n, "Ring", s.name(slices.Min(s.closed))))
	}
	if n := len(s.uneven); n > 0 {
		out = append(out, words.T("figure.not_mirrored", "Count", n, "Ring", s.name(slices.Min(s.uneven))))
	}
	return out
}

func (f *Figure) stack() *stack {
	return &stack{pile: pile{slices.Clone(f.Rings), cloneParts(f.Parts)}, seat: make([]bool, len(f.Rings), len(f.Rings)+4), front: f.Front}
}

// insert puts a ring in, as one of the part that the ring before it belongs to.
func (s *stack) insert(at int, r Ring) {
	s.hold(max(at-1, 0), 1)
	s.rings = slices.Insert(s.rings, at, r)
	s.seat = slices.Insert(s.seat, at, true)
	s.reseat(at)
}

// hold gives the part that a row belongs to so many rows more.
func (s *stack) hold(row, more int) {
	if part := s.part(row); part != nil {
		part.Rows += more
		layParts(s.parts)
	}
}

// reseat has what stands on ring i seated anew, parts that grow there too.
func (s *stack) reseat(i int) {
	if above, ok := s.upon(i); ok {
		s.seat[above] = true
	}
	for _, first := range s.growing(i) {
		s.seat[first] = true
	}
}

func (s *stack) remove(at int) {
	above, carries := s.upon(at)
	if carries {
		s.seat[above] = true
	}
	s.hold(at, -1)
	s.rings = slices.Delete(s.rings, at, at+1)
	s.seat = slices.Delete(s.seat, at, at+1)
}

// settle seats the rings that need it, checks the whole stack and puts it in the figure's place.
func (f *Figure) settle(s *stack) (Edit, Change, error) {
	old := plan(f)
	fresh, err := f.seatAll(s, old)
	if err != nil {
		return nil, Change{}, err
	}
	return f.exchange(s, old, fresh)
}

// seatAll seats the rings of a stack that need it and checks the points of all; it gives their places as planned. The
// figure itself, whose plan is given, does not change.
func (f *Figure) seatAll(s *stack, old *Unrolled) (fresh [][]arc, err error) {
	numbers := ringNumbers(f)
	if len(s.rings) < 1 || len(s.rings) > MaxRings {
		return nil, refuse("rings", words.T("figure.rings.count", "Count", len(s.rings)), words.T("figure.rings.count.fix", "Max", MaxRings))
	}
	if err := s.carried(); err != nil {
		return nil, err
	}
	fresh = make([][]arc, len(s.rings))
	for i := range s.rings {
		least := s.least(i)
		if n := len(s.rings[i].Cells); n < least || n > MaxUnits {
			return nil, Faults{{Ring: i + 1, Where: "rings", What: words.T("figure.ring.units", "Count", n), Fix: words.T("figure.ring.units.fix", "Min", least, "Max", MaxUnits)}}
		}
		g := groundOf(s.footing(i), fresh)
		switch {
		case g.OnTable():
			s.rings[i] = unseat(s.rings[i])
		case s.seat[i] || s.rings[i].Cells[0].Takes == 0:
			wanted := math.NaN()
			if was, ok := numbers[s.rings[i].ID]; ok {
				wanted = old.Middle(was, 0)
			}
			if err := s.sit(i, g, wanted, s.frontTurn(i)); err != nil {
				return nil, err
			}
		}
		if fault := s.balanceFault(i); fault != nil {
			return nil, Faults{*fault}
		}
		fresh[i] = plannedArcs(g, &s.rings[i])
		if r := &s.rings[i]; g.grows && (r.Cells[0].Free > 0 || r.FreeEnd > 0) {
			return nil, Faults{{Ring: i + 1, Where: s.where(i), What: words.T("figure.part.edge"), Fix: words.T("figure.part.edge.fix")}}
		}
	}
	if twice := s.takenTwice(); len(twice) > 0 {
		return nil, Faults{{Ring: twice[0].row + 1, Where: twice[0].where, What: twice[0].what, Fix: words.T("figure.point_taken.fix")}}
	}
	return fresh, nil
}

// rowsOf is how many rows a part has in the stack, −1 when it is gone.
func (s *stack) rowsOf(id PartID) int {
	for i := range s.parts {
		if s.parts[i].ID == id {
			return s.parts[i].Rows
		}
	}
	return -1
}

// frontTurn is the front of the part that a row belongs to, in turns as planned.
func (s *stack) frontTurn(row int) float64 {
	part := s.part(row)
	if part == nil || part.ID == StandingPart {
		return s.front / float64(len(s.rings[0].Cells))
	}
	return part.Front / float64(len(s.rings[part.First].Cells))
}

// turnFront changes the front of the part that a row belongs to.
func (s *stack) turnFront(row int, to func(front float64) float64) {
	if part := s.part(row); part != nil && part.ID != StandingPart {
		part.Front = to(part.Front)
		s.exact = true
		return
	}
	s.front = to(s.front)
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

// sit seats ring i on the ground as near as it can to where its first unit stood (wanted, in turns; NaN for a new
// ring).
func (s *stack) sit(i int, g ground, wanted, front float64) error {
	r := s.rings[i].Clone()
	if g.grows || g.open {
		if err := s.sitInLine(i, &r, g, wanted); err != nil {
			return err
		}
		s.rings[i] = r
		return nil
	}
	if g.Over(&r) != 0 || r.Cells[0].Takes == 0 {
		n := len(r.Cells)
		if fewest, most := g.Counts(); n < fewest || n > most {
			return s.spreadFault(i, g, max(MinUnits, fewest), min(MaxUnits, most))
		}
		if !closed(&r) && r.Cells[0].Takes != 0 {
			s.closed = append(s.closed, i)
		}
		if !spread(&r, g, wanted, front) {
			s.uneven = append(s.uneven, i)
		}
		s.rings[i] = r
		return nil
	}
	alignStart(&r, g, wanted)
	s.rings[i] = r
	return nil
}

func (s *stack) spreadFault(i int, g ground, low, high int) error {
	return Faults{{Ring: i + 1, Where: s.where(i),
		What: words.T("figure.spread", "Ring", s.name(i), "Count", len(s.rings[i].Cells), "Below", s.name(g.Ring()), "BelowUnits", words.T("figure.units", "Count", g.Units())),
		Fix:  words.T("figure.spread.fix", "Low", low, "High", high)}}
}

// sitInLine seats a row whose points lie in a line, or the first of a part that grows.
func (s *stack) sitInLine(i int, r *Ring, g ground, wanted float64) error {
	n := len(r.Cells)
	if g.grows {
		for k := range r.Cells {
			r.Cells[k].Takes = max(r.Cells[k].Takes, MinTakes)
			if s.rings[i].Cells[k].Takes == 0 {
				r.Cells[k].Takes = PlainTakes
			}
		}
		r.Cells[0].Free, r.FreeEnd = 0, 0
		taken, free := r.Points()
		if taken+free > g.Offered() {
			return s.spreadFault(i, g, 1, g.Units())
		}
		alignGrown(r, g, wanted, taken+free)
		return nil
	}
	r.Start = 0
	if g.Over(r) == 0 && r.Cells[0].Takes != 0 {
		return nil
	}
	m := g.Units()
	for k := range r.Cells {
		r.Cells[k].Takes, r.Cells[k].Free = PlainTakes, 0
	}
	r.FreeEnd = 0
	switch {
	case n <= m: // it gets narrower, or stays over the middle
		r.Cells[0].Free, r.FreeEnd = uint16(m-n), m-n
	case n == m+1: // the end units take one point each
		r.Cells[0].Takes, r.Cells[n-1].Takes = 1, 1
	case n <= g.Offered():
		setTakes(r.Cells, even(n, g.Offered()))
	default:
		return s.spreadFault(i, g, 1, g.Offered())
	}
	return nil
}

// alignGrown brings the first row of a part that grows as near as can be to where its first unit stood; a new one stays where
// it was put.
func alignGrown(r *Ring, g ground, wanted float64, points int) {
	last := g.Offered() - 1
	if g.line {
		last = g.Offered() - points
	}
	if math.IsNaN(wanted) {
		if g.line {
			r.Start = min(r.Start, last)
		}
		r.Start = g.Point(r.Start)
		return
	}
	best := math.Inf(1)
	for start := 0; start <= last; start++ {
		mid := (g.tip(start) + g.tip(start+int(r.Cells[0].Takes)-1)) / 2
		if away := circular(mid, wanted); away < best-1e-9 {
			best, r.Start = away, start
		}
	}
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
	back.After = f.pile().listed(head)
	for i := range f.Parts {
		if part := &f.Parts[i]; s.rowsOf(part.ID) != part.Rows && s.rowsOf(part.ID) >= 0 {
			back.Part = part.ID
		}
	}
	back.Parts = f.carryParts(s)
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
		if len(f.Rings[f.Extras[i].RingIndex()].Cells) != len(s.rings[extras[i].RingIndex()].Cells) {
			back.Extras = append(back.Extras, ExtraPlace{Key: extras[i].ID, At: f.Extras[i].At})
		}
	}
	numbers := ringNumbers(f)
	before, after := Unroll(f), Unroll(&Figure{Rings: s.rings, Parts: s.parts, Front: s.front})
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
	ch.Parts = ch.Parts || len(back.Parts) > 0
	f.Rings, f.Parts, f.Front, f.Extras = s.rings, s.parts, s.front, extras
	return back, ch, nil
}

// sayShift says by how much the top of the figure has moved, which an odd number of new or lost
// rings makes unavoidable: a unit that stood over a gap would stand on a unit.
func (s *stack) sayShift(f *Figure, old *Unrolled, fresh [][]arc) {
	was, is := f.pile().top(), s.top()
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
