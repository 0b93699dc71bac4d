package figure

// Touches knows of every unit of a figure which others it touches: its neighbours in the ring, those whose points it
// takes, and those that take its points.
type Touches struct {
	f     *Figure
	units [][]touch
}

// touch is what a unit stands on and what stands on it: four points are of three units at most, and
// two points carry two units at most.
type touch struct {
	below          [MaxTakes]int16
	above          [2]int16
	aboveRow       [2]int16 // the row that each is in: of the same part, or the first of one that grows
	nBelow, nAbove uint8
}

// TouchesOf looks over a figure that keeps the rule of the points; colours may change afterwards, units not.
func TouchesOf(f *Figure) *Touches {
	t := &Touches{f, make([][]touch, len(f.Rings))}
	for i := range f.Rings {
		t.units[i] = make([]touch, len(f.Rings[i].Cells))
		foot := f.Footing(i)
		for p, k := range foot.TakenBy(&f.Rings[i]) {
			if k < 0 {
				continue
			}
			unit, _, _ := foot.Owner(p)
			up, down := &t.units[i][k], &t.units[foot.Ring()][unit]
			up.nBelow = addNew(up.below[:], up.nBelow, int16(unit))
			down.stands(int16(i), int16(k))
		}
	}
	return t
}

// stands notes that a unit of a row takes one of the points.
func (t *touch) stands(row, unit int16) {
	for k := range t.nAbove {
		if t.above[k] == unit && t.aboveRow[k] == row {
			return
		}
	}
	t.above[t.nAbove], t.aboveRow[t.nAbove] = unit, row
	t.nAbove++
}

// addNew adds v to the first n of list unless it is there, and returns how many there are then.
func addNew(list []int16, n uint8, v int16) uint8 {
	for _, have := range list[:n] {
		if have == v {
			return n
		}
	}
	list[n] = v
	return n + 1
}

// Each calls visit with every unit that touches the given one: beside it, below and above.
func (t *Touches) Each(ring, unit int, visit func(ring, unit int)) {
	n := len(t.f.Rings[ring].Cells)
	open := t.f.Open(ring)
	if unit > 0 || !open {
		visit(ring, (unit+n-1)%n)
	}
	if unit+1 < n || !open {
		visit(ring, (unit+1)%n)
	}
	own := &t.units[ring][unit]
	below := t.f.Footing(ring).Ring()
	for _, k := range own.below[:own.nBelow] {
		visit(below, int(k))
	}
	for i := range own.nAbove {
		visit(int(own.aboveRow[i]), int(own.above[i]))
	}
}
