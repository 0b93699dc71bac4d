package figure

import (
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

// StandingRings gives the rings of the part that stands on the table in the form of edits, for another figure to take.
func (f *Figure) StandingRings() []RingState {
	rings := f.Rings
	if len(f.Parts) > 0 {
		rings = rings[:f.Parts[0].Rows]
	}
	out := make([]RingState, len(rings))
	for i := range rings {
		out[i] = f.ringState(&rings[i])
	}
	return out
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
	Part   PartID       `json:"part,omitempty"` // the part that gets more or fewer rows, in a figure of several
	Parts  []PartPlace  `json:"parts,omitempty"`
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
		left, err := f.ring(out, f.Footing(at+k))
		if err != nil {
			return nil, Change{}, refuse("out["+strconv.Itoa(k)+"]", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
		}
		now := &f.Rings[at+k]
		if sameRing(now, &left) {
			continue
		}
		if !sameShape(now, &left) {
			return nil, Change{}, Faults{{Ring: at + k + 1, Where: "out[" + strconv.Itoa(k) + "]", What: words.T("figure.ring_changed", "Ring", f.RowName(at+k)), Fix: words.T("figure.ring_changed.fix")}}
		}
		painted[out.ID] = &left
	}
	s := f.stack()
	s.rings = slices.Delete(s.rings, at, at+len(e.Out))
	rings := slices.Clone(s.rings[:at])
	if err := s.resizePart(e.Part, len(e.In)-len(e.Out)); err != nil {
		return nil, Change{}, err
	}
	for k, state := range e.In {
		r, err := f.ring(state, pile{rings, s.parts}.footing(len(rings)))
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
		rings = append(rings, r)
	}
	for i := range f.Rings { // the lowest of them is named
		if painted[f.Rings[i].ID] == nil {
			continue
		}
		return nil, Change{}, Faults{{Ring: i + 1, Where: "out", What: words.T("figure.ring_painted", "Ring", f.RowName(i)), Fix: words.T("figure.ring_painted.fix")}}
	}
	s.rings = append(rings, s.rings[at:]...)
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
	s.placeParts(e.Parts)
	return f.settleExactly(s, e.Extras)
}

// resizePart gives a part so many rows more; where there is one part only nothing is counted.
func (s *stack) resizePart(id PartID, more int) error {
	if len(s.parts) == 0 || more == 0 {
		return nil
	}
	for i := range s.parts {
		if part := &s.parts[i]; part.ID == max(id, StandingPart) {
			if part.Rows += more; part.Rows < 1 {
				return refuse("out", words.T("figure.last_row", "Part", part.Name), words.T("figure.last_row.fix"))
			}
			layParts(s.parts)
			return nil
		}
	}
	return refuse("part", words.T("figure.part_gone"), words.T("figure.part_gone.fix"))
}

// placeParts puts fronts and places of parts back.
func (s *stack) placeParts(places []PartPlace) {
	s.exact = true
	for _, p := range places {
		for i := range s.parts {
			if s.parts[i].ID != p.Part {
				continue
			}
			if p.Front != nil {
				s.parts[i].Front = *p.Front
			}
			if p.At != nil && s.parts[i].Set != nil {
				s.parts[i].Set.At = *p.At
			}
		}
	}
}

// settleExactly is settle for rings that fit already, with extras going back to given places.
func (f *Figure) settleExactly(s *stack, places []ExtraPlace) (Edit, Change, error) {
	for i := range s.rings {
		r, foot := &s.rings[i], s.footing(i)
		if n := len(r.Cells); n < s.least(i) || n > MaxUnits || r.Start < 0 {
			return nil, Change{}, refuse("in", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
		}
		if !foot.OnTable() && (r.Start >= foot.Offered() || r.Cells[0].Takes == 0) {
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
		if placeFault("at", p.At, len(f.Rings[f.Extras[i].RingIndex()].Cells)) != nil {
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
