package figure

import (
	"slices"
	"strconv"

	"tuckring/internal/words"
)

// Parts come, go and move. Each of these edits comes down to two that the log alone holds: PutPart puts a part with its rows
// and extras in, TakeOutPart takes it out.

// As says what a part that grows is to become.
type As string

// What can grow: a wing gets narrower by one unit a row, a strip stays as wide by turns, a chain has one unit a row, and a
// tube closes to a circle.
const (
	AsWing  As = "wing"
	AsStrip As = "strip"
	AsChain As = "chain"
	AsTube  As = "tube"
)

// Grow lets a new part grow from free points of a row, from a point on to the right, in one colour.
type Grow struct {
	On     RingID `json:"on"`
	Point  int    `json:"point"`
	As     As     `json:"as"`
	Units  int    `json:"units,omitempty"` // of its first row; 1 in a chain
	Rows   int    `json:"rows"`
	Colour string `json:"colour"`
	Name   string `json:"name"`
}

func (*Grow) word() string { return "grow" }

func (e *Grow) label(*Figure) words.Text { return words.T("figure.did.grow", "Name", e.Name) }

func (e *Grow) apply(f *Figure) (Edit, Change, error) {
	on, colour, err := f.newPart(e.On, e.Colour, e.Name)
	if err != nil {
		return nil, Change{}, err
	}
	least, most := 1, MaxUnits
	switch e.As {
	case AsChain:
		most = 1
	case AsTube:
		least = MinUnits
	case AsStrip:
		least = min(e.Rows, 2) // every other row has one less
	case AsWing:
	default:
		return nil, Change{}, refuse("as", words.T("figure.choice", "Found", clip(string(e.As))), words.T("figure.choice.fix", "Allowed", "wing, strip, chain, tube"))
	}
	units := e.Units
	if e.As == AsChain && units == 0 {
		units = 1
	}
	if units < least || units > most {
		return nil, Change{}, wholeFault("units", units, least, most)
	}
	rows := MaxRings - len(f.Rings)
	if e.As == AsWing {
		rows = min(rows, units) // then it has come to a point
	}
	if e.Rows < 1 || e.Rows > rows {
		return nil, Change{}, wholeFault("rows", e.Rows, 1, rows)
	}
	offered := offering(len(f.Rings[on].Cells)).Offered()
	if e.Point < 0 || e.Point >= offered {
		return nil, Change{}, wholeFault("point", e.Point, 0, offered-1)
	}
	part := f.blankPart(e.Name)
	part.Grows, part.Open = e.On, e.As != AsTube
	part.Front = e.front(units)
	lists := make([][]Cell, e.Rows)
	for i := range lists {
		n := units
		if e.As == AsWing {
			n -= i
		} else if e.As == AsStrip {
			n -= i % 2
		}
		lists[i] = unseated(n, colour)
	}
	return f.addOn(on, part, f.freshRows(lists, e.Point))
}

// front is the middle of a tube's first row.
func (e *Grow) front(units int) float64 {
	if e.As != AsTube {
		return 0
	}
	return float64(units-1) / 2
}

func unseated(n, colour int) []Cell {
	cells := make([]Cell, n)
	for i := range cells {
		cells[i] = Cell{Colour: uint8(colour)}
	}
	return cells
}

// freshRows makes rows with new identities; they are seated when they are put in.
func (f *Figure) freshRows(lists [][]Cell, start int) []Ring {
	rows := make([]Ring, len(lists))
	for i, cells := range lists {
		rows[i] = Ring{ID: f.NextRing + RingID(i), Cells: cells}
	}
	rows[0].Start = start
	return rows
}

