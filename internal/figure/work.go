package figure

import (
	"context"
	"errors"
)

// Work estimates how many units an edit reads or writes before it is carried out: those it paints, and for
// anything that may seat rings anew or check the whole, all that stand, several times over where rings get
// other counts. It is a measure to bound requests by, not a time.
func Work(f *Figure, e Edit) int {
	all := f.Units() + len(f.Extras)
	if f.hasTwins() { // they are made anew
		all *= 2
	}
	switch e := e.(type) {
	case *Batch:
		sum := 0
		for _, part := range e.Edits {
			sum += Work(f, part)
		}
		return sum
	case *Paint:
		sum := 0
		for _, r := range e.Runs {
			sum += min(max(r.N, 1), MaxUnits)
		}
		return sum
	case *SetCount, *SetCounts, *Reshape, *Become:
		return 4 * all
	case *InsertRing:
		return 4 * (all + between(e.Count, MaxRings)*len(f.Rings[0].Cells))
	case *Grow:
		return 4 * (all + between(e.Rows, MaxRings)*between(e.Units, MaxUnits))
	case *SetOn:
		return 4 * (all + between(e.Rows, MaxRings)*between(e.Units, MaxUnits) + len(e.Rings))
	case *AddTwin, *MovePart, *RemovePart, *PutPart, *TakeOutPart:
		return 4 * all
	}
	return all
}

// between is a number of rows or units as it can be at all.
func between(n, most int) int { return min(max(n, 1), most) }

// ErrTooMuch tells that an edit takes more work than it may.
var ErrTooMuch = errors.New("figure: an edit that takes too much work")

// ApplyWithin is Apply for an edit that may take so much work and no more, as each of its parts finds the figure: what
// is little on a small figure may be much once the parts before it have made it large. It fails with ErrTooMuch, and with
// ctx's error when ctx ends between two parts; then too the figure is as it was.
func ApplyWithin(ctx context.Context, f *Figure, e Edit, most int) (inverse Edit, ch Change, err error) {
	return f.withTwins(e, func() (Edit, Change, error) { return f.applyWithin(ctx, e, most) })
}

func (f *Figure) applyWithin(ctx context.Context, e Edit, most int) (inverse Edit, ch Change, err error) {
	var do func(Edit, *Figure) (Edit, Change, error)
	do = func(e Edit, f *Figure) (Edit, Change, error) {
		if batch, ok := e.(*Batch); ok {
			return batch.applyEach(f, do)
		}
		if err := ctx.Err(); err != nil {
			return nil, Change{}, err
		}
		if most -= Work(f, e); most < 0 {
			return nil, Change{}, ErrTooMuch
		}
		return e.apply(f)
	}
	return do(e, f)
}
