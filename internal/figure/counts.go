package figure

// ColourCount is how many units of one colour a figure has. Glued pieces are no units.
type ColourCount struct{ InRings, InExtras int }

// CountByColour counts the units of every colour, in the order of the palette.
func (f *Figure) CountByColour() []ColourCount {
	var inRings [MaxColours]int
	for i := range f.Rings {
		// Run by run: this is counted anew for every step of every painter.
		cells := f.Rings[i].Cells
		for from := 0; from < len(cells); {
			to, colour := from+1, cells[from].Colour
			for to < len(cells) && cells[to].Colour == colour {
				to++
			}
			inRings[colour] += to - from
			from = to
		}
	}
	counts := make([]ColourCount, len(f.Colours))
	for i := range counts {
		counts[i].InRings = inRings[i]
	}
	for i := range f.Extras {
		e := &f.Extras[i]
		if c, ok := f.ColourIndex(e.Colour); ok && e.Kind == Tucked {
			counts[c].InExtras += e.Units
		}
	}
	return counts
}