// newPart checks what all new parts need.
func (f *Figure) newPart(on RingID, colour, name string) (row, index int, err error) {
	if what, fix, bad := TextFault(name, MaxName, true); bad {
		return 0, 0, refuse("name", what, fix)
	}
	index, ok := f.ColourIndex(colour)
	if !ok {
		return 0, 0, refuse("colour", words.T("figure.no_colour", "ID", clip(colour)), words.T("figure.no_colour.fix"))
	}
	row, ok = f.RingIndex(on)
	if !ok {
		return 0, 0, refuse("on", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
	}
	return row, index, f.roomForParts(1)
}

func (f *Figure) roomForParts(more int) error {
	if n := max(len(f.Parts), 1) + more; n > MaxParts {
		return refuse("parts", words.T("figure.parts.count", "Count", n), words.T("figure.parts.count.fix", "Max", MaxParts))
	}
	if f.nextPart() >= maxIdentity {
		return refuse("parts", words.T("figure.identities"), words.T("figure.identities.fix"))
	}
	return nil
}

// nextPart is the identity that the next new part gets.
func (f *Figure) nextPart() PartID { return max(f.NextPart, StandingPart+1) }

// blankPart is a new part that stands nowhere yet.
func (f *Figure) blankPart(name string) Part {
	return Part{ID: f.nextPart(), Code: f.codeFor(name), Name: name}
}

// standing is what the first part is called until somebody gives it another name.
func standing() Part {
	return Part{ID: StandingPart, Code: "body", Name: words.T("figure.part.body").String()}
}

// addOn adds a part that stands on a row, and says so where the row has a mirror image, on which nothing comes.
func (f *Figure) addOn(row int, part Part, rows []Ring) (Edit, Change, error) {
	var says []words.Text
	if len(f.Parts) > 0 {
		carrier := f.Parts[f.PartOf(row)]
		for i := range f.Parts {
			if f.Parts[i].Twin == carrier.ID {
				says = append(says, words.T("figure.twin.bare", "Part", part.Name, "On", carrier.Name, "Twin", f.Parts[i].Name))
			}
		}
	}
	back, ch, err := f.addPart(part, rows)
	ch.Remarks = append(ch.Remarks, says...)
	return back, ch, err
}

// addPart puts a part with rows that are not seated yet at the end.
func (f *Figure) addPart(part Part, rows []Ring) (Edit, Change, error) {
	s := f.stack()
	if len(s.parts) == 0 {
		s.parts = []Part{standing()}
		s.parts[0].Rows = len(s.rings)
		if part.Code == s.parts[0].Code {
			part.Code += "-2"
		}
	}
	part.Rows = len(rows)
	s.parts = append(s.parts, part)
	layParts(s.parts)
	s.rings = append(s.rings, rows...)
	for range rows {
		s.seat = append(s.seat, false)
	}
	return f.settleNew(s, len(s.parts)-1)
}

// settleNew settles a stack with a new part at an index.
func (f *Figure) settleNew(s *stack, at int) (Edit, Change, error) {
	ch, err := f.settleParts(s)
	if err != nil {
		return nil, Change{}, err
	}
	return f.takeOut(at), ch, nil
}

// SetOn sets a part on that is made by itself: a plain tube, or rows as they are given.
type SetOn struct {
	On     RingID   `json:"on"`
	At     *float64 `json:"at,omitempty"` // on the axis when left out
	How    How      `json:"how" oneof:"glued,pushed"`
	Tilt   float64  `json:"tilt,omitempty"`
	Name   string   `json:"name"`
	Colour string   `json:"colour"`
	Units  int      `json:"units,omitempty"`
	Rows   int      `json:"rows,omitempty"`
	// Rings are the rows of another figure, in place of a plain tube of so many units and rows.
	Rings []RingState `json:"rings,omitempty"`
	Front float64     `json:"front,omitempty"`
}

func (*SetOn) word() string { return "set_on" }

func (e *SetOn) label(*Figure) words.Text { return words.T("figure.did.set_on", "Name", e.Name) }

func (e *SetOn) apply(f *Figure) (Edit, Change, error) {
	on, colour, err := f.newPart(e.On, e.Colour, e.Name)
	if err != nil {
		return nil, Change{}, err
	}
	part := f.blankPart(e.Name)
	if part.Set, err = f.setting(on, e.At, e.How, e.Tilt); err != nil {
		return nil, Change{}, err
	}
	most := MaxRings - len(f.Rings)
	if len(e.Rings) == 0 {
		if e.Units < MinUnits || e.Units > MaxUnits {
			return nil, Change{}, wholeFault("units", e.Units, MinUnits, MaxUnits)
		}
		if e.Rows < 1 || e.Rows > most {
			return nil, Change{}, wholeFault("rows", e.Rows, 1, most)
		}
		lists := make([][]Cell, e.Rows)
		for i := range lists {
			lists[i] = unseated(e.Units, colour)
		}
		part.Front = float64(e.Units-1) / 2
		if e.Units%2 == 0 {
			part.Front = float64(e.Units / 2)
		}
		return f.addOn(on, part, f.freshRows(lists, 0))
	}
	if len(e.Rings) > most {
		return nil, Change{}, wholeFault("rings", len(e.Rings), 1, most)
	}
	p := pile{}
	for i, state := range e.Rings {
		state.ID = f.NextRing + RingID(i)
		foot := p.footing(i)
		if state.Start < 0 || !foot.OnTable() && state.Start >= foot.Offered() {
			return nil, Change{}, wholeFault("rings["+strconv.Itoa(i)+"].start", state.Start, 0, max(foot.Offered()-1, 0))
		}
		r, err := f.ring(state, foot)
		if err != nil {
			return nil, Change{}, under(err, "rings["+strconv.Itoa(i)+"]")
		}
		if len(r.Cells) < MinUnits {
			return nil, Change{}, wholeFault("rings["+strconv.Itoa(i)+"].runs", len(r.Cells), MinUnits, MaxUnits)
		}
		p.rings = append(p.rings, r)
	}
	if err := placeFault("front", e.Front, len(p.rings[0].Cells)); err != nil {
		return nil, Change{}, err
	}
	part.Front = e.Front
	return f.addOn(on, part, p.rings)
}

// under puts the place of a list's entry before those of its faults.
func under(err error, where string) error {
	faults, ok := err.(Faults)
	if !ok {
		return err
	}
	out := slices.Clone(faults)
	for i := range out {
		out[i].Where = join(where, out[i].Where)
	}
	return out
}

// setting checks where a part is set on.
func (f *Figure) setting(on int, at *float64, how How, tilt float64) (*Setting, error) {
	if how != GluedOn && how != PushedOn {
		return nil, refuse("how", words.T("figure.choice", "Found", clip(string(how))), words.T("figure.choice.fix", "Allowed", "glued, pushed"))
	}
	if !(tilt >= MinTilt && tilt <= MaxTilt) {
		return nil, numberFault("tilt", tilt, MinTilt, MaxTilt)
	}
	set := &Setting{On: f.Rings[on].ID, Centred: at == nil, How: how, Tilt: tilt}
	if at != nil {
		if err := f.placeOnRow("at", *at, on); err != nil {
			return nil, err
		}
		set.At = *at
	}
	return set, nil
}

// placeOnRow checks a place of a row: an open one ends at the middle of its last unit.
func (f *Figure) placeOnRow(where string, at float64, row int) error {
	if last := f.pile().lastPlace(row); f.Open(row) && at > last {
		return refuse(where, words.T("figure.number", "Found", shortest(at)), words.T("figure.place_in_line.fix", "High", shortest(last)))
	}
	return placeFault(where, at, len(f.Rings[row].Cells))
}

func numberFault(where string, found, low, high float64) Faults {
	return refuse(where, words.T("figure.number", "Found", shortest(found)), words.T("figure.number.fix", "Low", shortest(low), "High", shortest(high)))
}

// AddTwin adds the mirror image of a part.
type AddTwin struct {
	Part PartID `json:"part"`
	Name string `json:"name"`
}

func (*AddTwin) word() string { return "add_twin" }

func (e *AddTwin) label(*Figure) words.Text { return words.T("figure.did.add_twin", "Name", e.Name) }

func (e *AddTwin) apply(f *Figure) (Edit, Change, error) {
	i, err := f.partToEdit("part", e.Part)
	if err != nil {
		return nil, Change{}, err
	}
	if what, fix, bad := TextFault(e.Name, MaxName, true); bad {
		return nil, Change{}, refuse("name", what, fix)
	}
	if err := f.roomForParts(1); err != nil {
		return nil, Change{}, err
	}
	part := f.blankPart(e.Name)
	part.Twin = f.Parts[i].ID
	s := f.stack()
	s.parts = slices.Insert(s.parts, i+1, part)
	layParts(s.parts)
	return f.settleNew(s, i+1)
}

// partToEdit finds a part that is not the first and no twin.
func (f *Figure) partToEdit(where string, id PartID) (index int, err error) {
	index, ok := f.PartIndex(id)
	switch {
	case !ok:
		return 0, refuse(where, words.T("figure.part_gone"), words.T("figure.part_gone.fix"))
	case index == 0:
		return 0, refuse(where, words.T("figure.part.stays"), words.T("figure.part.stays.fix"))
	case f.Parts[index].Twin != 0:
		return 0, refuse(where, words.T("figure.part.on_twin", "ID", f.Parts[index].Name), words.T("figure.part.on_twin.fix"))
	}
	return index, nil
}

// MovePart moves where a part grows, or where it is set on.
type MovePart struct {
	Part  PartID   `json:"part"`
	On    RingID   `json:"on"`
	Point *int     `json:"point,omitempty"` // of a part that grows
	At    *float64 `json:"at,omitempty"`    // of a part that is set on; on the axis when left out
	How   How      `json:"how,omitempty" oneof:"glued,pushed"`
	Tilt  float64  `json:"tilt,omitempty"`
}

func (*MovePart) word() string { return "move_part" }

func (e *MovePart) label(f *Figure) words.Text {
	return words.T("figure.did.move_part", "Name", f.partName(e.Part))
}

func (f *Figure) partName(id PartID) string {
	if i, ok := f.PartIndex(id); ok {
		return f.Parts[i].Name
	}
	return ""
}

func (e *MovePart) apply(f *Figure) (Edit, Change, error) {
	i, err := f.partToEdit("part", e.Part)
	if err != nil {
		return nil, Change{}, err
	}
	on, ok := f.RingIndex(e.On)
	if !ok {
		return nil, Change{}, refuse("on", words.T("figure.no_ring"), words.T("figure.no_ring.fix"))
	}
	s := f.stack()
	part := &s.parts[i]
	if on >= part.First {
		return nil, Change{}, refuse("on", words.T("figure.part.later", "ID", s.part(on).Name), words.T("figure.part.later.fix"))
	}
	if part.Set != nil {
		if e.Point != nil {
			return nil, Change{}, refuse("point", words.T("figure.unknown_field", "Name", "point"), words.T("figure.unknown_field.fix", "Names", "at, how, tilt"))
		}
		was := part.Set
		if part.Set, err = f.setting(on, e.At, e.How, e.Tilt); err != nil {
			return nil, Change{}, err
		}
		back := &MovePart{Part: e.Part, On: was.On, How: was.How, Tilt: was.Tilt}
		if !was.Centred {
			back.At = &was.At
		}
		return f.settleMoved(s, back)
	}
	if e.At != nil || e.How != "" || e.Tilt != 0 || e.Point == nil {
		return nil, Change{}, refuse("point", words.T("figure.missing", "Name", "point"), words.T("figure.missing.fix", "Name", "point"))
	}
	offered := offering(len(f.Rings[on].Cells)).Offered()
	if *e.Point < 0 || *e.Point >= offered {
		return nil, Change{}, wholeFault("point", *e.Point, 0, offered-1)
	}
	was := f.Rings[part.First].Start
	back := &MovePart{Part: e.Part, On: part.Grows, Point: &was}
	part.Grows = e.On
	s.rings[part.First] = s.rings[part.First].Clone()
	s.rings[part.First].Start = *e.Point
	return f.settleMoved(s, back)
}

func (f *Figure) settleMoved(s *stack, back Edit) (Edit, Change, error) {
	ch, err := f.settleParts(s)
	if err != nil {
		return nil, Change{}, err
	}
	return back, ch, nil
}

// EditPart changes a part's name, its bends and, where it closes, its front. A twin has a name only.
type EditPart struct {
	Part  PartID  `json:"part"`
	Name  string  `json:"name"`
	Front float64 `json:"front,omitempty"`
	Bend  []Bend  `json:"bend,omitempty"`
}

func (*EditPart) word() string { return "edit_part" }

func (e *EditPart) label(*Figure) words.Text {
	return words.T("figure.did.edit_part", "Name", e.Name)
}

func (e *EditPart) apply(f *Figure) (Edit, Change, error) {
	i, ok := f.PartIndex(e.Part)
	if !ok {
		return nil, Change{}, refuse("part", words.T("figure.part_gone"), words.T("figure.part_gone.fix"))
	}
	if what, fix, bad := TextFault(e.Name, MaxName, true); bad {
		return nil, Change{}, refuse("name", what, fix)
	}
	part := &f.Parts[i]
	if len(e.Bend) > 0 && part.Twin != 0 {
		return nil, Change{}, refuse("bend", words.T("figure.bend.twin"), words.T("figure.bend.twin.fix"))
	}
	if len(e.Bend) > 0 && i == 0 {
		return nil, Change{}, refuse("bend", words.T("figure.bend.first"), words.T("figure.bend.first.fix"))
	}
	rows := 0
	for k, b := range e.Bend {
		at := "bend[" + strconv.Itoa(k) + "]"
		if b.Rows < 1 || b.Rows > MaxRings {
			return nil, Change{}, wholeFault(at+".rows", b.Rows, 1, MaxRings)
		}
		if rows+b.Rows > MaxRings {
			return nil, Change{}, refuse(at+".rows", words.T("figure.bend.rows", "Max", MaxRings), words.T("figure.bend.rows.fix"))
		}
		rows += b.Rows
		for _, angle := range []struct {
			name    string
			degrees float64
		}{{"out", b.Out}, {"right", b.Right}} {
			if !(angle.degrees >= MinBend && angle.degrees <= MaxBend) {
				return nil, Change{}, numberFault(at+"."+angle.name, angle.degrees, MinBend, MaxBend)
			}
		}
	}
	switch {
	case e.Front != 0 && part.Twin != 0:
		return nil, Change{}, refuse("front", words.T("figure.part.front.twin"), words.T("figure.part.front.twin.fix"))
	case e.Front != 0 && i == 0:
		return nil, Change{}, refuse("front", words.T("figure.part.front.first"), words.T("figure.part.front.first.fix"))
	case e.Front != 0 && part.Open:
		return nil, Change{}, refuse("front", words.T("figure.part.front"), words.T("figure.part.front.fix"))
	case i == 0 || part.Open || part.Twin != 0:
	default:
		if err := placeFault("front", e.Front, len(f.Rings[part.First].Cells)); err != nil {
			return nil, Change{}, err
		}
	}
	back := &EditPart{Part: e.Part, Name: part.Name, Front: part.Front, Bend: part.Bend}
	changed := part.Name != e.Name || part.Front != e.Front || !slices.Equal(part.Bend, e.Bend)
	part.Name, part.Front, part.Bend = e.Name, e.Front, slices.Clone(e.Bend)
	return back, Change{Parts: changed}, nil
}

// RemovePart takes a part off, with all that it carries and their twins.
type RemovePart struct {
	Part PartID `json:"part"`
}

func (*RemovePart) word() string { return "remove_part" }

func (e *RemovePart) label(f *Figure) words.Text {
	return words.T("figure.did.remove_part", "Name", f.partName(e.Part))
}

func (e *RemovePart) apply(f *Figure) (Edit, Change, error) {
	at, ok := f.PartIndex(e.Part)
	if !ok {
		return nil, Change{}, refuse("part", words.T("figure.part_gone"), words.T("figure.part_gone.fix"))
	}
	if at == 0 {
		return nil, Change{}, refuse("part", words.T("figure.part.stays"), words.T("figure.part.stays.fix"))
	}
	gone := map[PartID]bool{e.Part: true}
	for i := at + 1; i < len(f.Parts); i++ {
		part := &f.Parts[i]
		if on, ok := f.RingIndex(part.on()); gone[part.Twin] || ok && gone[f.Parts[f.PartOf(on)].ID] {
			gone[part.ID] = true
		}
	}
	out := &Batch{}
	for i := len(f.Parts) - 1; i >= at; i-- {
		if gone[f.Parts[i].ID] {
			out.Edits = append(out.Edits, f.takeOut(i))
		}
	}
	back, ch, err := out.apply(f)
	if err == nil && len(out.Edits) > 1 {
		ch.Remarks = append(ch.Remarks, words.T("figure.parts_gone", "Count", len(out.Edits)-1))
	}
	return back, ch, err
}
