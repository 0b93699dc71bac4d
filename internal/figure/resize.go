package figure

import (
	"math"
	"slices"

	"tuckring/internal/words"
)

// Resize plans the edit that gives a figure another paper for its units, another number of units in its
// widest ring and another number of rings; the other rings follow in proportion, the pattern by angle and
// height. It gives nil when the figure is so already. The error is Faults when the figure cannot be so:
// an extra holds a ring that would go, a count would fall below the least.
func Resize(f *Figure, unit Unit, units, rings int) (Edit, error) {
	if units < MinUnits || units > MaxUnits {
		return nil, wholeFault("units", units, MinUnits, MaxUnits)
	}
	if rings < 1 || rings > MaxRings {
		return nil, wholeFault("rings", rings, 1, MaxRings)
	}
	g := f.Clone()
	batch := &Batch{}
	do := func(e Edit) error {
		_, ch, err := e.apply(g)
		if err == nil && !ch.Empty() {
			batch.Edits = append(batch.Edits, e)
		}
		return err
	}
	if err := do(&SetUnit{unit.LongMM, unit.ShortMM, unit.Fold}); err != nil {
		return nil, err
	}
	if err := resizeHeight(g, rings, do); err != nil {
		return nil, err
	}
	if counts := proportioned(g, units); len(counts) > 0 {
		if err := do(&SetCounts{Counts: counts}); err != nil {
			return nil, err
		}
	}
	switch {
	case len(batch.Edits) == 0:
		return nil, nil
	case len(batch.Edits) == 1:
		return batch.Edits[0], nil
	case len(batch.Edits) > MaxEdits:
		return nil, refuse("rings", words.T("figure.edit.batch", "Count", len(batch.Edits)), words.T("figure.edit.batch.fix", "Max", MaxEdits))
	}
	return batch, nil
}

// proportioned gives the rings that need another count for the widest to have the given number of units.
func proportioned(f *Figure, units int) []RingCount {
	widest := 0
	for i := range f.Rings {
		widest = max(widest, len(f.Rings[i].Cells))
	}
	var out []RingCount
	for i := range f.Rings {
		n := len(f.Rings[i].Cells)
		want := max(MinUnits, int(math.Round(float64(n)*float64(units)/float64(widest))))
		if want != n {
			out = append(out, RingCount{f.Rings[i].ID, want})
		}
	}
	return out
}

// resizeHeight doubles rings, or takes some out, evenly over the height until there are as many as wanted.
func resizeHeight(f *Figure, rings int, do func(Edit) error) error {
	old := f.Keys().Rings
	if rings < len(old) {
		gone := slices.DeleteFunc(slices.Clone(old), func(id RingID) bool { return slices.Contains(keptRings(f, rings), id) })
		for _, block := range blocks(f, gone) {
			if err := do(&RemoveRings{Rings: block}); err != nil {
				return err
			}
		}
		return nil
	}
	copies := make([]int, len(old))
	for j := range rings {
		copies[j*len(old)/rings]++
	}
	for i, id := range old {
		if err := copyRing(f, id, copies[i], do); err != nil {
			return err
		}
	}
	return nil
}

// keptRings chooses the rings that stay when there are to be fewer: one of each stretch, if possible one
// that an extra is fixed to.
func keptRings(f *Figure, rings int) []RingID {
	carries := map[int]bool{}
	for i := range f.Extras {
		carries[f.Extras[i].RingIndex()] = true
	}
	var out []RingID
	n := len(f.Rings)
	for j := range rings {
		keep := j * n / rings
		for i := keep; i < (j+1)*n/rings; i++ {
			if carries[i] {
				keep = i
				break
			}
		}
		out = append(out, f.Rings[keep].ID)
	}
	return out
}

// blocks parts rings into stretches that stand directly upon one another.
func blocks(f *Figure, ids []RingID) [][]RingID {
	where := ringNumbers(f)
	var out [][]RingID
	for k, id := range ids {
		if k > 0 && where[id] == where[ids[k-1]]+1 {
			out[len(out)-1] = append(out[len(out)-1], id)
			continue
		}
		out = append(out, []RingID{id})
	}
	return out
}

// copyRing makes one ring into several, doubling as often as it takes.
func copyRing(f *Figure, id RingID, copies int, do func(Edit) error) error {
	for have := 1; have < copies; {
		n := min(have, copies-have)
		at, _ := f.RingIndex(id)
		if err := do(&DuplicateRings{Rings: f.Keys().Rings[at : at+n]}); err != nil {
			return err
		}
		have += n
	}
	return nil
}
