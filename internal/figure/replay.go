package figure

import (
	"slices"

	"tuckring/internal/words"
)

// Replay carries out an edit of the log once more, as it was carried out when it was logged: where the rules by
// which rings are spread have become others since, its rings still come out as the logged inverse says they were
// left. On an error, which is a Faults, the figure is not to be used any more.
func Replay(f *Figure, e, inverse Edit) error {
	if batch, ok := e.(*Batch); ok {
		if back, ok := inverse.(*Batch); ok && len(back.Edits) == len(batch.Edits) {
			for i, part := range batch.Edits {
				if err := Replay(f, part, back.Edits[len(back.Edits)-1-i]); err != nil {
					return err
				}
			}
			return nil
		}
	}
	before := f.Rings
	if _, _, err := Apply(f, e); err != nil {
		return err
	}
	if left, ok := inverse.(*Splice); ok {
		return f.leaveAs(before, left)
	}
	return nil
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
	rings := slices.Clone(before[:at])
	for _, state := range left.Out {
		r, err := f.ring(state, len(rings) == 0)
		if err != nil {
			return err
		}
		rings = append(rings, r)
	}
	rings = append(rings, before[end:]...)
	for i := range rings {
		if i > 0 {
			if fault := balanceFault(&rings[i], i, 2*len(rings[i-1].Cells)); fault != nil {
				return Faults{*fault}
			}
		}
	}
	f.Rings = rings
	return nil
}
