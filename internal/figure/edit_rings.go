package figure

import (
	"math"
	"slices"
	"strconv"

	"tuckring/internal/words"
)

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
	if to-from+1 != len(ids) || f.PartOf(from) != f.PartOf(to) {
		return 0, 0, refuse("rings", words.T("figure.not_block"), words.T("figure.not_block.fix"))
	}
	return from, to + 1, nil
}

// InsertRing puts plain rings of one colour on top of ring Above (0: below all). They have as many
// units as the ring they stand on, or as the bottom ring; open rows get narrower by one unit each, down to one.
type InsertRing struct {
	Above  RingID `json:"above"`
	Colour string `json:"colour"`
	Count  int    `json:"count,omitempty"` // how many rings, 1 when left out
}

func (*InsertRing) word() string { return "insert_ring" }

func (e *InsertRing) label(f *Figure) words.Text {
	name := any(1)
	if i, ok := f.RingIndex(e.Above); ok {
		name = f.pile().nameUpon(i)
	}
	return words.T("figure.did.insert", "Count", max(e.Count, 1), "Ring", name)
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
		n := units
		if at > 0 && f.Open(at-1) {
			n = max(units-k-1, MinOpenRow)
		}
		cells := make([]Cell, n)
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
			return words.T("figure.did.remove_one", "Ring", f.RowName(i))
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
	if part := f.pile().part(from); part != nil && part.Rows == to-from {
		return nil, Change{}, refuse("rings", words.T("figure.last_row", "Part", part.Name), words.T("figure.last_row.fix"))
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
	return words.T("figure.did.move", "Count", len(e.Rings), "Ring", f.RowName(i))
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
		if f.PartOf(i) != f.PartOf(from) {
			return nil, Change{}, refuse("above", words.T("figure.move.part"), words.T("figure.move.part.fix"))
		}
		at = i + 1
		if i >= to {
			at -= to - from
		}
	} else if f.PartOf(from) != 0 {
		return nil, Change{}, refuse("above", words.T("figure.move.part"), words.T("figure.move.part.fix"))
	}
	if part := f.pile().part(from); part != nil && part.Rows == to-from {
		return f.settle(f.stack()) // all of a part is where it was
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
	if err := f.countFault("units", from, e.Units); err != nil {
		return nil, Change{}, err
	}
	top := e.Units
	if e.Top != 0 {
		if err := f.countFault("top", to-1, e.Top); err != nil {
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
	return words.T("figure.did.reshape", "Ring", f.RowName(i))
}

func (e *Reshape) apply(f *Figure) (Edit, Change, error) {
	i, ok := f.RingIndex(e.Ring)
	if !ok {
		return nil, Change{}, refuse("ring", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
	}
	was, foot := f.Rings[i], f.Footing(i)
	state := RingState{ID: was.ID, Start: was.Start, Runs: e.Runs, After: was.After, Note: was.Note}
	if e.Start != nil {
		if what, fix, none := noStart(foot); none {
			return nil, Change{}, Faults{{Ring: i + 1, Where: "start", What: what, Fix: fix}}
		}
		if *e.Start < -1 || *e.Start >= foot.Offered() {
			return nil, Change{}, wholeFault("start", *e.Start, -1, foot.Offered()-1)
		}
		state.Start = foot.Point(*e.Start)
	}
	r, err := f.ring(state, foot)
	if err != nil {
		return nil, Change{}, err
	}
	if len(r.Cells) == 0 {
		return nil, Change{}, refuse("runs", words.T("figure.ring.units", "Count", 0), words.T("figure.ring.units.fix", "Min", MinUnits, "Max", MaxUnits))
	}
	s := f.stack()
	s.rings[i] = r
	if len(r.Cells) != len(was.Cells) {
		s.reseat(i)
		if foot.OnTable() {
			s.front = carryPlace(f.Front, len(was.Cells), len(r.Cells))
		}
	}
	return f.settle(s)
}

// noStart says why a row has no start that could be chosen; none is false when it has one.
func noStart(foot Footing) (what, fix words.Text, none bool) {
	switch {
	case foot.OnTable():
		return words.T("figure.ring1.start"), words.T("figure.ring1.start.fix"), true
	case foot.Grows():
		return words.T("figure.grown.start"), words.T("figure.grown.start.fix"), true
	case foot.Open():
		return words.T("figure.open.start"), words.T("figure.open.start.fix"), true
	}
	return words.Text{}, words.Text{}, false
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
	if f.Open(from) {
		return nil, Change{}, refuse("rings", words.T("figure.turn.open"), words.T("figure.turn.open.fix"))
	}
	s := f.stack()
	shift := func(i, by int) {
		s.rings[i] = f.Rings[i].Clone()
		s.rings[i].Start = f.Footing(i).Point(f.Rings[i].Start + by)
	}
	base := f.Footing(from)
	if base.ownCircle() {
		// The first ring is where places are counted from: turning it moves the front line the other way.
		n := float64(len(f.Rings[from].Cells))
		s.turnFront(from, func(front float64) float64 {
			front = math.Mod(front-float64(e.By)/2, n)
			if front < 0 {
				front += n
			}
			return front
		})
	} else {
		shift(from, e.By)
	}
	if _, ok := f.Upon(to - 1); ok {
		// In points of the ring below the upper rings, which may have another count.
		units := base.Units()
		if base.ownCircle() {
			units = len(f.Rings[from].Cells)
		}
		by := math.Round(float64(e.By) * float64(f.Footing(to).Units()) / float64(units))
		shift(to, -int(by))
	}
	return f.settle(s)
}
