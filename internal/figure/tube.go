package figure

// Tube makes a plain figure to begin a pattern with: the given number of equal rings (a tube, as the
// craft calls it), all in the first colour, each ring half a unit off the one below, the front at the
// middle of ring 1. It does not check its arguments: Validate the result.
func Tube(title string, unit Unit, colours []Colour, units, rings int) *Figure {
	f := &Figure{Title: title, Unit: unit, Colours: colours, Rings: make([]Ring, rings), Front: float64(units / 2),
		NextRing: RingID(rings + 1), NextExtra: 1}
	for i := range f.Rings {
		r := &f.Rings[i]
		r.ID = RingID(i + 1)
		r.Cells = make([]Cell, units)
		foot := f.Footing(i)
		if foot.OnTable() {
			continue
		}
		r.Start = foot.Usual()
		for j := range r.Cells {
			r.Cells[j].Takes = PlainTakes
		}
	}
	return f
}
