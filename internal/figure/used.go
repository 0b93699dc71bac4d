package figure

// Used says for each colour whether the figure has anything of it: a unit of a ring, a tucked unit or a glued
// piece. Legends leave out the others, which only wait in the palette.
func (f *Figure) Used() []bool {
	used := make([]bool, len(f.Colours))
	for i := range f.Rings {
		for _, c := range f.Rings[i].Cells {
			used[c.Colour] = true
		}
	}
	for i := range f.Extras {
		if c, ok := f.ColourIndex(f.Extras[i].Colour); ok {
			used[c] = true
		}
	}
	return used
}
