package figure

import (
	"slices"

	"tuckring/internal/words"
)

// PartState is a whole part as the log carries it, with its rows and the extras on them. A twin has neither.
type PartState struct {
	ID     PartID      `json:"id"`
	Code   string      `json:"code"`
	Name   string      `json:"name"`
	Index  int         `json:"index"` // among the parts
	Open   bool        `json:"open,omitempty"`
	Grows  RingID      `json:"grows,omitempty"`
	Set    *Setting    `json:"set,omitempty"`
	Twin   PartID      `json:"twin,omitempty"`
	Front  float64     `json:"front,omitempty"`
	Bend   []Bend      `json:"bend,omitempty"`
	Rows   []RingState `json:"rows,omitempty"`
	Extras []ExtraAt   `json:"extras,omitempty"`
}

// ExtraAt is an extra and its place in the list.
type ExtraAt struct {
	Index int        `json:"index"`
	Extra ExtraState `json:"extra"`
}

// partState gives the part at an index in the form of edits.
func (f *Figure) partState(i int) PartState {
	p := f.Parts[i].Clone()
	s := PartState{ID: p.ID, Code: p.Code, Name: p.Name, Index: i, Open: p.Open, Grows: p.Grows, Set: p.Set, Twin: p.Twin, Front: p.Front, Bend: p.Bend}
	if p.Twin != 0 {
		return PartState{ID: p.ID, Code: p.Code, Name: p.Name, Index: i, Twin: p.Twin}
	}
	for k := range p.Rows {
		s.Rows = append(s.Rows, f.ringState(&f.Rings[p.First+k]))
	}
	for k := range f.Extras {
		if row := f.Extras[k].RingIndex(); row >= p.First && row < p.First+p.Rows {
			s.Extras = append(s.Extras, ExtraAt{k, f.ExtraState(&f.Extras[k])})
		}
	}
	return s
}

// PutPart puts a part in, exactly as given: the form in which the taking out of a part is taken back.
type PutPart struct {
	Part PartState `json:"part"`
	// Standing is what the part that stands on the table was called, where the part is the only one beside it.
	Standing *PartName `json:"standing,omitempty"`
}

// PartName is what a part is called, in documents and by people.
type PartName struct {
	Code string `json:"code"`
	Name string `json:"name"`
}

func (*PutPart) word() string { return "put_part" }

func (e *PutPart) label(*Figure) words.Text {
	return words.T("figure.did.put_part", "Name", e.Part.Name)
}

func (e *PutPart) apply(f *Figure) (Edit, Change, error) {
	state := e.Part
	_, there := f.PartIndex(state.ID)
	sameCode := slices.ContainsFunc(f.Parts, func(p Part) bool { return p.Code == state.Code })
	if there || sameCode || state.ID <= StandingPart || state.ID >= f.NextPart || state.Index < 1 {
		return nil, Change{}, partChanged()
	}
	if err := f.roomForParts(1); err != nil {
		return nil, Change{}, err
	}
	s := f.stack()
	if len(s.parts) == 0 {
		s.parts = []Part{e.standing()}
		s.parts[0].Rows = len(s.rings)
	}
	if s.parts[0].Code == state.Code {
		return nil, Change{}, partChanged()
	}
	part := Part{ID: state.ID, Code: state.Code, Name: state.Name, Open: state.Open, Grows: state.Grows, Set: state.Set, Twin: state.Twin,
		Front: state.Front, Bend: state.Bend, Rows: len(state.Rows)}.Clone()
	index := min(state.Index, len(s.parts))
	s.parts = slices.Insert(s.parts, index, part)
	layParts(s.parts)
	first := s.parts[index].First
	p := pile{slices.Clone(s.rings[:first]), s.parts}
	if part.grown() || part.Set != nil {
		if on, ok := p.indexOf(part.on()); !ok || on >= first {
			return nil, Change{}, partChanged()
		}
	} else if of, ok := f.PartIndex(part.Twin); !ok || of >= index || f.Parts[of].Twin != 0 || len(state.Rows) > 0 {
		return nil, Change{}, partChanged()
	}
	for _, ring := range state.Rows {
		foot := p.footing(len(p.rings))
		r, err := f.ring(ring, foot)
		if err != nil {
			return nil, Change{}, err
		}
		_, twice := f.RingIndex(r.ID)
		if twice || r.ID < 1 || r.ID >= f.NextRing || len(r.Cells) == 0 || r.Start < 0 || !foot.OnTable() && r.Start >= foot.Offered() {
			return nil, Change{}, partChanged()
		}
		p.rings = append(p.rings, r)
	}
	s.rings = append(p.rings, s.rings[first:]...)
	s.seat = make([]bool, len(s.rings))
	was := *f
	ch, err := f.settleParts(s)
	if err == nil {
		err = f.bringExtras(state.Extras)
	}
	if err != nil {
		*f = was
		return nil, Change{}, err
	}
	ch.Extras = ch.Extras || len(state.Extras) > 0
	return f.takeOut(index), ch, nil
}

