package figure

import (
	"slices"

	"tuckring/internal/words"
)

// Replay carries out an edit of the log once more, as it was carried out when it was logged: where the rules by
// which rings are spread and extras are carried have become others since, its rings still come out as the logged
// inverse says they were left, and its extras as they did. On an error, which is a Faults, the figure is not to be used any more.
func Replay(f *Figure, e, inverse Edit) error {
	_, _, err := f.withTwins(e, func() (Edit, Change, error) { return nil, Change{}, f.replay(e, inverse) })
	return err
}

func (f *Figure) replay(e, inverse Edit) error {
	if batch, ok := e.(*Batch); ok {
		if back, ok := inverse.(*Batch); ok && len(back.Edits) == len(batch.Edits) {
			for i, part := range batch.Edits {
				if err := f.replay(part, back.Edits[len(back.Edits)-1-i]); err != nil {
					return err
				}
			}
			return nil
		}
	}
	before := f.Rings
	if _, _, err := e.apply(f); err != nil {
		return err
	}
	left, ok := inverse.(*Splice)
	if !ok {
		return nil
	}
	if _, exact := e.(*Splice); !exact && !left.ByFront {
		f.carryAsBefore(before, left.Extras)
	}
	return f.leaveAs(before, left)
}

// carryAsBefore puts extras whose rings got other counts where the rule of before put them: as far around from the
// seam as they were.
func (f *Figure) carryAsBefore(before []Ring, was []ExtraPlace) {
	for _, p := range was {
		i, ok := f.extraIndex(p.Key)
		if !ok {
			continue
		}
		ring := &f.Rings[f.Extras[i].RingIndex()]
		if k := slices.IndexFunc(before, func(r Ring) bool { return r.ID == ring.ID }); k >= 0 {
			f.Extras[i].At = carryPlace(p.At, len(before[k].Cells), len(ring.Cells))
		}
	}
}

// leaveAs puts the rings that a logged splice would take out in the place of those that it would put in, among
// the rings as they were before.
func (f *Figure) leaveAs(before []Ring, left *Splice) error {
	at := 0
	if left.After != 0 {
		at = 1 + slices.IndexFunc(before, func(r Ring) bool { return r.ID == left.After })
	}
	end := at + len(left.In)
	if (left.After != 0 && at == 0) || end > len(before) {
		return refuse("after", words.T("figure.rings_changed"), words.T("figure.rings_changed.fix"))
	}
	p := pile{slices.Clone(before[:at]), f.Parts}
	for _, state := range left.Out {
		r, err := f.ring(state, p.footing(len(p.rings)))
		if err != nil {
			return err
		}
		p.rings = append(p.rings, r)
	}
	p.rings = append(p.rings, before[end:]...)
	for i := range p.rings {
		if fault := p.balanceFault(i); fault != nil {
			return Faults{*fault}
		}
	}
	f.Rings = p.rings
	return nil
}
