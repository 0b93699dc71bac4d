package draw

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"tuckring/internal/paper"
	"tuckring/internal/words"
)

// CuttingOptions says how a sheet's cutting is drawn.
type CuttingOptions struct {
	Sheet  paper.Sheet
	Tree   *paper.Node // of a whole layout, or of a sheet cut only as far as needed
	Width  float64     // most width of the sheet on paper, mm; 0 for 84 mm
	Height float64     // most height of the sheet on paper, mm; 0 for 118 mm
	Say    *words.Speaker
}

// Measures of the cutting drawing, mm.
const (
	cutWidth    = 84.0
	cutHeight   = 118.0
	dimRoom     = 9.0 // beside the sheet for its dimension lines
	dimGap      = 4.2 // from the sheet to the line
	cutText     = 2.9
	stepRadius  = 2.3
	hatchStep   = 2.2
	arrowLength = 1.8
)

// scales are the ratios a cutting is drawn at: mm of the sheet to a mm of the drawing.
var scales = []float64{1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50}

// Cutting draws how a sheet is cut, at scale and with its dimensions: units, offcuts (hatched), spare
// paper, and the number of each step on the first of its lines. The sheet lies as its cuts are
// measured, its lower left corner below left.
func Cutting(o CuttingOptions) *Drawing {
	if o.Say == nil {
		o.Say = words.English
	}
	if !(o.Width > 0) {
		o.Width = cutWidth
	}
	if !(o.Height > 0) {
		o.Height = cutHeight
	}
	c := &cutting{o: o, scale: scaleFor(o.Sheet, o.Width, o.Height)}
	return c.draw()
}

func scaleFor(s paper.Sheet, width, height float64) float64 {
	need := max(s.WidthMM/width, s.HeightMM/height)
	for _, v := range scales {
		if v >= need {
			return v
		}
	}
	return math.Ceil(need)
}

type cutting struct {
	o      CuttingOptions
	d      *Drawing
	scale  float64
	shown  map[[2]float64]int // units of each size, by the way they lie: the first of them may carry it
	sizes  []sizeLabel
	others []sizeLabel       // of further units, where a number stands on the first
	lines  map[int][]cutLine // of each step, the first of them: where its number may stand
	order  []int             // the steps of lines, as they come
	units  *Path             // all units, and all cuts: each one path, since a sheet may hold thousands
	cuts   *Path
}

// cutLine is a cut on the drawing.
type cutLine struct{ x0, y0, x1, y1 float64 }

// sizeLabel is the size of a piece as it would be written on it.
type sizeLabel struct {
	Label
	x, y, w, h float64    // the room it takes
	unit       [2]float64 // of a unit: its size as it lies
}

// badge is the number of a step, and where it stands.
type badge struct {
	x, y float64
	step int
}

func (c *cutting) draw() *Drawing {
	w, h := c.o.Sheet.WidthMM/c.scale, c.o.Sheet.HeightMM/c.scale
	ratio := number(c.scale)
	title := c.o.Say.Say(words.T("draw.cutting.title", "Sheet", c.o.Sheet.Label(), "Units", words.T("figure.units", "Count", unitsOf(c.o.Tree))))
	c.d = NewDrawing(w+2*dimRoom, h+2*dimRoom, title)
	c.shown, c.lines = map[[2]float64]int{}, map[int][]cutLine{}
	c.d.Add((&Path{}).Rect(dimRoom, dimRoom, w, h), Paint{Fill: card})
	c.units, c.cuts = &Path{}, &Path{}
	under := len(c.d.items)
	c.piece(c.o.Tree)
	if len(c.units.ops) > 0 {
		c.d.items = slices.Insert(c.d.items, under, item{path: c.units, paint: Paint{Fill: accentTint, Stroke: edge, Line: c.thin(0.25)}})
	}
	badges := c.badges()
	c.writeSizes(badges)
	c.d.Add(c.cuts, Paint{Stroke: ink, Line: c.thin(0.3)})
	c.d.Add((&Path{}).Rect(dimRoom, dimRoom, w, h), Paint{Stroke: ink, Line: 0.5})
	for _, b := range badges {
		c.badge(b)
	}
	c.dimension(0, 0, c.o.Sheet.WidthMM, true, dimGap)
	c.dimension(0, 0, c.o.Sheet.HeightMM, false, dimGap)
	c.firstRow()
	c.d.Write(Label{X: c.d.Width - dimRoom, Y: c.d.Height - 0.6, Text: c.o.Say.T("draw.cutting.scale", "Ratio", ratio), Size: cutText, Anchor: End, Ink: muted})
	return c.d
}

