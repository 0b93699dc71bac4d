package figure

import (
	"math"
	"slices"
	"strconv"

	"tuckring/internal/words"
)

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
	s.reseat(at)
}

// reseat has what stands on ring i seated anew.
func (s *stack) reseat(i int) {
	if above, ok := upon(s.rings, i); ok {
		s.seat[above] = true
	}
}

func (s *stack) remove(at int) {
	s.rings = slices.Delete(s.rings, at, at+1)
	s.seat = slices.Delete(s.seat, at, at+1)
	if at < len(s.seat) {
		s.seat[at] = true
	}
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
	front := s.front / float64(len(s.rings[0].Cells))
	fresh = make([][]arc, len(s.rings))
	for i := range s.rings {
		if n := len(s.rings[i].Cells); n < MinUnits || n > MaxUnits {
			return nil, Faults{{Ring: i + 1, Where: "rings", What: words.T("figure.ring.units", "Count", n), Fix: words.T("figure.ring.units.fix", "Min", MinUnits, "Max", MaxUnits)}}
		}
		g := groundOf(footingOn(s.rings[:i]), fresh)
		switch {
		case g.OnTable():
			s.rings[i] = unseat(s.rings[i])
		case s.seat[i] || s.rings[i].Cells[0].Takes == 0:
			wanted := math.NaN()
			if was, ok := numbers[s.rings[i].ID]; ok {
				wanted = old.Middle(was, 0)
			}
			if err := s.sit(i, g, wanted, front); err != nil {
				return nil, err
			}
		}
		if fault := balanceFault(&s.rings[i], i, g.Footing); fault != nil {
			return nil, Faults{*fault}
		}
		fresh[i] = plannedArcs(g, &s.rings[i])
	}
	return fresh, nil
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
	if g.Over(&r) != 0 || r.Cells[0].Takes == 0 {
		n := len(r.Cells)
		if fewest, most := g.Counts(); n < fewest || n > most {
			return Faults{{Ring: i + 1, Where: "rings[" + strconv.Itoa(i) + "]",
				What: words.T("figure.spread", "Ring", i+1, "Count", n, "Below", g.Number(), "BelowUnits", g.Units()),
				Fix:  words.T("figure.spread.fix", "Low", max(MinUnits, fewest), "High", min(MaxUnits, most))}}
		}
		if !closed(&r) && r.Cells[0].Takes != 0 {
			s.closed = append(s.closed, i+1)
		}
		if !spread(&r, g, wanted, front) {
			s.uneven = append(s.uneven, i+1)
		}
		s.rings[i] = r
		return nil
	}
	alignStart(&r, g, wanted)
	s.rings[i] = r
	return nil
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
	if foot := f.Footing(head); !foot.OnTable() {
		back.After = f.Rings[foot.Ring()].ID
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
		if len(f.Rings[f.Extras[i].RingIndex()].Cells) != len(s.rings[extras[i].RingIndex()].Cells) {
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
