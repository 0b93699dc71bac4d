// Package wall knows the visible face of every unit on the unrolled wall: what the ring above leaves in sight of it, a kite
// of two leaves, half a unit off from ring to ring. Patterns are drawn by it, and pictures are seen through it.
package wall

import (
	"math"

	"tuckring/internal/figure"
)

// The face of a unit on the unrolled grid, in rises (the height of one ring) above the unit's own
// lowest point. The neighbouring faces of a plain wall fit together without a gap.
const (
	Shoulder = 0.5  // where the left and right corners are
	TipRise  = 1.42 // how high a free point stands
	notch    = 1.0  // where the two leaves part between two free points
	tipAt    = 0.42 // where the tip of a free point is, in shares of the leaf from its outer edge
	blunt    = 0.26 // short side out: where the flat lower edge begins, in shares of the width
)

// near is less than any difference of places that can be seen, in turns.
const near = 1e-9

// Spot is a place on the unrolled wall: turns around (as figure.Unrolled counts them), and rises up
// from ring 1's lowest point.
type Spot struct{ Turn, Up float64 }

// Face is the visible face of one unit on the unrolled wall.
type Face struct {
	Ring, Unit  int     // from 0
	Colour      uint8   // index into Figure.Colours
	Short       bool    // its short side is out
	From, To    float64 // its arc, turns
	Left, Right []Spot  // outlines of its two leaves: up the left edge from the foot, and up the ridge from there
	Free        [2]bool // its left and right point stand free
}

// Middle is the middle of its arc, in turns.
func (f *Face) Middle() float64 { return (f.From + f.To) / 2 }

// Outline appends the outline of the whole face to a list: up the left leaf, then down the right one, whose first spot
// is the foot and whose second is the top of the ridge.
func (f *Face) Outline(to []Spot) []Spot { return append(append(to, f.Left...), f.Right[2:]...) }

// tiler walks the faces of a figure.
type tiler struct {
	fig    *figure.Figure
	arcs   *figure.Unrolled
	above  int   // the ring upon the ring at hand
	owners []int // of the points of the ring at hand, by the ring above; nil where there is none
	buf    []Spot
}

// Each calls do for every unit of the rings first … end−1 (counted from 0), ring by ring from the
// bottom. The outlines are only good until do returns.
func Each(f *figure.Figure, arcs *figure.Unrolled, first, end int, do func(*Face)) {
	t := &tiler{fig: f, arcs: arcs}
	var fc Face
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

func (t *tiler) face(fc *Face, ring, unit int) {
	cell := t.fig.Rings[ring].Cells[unit]
	fc.Ring, fc.Unit, fc.Colour, fc.Short = ring, unit, cell.Colour, cell.Side == figure.Short
	fc.From, fc.To = t.arcs.Arc(ring, unit)
	m := fc.Middle()
	base := float64(ring)
	t.buf = t.buf[:0]

	t.put(m, base)
	if fc.Short {
		t.put(fc.From+blunt*(fc.To-fc.From), base)
	}
	t.put(fc.From, base+Shoulder)
	fc.Free[0] = t.top(ring, 2*unit, fc.From, m, true)
	split := len(t.buf)

	t.put(m, base)
	fc.Free[1] = t.top(ring, 2*unit+1, m, fc.To, false)
	t.put(fc.To, base+Shoulder)
	if fc.Short {
		t.put(fc.To-blunt*(fc.To-fc.From), base)
	}
	fc.Left, fc.Right = t.buf[:split:split], t.buf[split:]
}

func (t *tiler) put(turn, up float64) { t.buf = append(t.buf, Spot{Turn: turn, Up: up}) }

// top puts the upper edge of a leaf, from the left to the right: along the unit above that takes the
// point, or the tip where the point stands free. It says whether the point is free.
func (t *tiler) top(ring, point int, a, b float64, left bool) (free bool) {
	base := float64(ring)
	if t.owners == nil || t.owners[point] < 0 {
		if left {
			t.put(a+tipAt*(b-a), base+TipRise)
			t.put(b, base+notch)
		} else {
			t.put(a, base+notch)
			t.put(b-tipAt*(b-a), base+TipRise)
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
			return base + Shoulder*(low[0]-x)/(low[0]-from)
		case x > low[1]:
			return base + Shoulder*(x-low[1])/(to-low[1])
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