// thin is a line's width, less where units are drawn so small that their lines would cover them.
func (c *cutting) thin(width float64) float64 {
	const share = 0.15 // of a unit's shorter side
	for s := range c.shown {
		width = min(width, share*min(s[0], s[1])/c.scale)
	}
	return width
}

// unitsOf counts the units that are cut free.
func unitsOf(n *paper.Node) int {
	if n.Kind == paper.UnitNode {
		return 1
	}
	units := 0
	for _, part := range n.Parts {
		units += unitsOf(part)
	}
	return units
}

// at places a point of the sheet on the drawing.
func (c *cutting) at(x, y float64) (float64, float64) {
	return dimRoom + x/c.scale, dimRoom + (c.o.Sheet.HeightMM-y)/c.scale
}

// rect is a part of the sheet on the drawing.
func (c *cutting) rect(p paper.Place) (x, y, w, h float64) {
	x, y = c.at(p.X, p.Y+p.H)
	return x, y, p.W / c.scale, p.H / c.scale
}

// piece draws a piece and all that comes of it.
func (c *cutting) piece(n *paper.Node) {
	x, y, w, h := c.rect(n.Place)
	switch n.Kind {
	case paper.UnitNode:
		c.units.Rect(x, y, w, h)
		c.sizeOnce(n.Place)
	case paper.OffcutNode:
		c.hatch(x, y, w, h)
		c.size(n.Place, muted)
	case paper.SpareNode:
		c.d.Add((&Path{}).Rect(x, y, w, h), Paint{Stroke: muted, Line: 0.25, Dashes: []float64{1.2, 0.8}})
		c.size(n.Place, muted)
	case paper.CutNode:
		c.cut(n)
	}
}

// cut draws the parts of a piece that is cut, then the line.
func (c *cutting) cut(n *paper.Node) {
	line := c.line(n)
	if len(c.lines[n.Step]) == 0 {
		c.order = append(c.order, n.Step)
	}
	if len(c.lines[n.Step]) < maxBadgeLines {
		c.lines[n.Step] = append(c.lines[n.Step], line)
	}
	for _, part := range n.Parts {
		c.piece(part)
	}
	c.cuts.Move(line.x0, line.y0).Line(line.x1, line.y1)
}

// goesOn tells whether the rest of a piece is cut on in the same step.
func goesOn(n, rest *paper.Node) bool { return rest.Kind == paper.CutNode && rest.Step == n.Step }

// line is where a piece is cut.
func (c *cutting) line(n *paper.Node) cutLine {
	first := n.Parts[0]
	at, end := first.X+first.W, n.X
	if n.Along == "y" {
		at, end = first.Y+first.H, n.Y
	}
	if len(n.Parts) == 1 && n.Along == "x" && first.X > end {
		at = first.X
	}
	if len(n.Parts) == 1 && n.Along == "y" && first.Y > end {
		at = first.Y
	}
	l := cutLine{}
	if n.Along == "x" {
		l.x0, l.y0 = c.at(at, n.Y)
		l.x1, l.y1 = c.at(at, n.Y+n.H)
		return l
	}
	l.x0, l.y0 = c.at(n.X, at)
	l.x1, l.y1 = c.at(n.X+n.W, at)
	return l
}

// maxBadgeLines is how many lines of a step are tried for its number.
const maxBadgeLines = 12

// badgePlaces are the parts of a line where the number of its step may stand, the best first.
var badgePlaces = []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9}

