package figure

// Work estimates how many units an edit reads or writes before it is carried out: those it paints, and for
// anything that may seat rings anew or check the whole, all that stand, several times over where rings get
// other counts. It is a measure to bound requests by, not a time.
func Work(f *Figure, e Edit) int {
	all := f.Units() + len(f.Extras)
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
		return 4 * (all + min(max(e.Count, 1), MaxRings)*len(f.Rings[0].Cells))
	}
	return all
}