// standing is the part on the table of a figure that had no other.
func (e *PutPart) standing() Part {
	part := standing()
	if e.Standing != nil {
		part.Code, part.Name = e.Standing.Code, e.Standing.Name
	}
	return part
}

// bringExtras puts the extras of a part back to their places in the list.
func (f *Figure) bringExtras(list []ExtraAt) error {
	for _, e := range list {
		if len(f.Extras) >= MaxExtras {
			return refuse("extra", words.T("figure.extras.count", "Count", len(f.Extras)+1), words.T("figure.extras.count.fix", "Max", MaxExtras))
		}
		x, err := f.extra(e.Extra)
		if err != nil {
			return err
		}
		if _, there := f.extraIndex(x.ID); there || x.ID < 1 || x.ID >= f.NextExtra {
			return refuse("extra.key", words.T("figure.extra_key"), words.T("figure.extra_key.fix"))
		}
		f.Extras = slices.Insert(slices.Clone(f.Extras), min(max(e.Index, 0), len(f.Extras)), x)
	}
	if total := f.Units() + f.extraUnits(); total > MaxAllUnits {
		return refuse("extra.units", words.T("figure.too_many_units", "Found", total), words.T("figure.too_many_units.fix", "Max", MaxAllUnits))
	}
	return nil
}

func partChanged() Faults {
	return refuse("part", words.T("figure.part_changed"), words.T("figure.part_changed.fix"))
}

// TakeOutPart takes a part out as it was left: the form in which the coming of a part is taken back. Units of it that somebody
// has painted since keep it in its place, and so do parts and extras that stand on it by now.
type TakeOutPart struct {
	Part PartState `json:"part"`
}

func (*TakeOutPart) word() string { return "take_out_part" }

func (e *TakeOutPart) label(*Figure) words.Text {
	return words.T("figure.did.remove_part", "Name", e.Part.Name)
}

// takeOut is the edit that takes out the part at an index as it is now.
func (f *Figure) takeOut(i int) Edit { return &TakeOutPart{Part: f.partState(i)} }

func (e *TakeOutPart) apply(f *Figure) (Edit, Change, error) {
	i, ok := f.PartIndex(e.Part.ID)
	if !ok || i == 0 {
		return nil, Change{}, refuse("part", words.T("figure.part_gone"), words.T("figure.part_gone.fix"))
	}
	now := f.partState(i)
	if !slices.EqualFunc(now.Rows, e.Part.Rows, sameState) || len(now.Extras) != len(e.Part.Extras) {
		return nil, Change{}, refuse("part", words.T("figure.part_worked_on", "Part", now.Name), words.T("figure.part_worked_on.fix"))
	}
	s := f.stack()
	part := s.parts[i]
	for k := range s.parts {
		if s.parts[k].Twin == part.ID {
			return nil, Change{}, refuse("part", words.T("figure.row_carries", "Part", s.parts[k].Name), words.T("figure.row_carries.fix"))
		}
	}
	s.parts = slices.Delete(s.parts, i, i+1)
	layParts(s.parts)
	s.rings = slices.Delete(s.rings, part.First, part.First+part.Rows)
	s.seat = make([]bool, len(s.rings))
	if err := s.carried(); err != nil {
		return nil, Change{}, err
	}
	back := &PutPart{Part: now}
	if len(s.parts) == 1 {
		if first := s.parts[0]; first.Code != standing().Code || first.Name != standing().Name {
			back.Standing = &PartName{first.Code, first.Name}
		}
		s.parts = nil
	}
	was := f.Extras
	f.Extras = slices.DeleteFunc(slices.Clone(was), func(x Extra) bool { return x.RingIndex() >= part.First && x.RingIndex() < part.First+part.Rows })
	ch, err := f.settleParts(s)
	if err != nil {
		f.Extras = was
		return nil, Change{}, err
	}
	ch.Extras = ch.Extras || len(was) != len(f.Extras)
	return back, ch, nil
}

func sameState(a, b RingState) bool {
	return a.ID == b.ID && a.Start == b.Start && a.After == b.After && a.Note == b.Note && slices.Equal(a.Runs, b.Runs)
}

// settleParts is settle for a stack whose parts are others: some came, went or stand elsewhere. The edit that takes it back
// is for its caller to make.
func (f *Figure) settleParts(s *stack) (Change, error) {
	old := plan(f)
	fresh, err := f.seatAll(s, old)
	if err != nil {
		return Change{}, err
	}
	_, ch, err := f.exchange(s, old, fresh)
	if err != nil {
		return Change{}, err
	}
	ch.Parts = true
	for i := range f.Parts {
		f.NextPart = max(f.NextPart, f.Parts[i].ID+1)
	}
	return ch, nil
}