// badges finds a place for the number of each step: on one of its lines, where it lies on no size and on no other
// number; on a size where that is the only way; else in the middle of the first line.
func (c *cutting) badges() (out []badge) {
	for _, step := range c.order {
		lines := c.lines[step]
		best, rank := badge{(lines[0].x0 + lines[0].x1) / 2, (lines[0].y0 + lines[0].y1) / 2, step}, 0
	tries:
		for _, l := range lines {
			for _, part := range badgePlaces {
				b := badge{l.x0 + (l.x1-l.x0)*part, l.y0 + (l.y1-l.y0)*part, step}
				if slices.ContainsFunc(out, b.touches) {
					continue
				}
				if !slices.ContainsFunc(c.sizes, b.covers) {
					best = b
					break tries
				}
				if rank == 0 {
					best, rank = b, 1
				}
			}
		}
		out = append(out, best)
	}
	return out
}

func (b badge) touches(o badge) bool { return math.Hypot(b.x-o.x, b.y-o.y) < 2*stepRadius+0.3 }

// covers tells whether the number's circle lies on a size.
func (b badge) covers(s sizeLabel) bool {
	dx := max(s.x-b.x, 0, b.x-s.x-s.w)
	dy := max(s.y-b.y, 0, b.y-s.y-s.h)
	return math.Hypot(dx, dy) < stepRadius+0.2
}

// writeSizes writes the sizes on which no number stands, a unit's once.
func (c *cutting) writeSizes(badges []badge) {
	written := map[[2]float64]bool{}
	for _, s := range append(c.sizes, c.others...) {
		isUnit := s.unit != [2]float64{}
		if isUnit && written[s.unit] || slices.ContainsFunc(badges, func(b badge) bool { return b.covers(s) }) {
			continue
		}
		written[s.unit] = true
		if s.Ink == muted {
			c.d.Add((&Path{}).Rect(s.x, s.y, s.w, s.h), Paint{Fill: card})
		}
		c.d.Write(s.Label)
	}
}

// badge writes a step's number.
func (c *cutting) badge(b badge) {
	c.d.Add((&Path{}).Oval(b.x, b.y, stepRadius, stepRadius), Paint{Fill: card, Stroke: ink, Line: 0.35})
	c.d.Write(Label{X: b.x, Y: b.y + 1.05, Text: strconv.Itoa(b.step), Size: cutText, Bold: true, Anchor: Middle, Ink: ink})
}

// hatch fills a part of the drawing with slanted lines.
func (c *cutting) hatch(x, y, w, h float64) {
	p := &Path{}
	for k := hatchStep; k < w+h; k += hatchStep {
		x0, y0 := x+max(0, k-h), y+min(k, h)
		x1, y1 := x+min(k, w), y+max(0, k-w)
		p.Move(x0, y0).Line(x1, y1)
	}
	c.d.Add(p, Paint{Stroke: hair, Line: 0.25})
	c.d.Add((&Path{}).Rect(x, y, w, h), Paint{Stroke: edge, Line: 0.2})
}

// sizeOnce puts a unit's size down on the first unit of each way it lies, and on some others for want of it.
func (c *cutting) sizeOnce(p paper.Place) {
	const most = 40
	key := [2]float64{p.W, p.H}
	before := len(c.sizes)
	if c.shown[key]++; c.shown[key] > most {
		return
	}
	c.size(p, ink)
	for i := before; i < len(c.sizes); i++ {
		c.sizes[i].unit = key
		if c.shown[key] > 1 {
			c.others = append(c.others, c.sizes[i])
			c.sizes = c.sizes[:before]
		}
	}
}

// size puts down the size of a piece to be written on it, along its longer side, where it fits.
func (c *cutting) size(p paper.Place, in colour) {
	x, y, w, h := c.rect(p)
	text := number(p.W) + " × " + number(p.H)
	turned := h > w
	if turned {
		text = number(p.H) + " × " + number(p.W)
	}
	long, wide := max(w, h), min(w, h)
	need := TextWidth(text, cutText, false)
	if need > long-1 || cutText > wide {
		return
	}
	l := Label{X: x + w/2, Y: y + h/2 + 1, Text: text, Size: cutText, Anchor: Middle, Ink: in}
	if turned {
		l.X, l.Y, l.Turned = x+w/2+1, y+h/2, true
		c.sizes = append(c.sizes, sizeLabel{Label: l, x: x + w/2 - 1.7, y: y + h/2 - need/2 - 0.5, w: 3.4, h: need + 1})
		return
	}
	c.sizes = append(c.sizes, sizeLabel{Label: l, x: x + w/2 - need/2 - 0.5, y: y + h/2 - 1.7, w: need + 1, h: 3.4})
}

