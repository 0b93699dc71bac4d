package draw

import (
	"math"

	"tuckring/internal/figure"
)

// The face of a unit on the unrolled grid, in rises (the height of one ring) above the unit's own
// lowest point. The neighbouring faces of a plain wall fit together without a gap.
const (
	shoulder = 0.5  // where the left and right corners are
	tipRise  = 1.42 // how high a free point stands
	notch    = 1.0  // where the two leaves part between two free points
	tipAt    = 0.42 // where the tip of a free point is, in shares of the leaf from its outer edge
	blunt    = 0.26 // short side out: where the flat lower edge begins, in shares of the width
)

// near is less than any difference of places that can be seen, in turns.
const near = 1e-9

// spot is a place on the unrolled wall: turns around (as figure.Unrolled counts them), and rises up
// from ring 1's lowest point.
type spot struct{ turn, up float64 }

// face is one unit on the unrolled wall.
type face struct {
	ring, unit  int
	colour      uint8
	short       bool
	from, to    float64 // its arc, turns
	left, right []spot  // outlines of its two leaves
	free        [2]bool // its left and right point stand free
}

func (f *face) middle() float64 { return (f.from + f.to) / 2 }

// tiler walks the faces of a figure.
type tiler struct {
	fig    *figure.Figure
	arcs   *figure.Unrolled
	above  int   // the ring upon the ring at hand
	owners []int // of the points of the ring at hand, by the ring above; nil where there is none
	buf    []spot
}

// eachFace calls do for every unit of the rings first … end−1 (counted from 0), ring by ring from the
// bottom. The outlines are only good until do returns.
func eachFace(f *figure.Figure, arcs *figure.Unrolled, first, end int, do func(*face)) {
	t := &tiler{fig: f, arcs: arcs}
	var fc face
	for ring := first; ring < end; ring++ {
		t.owners = nil
		if above, ok := f.Upon(ring); ok {
			t.above, t.owners = above, f.PointOwners(above)
		}
		for unit := range f.Rings[ring].Cells {
			t.face(&fc, ring, unit)
			do(&fc)
		}
	}
}

func (t *tiler) face(fc *face, ring, unit int) {
	cell := t.fig.Rings[ring].Cells[unit]
	fc.ring, fc.unit, fc.colour, fc.short = ring, unit, cell.Colour, cell.Side == figure.Short
	fc.from, fc.to = t.arcs.Arc(ring, unit)
	m := fc.middle()
	base := float64(ring)
	t.buf = t.buf[:0]

	t.put(m, base)
	if fc.short {
		t.put(fc.from+blunt*(fc.to-fc.from), base)
	}
	t.put(fc.from, base+shoulder)
	fc.free[0] = t.top(ring, 2*unit, fc.from, m, true)
	split := len(t.buf)

	t.put(m, base)
	fc.free[1] = t.top(ring, 2*unit+1, m, fc.to, false)
	t.put(fc.to, base+shoulder)
	if fc.short {
		t.put(fc.to-blunt*(fc.to-fc.from), base)
	}
	fc.left, fc.right = t.buf[:split:split], t.buf[split:]
}

func (t *tiler) put(turn, up float64) { t.buf = append(t.buf, spot{turn, up}) }

// top puts the upper edge of a leaf, from the left to the right: along the unit above that takes the
// point, or the tip where the point stands free. It says whether the point is free.
func (t *tiler) top(ring, point int, a, b float64, left bool) (free bool) {
	base := float64(ring)
	if t.owners == nil || t.owners[point] < 0 {
		if left {
			t.put(a+tipAt*(b-a), base+tipRise)
			t.put(b, base+notch)
		} else {
			t.put(a, base+notch)
			t.put(b-tipAt*(b-a), base+tipRise)
		}
		return true
	}
	// The units above may stand a little beside the points they take, so the edge follows whichever
	// of them stand over the leaf, beginning at the one that stands over its left end.
	cells := t.fig.Rings[t.above].Cells
	unit, ok := t.arcs.UnitAt(t.above, a+near)
	if !ok {
		unit = t.owners[point]
	}
	for x := a; x < b-near; unit = (unit + 1) % len(cells) {
		from, to := t.arcs.Arc(t.above, unit)
		lap := math.Round((x+b)/2 - (from+to)/2)
		from, to = from+lap, to+lap
		end := min(b, to)
		if end <= x {
			end = b
		}
		t.along(from, to, cells[unit].Side == figure.Short, base+1, x, end)
		x = end
	}
	return false
}

// along puts the lower edge of a unit with arc from … to, as far as it lies between a and b.
func (t *tiler) along(from, to float64, short bool, base, a, b float64) {
	low := [2]float64{(from + to) / 2, (from + to) / 2}
	if short {
		low = [2]float64{from + blunt*(to-from), to - blunt*(to-from)}
	}
	height := func(x float64) float64 {
		switch {
		case x < low[0]:
			return base + shoulder*(low[0]-x)/(low[0]-from)
		case x > low[1]:
			return base + shoulder*(x-low[1])/(to-low[1])
		}
		return base
	}
	t.put(a, height(a))
	for i, x := range low {
		if x > a+near && x < b-near && (i == 0 || short) {
			t.put(x, base)
		}
	}
	t.put(b, height(b))
}