// dimension draws a dimension line of a length from x, y on: below the sheet, or to its left; a
// negative gap puts it above or to the right.
func (c *cutting) dimension(x, y, length float64, along bool, gap float64) {
	if length/c.scale < 2*arrowLength {
		return // no room for it; the steps tell it
	}
	p := &Path{}
	text := number(length)
	if gap > 0 {
		text = c.o.Say.T("draw.mm", "MM", text)
	}
	if along {
		x0, y0 := c.at(x, y)
		x1 := x0 + length/c.scale
		y0 += gap
		c.arrow(p, x0, y0, 1, 0)
		c.arrow(p, x1, y0, -1, 0)
		p.Move(x0, y0).Line(x1, y0)
		c.d.Add(p, Paint{Stroke: ink, Line: 0.2})
		c.over(Label{X: (x0 + x1) / 2, Y: y0 + 1, Text: text, Size: cutText, Anchor: Middle, Ink: ink}, x1-x0)
		return
	}
	x0, y0 := c.at(x, y)
	y1 := y0 - length/c.scale
	x0 -= gap
	c.arrow(p, x0, y0, 0, -1)
	c.arrow(p, x0, y1, 0, 1)
	p.Move(x0, y0).Line(x0, y1)
	c.d.Add(p, Paint{Stroke: ink, Line: 0.2})
	c.over(Label{X: x0 + 1, Y: (y0 + y1) / 2, Text: text, Size: cutText, Anchor: Middle, Ink: ink, Turned: true}, y0-y1)
}

// over writes a dimension over its line where there is room for it.
func (c *cutting) over(l Label, room float64) {
	need := TextWidth(l.Text, l.Size, false)
	if need > room-2*arrowLength {
		return
	}
	ground := (&Path{}).Rect(l.X-need/2-0.6, l.Y-2.2, need+1.2, 2.8)
	if l.Turned {
		ground = (&Path{}).Rect(l.X-2.2, l.Y-need/2-0.6, 2.8, need+1.2)
	}
	c.d.Add(ground, Paint{Fill: card})
	c.d.Write(l)
}

// arrow adds the head of an arrow whose tip is at x, y and which comes from the direction dx, dy.
func (c *cutting) arrow(p *Path, x, y, dx, dy float64) {
	const spread = 0.6
	p.Move(x+dx*arrowLength-dy*spread, y+dy*arrowLength-dx*spread).Line(x, y).
		Line(x+dx*arrowLength+dy*spread, y+dy*arrowLength+dx*spread)
}

// firstRow gives the dimensions of what the first cuts make, above the sheet or to its right, and of
// what is made of the largest part of that.
func (c *cutting) firstRow() {
	n := c.o.Tree
	for range 2 {
		if n.Kind != paper.CutNode {
			return
		}
		parts := row(n)
		for _, part := range parts {
			if n.Along == "x" {
				c.dimension(part.X, c.o.Sheet.HeightMM, part.W, true, -dimGap)
			} else {
				c.dimension(c.o.Sheet.WidthMM, part.Y, part.H, false, -dimGap)
			}
		}
		along := n.Along
		n = slices.MaxFunc(parts, func(a, b *paper.Node) int { return cmp.Compare(a.W*a.H, b.W*b.H) })
		if n.Along == along || 2*n.W*n.H < c.o.Tree.W*c.o.Tree.H {
			return
		}
	}
}

// row is the parts that a piece is cut into with one setting, and what is left.
func row(n *paper.Node) []*paper.Node {
	var out []*paper.Node
	for {
		last := n.Parts[len(n.Parts)-1]
		if !goesOn(n, last) {
			return append(out, n.Parts...)
		}
		out = append(out, n.Parts[:len(n.Parts)-1]...)
		n = last
	}
}
